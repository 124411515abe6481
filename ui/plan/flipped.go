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
// other. A drawing in string order shows no side and is left as it is. The geometry that
// FlippedGeometry gave for the same layout may be handed on; nil works it out.
func NewFlipped(p *facts.Pack, g *Geometry) *Drawing {
	if g == nil {
		g = FlippedGeometry(p.Net.Layout)
	}
	if g == nil || g.Schematic {
		return New(p, g)
	}
	d := New(p, g)
	d.flipped, d.mirrored = true, true
	return d
}

// FlippedGeometry is where everything lies as it is seen from the other side; nil where
// the layout cannot be compiled.
func FlippedGeometry(l topology.Layout) *Geometry {
	net, _ := topology.Compile(edit.Flipped(l)) // what is wrong with the layout is said of the layout itself
	if net == nil {
		return nil
	}
	return NewGeometry(net)
}

// Mirrored says of a drawing of a mirrored layout that it is one, for its words where the
// layout records no side.
func (d *Drawing) Mirrored(on bool) { d.mirrored = on }

// layout is what the sheet says of itself: which way FRONT lies and from where
// the pack is seen.
func (d *Drawing) layout() topology.Layout {
	if d.flipped {
		return edit.Flipped(d.Pack.Case.Layout)
	}
	return d.Pack.Case.Layout
}
