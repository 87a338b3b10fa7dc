package view

import (
	"strconv"
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
)

// terms reads what stands in terms and nowhere else.
func (f Field) terms(s string) (any, error) {
	if f.As == AsHours {
		n, ok := readHours(s)
		if !ok {
			return nil, &Problem{f.Key, f.Label + ": enter hours like 10, 10.5 or 10:30."}
		}
		return n, nil
	}
	var out []overtime.Band
	for line := range strings.Lines(s) {
		if strings.TrimSpace(line) == "" {
			continue
		}
		b, ok := readBand(line)
		if !ok {
			return nil, &Problem{f.Key, f.Label + ": “" + strings.TrimSpace(line) + "” cannot be read. Write one a line, like 10 x 1.5."}
		}
		out = append(out, b)
	}
	return out, nil
}

// readHours reads a length as whole minutes.
func readHours(s string) (int64, bool) {
	s = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(s), "h"))
	if hours, rest, clock := strings.Cut(s, ":"); clock {
		h, err1 := strconv.ParseUint(hours, 10, 16)
		m, err2 := strconv.ParseUint(rest, 10, 16)
		return int64(h*60 + m), err1 == nil && err2 == nil && m < 60 && len(rest) == 2
	}
	r, err := money.ParseRatio(s)
	if err == nil {
		r, err = r.Mul(money.Whole(60))
	}
	return r.Num, err == nil && r.Den == 1 && r.Num >= 0
}

// writeHours writes minutes as readHours takes them: "10" or "10:30".
func writeHours(minutes int64) string {
	out := strconv.FormatInt(minutes/60, 10)
	if m := minutes % 60; m != 0 {
		out += ":" + strconv.FormatInt(m/10, 10) + strconv.FormatInt(m%10, 10)
	}
	return out
}

// elapsed marks a band that counts from the start of the day, meals and all.
const elapsed = "elapsed"

// readBand reads "10 x 1.5", with "elapsed" after it where meals count.
func readBand(line string) (b overtime.Band, ok bool) {
	line = strings.ToLower(strings.ReplaceAll(line, "×", "x"))
	if before, marked := strings.CutSuffix(strings.TrimSpace(line), elapsed); marked {
		b.Elapsed, line = true, before
	}
	after, times, split := strings.Cut(line, "x")
	b.After, ok = readHours(after)
	var err error
	b.Times, err = money.ParseRatio(strings.TrimSpace(times))
	return b, ok && split && err == nil
}

// writeBands writes bands as readBand takes them.
func writeBands(bands []overtime.Band) string {
	var out []string
	for _, b := range bands {
		line := writeHours(b.After) + " x " + b.Times.String()
		if b.Elapsed {
			line += " " + elapsed
		}
		out = append(out, line)
	}
	return strings.Join(out, "\n")
}

// each reads amounts, or on-costs, one a line.
func (fm Form) each(f Field, s string) (any, error) {
	var amounts []money.Amount
	var costs []overtime.OnCost
	for line := range strings.Lines(s) {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		if f.As == AsAmounts {
			a, err := money.Parse(line, money.Currency(fm.Currency))
			if err != nil {
				return nil, &Problem{f.Key, sentence(f.Label + ": " + err.Error())}
			}
			amounts = append(amounts, a)
			continue
		}
		i := strings.LastIndexByte(line, ' ')
		r, err := money.ParseRatio(line[i+1:])
		if i < 0 || err != nil {
			return nil, &Problem{f.Key, f.Label + ": “" + line + "” cannot be read. Write one a line, like insurance 13.8%."}
		}
		costs = append(costs, overtime.OnCost{Name: strings.TrimSpace(line[:i]), Share: r})
	}
	if f.As == AsAmounts {
		return amounts, nil
	}
	return costs, nil
}
