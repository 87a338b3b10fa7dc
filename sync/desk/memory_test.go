package desk_test

import (
	"fmt"
	"testing"

	"fairday/sync/desk"
	"fairday/sync/desk/logtest"
)

// SPEC L2, L5, L6: the suite, over the log in memory.
func TestMemoryLog(t *testing.T) {
	logtest.Run(t, func(t *testing.T) logtest.Under {
		n := 0
		m := desk.NewMemory(func() string { n++; return fmt.Sprintf("generation %d", n) })
		copied := func(*testing.T) desk.Log { return m.Copy() }
		return logtest.Under{Log: m, Reopen: copied, Crash: copied, Restore: func(*testing.T) desk.Log {
			c := m.Copy()
			c.Restored()
			return c
		}}
	})
}
