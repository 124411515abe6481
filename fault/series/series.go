// Package series says which points of a pack a series of readings of one kind goes
// through, and in which order: along the string, as the modules lie, one stack, what
// is still missing, or a list of one's own. The window asks for values in this order
// and the bench sheet prints its boxes in it, so that what was written on paper is
// typed in from top to bottom.
//
// It is a pure function of a compiled layout and, for what is missing, of a case. It
// knows no widget, no file and no keystrokes, and nothing of what a value means.
// Seconds are after the leads touched, lengths millimetres.
package series

import (
	"fmt"
	"slices"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A Kind of series.
type Kind string

// The kinds.
const (
	ModuleVolts Kind = "module volts" // across each module's own ends
	GroupVolts  Kind = "group volts"  // each group, from its module's negative end
	ToChassis   Kind = "to chassis"   // each module's terminals to chassis
	Insulation  Kind = "insulation"   // each module's positive terminal to chassis, at each of Times
	Joint       Kind = "joint"        // the resistance of each link, across its two ends
)

// Kinds lists the kinds in the order in which they are offered.
var Kinds = []Kind{ModuleVolts, GroupVolts, ToChassis, Insulation, Joint}

// An Order of the points.
type Order string

// The orders.
const (
	Electrical Order = "electrical" // along each string from its negative end
	Snake      Order = "snake"      // as the modules lie, row by row, every other row backwards
	Reverse    Order = "reverse"    // the electrical order from its end
	OneStack   Order = "one stack"  // of the electrical order, one stack's
	Missing    Order = "missing"    // of the electrical order, what is not read yet in the present state
	Own        Order = "own list"   // modules or links as they are listed
)

// Orders lists the orders in which they are offered.
var Orders = []Order{Electrical, Snake, Reverse, OneStack, Missing, Own}

// Times are the seconds after touching at which insulation is read: 15 and 60, whose
// ratio tells absorption from a leak.
var Times = []float64{15, 60}

// A Point is one value of a series: where the leads go, and what it is of.
type Point struct {
	Quantity   string // of package fault
	Red, Black string // node or chassis references
	Module     string // id; of a link the one that Red is a tap of, "" for none
	Group      int    // of GroupVolts, from 1 at the module's negative end
	Link       string // of Joint
	AfterS     float64
}

// Key names the point within its kind, the same in every order: no two points of a
// series have the same.
func (p Point) Key() string {
	k := p.Red + "|" + p.Black
	if p.AfterS > 0 {
		k += fmt.Sprintf("|%g", p.AfterS)
	}
	return k
}

// Name is the point in short words: "M07", "M07 group 3", "M07+ to chassis",
// "M07+ at 15 s", "L03".
func (p Point) Name() string {
	switch {
	case p.Link != "":
		return p.Link
	case p.Group > 0:
		return fmt.Sprintf("%s group %d", p.Module, p.Group)
	case p.AfterS > 0:
		return fmt.Sprintf("%s at %g s", p.Red, p.AfterS)
	case p.Red == p.Module+"+" && p.Black == p.Module+"-":
		return p.Module
	}
	return p.Red + " to " + p.Black
}

// Options of an order.
type Options struct {
	Stack   string      // of OneStack
	Own     []string    // of Own: ids of modules, of Joint of links
	Case    *fault.Case // of Missing; nil = nothing is read yet
	Chassis string      // reference of the black lead to chassis; "" = "chassis"
}

// Points are the points of a series in their order. An order that names nothing of
// this layout has none; an id of Own that the layout lacks is left out: Unknown
// tells.
func Points(n *topology.Net, kind Kind, order Order, o Options) []Point {
	if o.Chassis == "" {
		o.Chassis = "chassis"
	}
	if kind == Joint {
		return links(n, order, o)
	}
	var out []Point
	for _, m := range modules(n, order, o) {
		out = append(out, ofModule(n, m, kind, o.Chassis)...)
	}
	return finish(n, kind, out, order, o)
}

// finish turns the points about or keeps those that are missing.
func finish(n *topology.Net, kind Kind, out []Point, order Order, o Options) []Point {
	switch order {
	case Reverse:
		slices.Reverse(out)
		if kind == Insulation { // time does not run backwards
			for i := 0; i+len(Times) <= len(out); i += len(Times) {
				slices.Reverse(out[i : i+len(Times)])
			}
		}
	case Missing:
		if o.Case != nil {
			done := NewDone(n, o.Case)
			out = slices.DeleteFunc(out, done.Has)
		}
	}
	return out
}

// ofModule are a module's points: its groups from its negative end, its terminals upwards
// along its string.
func ofModule(n *topology.Net, m int, kind Kind, chassis string) []Point {
	mod := n.Layout.Modules[m]
	plus, minus := n.Name(n.Tap(m, mod.Series)), n.Name(n.Tap(m, 0))
	var out []Point
	switch kind {
	case ModuleVolts:
		if mod.Series > 0 {
			out = append(out, Point{Quantity: fault.Volts, Red: plus, Black: minus, Module: mod.ID})
		}
	case GroupVolts:
		for k := 1; k <= mod.Series; k++ {
			out = append(out, Point{Quantity: fault.Volts, Red: n.Name(n.Tap(m, k)), Black: n.Name(n.Tap(m, k-1)), Module: mod.ID, Group: k})
		}
	case ToChassis:
		out = append(out, Point{Quantity: fault.Volts, Red: minus, Black: chassis, Module: mod.ID})
		if mod.Series > 0 { // a module without groups is one piece of metal
			out = append(out, Point{Quantity: fault.Volts, Red: plus, Black: chassis, Module: mod.ID})
		}
		if flipped(n, m) {
			slices.Reverse(out)
		}
	case Insulation:
		for _, s := range Times {
			out = append(out, Point{Quantity: fault.Insulation, Red: plus, Black: chassis, Module: mod.ID, AfterS: s})
		}
	}
	return out
}

// flipped says that a module is wired against its string.
func flipped(n *topology.Net, m int) bool {
	s := n.Strings[n.StringOf(m)]
	i := slices.Index(s.Modules, m)
	return i >= 0 && s.Flipped[i]
}

// Unknown are the ids of an own list that this kind of series has no point for, in
// the order in which they stand.
func Unknown(n *topology.Net, kind Kind, own []string) []string {
	var out []string
	for _, id := range own {
		_, ok := n.Module(id)
		if kind == Joint {
			var l int
			l, ok = n.Link(id)
			ok = ok && n.Layout.Links[l].Kind != topology.Sensor
		}
		if !ok {
			out = append(out, id)
		}
	}
	return out
}
