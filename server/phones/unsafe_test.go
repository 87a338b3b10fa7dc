package phones

import (
	"os"
	"strings"
	"testing"
)

// At an address that browsers do not trust the page says at once that it will not
// work without signal and what to do; it works all the same while it has signal. At one
// that they trust it says nothing.
func TestUnsafeAddress(t *testing.T) {
	h := start(t)
	name, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	name, _, _ = strings.Cut(strings.ToLower(name), ".")
	name += ".local"
	p := h.browserThatKnows(t, "tamsin", name)
	p.open(strings.Replace(p.base(), "127.0.0.1", name, 1) + "/join/" + h.token("tamsin"))
	p.reads("main", "does not work without signal", "starts with https")
	p.tap(`form button`, "")
	p.live()
	p.until("this page is not trusted", `!isSecureContext`)
	p.reads("[data-unsafe]", "does not work without signal", "starts with https")
	p.tap("[data-unsafe] button", "I know")
	p.until("it is put away", `!document.querySelector("[data-unsafe]")`)
	p.tap(`[data-hours] [data-label="Sign in"]`, "")
	p.tap(`[data-hours] [data-label="Sign out"]`, "")

	q := h.phone(t, "wren")
	q.until("nothing is said of it", `!document.querySelector("[data-unsafe]")`)
}
