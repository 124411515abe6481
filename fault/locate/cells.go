package locate

import (
	"fmt"
	"math"

	"halfsplit/fault"
)

// Standard figures where the case states none. Half-widths; u = a/√3.
const (
	monitorGainPct  = 0.2   // % common to a list of cell voltages
	monitorEachVolt = 0.005 // V, each cell voltage of a list
	spreadVolt      = 0.030 // V, standard deviation of a group that was not measured
	driftRel        = 0.001 // standard deviation of the common drift of a carried list
	changedRel      = 0.01  // the same after a module was removed or contactors moved
	shareRel        = 0.03  // common error of volts shared out over unmeasured groups
	nominalCell     = 3.7   // V, where nothing else is known
	mostCell        = 10.0  // V; no group of cells has more, so more was not measured
	otherCharge     = 0.05  // standard deviation of a list that the volts read contradict
)

// cellVolts is what is known of every group's volts in one state: a mean, an
// independent error, and the common errors that it shares with others.
type cellVolts struct {
	mean   []float64       // V, by group
	sd     []float64       // V, independent part
	source []int           // by group: which set of values it comes from
	list   []int           // by source: which list; the same list has the same errors in every state
	common [][]commonError // by source: relative errors that all its groups share
	note   string
}

// A commonError is relative and shared by every group that names it.
type commonError struct {
	name string
	sd   float64
}

// estimateCells works the states through in order; a list taken in one state
// carries over to those without their own.
func (d *data) estimateCells(without map[string]string) []*cellVolts {
	out := make([]*cellVolts, len(d.c.States))
	for si := range d.c.States {
		out[si] = d.cellsIn(si, without)
	}
	return out
}

func (d *data) cellsIn(si int, without map[string]string) *cellVolts {
	n := len(d.net.Groups)
	cv := &cellVolts{mean: make([]float64, n), sd: make([]float64, n), source: make([]int, n)}
	for i := range cv.mean {
		cv.mean[i], cv.source[i] = math.NaN(), -1
	}
	for m, mod := range d.net.Layout.Modules {
		if gv, index := d.listFor(mod.ID, si); gv != nil {
			d.takeList(cv, m, gv, index, si)
		}
	}
	d.shareRest(cv, si, without)
	return cv
}

// listFor is the list of a module's volts that holds in a state: its own, else
// the latest of another state.
func (d *data) listFor(module string, si int) (*fault.GroupVolts, int) {
	best := -1
	for i := range d.c.GroupVolts {
		gv := &d.c.GroupVolts[i]
		if gv.Module != module {
			continue
		}
		own := gv.State == d.c.States[si].ID
		if best < 0 || own || d.c.GroupVolts[best].State != d.c.States[si].ID {
			best = i
		}
	}
	if best < 0 {
		return nil, -1
	}
	return &d.c.GroupVolts[best], best
}

func (d *data) takeList(cv *cellVolts, m int, gv *fault.GroupVolts, index, si int) {
	gain, each := monitorGainPct/100/math.Sqrt(3), func(float64) float64 { return monitorEachVolt / math.Sqrt(3) }
	name := "cell list " + gv.State + " " + gv.Instrument
	if in, ok := d.c.Instrument(gv.Instrument); ok {
		in = in.For(fault.Volts)
		gain = in.GainSD()
		for _, v := range gv.Volts { // cells of one chemistry are read on one range
			if rg, _, ok := in.RangeFor(v, 0); ok {
				gain = in.GainSDOn(rg)
				break
			}
		}
		each = func(v float64) float64 {
			if rg, _, ok := in.RangeFor(v, 0); ok {
				return countSD(in, rg)
			}
			return monitorEachVolt / math.Sqrt(3)
		}
	}
	common := []commonError{{name, gain}}
	if d.stale {
		common = append(common, commonError{"charge since the cell list", otherCharge})
	}
	if gv.State != d.c.States[si].ID {
		drift := driftRel
		if d.changedSince(gv.State, si) {
			drift = changedRel
		}
		common = append(common, commonError{"drift of cell volts to state " + d.c.States[si].ID, drift})
	}
	src := len(cv.common)
	cv.common, cv.list = append(cv.common, common), append(cv.list, index)
	for k, v := range gv.Volts {
		if g := d.groupIndex(m, k+1); g >= 0 && math.Abs(v) <= mostCell {
			cv.mean[g], cv.sd[g], cv.source[g] = v, each(v), src
		}
	}
}

// changedSince says whether contactors moved or modules went between the state
// of a list and this one.
func (d *data) changedSince(from string, si int) bool {
	s, ok := d.c.State(from)
	return !ok || s.Contactors != d.c.States[si].Contactors || len(s.Removed) != len(d.c.States[si].Removed)
}

func (d *data) groupIndex(m, k int) int {
	// Groups are numbered module by module, so the first tap's id less the
	// number of modules before it is the index of the module's first group.
	g := int(d.net.Tap(m, 0)) - m + k - 1
	if g < 0 || g >= len(d.net.Groups) || d.net.Groups[g].Module != m {
		return -1
	}
	return g
}

// shareRest gives every group that was not measured an equal share: of the
// smallest run of volts that was measured over it, else of what its fellows
// have, else of the nominal volts.
func (d *data) shareRest(cv *cellVolts, si int, without map[string]string) {
	rest := 0
	for _, src := range cv.source {
		if src < 0 {
			rest++
		}
	}
	if rest == 0 {
		return
	}
	src := 0
	for _, from := range d.donors(si) {
		src = len(cv.common)
		common := []commonError{{"shared-out cell volts in state " + d.c.States[from].ID, shareRel}}
		if from != si {
			drift := driftRel
			if d.changedSince(d.c.States[from].ID, si) {
				drift = changedRel
			}
			common = append(common, commonError{"drift of cell volts to state " + d.c.States[si].ID, drift})
		}
		cv.common, cv.list = append(cv.common, common), append(cv.list, -1-from)
		d.shareReadings(cv, from, src, without)
	}
	fill := d.typicalCell(cv)
	for g := range cv.mean {
		if cv.source[g] < 0 {
			cv.mean[g], cv.sd[g], cv.source[g] = fill, spreadVolt, src
		}
	}
	cv.note = fmt.Sprintf("%d of %d groups have no measured volts in state %s; they take equal shares, ± %g mV each.",
		rest, len(cv.mean), d.c.States[si].ID, spreadVolt*1000)
}

// donors are the states whose volts between taps serve a state, the state itself
// first, then the latest.
func (d *data) donors(si int) []int {
	out := []int{si}
	for from := len(d.c.States) - 1; from >= 0; from-- {
		if from != si {
			out = append(out, from)
		}
	}
	return out
}

// shareReadings uses volts read between two taps of one section of a state,
// short runs first.
func (d *data) shareReadings(cv *cellVolts, si, src int, without map[string]string) {
	type run struct {
		groups []int
		volts  float64
	}
	var runs []run
	j := d.joined[si]
	superseded := d.c.Superseded()
	for _, r := range d.c.Readings {
		if _, old := superseded[r.ID]; old || r.State != d.c.States[si].ID || r.Quantity != fault.Volts || isBound(r) || without[r.ID] != "" {
			continue
		}
		a, okA := d.net.Node(r.Red)
		b, okB := d.net.Node(r.Black)
		if !okA || !okB || j.SectionOf(a) < 0 || j.SectionOf(a) != j.SectionOf(b) {
			continue
		}
		volts := r.Value
		if volts < 0 {
			a, b, volts = b, a, -volts
		}
		if groups := d.between(j, b, a); len(groups) > 0 {
			runs = append(runs, run{groups, volts})
		}
	}
	for len(runs) > 0 {
		short := 0
		for i := range runs {
			if len(runs[i].groups) < len(runs[short].groups) {
				short = i
			}
		}
		left, open := runs[short].volts, []int(nil)
		for _, g := range runs[short].groups {
			if cv.source[g] < 0 {
				open = append(open, g)
			} else {
				left -= cv.mean[g]
			}
		}
		for _, g := range open {
			cv.mean[g], cv.sd[g], cv.source[g] = math.Max(0, left/float64(len(open))), spreadVolt, src
		}
		runs = append(runs[:short], runs[short+1:]...)
	}
}

// typicalCell is the median of the groups that are known, else nominal.
func (d *data) typicalCell(cv *cellVolts) float64 {
	var known []float64
	for g, src := range cv.source {
		if src >= 0 {
			known = append(known, cv.mean[g])
		}
	}
	if len(known) > 0 {
		return median(known)
	}
	most := 0
	for _, s := range d.net.Strings {
		most = max(most, s.Groups)
	}
	if v := d.net.Layout.NominalVolts; v > 0 && most > 0 {
		return v / float64(most)
	}
	return nominalCell
}
