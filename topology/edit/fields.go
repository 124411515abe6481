package edit

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"halfsplit/topology"
)

// A Field is one field of a kind of thing, as a sheet shows it and sets it for
// several things together. Texts are as people write them: a comma may stand for the
// point, the unit may follow, and empty is "not known" where that may be.
type Field struct {
	Key     string   // such as "minutes"; the same in every version
	Name    string   // for people
	Unit    string   // "" for none
	Choices []string // the words that it may be, where there are only these
	Many    bool     // a list of ids or taps, parted by spaces

	kind Kind
	get  func(l *topology.Layout, i int) string
	set  func(l *topology.Layout, i int, text string) error

	together func(l topology.Layout, at []int, text string) (topology.Layout, error) // in place of set
}

// Fields are the fields of a kind, in the order in which a sheet shows them.
func Fields(k Kind) []Field {
	fields := slices.Clone(map[Kind][]Field{
		ModuleKind: moduleFields, StackKind: stackFields, LinkKind: linkFields, BoardKind: boardFields,
		PartKind: partFields, ChassisKind: nil, BondKind: bondFields, UnderlayKind: underlayFields, LayoutKind: layoutFields,
	}[k])
	for i := range fields {
		fields[i].kind = k
	}
	return fields
}

// FieldOf finds a field by its key.
func FieldOf(k Kind, key string) (Field, bool) {
	fields := Fields(k)
	i := slices.IndexFunc(fields, func(f Field) bool { return f.Key == key })
	if i < 0 {
		return Field{}, false
	}
	return fields[i], true
}

// at is where the field's things of a selection are; things of other kinds are passed
// over. The layout itself has no id.
func (f Field) at(l topology.Layout, sel Selection) ([]int, error) {
	if f.kind == LayoutKind {
		return []int{0}, nil
	}
	p, err := pick(l, sel)
	return p.of[f.kind], err
}

// Value is what the things of a selection have in common; several is true, and the
// text empty, where they differ.
func (f Field) Value(l topology.Layout, sel Selection) (text string, several bool) {
	at, err := f.at(l, sel)
	if err != nil || f.get == nil {
		return "", false
	}
	for n, i := range at {
		v := f.get(&l, i)
		if n > 0 && v != text {
			return "", true
		}
		text = v
	}
	return text, false
}

// Set gives the field of every thing of its kind in a selection a value from text.
// Either all get it or none: the error says in a sentence what is wrong with which.
func (f Field) Set(l topology.Layout, sel Selection, text string) (topology.Layout, error) {
	at, err := f.at(l, sel)
	if err != nil {
		return l, err
	}
	text = strings.TrimSpace(text)
	switch {
	case f.together != nil:
		return f.together(l, at, text)
	case f.set == nil:
		return l, fmt.Errorf("there is no such field")
	}
	if f.Choices != nil && text != "" && !slices.Contains(f.Choices, text) {
		return l, fmt.Errorf("%s is one of these: %s; and not %q", f.Name, list(f.Choices), text)
	}
	out := l
	f.own(&out)
	for _, i := range at {
		if err := f.set(&out, i, text); err != nil {
			return l, f.saying(l, i, len(at), err)
		}
	}
	return out, nil
}

// own clones what things of the kind are kept in.
func (f Field) own(l *topology.Layout) {
	switch f.kind {
	case ModuleKind:
		l.Modules = slices.Clone(l.Modules)
	case StackKind:
		l.Stacks = slices.Clone(l.Stacks)
	case LinkKind:
		l.Links = slices.Clone(l.Links)
	case BoardKind:
		l.Boards = slices.Clone(l.Boards)
	case PartKind:
		l.Parts = slices.Clone(l.Parts)
	case BondKind:
		l.Bonds = slices.Clone(l.Bonds)
	case UnderlayKind:
		l.Underlays = slices.Clone(l.Underlays)
	}
}

// saying names the field, and the thing where there are several.
func (f Field) saying(l topology.Layout, i, of int, err error) error {
	if of < 2 {
		return fmt.Errorf("%s: %w", f.Name, err)
	}
	id := ""
	each(l, func(s string, k Kind, at int) {
		if k == f.kind && at == i {
			id = s
		}
	})
	return fmt.Errorf("%s: %s: %w", id, f.Name, err)
}

// The kinds of field that there are. of gives the place of the value.

func textField(key, name string, of func(*topology.Layout, int) *string) Field {
	return Field{Key: key, Name: name,
		get: func(l *topology.Layout, i int) string { return *of(l, i) },
		set: func(l *topology.Layout, i int, text string) error { return setText(of(l, i), text) }}
}

const longest = 2000 // bytes of a text that a field takes

func setText(to *string, text string) error {
	if len(text) > longest || strings.ToValidUTF8(text, "") != text {
		return fmt.Errorf("a text of up to %d letters is wanted", longest)
	}
	*to = text
	return nil
}

func wordField(key, name string, words []string, empty bool, of func(*topology.Layout, int) *string) Field {
	f := textField(key, name, of)
	f.Choices = words
	f.set = func(l *topology.Layout, i int, text string) error {
		if text == "" && !empty {
			return fmt.Errorf("one of these is wanted: %s", list(words))
		}
		*of(l, i) = text
		return nil
	}
	return f
}

// A span is what a figure may be.
type span struct{ low, high float64 }

func (s span) read(text, unit string) (float64, error) {
	v, err := number(text, unit)
	if err == nil && (v < s.low || v > s.high) {
		err = fmt.Errorf("from %s to %s%s is possible, and not %s", figure(s.low), figure(s.high), after(unit), text)
	}
	return v, err
}

func after(unit string) string {
	if unit == "" || unit == "°" {
		return unit
	}
	return " " + unit
}

// figureField is a number that is always given.
func figureField(key, name, unit string, s span, keep func(float64) float64, of func(*topology.Layout, int) *float64) Field {
	return Field{Key: key, Name: name, Unit: unit,
		get: func(l *topology.Layout, i int) string { return figure(*of(l, i)) },
		set: func(l *topology.Layout, i int, text string) error {
			v, err := s.read(text, unit)
			if err == nil {
				*of(l, i) = keep(v)
			}
			return err
		}}
}

// angleField takes any angle and keeps it to 0.01 degree, from 0 to below 360.
func angleField(of func(*topology.Layout, int) *float64) Field {
	return figureField("angle", "Angle", "°", span{-furthest, furthest}, round01, of)
}

// givenField is a number above zero, 0 in the layout where it is not known.
func givenField(key, name, unit string, high float64, of func(*topology.Layout, int) *float64) Field {
	f := figureField(key, name, unit, span{0, high}, func(v float64) float64 { return v }, of)
	get, set := f.get, f.set
	f.get = func(l *topology.Layout, i int) string {
		if *of(l, i) == 0 {
			return ""
		}
		return get(l, i)
	}
	f.set = func(l *topology.Layout, i int, text string) error {
		if text == "" {
			*of(l, i) = 0
			return nil
		}
		if v, err := number(text, unit); err == nil && v <= 0 {
			return fmt.Errorf("more than 0%s is wanted; empty is for not known", after(unit))
		}
		return set(l, i, text)
	}
	return f
}

// knownField is a number that may be zero, nil where it is not known.
func knownField(key, name, unit string, s span, of func(*topology.Layout, int) **float64) Field {
	return Field{Key: key, Name: name, Unit: unit,
		get: func(l *topology.Layout, i int) string {
			if v := *of(l, i); v != nil {
				return figure(*v)
			}
			return ""
		},
		set: func(l *topology.Layout, i int, text string) error {
			if text == "" {
				*of(l, i) = nil
				return nil
			}
			v, err := s.read(text, unit)
			if err == nil {
				*of(l, i) = &v
			}
			return err
		}}
}

// countField is a whole number.
func countField(key, name string, low, high int, of func(*topology.Layout, int) *int) Field {
	return Field{Key: key, Name: name,
		get: func(l *topology.Layout, i int) string { return strconv.Itoa(*of(l, i)) },
		set: func(l *topology.Layout, i int, text string) error {
			v, err := whole(text, low, high)
			if err == nil {
				*of(l, i) = v
			}
			return err
		}}
}

func whole(text string, low, high int) (int, error) {
	v, err := strconv.Atoi(strings.ReplaceAll(text, "\u2212", "-"))
	if err != nil || v < low || v > high {
		return 0, fmt.Errorf("a whole number from %d to %d is wanted, and not %q", low, high, text)
	}
	return v, nil
}

// listField is a list of names, parted by spaces, commas or semicolons.
func listField(key, name string, get func(*topology.Layout, int) []string, set func(*topology.Layout, int, []string) error) Field {
	return Field{Key: key, Name: name, Many: true,
		get: func(l *topology.Layout, i int) string { return strings.Join(get(l, i), " ") },
		set: func(l *topology.Layout, i int, text string) error {
			return set(l, i, strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == ';' || r == '\n' || r == '\t' }))
		}}
}
