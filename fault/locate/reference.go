package locate

import (
	"context"
	"fmt"
	"math"
	"slices"

	"halfsplit/fault"
	"halfsplit/topology"
)

// Kinds of a slip that is none of the entry: the metal is not as recorded.
const (
	slipReference = "reference"
	slipBridge    = "bridge"
	slipBroken    = "broken"
	slipList      = "list"
)

// metal says that a slip doubts the metal or the pack's charge, not an entry.
func (s slip) metal() bool {
	return s.kind == slipReference || s.kind == slipBridge || s.kind == slipBroken || s.kind == slipList
}

// wholesale says that a slip changes many readings at once, so that it is
// believed only where everything fits with it.
func (s slip) wholesale() bool {
	return s.metal() || s.kind == slipInput || s.kind == slipMirrored || s.kind == slipTurned || s.kind == slipTwoMeters
}

// Priors of what is tested beside the explanations.
const (
	referencePrior = 0.05
	bridgePrior    = 0.005
)

// metalSlips lists what may be otherwise with the metal: chassis pieces that do
// not reach the rest, and something that still joins the two sides of a link
// recorded open. Where the readings fit as they stand neither could gain enough
// to be named.
func (a *analysis) metalSlips(ctx context.Context, as *general) []slip {
	var out []slip
	bad := as.odd()
	groups, others := a.looseMetal()
	for _, group := range groups {
		if len(others) < 2 && !(bad && a.nothingRead()) {
			continue // one metal in all readings, and it is joined to something
		}
		loose := map[string]string{}
		for _, p := range group {
			loose[p] = "loose"
		}
		var ids []string
		for i := range a.d.obs {
			if a.d.obs[i].touches(loose) {
				ids = append(ids, a.d.obs[i].id)
			}
		}
		out = append(out, slip{readings: ids, kind: slipReference, with: group[0], stretch: math.Log(referencePrior / slipPrior),
			fitsIf: fmt.Sprintf("%s does not reach the rest of the chassis%s: paint, anodising, a loose clip, or two metals that are not one", metalWords(group), restWords(others, group)),
			mend:   func(_ *fault.Case, p *premise) { p.loose = loose }})
	}
	if !bad {
		return out
	}
	out = append(out, a.broken()...)
	for _, s := range a.c.States {
		for _, id := range s.Open {
			ids := a.across(s.ID, id)
			x, y := a.d.sides(a.d.stateIndex(s.ID), id)
			where := []int{x, y}
			if len(ids) == 0 || a.hopelessFor(where) {
				continue
			}
			br := a.likeliestBridge(ctx, bridge{state: s.ID, link: id})
			out = append(out, slip{readings: ids, kind: slipBridge, with: id, where: where, stretch: math.Log(bridgePrior / slipPrior),
				fitsIf: fmt.Sprintf("something of about %s joins the two sides of %s, which is recorded open in state %s", ohmsText(br.ohms), id, s.ID),
				mend:   func(_ *fault.Case, p *premise) { p.bridges = append(slices.Clone(p.bridges), br) }})
		}
	}
	return out
}

// nothingRead says that every reading to chassis shows next to nothing, as on a
// clip that touches paint.
func (a *analysis) nothingRead() bool {
	for i := range a.d.obs {
		o := &a.d.obs[i]
		if o.within || o.allowed.set {
			continue
		}
		for _, s := range o.slots() {
			if math.Abs(o.reading.Value) > 0.02*a.d.slots[s].volts {
				return false
			}
		}
	}
	return true
}

// worthBridge is the part of the misfit that some rung of the ladder must take away
// for a bridge's resistance to be worth finding.
const worthBridge = 0.1

// likeliestBridge finds the resistance with which a bridge fits best: along a
// ladder of half decades, then by golden section round the best of it.
func (a *analysis) likeliestBridge(ctx context.Context, br bridge) bridge {
	misfit := func(x float64, brief bool) float64 {
		if ctx.Err() != nil {
			return math.Inf(1)
		}
		given := a.given
		br.ohms = math.Exp(x)
		given.bridges = append(slices.Clone(given.bridges), br)
		if e := (&general{d: prepareLike(a.d, a.c, a.net, given), brief: brief}).fit(math.Inf(1)); e.ok {
			return e.chi2
		}
		return math.Inf(1)
	}
	step := math.Log(10) / 2
	best, least := math.Log(1e3), math.Inf(1)
	for k := 0; k <= 9; k++ { // beyond some 30 MΩ it is background
		x := math.Log(1e3) + float64(k)*step
		if v := misfit(x, true); v < least {
			best, least = x, v
		}
	}
	if none := a.physics().chi2; least > none-worthBridge*none {
		br.ohms = math.Exp(best)
		return br // no bridge is what is wrong
	}
	const golden = 0.6180339887498949
	lo, hi := best-step, best+step
	x, y := hi-golden*(hi-lo), lo+golden*(hi-lo)
	fx, fy := misfit(x, false), misfit(y, false)
	for n := 0; n < 14; n++ {
		if fx < fy {
			hi, y, fy = y, x, fx
			x = hi - golden*(hi-lo)
			fx = misfit(x, false)
		} else {
			lo, x, fx = x, y, fy
			y = lo + golden*(hi-lo)
			fy = misfit(y, false)
		}
	}
	br.ohms = math.Exp((lo + hi) / 2)
	return br
}

// broken lists, for every state that was read, the links recorded closed that
// may be open: a blown fuse, a joint that parted.
func (a *analysis) broken() []slip {
	var out []slip
	for si, s := range a.c.States {
		if !a.d.used[si] {
			continue
		}
		var ids []string
		for i := range a.d.obs {
			if a.d.stateOf(&a.d.obs[i]) == si {
				ids = append(ids, a.d.obs[i].id)
			}
		}
		for _, b := range a.net.Links {
			l := a.net.Layout.Links[b.Link]
			j := a.d.joined[si]
			if l.Kind == topology.Contactor || slices.Contains(s.Open, l.ID) || j.SectionOf(b.A) < 0 || j.Conductor(b.A) != j.Conductor(b.B) {
				continue
			}
			out = append(out, slip{readings: ids, kind: slipBroken, with: l.ID, where: []int{a.d.slotOf(si, b.A)}, stretch: math.Log(bridgePrior / slipPrior / float64(len(a.net.Links))),
				fitsIf: fmt.Sprintf("the string is broken at %s, open between %s and %s, though state %s has it closed", l.ID, a.net.Name(b.A), a.net.Name(b.B), s.ID),
				mend: func(c *fault.Case, _ *premise) {
					c.States[si].Open = append(slices.Clone(c.States[si].Open), l.ID)
				}})
		}
	}
	return out
}

// looseMetal lists the sets of chassis pieces that may be one loose metal: each
// that a reading names, and all named ones together, where meter and resistor
// were clipped to the same bad place. With one metal in all readings it is that
// which may be loose.
func (a *analysis) looseMetal() (groups [][]string, names []string) {
	var named []string
	plain := false
	for i := range a.d.obs {
		for _, e := range a.d.obs[i].ends() {
			switch {
			case e.piece == "" && e.chassis():
				plain = true
			case e.piece != "" && !slices.Contains(named, e.piece):
				named = append(named, e.piece)
			}
		}
	}
	slices.Sort(named)
	var out [][]string
	if plain {
		names = append(names, "")
	}
	names = append(names, named...)
	if plain && len(named) == 0 {
		return [][]string{{""}}, names
	}
	for _, p := range named {
		out = append(out, []string{p})
	}
	if plain && len(named) > 1 {
		out = append(out, named)
	}
	return out, names
}

// restWords names the other metal that was read to.
func restWords(names, group []string) string {
	var rest []string
	for _, n := range names {
		if n != "" && !slices.Contains(group, n) {
			rest = append(rest, "chassis:"+n)
		}
	}
	if len(rest) == 0 {
		return ""
	}
	return " (" + join(rest, "and") + ")"
}

func metalWords(pieces []string) string {
	var names []string
	for _, p := range pieces {
		if p == "" {
			return "the clip"
		}
		names = append(names, "chassis:"+p)
	}
	if len(names) > 1 {
		return "the one place that " + join(names, "and") + " were clipped to"
	}
	return names[0]
}

// ends are all ends of an observation's circuit.
func (o *observation) ends() []end {
	out := []end{o.red, o.black}
	for _, el := range o.elements {
		out = append(out, el.a, el.b)
	}
	return out
}

// touches says that a circuit uses one of some chassis pieces.
func (o *observation) touches(pieces map[string]string) bool {
	for _, e := range o.ends() {
		if (e.chassis() || e.piece != "") && pieces[e.piece] != "" {
			return true
		}
	}
	return false
}

// across lists the readings of a state in the sections on both sides of a link,
// if both sides were read.
func (a *analysis) across(state, link string) []string {
	si := a.d.stateIndex(state)
	x, y := a.d.sides(si, link)
	if x < 0 || y < 0 || x == y {
		return nil
	}
	var ids []string
	var both [2]bool
	for i := range a.d.obs {
		for _, s := range a.d.obs[i].slots() {
			if s == x || s == y {
				both[0], both[1] = both[0] || s == x, both[1] || s == y
				if !slices.Contains(ids, a.d.obs[i].id) {
					ids = append(ids, a.d.obs[i].id)
				}
			}
		}
	}
	if !both[0] || !both[1] {
		return nil
	}
	return ids
}

// sides are the slots on the two sides of a link in a state, -1 where there is
// none.
func (d *data) sides(si int, link string) (int, int) {
	for _, b := range d.net.Links {
		if d.net.Layout.Links[b.Link].ID == link && si >= 0 {
			return d.slotOf(si, b.A), d.slotOf(si, b.B)
		}
	}
	return -1, -1
}

func (d *data) slotOf(si int, id topology.NodeID) int {
	if s, ok := d.slotAt[[2]int{si, d.joined[si].SectionOf(id)}]; ok {
		return s
	}
	return -1
}

// A bridge is something that joins the two sides of an open link.
type bridge struct {
	state, link string
	ohms        float64
}

// addBridges puts the premise's bridges into every circuit of their state.
func (d *data) addBridges(list []bridge) {
	for _, br := range list {
		si := d.stateIndex(br.state)
		for _, b := range d.net.Links {
			if d.net.Layout.Links[b.Link].ID != br.link {
				continue
			}
			x, whyX := d.endAt(d.net.Name(b.A), si)
			y, whyY := d.endAt(d.net.Name(b.B), si)
			if whyX != "" || whyY != "" || x.slot == y.slot {
				continue
			}
			for i := range d.obs {
				if o := &d.obs[i]; !o.within && d.stateOf(o) == si {
					o.elements = append(slices.Clip(o.elements), element{a: x, b: y, siemens: 1 / br.ohms, relSD: 0.05, nuisance: "bridge over " + br.link})
					o.circuit = newProbe(o)
				}
			}
		}
	}
}
