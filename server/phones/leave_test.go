package phones

import (
	"context"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// nobodys waits until a phone shows nobody's page, and holds it to having nothing
// left of the shoot.
func (p *phone) nobodys() {
	p.t.Helper()
	p.until("is nobody's", `document.querySelector('[data-screen="nobody"]')`)
	p.until("nothing is left of the shoot", `(async () =>
		(await indexedDB.databases()).every((d) => !d.name.startsWith('fairday-cache-')))()`)
	stored, err := p.stored()
	if err != nil {
		p.t.Fatal(err)
	}
	text := readable(string(stored))
	for _, word := range []string{"Saltglass", "Drover", "Tamsin", "555-01"} {
		if strings.Contains(text, word) {
			p.t.Errorf("%s is left on the phone: %s", word, trimmed(text, 2000))
		}
	}
}

// Signing out works without signal, in every tab at once and also after the page was
// closed; the server hears of it with the next contact.
func TestSignOutWithoutSignal(t *testing.T) {
	h := start(t)
	p := h.phone(t, "ilmar")
	p.installed()
	other := p.tab(false)
	other.open(p.base() + "/")
	other.reads(".top-title", h.named("ilmar"))
	cookie := p.cookie()
	p.front()
	p.turn("callsheet")
	p.sever()
	p.away()
	p.tap("[data-leave]", "")
	p.yes()
	p.nobodys()
	other.nobodys()
	p.reload()
	p.nobodys()
	posted(t, h, "/api/code", cookie, "", http.StatusCreated) // the server cannot know yet
	p.signal()
	until(t, "the server hears of it", func() (bool, string) {
		ask, err := http.NewRequest(http.MethodGet, "http://"+h.addr+"/api/me", nil)
		if err != nil {
			t.Fatal(err)
		}
		ask.Header.Set("Cookie", cookie)
		answer, err := http.DefaultClient.Do(ask)
		if err != nil {
			return false, err.Error()
		}
		_ = answer.Body.Close()
		return answer.StatusCode == http.StatusUnauthorized, answer.Status
	})
	p.nobodys()
}

// A second phone joins by the code that the first one shows, on the page that knows
// nobody; when it is lost, the first one ends it in two taps, and it forgets all.
func TestSecondPhoneIsLost(t *testing.T) {
	h := start(t)
	p, q := h.phone(t, "ilmar"), h.browser(t, "ilmar")
	p.turn("callsheet")
	p.tap("[data-another]", "")
	p.until("the code is there", `document.querySelector('[data-code]')`)
	code, err := evaluate[string](p, `document.querySelector('[data-code]').textContent`)
	if err != nil {
		t.Fatal(err)
	}
	p.tap("dialog button, [role=dialog] button", "Close")
	q.open(q.base() + "/")
	q.reads(`[data-screen="nobody"]`, "code from your other phone")
	q.tap("[data-join]", "")
	q.do("type the code", chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.InsertText, input.InsertTextParams{Text: strings.ToLower(code)})
		return err
	}))
	q.tap("form button", "Go on")
	q.reads("h1", "The long evening")
	q.tap("form button", "")
	q.reads(".top-title", h.named("ilmar"))
	q.live()

	p.reload()
	p.reads(`[data-joined][data-this="false"]`, "Chrome", "Here now")
	p.tap("[data-end]", "")
	p.yes()
	q.nobodys()
	p.live()
	p.until("one phone is left", `document.querySelectorAll('[data-joined]').length === 1`)
}
