package plan

import (
	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/facts"
)

// NewFlipped prepares the plan of a case as it is seen from the other side of
// the pack: mirrored from left to right, with FRONT and the words on how it is
// seen turned too. Only the drawing is mirrored; ids, taps and what is known
// stay those of the case, so that what is selected in one is selected in the
// other. A drawing in string order shows no side and is left as it is.
func NewFlipped(p *facts.Pack) *Drawing {
	flipped := edit.Flipped(p.Net.Layout)
	net, _ := topology.Compile(flipped) // what is wrong with the layout is said of the layout itself
	if net == nil {
		return New(p, nil)
	}
	g := NewGeometry(net)
	if g.Schematic {
		return New(p, g)
	}
	d := New(p, g)
	d.flipped = true
	return d
}

// layout is what the sheet says of itself: which way FRONT lies and from where
// the pack is seen.
func (d *Drawing) layout() topology.Layout {
	if d.flipped {
		return edit.Flipped(d.Pack.Case.Layout)
	}
	return d.Pack.Case.Layout
}
