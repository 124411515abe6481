package kit

import (
	"fmt"
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

// FieldOf is the field that an id belongs to.
func FieldOf(id string) (i int, ok bool) {
	n, ok := strings.CutPrefix(id, fieldID)
	if !ok {
		return 0, false
	}
	_, err := fmt.Sscan(n, &i)
	return i, err == nil
}

var pad = [][]string{{"7", "8", "9", "k", "Back"}, {"4", "5", "6", "M", "G"}, {"1", "2", "3", ".", "0"}, {"Space", "Next"}}

// others are the kinds that come after one, in words.
func others(k Kind) string {
	name := func(by Kind) string {
		s := strings.ToLower(Names[(k+by)%kinds])
		if s[0] == 'i' {
			return "an " + s
		}
		return "a " + s
	}
	return name(1) + " and " + name(2)
}

// Blocks are the page: what is described, field by field, and what the case has
// already.
func (d Draft) Blocks(c fault.Case) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Add to this case", Bold: true},
		{Kind: sheet.Tiles, Tiles: []sheet.Tile{{ID: KindID, Name: "What", Value: Names[d.Kind]}}},
		{Kind: sheet.Soft, Text: "A press on it goes on to " + others(d.Kind) + "; left and right do the same."}}
	for i, f := range d.Fields {
		if i == d.At {
			hint := f.Hint
			if hint == "" {
				hint = "a letter, then letters and digits"
			}
			b = append(b, sheet.Block{Kind: sheet.Soft, Text: f.Name + ":"}, sheet.Block{Kind: sheet.Input, ID: fieldID + fmt.Sprint(i), Text: hint, Value: f.Text, On: true})
			continue
		}
		text := f.Text
		if text == "" {
			text = "…"
		}
		b = append(b, sheet.Block{Kind: sheet.Row, ID: fieldID + fmt.Sprint(i), Text: f.Name, Value: text})
	}
	if d.Failed != "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: d.Failed + "."})
	}
	b = append(b, sheet.Block{Kind: sheet.Pad, Keys: pad}, sheet.Block{Kind: sheet.Title, Text: "In this case"})
	for _, in := range c.Instruments {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: in.ID, Value: in.Kind})
	}
	for _, r := range c.Resistors {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: r.ID, Value: "test resistor, " + words.Ohms(r.Ohms)})
	}
	if len(c.Instruments)+len(c.Resistors) == 0 {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "Nothing yet. A reading by an instrument that is not described here cannot be weighed."})
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Up and down choose a field. Enter adds it, Esc leaves; what was typed is kept."})
}
