package view

import (
	"errors"
	"strconv"
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/payrule"
	"fairday/domain/when"
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

// WriteHours writes minutes as readHours takes them: "10" or "10:30".
func WriteHours(minutes int64) string {
	out := strconv.FormatInt(minutes/60, 10)
	if m := minutes % 60; m != 0 {
		out += ":" + strconv.FormatInt(m/10, 10) + strconv.FormatInt(m%10, 10)
	}
	return out
}

// Elapsed marks a band that counts from the start of the day, meals and all.
const Elapsed = "elapsed"

// readBand reads "10 x 1.5", with "elapsed" after it where meals count.
func readBand(line string) (b overtime.Band, ok bool) {
	line = strings.ToLower(strings.ReplaceAll(line, "×", "x"))
	if before, marked := strings.CutSuffix(strings.TrimSpace(line), Elapsed); marked {
		b.Elapsed, line = true, before
	}
	after, times, split := strings.Cut(line, "x")
	b.After, ok = readHours(after)
	var err error
	b.Times, err = money.ParseRatio(strings.TrimSpace(times))
	return b, ok && split && err == nil
}

// WorkedDay marks a day that counts as worked.
const WorkedDay = "worked"

// each reads what stands one a line.
func (fm Form) each(f Field, s string) (any, error) {
	var out []any
	for line := range strings.Lines(s) {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		v, err := fm.line(f.As, line)
		if err != nil {
			return nil, &Problem{f.Key, Sentence(f.Label + ": " + err.Error())}
		}
		out = append(out, v)
	}
	return out, nil
}

// unread says how a line should be.
func unread(line, like string) error {
	return errors.New("“" + line + "” cannot be read. Write one a line, like " + like + ".")
}

func (fm Form) line(as As, line string) (any, error) {
	name, last := "", line
	if i := strings.LastIndexByte(line, ' '); i >= 0 {
		name, last = strings.TrimSpace(line[:i]), line[i+1:]
	}
	switch as {
	case AsAmounts:
		a, err := money.Parse(line, money.Currency(fm.Currency))
		if err != nil {
			err = inLine(line, err)
		}
		return a, err
	case AsDates:
		return when.ParseDate(line)
	case AsNotices:
		after, of, split := strings.Cut(strings.ToLower(strings.ReplaceAll(line, "×", "x")), "x")
		within, ok := readHours(after)
		if !ok || !split {
			return nil, unread(line, "24 x 50%")
		}
		share, err := readShare(of, true, line, "24 x 50%")
		return overtime.Notice{Within: within, Share: share}, err
	case AsExtras:
		return fm.extra(line)
	case AsOthers:
		worked := last == WorkedDay
		if worked {
			i := strings.LastIndexByte(name, ' ')
			name, last = strings.TrimSpace(name[:max(i, 0)]), name[i+1:]
		}
		const like = "travel 50%, or prep 75% worked"
		if name == "" {
			return nil, unread(line, like)
		}
		r, err := readShare(last, true, line, like)
		return overtime.OtherDay{Kind: name, Share: r, Worked: worked}, err
	}
	if name == "" {
		return nil, unread(line, "insurance 13.8%")
	}
	r, err := readShare(last, false, line, "insurance 13.8%")
	return overtime.OnCost{Name: name, Share: r}, err
}

// extra reads "kit 45.00", or "mileage 0.67 x 40".
func (fm Form) extra(line string) (any, error) {
	const like = "kit 45.00, or mileage 0.67 x 40"
	out, rest := overtime.Extra{}, line
	if i := strings.LastIndex(line, " x "); i >= 0 {
		n, err := strconv.ParseInt(strings.TrimSpace(line[i+3:]), 10, 32)
		if err != nil {
			return nil, unread(line, like)
		}
		out.Count, rest = n, strings.TrimSpace(line[:i])
	}
	i := strings.LastIndexByte(rest, ' ')
	if out.Name = strings.TrimSpace(rest[:max(i, 0)]); out.Name == "" {
		return nil, unread(line, like)
	}
	a, err := money.Parse(rest[i+1:], money.Currency(fm.Currency))
	if err != nil {
		return nil, inLine(line, err)
	}
	out.Amount = a
	return out, nil
}

// readShare reads the share that a line holds.
func readShare(s string, usual bool, line, like string) (money.Ratio, error) {
	r, err := payrule.ReadShare(s, usual)
	if err != nil && errors.Is(err, &money.Error{Code: money.CodeUnreadable}) {
		return r, unread(line, like)
	} else if err != nil {
		return r, inLine(line, err)
	}
	return r, nil
}

// inLine says in which line something is wrong.
func inLine(line string, err error) error { return errors.New("“" + line + "”: " + err.Error()) }
