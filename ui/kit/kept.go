package kit

import (
	"cmp"
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"halfsplit/fault"
)

// KeptName is the name under which what was left half done is kept beside a case.
const KeptName = "kit"

// Kept are the descriptions that were left half done: one of each kind, and one of each
// thing that is being put right.
type Kept map[string]Draft

// key is what a description is kept by.
func (d Draft) key() string {
	if d.Of != "" {
		return d.Of
	}
	return "new " + Names[d.Kind]
}

// Leave keeps a description that somebody has begun to type.
func (k Kept) Leave(d Draft) {
	delete(k, d.key())
	if d.Typed() {
		d.Failed = ""
		k[d.key()] = d
	}
}

// Done forgets a description that was recorded.
func (k Kept) Done(d Draft) { delete(k, d.key()) }

// Begin goes on with the description of a kind that was left, or begins one.
func (k Kept) Begin(c fault.Case, kind Kind) Draft {
	if d, ok := k[Draft{Kind: kind}.key()]; ok {
		return d
	}
	return Begin(c, kind)
}

// Edit goes on with putting something of the case right, or begins it.
func (k Kept) Edit(c fault.Case, id, connection string) (Draft, bool) {
	d, ok := Edit(c, id, connection)
	if was, left := k[id]; left && ok && was.Kind == d.Kind {
		return was, true
	}
	return d, ok
}

// Left is a description of something of the case that was being put right, where one of
// that kind was left and nothing new of it was begun.
func (k Kept) Left(kind Kind) (Draft, bool) {
	if _, begun := k[Draft{Kind: kind}.key()]; begun {
		return Draft{}, false
	}
	for _, key := range slices.Sorted(maps.Keys(k)) {
		if d := k[key]; d.Of != "" && d.Kind == kind {
			return d, true
		}
	}
	return Draft{}, false
}

// Titles name what was left half done.
func (k Kept) Titles() (out []string) {
	for _, key := range slices.Sorted(maps.Keys(k)) {
		d := k[key]
		out = append(out, cmp.Or(d.Of, strings.ToLower(Names[d.Kind])+" "+strings.TrimSpace(d.Fields[0].Text)))
	}
	return out
}

// saved is a description as it is kept beside the case. Where a meter is connected stays
// on its computer and is not in it.
type saved struct {
	Kind  Kind
	Of    string                  `json:",omitempty"`
	At    int                     `json:",omitempty"`
	Texts []string                // of the fields, those of single ranges left out
	Own   map[string][owns]string `json:",omitempty"`
}

// Text is what was left half done together with the description that is being typed, as
// a text from which Restore has it again; "" for nothing.
func (k Kept) Text(now *Draft) string {
	all := maps.Clone(k)
	if now != nil {
		if all == nil {
			all = Kept{}
		}
		all.Leave(*now)
	}
	var list []saved
	for _, key := range slices.Sorted(maps.Keys(all)) {
		d := all[key]
		s := saved{Kind: d.Kind, Of: d.Of, At: d.At, Own: d.Own}
		for i, f := range d.Fields {
			if f.Scale != "" {
				break
			}
			if d.Kind == Voltmeter && i == connectedField {
				f.Text = ""
			}
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

// Restore is what was left half done, as far as the case still has the things.
// connection tells where a thing is connected.
func Restore(c fault.Case, text string, connection func(id string) string) Kept {
	var list []saved
	out := Kept{}
	if json.Unmarshal([]byte(text), &list) != nil {
		return out
	}
	for _, s := range list {
		if s.Kind >= kinds {
			continue
		}
		d := Begin(c, s.Kind)
		if s.Of != "" {
			var ok bool
			if d, ok = Edit(c, s.Of, connection(s.Of)); !ok || d.Kind != s.Kind {
				continue
			}
		}
		d.Fields = slices.Clone(d.Fields)
		for i, t := range s.Texts {
			if i < len(d.Fields) && d.Fields[i].Scale == "" && !(d.Kind == Voltmeter && i == connectedField) {
				d.Fields[i].Text = t
			}
		}
		d.Own = s.Own
		d = d.relaid()
		d.At = max(0, min(s.At, len(d.Fields)-1))
		out.Leave(d)
	}
	return out
}
