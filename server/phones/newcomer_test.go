package phones

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"fairday/domain/shoot"
)

// fill fills a field of one of the server's own pages: text is typed, what is chosen
// or a date is set.
func (p *phone) fill(field, text string) {
	p.t.Helper()
	sel := fmt.Sprintf(`main form [name="%s"]`, field)
	kind, err := evaluate[string](p, fmt.Sprintf(`document.querySelector(%s).type`, quoted(sel)))
	if err != nil {
		p.t.Fatalf("%s's phone has no field %s: %v", p.key, field, err)
	}
	if kind != "text" {
		p.do("set "+field, chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.querySelector(%s).value = %s`, quoted(sel), quoted(text))))
		return
	}
	p.tap(sel, "")
	p.do("type into "+field, chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`document.querySelector(%s).select()`, quoted(sel))),
		chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, input.InsertText, input.InsertTextParams{Text: text})
			return err
		}))
}

// at waits until a page of the server's own is open.
func (p *phone) at(title string) {
	p.t.Helper()
	p.reads("h1", title)
	p.until("the page is whole", `document.readyState === 'complete'`)
}

// invites adds somebody to the shoot and makes their join link.
func (p *phone) invites(name, job string) {
	p.t.Helper()
	p.tap(`[data-part="people"] [data-label="Add a person"]`, "")
	p.enter("name", name)
	p.enter("job", job)
	p.submit()
	p.reads(fmt.Sprintf(`[data-plan="%s"]`, name), job)
	p.waits(0)
	p.tap(fmt.Sprintf(`[data-link="%s"]`, name), "")
	p.until("the code of "+name+" is drawn", `document.querySelector('img.qr')?.naturalWidth > 50`)
	url, err := evaluate[string](p, `document.querySelector('[data-joins]').textContent.trim()`)
	if err != nil {
		p.t.Fatal(err)
	}
	p.host.links[name] = url[strings.LastIndex(url, "/")+1:]
	p.tap(`dialog button`, "Close")
	p.until("the link is put away", `!document.querySelector('[data-joins]')`)
}

// owns gives somebody a browser that is the first owner's, on the form of a new shoot.
func (h *host) owns(t *testing.T) *phone {
	t.Helper()
	p := h.browser(t, "ada")
	p.open(p.base() + "/join/" + h.token("owner"))
	p.at("Welcome")
	p.fill("name", "Ada Example")
	p.tap("form button", "Come in")
	p.at("Shoots")
	p.reads("main", "There is no shoot here yet")
	p.tap("a.button", "Start a shoot")
	p.at("Start a shoot")
	return p
}

// drop drops a file, whose text is a script's value, on the page.
func (p *phone) drop(text string) {
	p.t.Helper()
	p.do("drop a file", chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`(() => {
		const held = new DataTransfer();
		held.items.add(new File([%s], 'shoot.yaml', { type: 'text/yaml' }));
		document.querySelector('[data-drop]').dispatchEvent(new DragEvent('drop', { bubbles: true, cancelable: true, dataTransfer: held }));
	})()`, text)))
}

// dropExample drops the example of a plan file, which becomes a shoot.
func (p *phone) dropExample() {
	p.t.Helper()
	p.do("take the example", chromedp.Evaluate[chromedp.Void](`fetch('/shoots/example').then((r) => r.text()).then((t) => { window.example = t; })`, chromedp.EvalAwaitPromise))
	p.drop(`window.example`)
	p.at("The long evening")
}

// A newcomer's walk: an empty folder, the owner's link, a new shoot, ten people
// invited, two phones joined, and no file was touched.
func TestNewcomersWalk(t *testing.T) {
	h := startEmpty(t)
	ada := h.owns(t)
	ada.until("the zone is this browser's", `document.querySelector('[name="zone"]').value === Intl.DateTimeFormat().resolvedOptions().timeZone`)
	for field, text := range map[string]string{"title": "Spring table", "client": "Quorrabel", "first": time.Now().UTC().Format(time.DateOnly),
		"place": "The Mill", "address": "1 Mill Lane", "zone": "Europe/Lisbon"} {
		ada.fill(field, text)
	}
	ada.tap("form button", "Start the shoot")
	ada.at("Spring table")
	ada.tap("form button", "Open the shoot")
	ada.reads(".top-title", "Ada Example")
	ada.live()

	ada.tap(`[data-part="people"] summary`, "")
	names := []string{"Bea Example", "Cal Example", "Dot Example", "Eli Example", "Fay Example", "Gus Example", "Hal Example", "Ina Example", "Jon Example", "Kit Example"}
	for i, name := range names {
		ada.invites(name, fmt.Sprintf("Hand %d", i+1))
	}
	ada.knows("everybody", func(s *shoot.State) bool { return len(s.Floor.People) == len(names)+1 })

	for _, name := range names[:2] {
		p := h.browser(t, name)
		p.open(p.base() + "/join/" + h.token(name))
		p.tap("form button", "Join as "+name)
		p.reads(".top-title", name)
		p.live()
		p.knows("who is on it", func(s *shoot.State) bool { return len(s.Floor.People) == len(names)+1 && s.Money == nil })
	}
	ada.open(ada.base() + "/shoots")
	ada.reads(`[data-stage="running"]`, "Spring table", "11 people")
}

// Mistakes of a plan file stand on the page with their lines, in a real browser.
func TestPlanFileIsDropped(t *testing.T) {
	h := startEmpty(t)
	ada := h.owns(t)
	ada.drop(`'title: Kettles\ncolour: red\n'`)
	ada.reads("[data-mistakes]", "Line 2", "“colour” means nothing")
	ada.drop(`'#'.repeat(5 << 20)`)
	ada.reads("#file [role=alert]", "too large for a plan")
	ada.dropExample()
	ada.reads("main", "You are not on this shoot")
}

// A producer archives their shoot from their phone, which is signed out with all the
// others; an owner deletes it, once its title was typed.
func TestShootIsEnded(t *testing.T) {
	h := startEmpty(t)
	ada := h.owns(t)
	ada.dropExample()
	ada.tap("form button", "Put me on it as a producer")
	ada.reads(".top-title", "Ada Example")
	ada.live()
	ada.tap(`[data-tab="callsheet"]`, "")
	ada.tap(`[data-phone] a`, "The whole shoot: producers, archive")
	ada.at("The long evening")
	ada.tap("form button", "Archive it")
	ada.reads("main", "It is archived", "Bring it back")
	ada.open(ada.base() + "/")
	ada.reads(`main`, "signed out")
	ada.until("nothing is shown of the shoot", `!document.querySelector('[data-shot]')`)
	ada.open(ada.base() + "/shoots")
	ada.reads(`[data-stage="archived"]`, "The long evening")
	ada.tap(`[data-shoot] a`, "The long evening")
	ada.tap("details a", "See what would go")
	ada.at("Delete The long evening?")
	ada.fill("title", "The short evening")
	ada.tap("form button", "Delete it for good")
	ada.reads("[role=alert]", "Nothing was deleted")
	ada.fill("title", "The long evening")
	ada.tap("form button", "Delete it for good")
	ada.at("Shoots")
	ada.reads("main", "There is no shoot here yet")
}
