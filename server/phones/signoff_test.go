package phones

import (
	"fmt"
	"strings"
	"testing"

	"fairday/domain/shoot"
)

// A crew member signs their hours without signal; the producer sees it once the
// phone is in reach again, and lets them see their own pay, which reaches no
// other phone. The client answers an ask for overtime on the screen they start on.
func TestSignedAndAsked(t *testing.T) {
	h := start(t)
	crew, producer, client := h.phone(t, "tamsin"), h.phone(t, "wren"), h.phone(t, "philippa")
	mine, list := `[data-signed]`, fmt.Sprintf(`[data-rows="signatures"] [data-person=%q]`, h.named("tamsin"))

	crew.turn("callsheet")
	crew.tap(`[data-hours] [data-label="Sign in"]`, "")
	crew.waits(0)
	crew.tap(`[data-hours] [data-label="Sign out"]`, "")
	crew.waits(0)
	crew.tap(`[data-hours] [data-label="Not out yet: undo"]`, "") // a slip of the finger
	crew.reads(`[data-hours="On the clock"]`, "On the clock")
	crew.tap(`[data-hours] [data-label="Sign out"]`, "")
	crew.waits(0)
	producer.turn("callsheet")
	producer.turn("hours")
	producer.reads(list, "Not signed")

	crew.turn("hours")
	crew.sever()
	crew.away()
	crew.tap(mine+` [data-action="hours.sign"]`, "")
	crew.reads(`[data-signed="Signed"]`, "You have signed these hours")
	crew.waits(1)
	producer.reads(list, "Not signed")
	crew.restore()
	crew.signal()
	crew.live()
	crew.waits(0)
	producer.reads(list+`[data-signed="Signed"]`, "signed ")

	crew.until("no pay is shown", `!document.querySelector('[data-pay]')`)
	producer.tap(list+` [data-action="pay.share"]`, "Show them their pay")
	crew.reads(`[data-pay="Not signed"] [data-slip]`, "$")
	crew.tap(`[data-pay] [data-action="pay.sign"]`, "")
	crew.reads(`[data-pay="Signed"]`, "You have signed these lines")
	producer.reads(list, "Pay lines shown: $")
	producer.knows("the signature on the pay", func(s *shoot.State) bool {
		row, ok := s.Pay[shoot.KeyOf(firstDay(t, s).ID, personOf(t, s, h.named("tamsin")).ID)]
		return ok && len(s.Pay) == 1 && row.SignOff() == shoot.Signed
	})

	producer.turn("overtime")
	producer.tap(`[data-approvals] [data-action="overtime.ask"]`, "")
	producer.enter("until", "21:00")
	producer.enter("amount", "731.50")
	producer.enter("note", "The glaze is still wet")
	producer.submit()
	client.reads(`[data-screen="heroes"] [data-ask="Waits for an answer"]`, "May the day run until 21:00?", "$731.50", "The glaze is still wet")
	client.tap(`[data-ask] [data-label="Approve until 21:00"]`, "")
	client.submit()
	producer.reads(`[data-approvals]`, "Approved until 21:00", "$731.50", "approved by "+h.named("philippa"))
	producer.reads(`[data-ask="Approved"]`, h.named("philippa"))

	// Nobody else's phone has heard the person's pay, or what was asked.
	heard, err := client.spoken()
	if err != nil {
		t.Fatal(err)
	}
	if text := readable(heard); strings.Contains(text, `"pay.set"`) || !strings.Contains(text, "731") {
		t.Error("the client's phone has somebody's pay, or not what was asked")
	}
	heard, err = crew.spoken()
	if err != nil {
		t.Fatal(err)
	}
	if text := readable(heard); !strings.Contains(text, `"pay.set"`) || strings.Contains(text, "73150") || strings.Contains(text, `"terms`) {
		t.Error("the crew's phone has no pay of its own, or what was asked, or terms")
	}
	agree(t, crew, producer, client)
}
