package kit

import (
	"fmt"
	"strconv"
	"strings"

	"halfsplit/fault"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// Ids on the page.
const (
	KindID  = "kit:kind"
	fieldID = "kit:field"
)

// FieldID is the id of a field.
func FieldID(i int) string { return fieldID + fmt.Sprint(i) }

// FieldOf is the field that an id belongs to.
func FieldOf(id string) (i int, ok bool) {
	n, ok := strings.CutPrefix(id, fieldID)
	if !ok {
		return 0, false
	}
	_, err := fmt.Sscan(n, &i)
	return i, err == nil
}

var pad = [][]string{{"7", "8", "9", "k", "Back"}, {"4", "5", "6", "M", "G"}, {"1", "2", "3", ".", "0"}, {"-", "tcp://", ":", "/", "CAT "}, {"II", "IV", " V", ",", "Space"}, {"before", "after", "Next"}}

// others are the kinds that come after one, in words.
func others(k Kind) string {
	name := func(by Kind) string {
		s := strings.ToLower(Names[(k+by)%kinds])
		if s[0] == 'i' {
			return "an " + s
		}
		return "a " + s
	}
	return name(1) + ", " + name(2) + " and " + name(3)
}

// editID begins the ids of what is in the case already.
const editID = "kit:edit:"

// EditOf is what a press is to put right.
func EditOf(id string) (string, bool) { return strings.CutPrefix(id, editID) }

func serial(s string) string {
	if s == "" {
		return ""
	}
	return ", no. " + s
}

// proved is an entry of the log in words.
func proved(p fault.Proving) string {
	exact := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) + words.Thin + "V" } // a record is not rounded
	s := exact(p.Shown) + " shown"
	if p.Known != nil {
		s += " of " + exact(*p.Known)
	}
	for _, part := range []string{p.Point, p.Source, p.Who, p.At} {
		if part != "" {
			s += ", " + part
		}
	}
	return s
}

// Rating is what a recorded rating does not reach, or that none is recorded; nothing for
// "".
func Rating(text string, recorded bool) []sheet.Block {
	switch {
	case text == "":
		return nil
	case recorded:
		return []sheet.Block{{Kind: sheet.Caution, Text: text}}
	}
	return []sheet.Block{{Kind: sheet.Soft, Text: text}}
}

// Blocks are the page: what is described, field by field, and what the case has
// already.
// today tells how each calibration stands, meets what ratings are held against; notes go
// below the fields.
func (d Draft) Blocks(c fault.Case, today string, meets fault.Meeting, notes ...sheet.Block) []sheet.Block {
	title := "Add to this case"
	if d.Of != "" {
		title = "Put right: " + d.Of
	}
	b := []sheet.Block{{Kind: sheet.Title, Text: title, Bold: true},
		{Kind: sheet.Tiles, Tiles: []sheet.Tile{{ID: KindID, Name: "What", Value: Names[d.Kind]}}},
		{Kind: sheet.Soft, Text: "A press on it goes on to " + others(d.Kind) + "; left and right do the same."}}
	for i, f := range d.Fields {
		if f.Scale == "" {
			b = append(b, d.line(i)...)
		}
	}
	b = append(b, notes...)
	if d.Fields[d.At].Scale == "" { // the pad is near the field
		b = append(b, sheet.Block{Kind: sheet.Pad, Keys: pad})
	}
	b = append(b, d.ofRanges()...)
	b = append(b, sheet.Block{Kind: sheet.Title, Text: "In this case"})
	b = append(b, things(c, today, meets)...)
	if len(c.Provings) > 0 {
		b = append(b, sheet.Block{Kind: sheet.Title, Text: "Proving log"})
	}
	for i := len(c.Provings) - 1; i >= 0; i-- {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: strings.TrimSpace(c.Provings[i].Instrument + " " + c.Provings[i].When), Value: proved(c.Provings[i])})
	}
	if len(c.Instruments)+len(c.Resistors) == 0 {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "Nothing yet. A reading by an instrument that is not described here cannot be weighed."})
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Up and down choose a field, F2 the next thing of this case, to be put right. Enter records, Esc leaves; what was typed is kept."})
}

// line is one field: to be typed into where the keyboard is on it, with why it was not
// taken, else a line.
func (d Draft) line(i int) []sheet.Block {
	f := d.Fields[i]
	if i != d.At {
		text := f.Text
		if text == "" {
			text = "…"
		}
		return []sheet.Block{{Kind: sheet.Row, ID: FieldID(i), Text: f.Name, Value: text}}
	}
	hint := f.Hint
	if hint == "" {
		hint = "a letter, then letters and digits"
	}
	b := []sheet.Block{{Kind: sheet.Soft, Text: f.Name + ":"}, {Kind: sheet.Input, ID: FieldID(i), Text: hint, Value: f.Text, On: true}}
	if d.Failed != "" { // where it is looked at: the last field may be far below
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: d.Failed + "."})
	}
	return b
}

// ofRanges are the ranges that are typed, each one line with what it has of its own; the
// one that the keyboard is in has its fields, and the pad below them.
func (d Draft) ofRanges() (b []sheet.Block) {
	on := d.Fields[d.At].Scale
	for i, f := range d.Fields {
		switch {
		case f.Scale == "":
		case f.Scale == on:
			b = append(b, d.line(i)...)
			if d.part(i) == owns-1 {
				b = append(b, sheet.Block{Kind: sheet.Pad, Keys: pad})
			}
		case d.part(i) == 0:
			b = append(b, sheet.Block{Kind: sheet.Row, ID: FieldID(i), Text: "Range " + f.Scale + " V", Value: d.summary(f.Scale)})
		}
	}
	if len(b) > 0 {
		b = append([]sheet.Block{{Kind: sheet.Title, Text: "Ranges with figures of their own"}}, b...)
	}
	return b
}

// things are the instruments and test resistors of the case, to be put right.
func things(c fault.Case, today string, meets fault.Meeting) (b []sheet.Block) {
	for _, in := range c.Instruments {
		said := in.CalibrationWords(today)
		if today == "" && in.CalDue != "" {
			said = "calibration due " + in.CalDue
		}
		b = append(b, sheet.Block{Kind: sheet.Action, ID: editID + in.ID, Text: in.ID + ", " + in.Kind + serial(in.Serial) + " …", Value: said})
		if in.CalibrationAt(today) == fault.CalOverdue {
			b = append(b, sheet.Block{Kind: sheet.Caution, Text: in.ID + ": " + said + ". Its readings are kept and marked."})
		}
		b = append(b, Rating(in.RatingCaution(meets), len(in.Ratings) > 0)...)
	}
	for _, r := range c.Resistors {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: editID + r.ID, Text: r.ID + ", test resistor" + serial(r.Serial) + " …", Value: words.Ohms(r.Ohms)})
		b = append(b, Rating(r.RatingCaution(meets), r.MaxVolts > 0)...)
	}
	return b
}
