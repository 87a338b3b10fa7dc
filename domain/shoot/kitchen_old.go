package shoot

import (
	"bytes"
	"cmp"
	"encoding/json"
)

// severalDiets brings what was written while a person had one diet to lists of diets:
// "kind" of a person becomes "kinds", where everything is none, and "diet" of plates
// "diets". Everybody was counted in whenever anything changed. Written on the JSON, since
// a phone carries each struct that it can read.
func severalDiets(raw json.RawMessage) (json.RawMessage, error) {
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.UseNumber()
	var v any
	if err := dec.Decode(&v); err != nil {
		return nil, err
	}
	listDiets(v)
	return json.Marshal(v)
}

func listDiets(v any) {
	switch v := v.(type) {
	case []any:
		for _, each := range v {
			listDiets(each)
		}
	case map[string]any:
		for _, each := range v {
			listDiets(each)
		}
		if kind, ok := v["kind"].(string); ok {
			delete(v, "kind")
			v["kinds"] = []string{}
			if kind != "" && kind != "omnivore" {
				v["kinds"] = []string{kind}
			}
		}
		if diet, ok := v["diet"].(string); ok {
			delete(v, "diet")
			v["diets"] = []string{cmp.Or(diet, "omnivore")}
		}
		if _, late := v["late"]; late {
			v["everybody"] = v["at"]
		}
	}
}
