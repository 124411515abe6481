package facts

import (
	"math"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/words"
)

// An Expectation is what a reading would be by what is known: the finding, or
// the neighbours. It is never a limit and never a measurement.
type Expectation struct {
	Volts float64
	By    string // what it follows from, in words
}

// Expect is what a voltmeter would show between two places of the present
// state; ok is false where neither the finding nor the neighbours say.
func (p *Pack) Expect(r fault.Reading) (e Expectation, ok bool) {
	if r.Quantity != fault.Volts || !p.Known {
		return e, false
	}
	red, okRed := p.Net.Node(r.Red)
	if _, toChassis := topology.ChassisRef(r.Black); toChassis && okRed {
		return p.expectToChassis(red, r)
	}
	black, okBlack := p.Net.Node(r.Black)
	if !okRed || !okBlack {
		return e, false
	}
	if m, own := p.ownReading(r); own {
		return p.expectOwn(m)
	}
	sr, sb := p.SectionOf(red), p.SectionOf(black)
	if sr == nil || sr != sb {
		return e, false
	}
	str, a, okA := p.AlongOf(red)
	other, b, okB := p.AlongOf(black)
	if !okA || !okB || str != other || p.CountsGroups(str) {
		return e, false
	}
	return Expectation{a - b, "the cells between"}, true
}

// expectOwn is a module's volts by its groups, or by the other modules.
func (p *Pack) expectOwn(m int) (e Expectation, ok bool) {
	mod := p.Modules[m]
	if mod.Measured == len(mod.Groups) && mod.Measured > 0 {
		sum := 0.0
		for _, g := range mod.Groups {
			sum += p.Group[g]
		}
		return Expectation{sum, "its groups"}, true
	}
	if med := p.Median[p.Net.StringOf(m)]; !math.IsNaN(med) {
		return Expectation{med * float64(len(mod.Groups)), "the other modules"}, true
	}
	return e, false
}

// expectToChassis is the tap's potential behind the section's resistance, on
// the meter and whatever test resistor sits across it.
func (p *Pack) expectToChassis(red topology.NodeID, r fault.Reading) (e Expectation, ok bool) {
	s := p.SectionOf(red)
	if s == nil || s.Finding == nil || math.IsNaN(p.Chassis[red]) {
		return e, false
	}
	behind := float64(s.Finding.Ohms.Mid)
	if math.IsNaN(behind) { // a bound: a hard leak, which no meter loads
		if s.Finding.Ohms.Relation != fault.Less || r.Resistor != nil {
			return e, false
		}
		behind = 0
	}
	load := math.Inf(1)
	if in, found := p.Case.Instrument(r.Instrument); found {
		rg, _, _ := in.RangeFor(p.Chassis[red], r.Range)
		load = in.Input(rg)
	}
	if r.Resistor != nil {
		res, found := p.Case.Resistor(r.Resistor.ID)
		if !found || !r.AcrossProbes() {
			return e, false
		}
		load = 1 / (1/load + 1/res.Ohms)
	}
	v := p.Chassis[red]
	if !math.IsInf(load, 1) {
		v *= load / (load + behind)
	}
	by := "the last finding"
	if p.Result.Stale {
		by = "a finding that is older than the last reading"
	}
	return Expectation{v, by}, true
}

// ExpectGroup is what a group's neighbours say of its volts.
func (p *Pack) ExpectGroup(m, k int) (e Expectation, ok bool) {
	if med := p.Median[p.Net.StringOf(m)]; !math.IsNaN(med) && k >= 1 {
		return Expectation{med, "the other groups"}, true
	}
	return e, false
}

// Doubt compares a value with what is expected and says in words what stands
// out, "" for nothing. It asks; it never refuses and never corrects.
func (e Expectation) Doubt(v float64) string {
	want, off := e.Volts, math.Abs(v-e.Volts)
	near := math.Max(0.1*math.Abs(want), 0.05)
	if math.Abs(want) > 12 {
		near = math.Max(near, 3)
	}
	said := words.Volts(want) + " is expected by " + e.By
	switch {
	case off <= near:
		return ""
	case math.Abs(v+want) <= near && math.Abs(want) > 2*near:
		return "The other sign? " + said + "."
	}
	for _, f := range []struct {
		by   float64
		text string
	}{{1000, "1000 times too much? "}, {100, "100 times too much? "}, {10, "10 times too much? "}, {0.1, "A tenth? "}, {0.01, "A hundredth? "}, {0.001, "A thousandth? "}} {
		if math.Abs(v/f.by-want) <= near/2 && math.Abs(want) > near {
			return f.text + said + "."
		}
	}
	return "Far from what is expected: " + said + "."
}
