package locate

import (
	"fmt"

	"halfsplit/fault"
	"halfsplit/topology"
)

// data is a case made ready: states, slots, observations, and what was left out.
type data struct {
	c       *fault.Case
	net     *topology.Net
	joined  []*topology.Joined // by state
	slots   []slot
	slotAt  map[[2]int]int // state, section -> slot
	cells   []*cellVolts   // by state
	obs     []observation
	aside   []observation // kept for their section's own numbers, not weighed
	leftOut []fault.LeftOut
	active  bool   // a reading was refused because a monitor was injecting
	swings  string // what readings of one thing that turn round look like, in words
	assumes []string
	drifts  []drift

	live     []bool // by slot: a reading in use touches it
	used     []bool // by state
	things   []thing
	specials []*candidate
	cands    []*candidate

	laid      *pathMemo
	partsMemo []*source // of the general fit, once made
	prior     map[string]float64

	like    *data             // while it is made ready: the same case under another premise
	without map[string]string // reading -> why it is left out

	loose  map[string]string  // chassis piece -> the loose metal that it belongs to
	inputs map[string]float64 // instrument -> factor on its input resistance
	stale  bool               // cell lists give proportions only
}

// A premise is what an analysis takes for given beside the case: readings left
// out with their reasons, chassis pieces that may not be bonded, instruments
// whose input resistance may be another, bridges over links recorded open.
type premise struct {
	without map[string]string
	loose   map[string]string
	inputs  map[string]float64
	bridges []bridge
	stale   bool // cell lists give proportions, not volts
	only    int  // 1 or 2: that many leaks are given; 0 = weighed
}

// except is the premise with one more reading left out.
func (p premise) except(reading, why string) premise {
	out := p
	out.without = map[string]string{}
	for k, v := range p.without {
		out.without[k] = v
	}
	out.without[reading] = why
	return out
}

// whole is the premise with no reading left out.
func (p premise) whole() premise {
	p.without = nil
	return p
}

// prepare decides which readings can be used, and why the others cannot.
func prepare(c *fault.Case, net *topology.Net, p premise) *data { return prepareLike(nil, c, net, p) }

// prepareLike is prepare for a case that is another one, made ready already, but
// for a few readings or what a state has open.
func prepareLike(like *data, c *fault.Case, net *topology.Net, p premise) *data {
	d := &data{c: c, net: net, slotAt: map[[2]int]int{}, laid: &pathMemo{at: map[[2]int]int{}}, without: p.without, loose: p.loose, inputs: p.inputs, stale: p.stale}
	if like != nil && like.net == net && len(like.c.States) == len(c.States) {
		d.like = like
	}
	d.joinStates()
	if d.sameCells() {
		d.cells = like.cells
	} else {
		d.cells = d.estimateCells(p.without)
	}
	superseded := c.Superseded()
	d.obs = make([]observation, 0, len(c.Readings))
	for _, r := range c.Readings {
		why := p.without[r.ID]
		if by, old := superseded[r.ID]; old && why == "" {
			why = fmt.Sprintf("superseded by %s: %s", by.ID, by.Why)
		}
		var o observation
		if why == "" {
			o, why = d.observe(r)
		}
		if why != "" {
			d.leave(r.ID, why)
			continue
		}
		d.obs = append(d.obs, o)
	}
	d.addBridges(p.bridges)
	d.refuseOneEnded()
	d.settle()
	d.setAside()
	d.findDrift()
	d.mark()
	d.sharePlaces()
	d.layEnds(d.obs)
	d.layEnds(d.aside)
	return d
}

func (d *data) leave(reading, why string) {
	d.leftOut = append(d.leftOut, fault.LeftOut{Reading: reading, Why: why})
}

// drop leaves out the observations that why gives a reason for.
func (d *data) drop(why func(o *observation) string) {
	kept := d.obs[:0]
	for i := range d.obs {
		if w := why(&d.obs[i]); w != "" {
			for _, id := range d.obs[i].ids() {
				d.leave(id, w)
			}
			continue
		}
		kept = append(kept, d.obs[i])
	}
	d.obs = kept
}

// ids are all readings that an observation stands for.
func (o *observation) ids() []string { return append(append([]string{}, o.also...), o.id) }

// mark notes which sections and states the readings in use touch.
func (d *data) mark() {
	d.live, d.used = make([]bool, len(d.slots)), make([]bool, len(d.joined))
	d.things = nil
	for _, m := range d.net.Layout.Modules {
		d.things = append(d.things, thing{m.ID, fault.PlaceModule})
	}
	for i := range d.obs {
		for _, s := range d.obs[i].slots() {
			d.live[s] = true
			if si := d.slots[s].state; si >= 0 {
				d.used[si] = true
			}
		}
	}
}

// inputFactor is what an instrument's input resistance is multiplied by.
func (d *data) inputFactor(instrument string) float64 {
	if f, ok := d.inputs[instrument]; ok {
		return f
	}
	return 1
}
