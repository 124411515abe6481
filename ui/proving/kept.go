package proving

import (
	"encoding/json"
	"maps"
	"slices"

	"halfsplit/ui/facts"
)

// KeptName is the name under which half typed entries are kept beside a case.
const KeptName = "make-safe"

// saved is an entry as it is kept beside the case.
type saved struct {
	Item  string
	At    int `json:",omitempty"`
	Texts []string
}

// Text is what was left half typed together with the entry in the making, as a text from
// which Restore has it again; "" for nothing.
func Text(left map[string]Draft, now *Draft) string {
	all := maps.Clone(left)
	if all == nil {
		all = map[string]Draft{}
	}
	if now != nil && now.Item != "" {
		delete(all, now.Item)
		if now.Typed() {
			all[now.Item] = *now
		}
	}
	var list []saved
	for _, item := range slices.Sorted(maps.Keys(all)) {
		s := saved{Item: item, At: all[item].At}
		for _, f := range all[item].Fields {
			s.Texts = append(s.Texts, f.Text)
		}
		list = append(list, s)
	}
	if len(list) == 0 {
		return ""
	}
	text, err := json.Marshal(list)
	if err != nil {
		return ""
	}
	return string(text)
}

// Restore is what was left half typed, of the items that there are. A meter that the case
// no longer has is not chosen.
func Restore(p *facts.Pack, text string) map[string]Draft {
	var list []saved
	if json.Unmarshal([]byte(text), &list) != nil {
		return nil
	}
	out := map[string]Draft{}
	for _, s := range list {
		d := Begin(p, s.Item)
		if len(s.Texts) != len(d.Fields) || Name(s.Item) == "" {
			continue
		}
		d.Fields = slices.Clone(d.Fields)
		for i, t := range s.Texts {
			if d.Fields[i].takes != choice || slices.Contains(Meters(&p.Case), t) {
				d.Fields[i].Text = t
			}
		}
		d.At = max(0, min(s.At, len(d.Fields)-1))
		if d.Typed() {
			out[s.Item] = d
		}
	}
	return out
}
