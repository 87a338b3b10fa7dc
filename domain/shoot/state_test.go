package shoot

import (
	"reflect"
	"strings"
	"testing"
)

// filled gives a state with something in every field of every plane, and one row in
// every map.
func filled() *State {
	var s State
	fill(reflect.ValueOf(&s).Elem())
	return &s
}

func fill(v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i))
		}
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem())
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		key, row := reflect.New(v.Type().Key()).Elem(), reflect.New(v.Type().Elem()).Elem()
		fill(key)
		fill(row)
		v.SetMapIndex(key, row)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		fill(v.Index(0))
	case reflect.String:
		v.SetString("x")
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Uint8: // of text that is JSON
		v.SetUint('7')
	default:
		v.SetInt(7)
	}
}

// fields walks the fields of the state down to the maps and values of its planes, in
// two states side by side.
func fields(path string, a, b reflect.Value, each func(path string, a, b reflect.Value, tag string)) {
	for i := range a.NumField() {
		f := a.Type().Field(i)
		x, y, at := a.Field(i), b.Field(i), path+"."+f.Name
		if x.Kind() == reflect.Pointer {
			if x.IsNil() || y.IsNil() {
				each(at, x, y, f.Tag.Get("json"))
				continue
			}
			x, y = x.Elem(), y.Elem()
		}
		if x.Kind() == reflect.Struct && (path == "" || x.Type() == reflect.TypeFor[Floor]()) && f.Name != "Shoot" {
			fields(at, x, y, each)
			continue
		}
		each(at, x, y, f.Tag.Get("json"))
	}
}

// Clone copies every field of every plane, and shares no map that Apply changes.
func TestCloneKnowsEveryField(t *testing.T) {
	s := filled()
	n := 0
	fields("", reflect.ValueOf(*s), reflect.ValueOf(*s.Clone()), func(path string, was, is reflect.Value, _ string) {
		n++
		switch {
		case !reflect.DeepEqual(was.Interface(), is.Interface()):
			t.Errorf("Clone loses %s", path)
		case was.Kind() == reflect.Map && was.Pointer() == is.Pointer():
			t.Errorf("Clone shares %s with what it copies: clone the map", path)
		}
	})
	if n < 30 {
		t.Errorf("%d fields were looked at", n)
	}
}

// New makes every map that stands in the encoding of an empty shoot, and every plane.
func TestNewKnowsEveryField(t *testing.T) {
	s := reflect.ValueOf(*New())
	fields("", s, s, func(path string, v, _ reflect.Value, tag string) {
		nothing := (v.Kind() == reflect.Pointer || v.Kind() == reflect.Map) && v.IsNil()
		if left := strings.HasSuffix(tag, ",omitempty") && v.Kind() == reflect.Map; nothing && !left {
			t.Errorf("New leaves %s out", path)
		}
	})
}

// An audience has each field of the state exactly if it sees the plane of the field.
func TestProjectionKnowsEveryField(t *testing.T) {
	planes := map[string]func(PersonID) Topic{
		"Floor": func(PersonID) Topic { return TopicFloor }, "Office": func(PersonID) Topic { return TopicOffice },
		"Money": func(PersonID) Topic { return TopicMoney }, "Kitchen": func(PersonID) Topic { return TopicKitchen },
		"Asks": func(PersonID) Topic { return TopicAsk }, "Diets": dietTopic, "Pay": payTopic,
		"AllDiets": func(PersonID) Topic { return dietTopic("another person") },
	}
	s := filled() // its only person is x
	for _, role := range Roles() {
		for _, who := range []PersonID{"x", "somebody"} {
			a := Audience{Person: who, Role: role}
			part := reflect.ValueOf(*s.For(a))
			for f := range reflect.TypeFor[State]().Fields() {
				plane := planes[f.Name]
				if plane == nil {
					t.Fatalf("State.%s is of no plane: have For take it from who may not see it, and name its topic here", f.Name)
				}
				v := part.FieldByIndex(f.Index)
				has := !v.IsZero() && (v.Kind() != reflect.Map || v.Len() > 0)
				if sees := a.Sees(plane("x")); has != sees {
					t.Errorf("%s (%s) has %s: %v, and sees it: %v", who, role, f.Name, has, sees)
				} else if has && !reflect.DeepEqual(v.Interface(), reflect.ValueOf(*s).FieldByIndex(f.Index).Interface()) {
					t.Errorf("%s (%s) has %s otherwise than it is", who, role, f.Name)
				}
			}
		}
	}
}
