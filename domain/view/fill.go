package view

import (
	"bytes"
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"strconv"
	"strings"

	"fairday/domain/money"
	"fairday/domain/overtime"
	"fairday/domain/payrule"
	"fairday/domain/shoot"
	"fairday/domain/when"
)

// As is how Fill turns what was entered into JSON.
type As string

// The forms that a value takes in an intent's arguments.
const (
	AsText    As = "text"
	AsNumber  As = "number"
	AsClock   As = "clock"   // "07:30"
	AsMaybe   As = "maybe"   // a clock, or null where nothing was entered
	AsInstant As = "instant" // the clock, resolved on the form's date; left out where nothing was entered
	AsAmount  As = "amount"
	AsList    As = "list"    // of texts
	AsLines   As = "lines"   // a list of texts, one a line
	AsTruth   As = "truth"   // "true" or "false"
	AsHours   As = "hours"   // "10", "10.5" or "10:30", as minutes; 0 where nothing was entered
	AsBands   As = "bands"   // of overtime, one a line: "10 x 1.5"
	AsMinutes As = "minutes" // a whole number; null, as in all that follow, where nothing was entered
	AsRatio   As = "ratio"   // "1.5" or "150%"
	AsShare   As = "share"   // "25%" or "0.25"
	AsAmounts As = "amounts" // one a line
	AsCosts   As = "costs"   // one a line: "insurance 13.8%"
	AsWage    As = "wage"    // an amount
	AsNotices As = "notices" // one a line: "24 x 50%"
	AsOthers  As = "others"  // one a line: "travel 50%", with "worked" after it where it is
	AsExtras  As = "extras"  // one a line: "mileage 0.67 x 40"
	AsDates   As = "dates"   // one a line
	AsDegrees As = "degrees" // "38.722", as millionths
	AsMetres  As = "metres"  // "1.2", as centimetres; 0 where nothing was entered
	AsArcs    As = "arcs"    // what stands before the sky, one a line: "110 to 160: 12"
	AsMoment  As = "moment"  // a date and a clock, "2026-11-25 17:30", in the form's zone
)

// Problem is why a form cannot be sent yet: the field's key and a sentence that
// says what to do.
type Problem struct {
	Key string `json:"key"`
	Say string `json:"say"`
}

// Error gives the sentence.
func (p *Problem) Error() string { return p.Say }

// Fill puts what a person entered into a form, by field, into the arguments of
// the form's action. A field that is missing keeps the value it was shown with.
// Fresh is an id for a new thing, used where the form asks for one. The error is
// always a *Problem.
func Fill(a Action, entered map[string][]string, fresh string) (json.RawMessage, error) {
	args := map[string]any{}
	dec := json.NewDecoder(bytes.NewReader(a.Args))
	dec.UseNumber() // instants do not fit a floating-point number on every machine
	if err := dec.Decode(&args); err != nil {
		return nil, &Problem{Say: "This form does not belong to anything. Reload the page and try again."}
	}
	if a.Form == nil {
		return a.Args, nil
	}
	if a.Form.Fresh {
		args["id"] = fresh
	}
	for _, f := range a.Form.Fields {
		texts, given := entered[f.Key]
		if !given {
			texts = f.shown()
		}
		v, err := a.Form.value(f, texts)
		if err != nil {
			return nil, err
		}
		if v != nil {
			args, _ = put(args, strings.Split(f.Key, "."), v).(map[string]any)
		}
	}
	out, err := json.Marshal(args)
	if err != nil {
		return nil, &Problem{Say: "That cannot be sent. Enter it again."}
	}
	return out, nil
}

// shown is what a field held before anybody touched it.
func (f Field) shown() []string {
	if f.Kind != KindTicks {
		return []string{f.Value}
	}
	on := strings.Fields(f.Value)
	for _, o := range f.Options {
		if o.On {
			on = append(on, o.Value)
		}
	}
	return on
}

// null is a JSON null that is meant.
var null = json.RawMessage("null")

// value reads one field; nil leaves it out.
func (fm Form) value(f Field, texts []string) (any, error) {
	if f.As == AsList {
		return append([]string{}, texts...), nil
	}
	s := strings.TrimSpace(strings.Join(texts, "\n"))
	if s == "" {
		switch {
		case f.Needed:
			return nil, &Problem{f.Key, f.Label + " is missing."}
		case f.As == AsMaybe, f.As == AsMinutes, f.As == AsRatio, f.As == AsShare, f.As == AsAmounts, f.As == AsCosts, f.As == AsWage, f.As == AsNotices, f.As == AsOthers, f.As == AsExtras, f.As == AsDates:
			return null, nil
		case f.As == AsText:
			return "", nil
		case f.As == AsHours, f.As == AsMetres:
			return 0, nil
		case f.As == AsArcs:
			return []shoot.Arc{}, nil
		case f.As == AsBands:
			return []overtime.Band{}, nil
		case f.As == AsLines:
			return []string{}, nil
		}
		return nil, nil
	}
	switch f.As {
	case AsLines:
		var out []string
		for line := range strings.Lines(s) {
			if line = strings.TrimSpace(line); line != "" {
				out = append(out, line)
			}
		}
		return out, nil
	case AsNumber, AsMinutes:
		n, err := strconv.ParseInt(s, 10, 32)
		if err != nil {
			return nil, &Problem{f.Key, f.Label + ": enter a whole number."}
		}
		return n, nil
	case AsAmount, AsWage:
		a, err := money.Parse(s, money.Currency(fm.Currency))
		if err != nil {
			return nil, &Problem{f.Key, Sentence(f.Label + ": " + err.Error())}
		}
		return a, nil
	case AsTruth:
		return s == "true", nil
	case AsHours, AsBands:
		return f.terms(s)
	case AsRatio:
		r, err := money.ParseRatio(s)
		if err != nil {
			return nil, &Problem{f.Key, f.Label + ": enter a number like 1.5, or 150%."}
		}
		return r, nil
	case AsShare:
		r, err := payrule.ReadShare(s, false)
		if errors.Is(err, &money.Error{Code: money.CodeUnreadable}) {
			return nil, &Problem{f.Key, f.Label + ": enter a share like 25%, or 0.25."}
		} else if err != nil {
			return nil, &Problem{f.Key, Sentence(f.Label + ": " + err.Error())}
		}
		return r, nil
	case AsDegrees, AsMetres, AsArcs:
		return f.light(s)
	case AsAmounts, AsCosts, AsNotices, AsOthers, AsExtras, AsDates:
		return fm.each(f, s)
	case AsClock, AsMaybe, AsInstant:
		return fm.clock(f, s)
	case AsMoment:
		return fm.moment(f, s)
	}
	return s, nil
}

func (fm Form) clock(f Field, s string) (any, error) {
	if len(s) == 4 && s[1] == ':' {
		s = "0" + s // 7:30
	}
	c, err := when.ParseClock(s)
	if err != nil {
		return nil, &Problem{f.Key, f.Label + ": enter a time like 07:30; 26:15 is 02:15 the next morning."}
	}
	if f.As != AsInstant {
		return c, nil
	}
	at, err := fm.Zone.At(fm.Date, c)
	if err != nil {
		return nil, &Problem{f.Key, f.Label + ": this phone does not know the time zone of the day. Reload the page."}
	}
	return at, nil
}

// moment reads a date and a clock.
func (fm Form) moment(f Field, s string) (any, error) {
	day, clock, _ := strings.Cut(s, " ")
	date, err := when.ParseDate(day)
	c, wrong := when.ParseClock(strings.TrimSpace(clock))
	if err != nil || wrong != nil {
		return nil, &Problem{f.Key, f.Label + ": enter a date and a time, like 2026-11-25 17:30."}
	}
	at, err := fm.Zone.At(date, c)
	if err != nil {
		return nil, &Problem{f.Key, f.Label + ": this phone does not know the time zone of the day. Reload the page."}
	}
	return at, nil
}

// put places a value along a path of names, and of numbers in a list, changing copies
// only.
func put(in any, path []string, v any) any {
	if len(path) == 0 {
		return v
	}
	if list, ok := in.([]any); ok {
		if i, err := strconv.Atoi(path[0]); err == nil && i >= 0 && i < len(list) {
			list = slices.Clone(list)
			list[i] = put(list[i], path[1:], v)
		}
		return list
	}
	was, _ := in.(map[string]any)
	out := maps.Clone(was)
	if out == nil {
		out = map[string]any{}
	}
	out[path[0]] = put(out[path[0]], path[1:], v)
	return out
}
