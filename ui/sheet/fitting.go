package sheet

import (
	"fmt"
	"strings"

	"halfsplit/topology"
	"halfsplit/ui/words"
)

// part is the page of something mechanical: what it lies over and holds, and what it
// takes to lift it off.
func (w *writer) part(p topology.Part) {
	title := "Part " + p.ID
	if p.Kind != "" {
		title += ", " + p.Kind
	}
	w.add(Block{Kind: Title, Text: title, Bold: true})
	w.row("It lies over", idsOr(p.Over, "nothing recorded"))
	w.row("It holds", idsOr(p.Holds, "nothing recorded"))
	minutes := "not recorded"
	if p.Minutes != nil {
		minutes = fmt.Sprintf("%g min", *p.Minutes)
	}
	w.row("To take it off", minutes)
	if p.People != nil {
		w.row("People", fmt.Sprint(*p.People))
	}
	if p.MassKg > 0 {
		w.row("Mass", fmt.Sprintf("%g%skg", p.MassKg, words.Thin))
	}
	w.problems(p.ID)
	w.noted(func(place string) bool { return place == p.ID })
}

// chassisPiece is the page of a piece of chassis: what it is bonded to, and with what.
func (w *writer) chassisPiece(c topology.ChassisPiece) {
	w.add(Block{Kind: Title, Text: "Chassis piece " + c.ID, Bold: true})
	bonds := 0
	for _, b := range w.p.Net.Layout.Bonds {
		other := b.To
		if b.To == c.ID {
			other = b.From
		}
		if b.From == c.ID || b.To == c.ID {
			bonds++
			w.add(Block{Kind: Row, ID: "bond:" + b.ID, Text: "Bond " + b.ID + " to " + other, Value: bondOhms(b)})
		}
	}
	if bonds == 0 {
		w.para("No bond of it is recorded: a reading to it need not say anything of the others.")
	}
	w.problems(c.ID)
	w.noted(func(place string) bool { return place == c.ID || place == "chassis:"+c.ID })
}

func (w *writer) bond(b topology.Bond) {
	w.add(Block{Kind: Title, Text: "Bond " + b.ID, Bold: true})
	w.row("It joins", b.From+" and "+b.To)
	w.row("Resistance", bondOhms(b))
	w.problems(b.ID)
	w.noted(func(place string) bool { return place == b.ID })
}

func bondOhms(b topology.Bond) string {
	if b.Ohms == nil {
		return "not measured"
	}
	return words.Ohms(*b.Ohms)
}

func idsOr(ids []string, none string) string {
	if len(ids) == 0 {
		return none
	}
	return strings.Join(ids, ", ")
}
