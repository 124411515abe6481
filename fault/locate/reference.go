package locate

import (
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
)

// Priors of what is tested beside the explanations.
const (
	referencePrior = 0.02
	bridgePrior    = 0.005
)

// metalSlips lists what may be otherwise with the metal: chassis pieces that do
// not reach the rest, and something that still joins the two sides of a link
// recorded open. Where the readings fit as they stand neither could gain enough
// to be named.
func (a *analysis) metalSlips(as *general) []slip {
	var out []slip
	for _, group := range a.looseMetal() {
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
			fitsIf: fmt.Sprintf("%s does not reach the rest of the chassis: paint, anodising or a loose clip", metalWords(group)),
			mend:   func(_ *fault.Case, p *premise) { p.loose = loose }})
	}
	if as.chi2 < 2*math.Log(doubtOdds/slipPrior) {
		return out
	}
	for _, s := range a.c.States {
		for _, id := range s.Open {
			if ids := a.across(s.ID, id); len(ids) > 0 {
				for k := 0; k <= 10; k++ {
					ohms := 1e3 * math.Pow(10, float64(k)/2)
					br := bridge{state: s.ID, link: id, ohms: ohms}
					out = append(out, slip{readings: ids, kind: slipBridge, with: id, stretch: math.Log(bridgePrior / slipPrior / 11),
						fitsIf: fmt.Sprintf("something of about %s joins the two sides of %s, which is recorded open in state %s", ohmsText(ohms), id, s.ID),
						mend:   func(_ *fault.Case, p *premise) { p.bridges = append(slices.Clone(p.bridges), br) }})
				}
			}
		}
	}
	return out
}

// looseMetal lists the sets of chassis pieces that may be one loose metal: each
// that a reading names, and all named ones together, where meter and resistor
// were clipped to the same bad place. With one metal in all readings nothing
// could tell.
func (a *analysis) looseMetal() [][]string {
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
	if plain || len(named) > 1 {
		for _, p := range named {
			out = append(out, []string{p})
		}
	}
	if plain && len(named) > 1 {
		out = append(out, named)
	}
	return out
}

func metalWords(pieces []string) string {
	var names []string
	for _, p := range pieces {
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
		if e.piece != "" && pieces[e.piece] != "" {
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
					o.elements = append(slices.Clip(o.elements), element{a: x, b: y, siemens: 1 / br.ohms, nuisance: "bridge over " + br.link})
				}
			}
		}
	}
}
