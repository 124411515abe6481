// Package whatif is a question to a case's readings in the making: what would be
// found without some of them, with another input resistance of a meter, or given
// that there are so many leaks.
//
// It is what a person chose and typed, as a value; it asks nothing, records nothing
// and is kept nowhere. It knows no widget.
package whatif

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"halfsplit/fault"
	"halfsplit/fault/locate"
	"halfsplit/ui/words"
)

// NotRecorded stands beside everything that is shown under a question.
const NotRecorded = "Nothing of this is recorded."

// A Kind of item.
type Kind uint8

// The kinds.
const (
	Leaks   Kind = iota // how many leaks are taken for given
	Input               // an instrument's input resistance
	Reading             // a reading to leave out
)

// An Item is one thing that can be asked about.
type Item struct {
	Kind Kind
	ID   string // of the instrument or the reading
}

// A Draft is a question in the making. It is a value: every change gives a new
// one.
type Draft struct {
	Items  []Item
	At     int
	Failed string // why it cannot be asked

	leaks int
	leave map[string]bool
	was   map[string]bool   // left out by the finding that stands
	input map[string]string // by instrument, as typed
}

// Begin is an empty question to a case whose finding stands so; nil = none does.
// Readings are offered that a finding can rest on: those that were not superseded,
// the newest first. Nothing looks for slips under a question, so that a reading which
// the finding left out as doubted begins as left out.
func Begin(c fault.Case, f *fault.Finding) Draft {
	d := Draft{Items: []Item{{Kind: Leaks}}, leave: map[string]bool{}, was: map[string]bool{}, input: map[string]string{}}
	if f != nil {
		for _, l := range f.LeftOut {
			if slices.ContainsFunc(f.Doubts, func(q fault.Doubt) bool { return q.Reading == l.Reading || q.With == l.Reading }) {
				d.leave[l.Reading], d.was[l.Reading] = true, true
			}
		}
	}
	for _, in := range c.Instruments {
		if in.InputOhms > 0 {
			d.Items = append(d.Items, Item{Input, in.ID})
		}
	}
	old := c.Superseded()
	for _, r := range slices.Backward(c.Readings) {
		if _, gone := old[r.ID]; !gone && (r.Quantity == fault.Volts || r.Quantity == fault.Insulation) {
			d.Items = append(d.Items, Item{Reading, r.ID})
		}
	}
	return d
}

// Move goes to another item; at the ends it stays.
func (d Draft) Move(by int) Draft {
	d.At = max(0, min(len(d.Items)-1, d.At+by))
	return d
}

// On goes to the item with that place in the list.
func (d Draft) On(i int) Draft {
	if i >= 0 && i < len(d.Items) {
		d.At = i
	}
	return d
}

// Turn changes the item that the question is at: the next number of leaks, or a
// reading left out or not. An input resistance is typed.
func (d Draft) Turn(by int) Draft {
	d.Failed = ""
	switch it := d.Items[d.At]; it.Kind {
	case Leaks:
		d.leaks = (d.leaks + by + 3) % 3
	case Reading:
		d.leave = maps.Clone(d.leave)
		d.leave[it.ID] = !d.leave[it.ID]
	}
	return d
}

// Type adds a character to an input resistance; ok is false where nothing is typed
// or no number begins with the character.
func (d Draft) Type(r rune) (Draft, bool) {
	it := d.Items[d.At]
	begun := d.input[it.ID] != "" // a character that fell out would leave another number
	if it.Kind != Input || !unicode.IsPrint(r) || !begun && !strings.ContainsRune("0123456789.,", r) || len(d.input[it.ID]) > 11 {
		return d, false
	}
	d.input, d.Failed = maps.Clone(d.input), ""
	d.input[it.ID] += string(r)
	return d, true
}

// Back takes the last character away.
func (d Draft) Back() Draft {
	it := d.Items[d.At]
	if s := d.input[it.ID]; it.Kind == Input && s != "" {
		d.input = maps.Clone(d.input)
		d.input[it.ID] = s[:len(s)-1]
	}
	return d
}

// Left says that a reading is left out.
func (d Draft) Left(id string) bool { return d.leave[id] }

// asks says that anything is otherwise than in the finding that stands.
func (d Draft) asks(q locate.WhatIf) bool {
	for _, it := range d.Items {
		if it.Kind == Reading && d.leave[it.ID] != d.was[it.ID] {
			return true
		}
	}
	return q.Leaks != 0 || len(q.Input) > 0
}

// Typed is what was typed for an instrument.
func (d Draft) Typed(id string) string { return d.input[id] }

// LeaksWords say how many leaks are taken for given.
func (d Draft) LeaksWords() string {
	return [...]string{"as the readings say", "one leak", "two leaks"}[d.leaks]
}

// Question is what is asked. An error says in words what cannot be asked.
func (d Draft) Question() (locate.WhatIf, error) {
	q := locate.WhatIf{Leaks: d.leaks}
	for _, it := range d.Items {
		switch it.Kind {
		case Reading:
			if d.leave[it.ID] {
				q.Leave = append(q.Leave, it.ID)
			}
		case Input:
			s := d.input[it.ID]
			if s == "" {
				continue
			}
			// In ohms a small m is a slip of the shift key: nobody's meter has milliohms.
			e, err := fault.ParseEntry(strings.ReplaceAll(s, "m", "M"), fault.EntryOptions{Quantity: fault.Ohms})
			if err != nil {
				return q, fmt.Errorf("the input resistance of %s: %w", it.ID, err)
			}
			if !(e.Value >= 1e3) {
				return q, fmt.Errorf("an input resistance of %s is less than any meter has: type 10M for ten megohms", words.Ohms(e.Value))
			}
			if q.Input == nil {
				q.Input = map[string]float64{}
			}
			q.Input[it.ID] = e.Value
		}
	}
	slices.Reverse(q.Leave) // in the order in which they were taken
	if q.Empty() && d.asks(q) {
		return q, fmt.Errorf("with every reading in, that is the finding itself: to let a doubted reading count, answer its doubt by keeping it as read")
	}
	if !d.asks(q) {
		return q, fmt.Errorf("nothing is asked yet: leave a reading out, take one or two leaks for given, or type an input resistance")
	}
	return q, nil
}
