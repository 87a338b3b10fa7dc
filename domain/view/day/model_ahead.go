package day

// Ahead is the forecast of a day that has not begun, on its plan alone. Where Known is
// false there is nothing but Say, which tells why.
type Ahead struct {
	Known    bool     `json:"known"`
	Say      string   `json:"say"`
	Plan     string   `json:"plan"`            // "Done by the planned wrap at 18:00: 3 times in 10."
	Money    string   `json:"money"`           // overtime on average; for the producer, else ""
	Notice   string   `json:"notice"`          // that it passes what is approved, or ""
	Heaviest string   `json:"heaviest"`        // which shot makes it fail
	Unmet    []string `json:"unmet"`           // shots that miss their light or their people, and why
	Order    *Lever   `json:"order,omitempty"` // a better order, with its reasons
	OrderSay string   `json:"orderSay"`        // where there is none
}
