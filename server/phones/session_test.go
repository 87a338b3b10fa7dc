package phones

import (
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"

	"fairday/domain/shoot"
)

// A session that ends while edits wait takes the shoot with it and not them: the
// phone says what to do, keeps them over a restart, and they go out once the person
// joins again.
func TestSignedOutWithEditsWaiting(t *testing.T) {
	h := start(t)
	producer := h.hand(t, "wren")
	p := h.phone(t, "ilmar")
	stylist := h.hand(t, "oriel")
	if v := stylist.reads("Drover stool"); v.Result != "accepted" {
		t.Fatalf("the stool was not confirmed: %+v", v)
	}
	p.tap(`[data-shot="1"] [data-action="shot.open"]`, "")
	p.shows("1", "open")
	p.waits(0)
	cookie := p.cookie()
	p.sever()
	p.away()
	p.tap(`[data-shot="1"] [data-action="shot.capture"]`, "")
	p.shows("1", "captured")
	p.waits(1)
	posted(t, h, "/api/leave", cookie, "", http.StatusNoContent)

	p.signal()
	for range 2 {
		p.reads(`[role="alert"]`, "kept on this phone", "join again")
		p.reads(`[data-save="1"]`, "One edit waits")
		p.until("nothing is shown of the shoot", `!document.querySelector('[data-shot]')`)
		stored, err := p.stored()
		if err != nil {
			t.Fatal(err)
		}
		if text := readable(string(stored)); strings.Contains(text, "Drover stool") {
			t.Errorf("the shoot is left on the phone: %s", trimmed(text, 2000))
		}
		p.reload()
	}
	if now := producer.now(); shotOf(t, now, "1").Progress != shoot.Open {
		t.Fatalf("shot 1 is %s where the phone has not been heard", shotOf(t, now, "1").Progress)
	}

	who := personOf(t, producer.now(), h.named("ilmar"))
	var link struct{ URL string }
	if err := json.Unmarshal(posted(t, h, "/api/links", producer.cookie, `{"person":"`+string(who.ID)+`"}`, http.StatusCreated), &link); err != nil {
		t.Fatal(err)
	}
	h.links["ilmar"] = link.URL[strings.LastIndex(link.URL, "/")+1:]
	p.join("ilmar")
	p.waits(0)
	p.live()
	done := producer.sees("the capture", func(s *shoot.State) bool { return shotOf(t, s, "1").Progress == shoot.Captured })
	if len(shotOf(t, done, "1").Spans) != 1 || len(done.Floor.Queries) != 0 {
		t.Errorf("something came twice: %+v, %d queries", shotOf(t, done, "1").Spans, len(done.Floor.Queries))
	}
}

// posted asks the server with somebody's cookie and gives what it answered.
func posted(t *testing.T, h *host, path, cookie, body string, want int) []byte {
	t.Helper()
	ask, err := http.NewRequest(http.MethodPost, "http://"+h.addr+path, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	ask.Header.Set("Cookie", cookie)
	ask.Header.Set("Content-Type", "application/json")
	ask.Header.Set("Origin", "http://"+h.addr)
	answer, err := http.DefaultClient.Do(ask)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	if answer.StatusCode != want {
		t.Fatalf("%s answered %s: %s", path, answer.Status, text)
	}
	return text
}
