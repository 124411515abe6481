package whatif

import (
	"fmt"
	"strings"

	"halfsplit/fault"
	"halfsplit/ui/sheet"
	"halfsplit/ui/store"
	"halfsplit/ui/words"
)

// itemID and a number is an item on the page.
const itemID = "whatif:"

// ItemID is the id of an item on the page.
func ItemID(i int) string { return itemID + fmt.Sprint(i) }

// ItemOf is the item that an id belongs to.
func ItemOf(id string) (i int, ok bool) {
	n, ok := strings.CutPrefix(id, itemID)
	if !ok {
		return 0, false
	}
	_, err := fmt.Sscan(n, &i)
	return i, err == nil
}

var pad = [][]string{{"7", "8", "9", "k", "Back"}, {"4", "5", "6", "M", "G"}, {"1", "2", "3", ".", "0"}}

// Blocks are the page on which the question is put.
func (d Draft) Blocks(c fault.Case) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "What if?", Bold: true},
		{Kind: sheet.Para, Text: "Choose what should be otherwise and see what would be found. " + NotRecorded}}
	if d.Failed != "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: upper(d.Failed) + "."})
	}
	last := Kind(255)
	for i, it := range d.Items {
		if it.Kind != last {
			b = append(b, sheet.Block{Kind: sheet.Title, Text: [...]string{"Taken for given", "A meter's input resistance", "Readings to leave out"}[it.Kind]})
			last = it.Kind
		}
		b = append(b, d.item(c, i, it)...)
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Up and down choose, Space changes, Enter asks, Esc leaves."})
}

func (d Draft) item(c fault.Case, i int, it Item) []sheet.Block {
	on := i == d.At
	switch it.Kind {
	case Leaks:
		return []sheet.Block{{Kind: sheet.Action, ID: ItemID(i), Text: "Leaks: " + d.LeaksWords(), Value: "A press goes on: as the readings say, one, two.", On: on}}
	case Input:
		in, _ := c.Instrument(it.ID)
		name := it.ID + ", described with " + words.Ohms(in.InputOhms)
		if on {
			return []sheet.Block{{Kind: sheet.Soft, Text: name + ":"}, {Kind: sheet.Input, ID: ItemID(i), Text: "such as 1M", Value: d.input[it.ID], Unit: "Ω", On: true}, {Kind: sheet.Pad, Keys: pad}}
		}
		value := "as described"
		if s := d.input[it.ID]; s != "" {
			value = "taken as " + s + " Ω"
		}
		return []sheet.Block{{Kind: sheet.Action, ID: ItemID(i), Text: name, Value: value}}
	}
	r, _ := c.Reading(it.ID)
	value := "counts"
	switch {
	case d.leave[it.ID] && d.was[it.ID]:
		value = "LEFT OUT, as in the finding: it is doubted"
	case d.leave[it.ID]:
		value = "LEFT OUT in this question"
	}
	return []sheet.Block{{Kind: sheet.Action, ID: ItemID(i), Text: it.ID + "  " + store.Name(r), Value: value + ", state " + r.State, On: on}}
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
