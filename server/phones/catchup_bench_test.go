package phones

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/target"
	"github.com/chromedp/chromedp"

	"fairday/domain/shoot"
	"fairday/sync/wire"
)

// atWork runs a script in the worker, where the engine is.
func atWork[T any](p *phone, script string) (out T) {
	p.t.Helper()
	ctx, done := context.WithTimeout(p.ctx, patience)
	defer done()
	all, err := cdp.Call(ctx, chromedp.FromContext(p.ctx).Target, target.GetTargets, target.GetTargetsParams{})
	if err != nil {
		p.t.Fatal(err)
	}
	for _, found := range all.TargetInfos {
		if found.Type != "worker" {
			continue
		}
		worker, leave := chromedp.NewContext(p.ctx, chromedp.WithTargetID(found.TargetID), chromedp.WithDetachOnCancel())
		defer leave()
		out, err := chromedp.Run(worker, chromedp.Evaluate[T](script))
		if err != nil {
			p.t.Fatal(err)
		}
		return out
	}
	p.t.Fatal("the page has no worker")
	return out
}

// BenchmarkForecast is the screen of the day in the browser's engine, for the
// producer of sixty shots and sixty people on terms: the forecast, what it costs
// and all levers. Each time it is another minute, so that nothing is remembered.
func BenchmarkForecast(b *testing.B) {
	p := busy(b).phone(b, "p0")
	const script = `((n) => {
		const times = [], now = Date.now();
		for (let i = 0; i < n; i++) {
			const begun = performance.now();
			const text = fairday.view('day', '{"day":"","at":0,"terms":""}', now + i * 60000);
			times.push(performance.now() - begun);
			const { view } = JSON.parse(text);
			if (!view.levers.length || !view.money) throw new Error(text.slice(0, 500));
		}
		return times;
	})(%d)`
	before := p.worked()
	times := atWork[[]float64](p, fmt.Sprintf(script, b.N+1))
	b.ReportMetric((p.worked()-before).Seconds()*1000/float64(len(times)), "processor-ms")
	b.ReportMetric(times[0], "first-ms")
	if len(times) > 1 {
		report(b, "screen", times[1:])
	}
	b.ReportMetric(0, "ns/op")
}

// missed is how many events a phone is away for.
const missed = 2000

// spends has the engine note how long its calls take, in ms by their names.
const spends = `(() => {
	globalThis.spent = {};
	for (const [name, call] of Object.entries(fairday)) fairday[name] = (...a) => {
		const begun = performance.now();
		try {
			return call(...a);
		} finally {
			spent[name] = (spent[name] ?? 0) + performance.now() - begun;
		}
	};
})()`

// BenchmarkCatchUp is a phone that comes back after 2,000 events, from the moment
// that it finds its signal until its screen shows the last of them. The server's
// part runs from the phone's hello to the last byte of the answer; the engine's is
// taking it in and handing out what to store; making the screens stands apart.
func BenchmarkCatchUp(b *testing.B) {
	h := busy(b)
	p := h.phone(b, "p1")
	var others []*hand // they take turns, since the server limits what one of them sends
	for _, who := range h.plan.People {
		if who.Role == shoot.Producer || who.Role == shoot.Photographer || who.Role == shoot.Digitech {
			others = append(others, h.hand(b, who.Key))
		}
	}
	atWork[json.RawMessage](p, spends+`, null`)
	var shown, server, engine, both, screens []float64
	for n := range b.N {
		p.sever()
		p.away()
		last := others[n%len(others)].frames(n)
		p.restore()
		atWork[json.RawMessage](p, `globalThis.spent = {}, null`)
		ms, err := evaluate[float64](p, `new Promise((done) => {
			const begun = performance.now();
			const look = () => {
				if (!document.body.textContent.includes(`+quoted(last)+`)) return;
				watch.disconnect();
				requestAnimationFrame(() => setTimeout(() => done(performance.now() - begun)));
			};
			const watch = new MutationObserver(look);
			watch.observe(document.body, { subtree: true, childList: true, characterData: true });
			window.dispatchEvent(new Event('online'));
		})`)
		if err != nil {
			b.Fatal(err)
		}
		spent := atWork[map[string]float64](p, `spent`)
		took := p.answered().Seconds() * 1000
		takes := spent["connected"] + spent["receive"] + spent["cache"]
		shown, server, engine = append(shown, ms), append(server, took), append(engine, takes)
		both, screens = append(both, took+takes), append(screens, spent["view"])
	}
	report(b, "shown", shown)
	report(b, "server", server)
	report(b, "engine", engine)
	report(b, "both", both)
	report(b, "views", screens)
	b.ReportMetric(0, "ns/op")
}

// frames notes frames of the shots, so many times as a phone is to miss, and
// gives the last that was noted.
func (a *hand) frames(round int) (last string) {
	a.t.Helper()
	s := a.now()
	order := firstDay(a.t, s).Order
	from := len(a.edits)
	for i := range missed {
		last = "R" + strconv.Itoa(round) + "-" + strconv.Itoa(i)
		a.make("shot.frames", map[string]any{"shot": order[i%len(order)], "frames": last})
	}
	for edits := range slices.Chunk(a.edits[from:], 200) { // few messages, since the server counts them
		if err := a.send(wire.Edits{Edits: edits}); err != nil {
			a.t.Fatal(err)
		}
	}
	reach(a.t, from+missed, a)
	return last
}
