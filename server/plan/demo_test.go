package plan

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"io"
	"testing"

	"fairday/testdata/demo"
)

type chance struct{ n int }

func (c *chance) Read(b []byte) (int, error) {
	c.n++
	s := sha256.Sum256([]byte(fmt.Sprint(c.n)))
	return copy(b, s[:]), nil
}

var _ io.Reader = &chance{}

func TestX(t *testing.T) {
	p, probs := Load(bytes.NewReader(demo.File), demo.Name, "", 1795600000000, &chance{})
	for _, x := range probs {
		t.Error(x)
	}
	t.Log(len(p.Intents), len(p.People), p.Title)
}
