package sheet

import (
	"fmt"

	"halfsplit/topology/match"
	"halfsplit/ui/words"
)

// Differences are what differs from one layout to another in words: first that by
// which old readings may mean something else, then what is of the drawing alone.
// pressed makes each a line that can be pressed, under the id of its thing. Of each
// part most lines stand here, and how many more there are.
func Differences(d match.Diff, most int, pressed bool) []Block {
	if len(d.Changes) == 0 {
		return []Block{{Kind: Para, Text: "Nothing differs: " + Matched(d) + "."}}
	}
	var drawn []match.Change
	for _, c := range d.Changes {
		if !c.Electrical {
			drawn = append(drawn, c)
		}
	}
	circuit := d.Electrical()
	b := []Block{{Kind: Para, Text: words.Capital(Matched(d)) + ". " + circuitWords(len(circuit))}}
	b = append(b, changeLines(circuit, most, pressed)...)
	if len(drawn) > 0 {
		b = append(b, Block{Kind: Soft, Text: "In the drawing, its labels and its lists:"})
		b = append(b, changeLines(drawn, most, pressed)...)
	}
	return b
}

// Matched says how many modules of two layouts match, as the beginning of a sentence
// or a part of one.
func Matched(d match.Diff) string {
	of := d.Paired + max(d.OnlyA, d.OnlyB)
	switch {
	case of == 0:
		return "there are no modules in either"
	case d.Matched == of && of == 1:
		return "1 module matches"
	case d.Matched == of:
		return fmt.Sprintf("all %d modules match", of)
	case d.Matched == 1:
		return fmt.Sprintf("1 of %d modules matches", of)
	}
	return fmt.Sprintf("%d of %d modules match", d.Matched, of)
}

func circuitWords(n int) string {
	switch n {
	case 0:
		return "The circuit is the same: old readings mean what they meant."
	case 1:
		return "By this, a reading by the one may mean something else by the other:"
	}
	return fmt.Sprintf("By these %d, a reading by the one may mean something else by the other:", n)
}

func changeLines(list []match.Change, most int, pressed bool) (b []Block) {
	for i, c := range list {
		if i == most {
			return append(b, Block{Kind: Soft, Text: fmt.Sprintf("and %d more.", len(list)-most)})
		}
		if pressed && c.GoTo != "" {
			b = append(b, Block{Kind: Action, ID: c.GoTo, Text: c.Text})
		} else {
			b = append(b, Block{Kind: Item, Text: c.Text})
		}
	}
	return b
}
