package proving

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/makesafe"
	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// ItemID begins the id of an item's line; FieldID that of a field.
const (
	ItemID   = "proving:"
	fieldID  = "provingfield:"
	ReasonID = ItemID + fault.SafeReason
)

// ItemOf is the item that an id names.
func ItemOf(id string) (string, bool) {
	item, ok := strings.CutPrefix(id, ItemID)
	return item, ok && slices.Contains(fault.SafeItems, item)
}

// FieldOf is the field that an id belongs to.
func FieldOf(id string) (i int, ok bool) {
	n, ok := strings.CutPrefix(id, fieldID)
	if !ok {
		return 0, false
	}
	_, err := fmt.Sscan(n, &i)
	return i, err == nil
}

// Standing is how far the record is, in a few words.
func Standing(c *fault.Case) string {
	if len(c.MakeSafe) == 0 {
		return "nothing recorded"
	}
	r, p := makesafe.Count(c)
	readings := fmt.Sprintf("%d of 3 readings", r)
	if r == len(makesafe.Readings) {
		readings = "3 readings"
	}
	return fmt.Sprintf("%s, %d of 2 provings", readings, p)
}

// Page is the stage's page below its caution. on is the item that the keyboard is
// on; today is the day, YYYY-MM-DD, "" = not known.
func Page(p *facts.Pack, on, today string) []sheet.Block {
	c := &p.Case
	lacking := p.Lacking(today)
	left := makesafe.Uncovered(c, lacking)
	b := []sheet.Block{{Kind: sheet.Para, Text: upper(Standing(c)) + ". " + summary(len(lacking), len(left))}}
	b = append(b, live(p)...)
	for _, part := range Parts {
		b = append(b, sheet.Block{Kind: sheet.Title, Text: part.Name})
		if part.Name == "Prove, read, prove" {
			b = append(b, sheet.Block{Kind: sheet.Soft, Text: "On these points: " + where(c) + ". The meter on the known source before, then the three readings, then the known source again."})
		}
		if part.Name == "Waiting" {
			b = append(b, waiting(p)...)
		}
		for _, item := range part.Items {
			b = append(b, line(c, item, on))
		}
	}
	b = append(b, remarks(p, lacking, left, on, today)...)
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Up and down choose a line, Enter records it. What is recorded anew supersedes what stood; nothing is erased, and undo takes the last one back."})
}

func summary(lacking, left int) string {
	switch {
	case lacking == 0:
		return "Nothing that the order of removal asks for is lacking in the record. What stands between the points is what the meter showed, and who decides is the authorised person."
	case left == 0:
		return fmt.Sprintf("The order of removal lacks %d; a reason is recorded for each.", lacking)
	case left < lacking:
		return fmt.Sprintf("The order of removal lacks %d, %d of them without a reason; they are listed below.", lacking, left)
	}
	return fmt.Sprintf("The order of removal lacks %d; they are listed below. Nothing else waits for them.", lacking)
}

func where(c *fault.Case) string {
	if at := makesafe.Point(c); at != "" {
		return at
	}
	return "the pack's outer terminals"
}

// line is an item with what stands for it.
func line(c *fault.Case, item, on string) sheet.Block {
	b := sheet.Block{Kind: sheet.Action, ID: ItemID + item, Text: Name(item), Value: "not recorded", On: item == on}
	if item == fault.SafePoint {
		b.Value = "the pack's outer terminals"
	}
	if fault.SafeVolts(item) {
		b.Value = words.NotMeasured
	}
	if m, ok := Stands(c, item); ok {
		b.Value = Said(m)
		if item == fault.SafePoint && m.Text == "" {
			b.Value = "the pack's outer terminals"
		}
	}
	return b
}

// live is what stays live by layout and state, section by section.
func live(p *facts.Pack) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Still live, expected, not measured"}}
	if strings.HasPrefix(p.LiveLine(), "Live: not known") {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "Live: not known; treat all as live."})
	} else {
		most := math.Inf(-1)
		for i := range p.Sections {
			s := &p.Sections[i]
			v := words.Volts(s.Volts)
			if math.IsNaN(s.Volts) {
				v = "volts not known"
			} else if s.Rough {
				v = "about " + v + ", nominal"
			}
			most = math.Max(most, s.Volts)
			b = append(b, sheet.Block{Kind: sheet.Row, Text: s.From + " to " + s.To, Value: v, Computed: true})
		}
		if v, ok := p.LargestVolts(); ok {
			b = append(b, sheet.Block{Kind: sheet.Row, Text: "Between exposed points", Value: "up to " + words.Volts(v), Computed: true})
		} else if len(p.Sections) > 1 {
			b = append(b, sheet.Block{Kind: sheet.Row, Text: "Between exposed points", Value: "not known before every section is read to chassis"})
		}
		if p.State.Contactors == "" {
			b = append(b, sheet.Block{Kind: sheet.Para, Text: "Contactors not recorded: treat the outer terminals as live."})
		}
	}
	return append(b, sheet.Block{Kind: sheet.Para, Text: "Modules cannot be switched off."})
}

// waiting is the maker's wait, and beside it a computed decay where that is longer.
func waiting(p *facts.Pack) []sheet.Block {
	c := &p.Case
	w, ok := c.SafeNow(fault.SafeWait)
	if !ok || w.Value == nil {
		return []sheet.Block{{Kind: sheet.Soft, Text: "The wait is the maker's. A computed time stands beside it where it is longer, and in place of a reading never."}}
	}
	var b []sheet.Block
	if began, ok := c.SafeNow(fault.SafeBegan); ok {
		if ends, known := makesafe.WaitEnds(began, w); known {
			b = append(b, sheet.Block{Kind: sheet.Row, Text: "The wait ends at", Value: makesafe.Clock(ends), Computed: true})
		}
	}
	d, ok := c.SafeNow(fault.SafeDecay)
	if !ok || d.Value == nil || d.Ohms == nil {
		return b
	}
	from := math.Max(c.Layout.WorkingVolts, c.Layout.NominalVolts)
	to, name := 60.0, "the 60 V line, which sorts equipment and is no touch limit"
	if l, ok := c.SafeNow(fault.SafeLimit); ok && l.Value != nil && *l.Value > 0 {
		to, name = *l.Value, "the limit of the procedure, "+volts(*l.Value)
	}
	if from <= 0 {
		return append(b, sheet.Block{Kind: sheet.Soft, Text: "How long the recorded capacitance takes is not known: the pack's working volts are not recorded."})
	}
	t := makesafe.Decay(*d.Value, *d.Ohms, from, to)
	if t <= *w.Value*60 {
		return b
	}
	return append(b, sheet.Block{Kind: sheet.Doubt, Text: fmt.Sprintf("Computed, not measured: %s through %s from %s to %s take %s, longer than the maker's wait of %s. The reading decides.",
		farads(*d.Value), ohms(*d.Ohms), words.Volts(from), name, seconds(t), words.Minutes(*w.Value))})
}

// remarks are what is lacking, each a line that leads to its item, and what else the
// record says of itself.
func remarks(p *facts.Pack, lacking, left []makesafe.Remark, on, today string) []sheet.Block {
	var b []sheet.Block
	if len(lacking) > 0 {
		b = append(b, sheet.Block{Kind: sheet.Title, Text: "Lacking before the order of removal"})
	}
	for _, r := range lacking {
		text := r.Text
		if !slices.Contains(left, r) {
			text += " (a reason is recorded)"
		}
		id := ""
		if r.Item != "" {
			id = ItemID + r.Item
		}
		b = append(b, sheet.Block{Kind: sheet.Item, ID: id, Text: text})
	}
	if m, ok := p.Case.SafeNow(fault.SafeReason); ok {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "Reason to go on", Value: m.Text + " " + orNot(m.Who, "not named") + ", " + orNot(makesafe.Clock(m.At), "time not recorded")})
	}
	if len(left) > 0 {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: ReasonID, Text: "Write a reason to go on without them …", Value: "A sentence by a named person; it is recorded with what was lacking, and prints.", On: on == fault.SafeReason})
	}
	head := false
	for _, r := range makesafe.Review(&p.Case, p.ExpectAt, today) {
		if r.Lacks || len(p.Case.MakeSafe) == 0 {
			continue
		}
		if !head {
			b = append(b, sheet.Block{Kind: sheet.Title, Text: "What the record says of itself"})
			head = true
		}
		b = append(b, sheet.Block{Kind: sheet.Item, Text: r.Text})
	}
	return b
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
