package locate

import (
	"fmt"
	"math"
	"slices"

	"halfsplit/fault"
	"halfsplit/topology"
)

// inputSlips are what a meter's input resistance is taken for by mistake: a
// tenth, the odd megohm of the low ranges, a low-impedance mode, a hundred times.
var inputSlips = []float64{0.1, 1.1, 0.03, 0.001, 100}

// circuits lists slips that are no wrong value but a wrong circuit: an input
// resistance, two meters on at once, a cell list in the mirrored order, a module
// drawn turned end for end.
func (a *analysis) circuits(as *general) []slip {
	if !as.odd() {
		return nil // fits as it stands
	}
	var out []slip
	for _, in := range a.c.Instruments {
		ids := a.readBy(in.ID)
		if len(ids) < 2 || in.InputOhms <= 0 {
			continue
		}
		for _, f := range inputSlips {
			out = append(out, slip{readings: ids, kind: slipInput, with: in.ID, stretch: -math.Log(float64(len(inputSlips))),
				fitsIf: fmt.Sprintf("the input resistance of %s is %s, not %s, for all of its readings", in.ID, ohmsText(in.InputOhms*f), ohmsText(in.InputOhms)),
				mend:   func(_ *fault.Case, p *premise) { p.inputs = map[string]float64{in.ID: f} }})
		}
	}
	for _, p := range a.simultaneous() {
		seldom := 0.0
		if p[0].reading.Instrument == p[1].reading.Instrument {
			seldom = math.Log(10) // one meter cannot be at two places; two alike may bear one name
		}
		out = append(out, slip{readings: []string{p[0].id, p[1].id}, kind: slipTwoMeters, with: p[1].id, stretch: -seldom, where: []int{p[0].red.slot},
			fitsIf: fmt.Sprintf("its meter and that of %s were on at once: together they read the section's own volts", p[1].id),
			mend: func(c *fault.Case, _ *premise) {
				for i := range c.Readings {
					if c.Readings[i].ID == p[1].id {
						c.Readings[i].TogetherWith = p[0].id
					}
				}
			}})
	}
	if len(a.c.GroupVolts) > 0 {
		out = append(out, slip{readings: []string{a.d.obs[0].id}, kind: slipList, with: "group_volts", stretch: math.Log(referencePrior / slipPrior),
			fitsIf: "the pack stood at another charge when its cell volts were listed",
			mend:   func(_ *fault.Case, p *premise) { p.stale = true }})
	}
	for i, m := range a.net.Layout.Modules {
		out = append(out, slip{readings: []string{a.d.obs[0].id}, kind: slipTurned, where: a.d.slotsWith(i), with: m.ID, turned: m.ID, stretch: -math.Log(float64(len(a.net.Layout.Modules))),
			fitsIf: m.ID + " is drawn turned end for end: what is drawn as its negative terminal is the positive one",
			mend:   func(c *fault.Case, _ *premise) { c.Layout.Links = turned(c.Layout.Links, m.ID) }})
	}
	if volts, ok := a.mirrored(); ok {
		out = append(out, slip{readings: []string{a.d.obs[0].id}, kind: slipMirrored, with: "group_volts",
			fitsIf: "the list of cell volts runs from the positive end down; prove one module with a meter",
			mend:   func(c *fault.Case, _ *premise) { c.GroupVolts = volts }})
	}
	return out
}

// evidence is the log marginal likelihood of a general fit by Laplace's formula,
// parameters that the readings do not hold keeping the width of their range.
func (e *general) evidence() float64 {
	k := e.f.dims()
	v := e.f.at(e.p) + e.inside - 0.5*e.m.fixed - 0.5*e.m.logDet - 0.5*float64(len(e.m.order))*math.Log(2*math.Pi)
	for i := 0; i < k; i++ {
		lo, hi := e.f.bounds(i)
		sd := hiWidth
		if h := e.f.hess[i][i]; h > 0 {
			sd = math.Min(sd, math.Sqrt(2*math.Pi/h))
		}
		v += math.Log(math.Min(sd, hi-lo) / (hi - lo))
	}
	return v
}

const hiWidth = 1e3

// readBy lists the readings in use to chassis by one instrument.
func (a *analysis) readBy(instrument string) []string {
	var out []string
	for i := range a.d.obs {
		if o := &a.d.obs[i]; !o.within && o.reading.Instrument == instrument {
			out = append(out, o.id)
		}
	}
	return out
}

// simultaneous lists pairs of readings to chassis of one section whose
// difference is the volts between their taps: with one meter moved it falls
// short of that by what the meter draws.
func (a *analysis) simultaneous() [][2]*observation {
	var out [][2]*observation
	for i := range a.d.obs {
		for k := i + 1; k < len(a.d.obs); k++ {
			x, y := &a.d.obs[i], &a.d.obs[k]
			if x.within || y.within || x.red.slot != y.red.slot || x.red.slot < 0 || !x.black.chassis() || !y.black.chassis() ||
				x.red.node == y.red.node || len(x.elements) != 1 || len(y.elements) != 1 {
				continue
			}
			between := x.red.volts - y.red.volts
			sd := math.Hypot(math.Hypot(x.countSD, y.countSD), math.Abs(x.gainError-y.gainError)+0.001*math.Abs(between))
			if math.Abs(x.value-y.value-between) < 3*sd {
				out = append(out, [2]*observation{x, y})
			}
		}
	}
	return out
}

// turned is a layout's links with the two terminals of one module exchanged.
func turned(links []topology.Link, module string) []topology.Link {
	out := slices.Clone(links)
	for i := range out {
		for _, end := range []*string{&out[i].From, &out[i].To} {
			switch *end {
			case module + "-":
				*end = module + "+"
			case module + "+":
				*end = module + "-"
			}
		}
	}
	return out
}

// mirrored is the cell list turned end for end, where that is possible: one
// string of modules alike, every one listed.
func (a *analysis) mirrored() ([]fault.GroupVolts, bool) {
	mods, have := a.net.Layout.Modules, a.c.GroupVolts
	if len(a.net.Strings) != 1 || len(have) != len(mods) || len(mods) < 2 {
		return nil, false
	}
	at := map[string]int{}
	for i, gv := range have {
		at[gv.Module] = i
		if len(gv.Volts) != mods[0].Series {
			return nil, false
		}
	}
	out := slices.Clone(have)
	order := a.net.Strings[0].Modules
	for i, m := range order {
		from, okF := at[mods[order[len(order)-1-i]].ID]
		to, okT := at[mods[m].ID]
		if !okF || !okT {
			return nil, false
		}
		out[to].Volts = slices.Clone(have[from].Volts)
		slices.Reverse(out[to].Volts)
	}
	return out, true
}
