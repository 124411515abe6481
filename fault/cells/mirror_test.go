package cells_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/cells"
)

// again adds the pack's volts as a list of another instrument, with noise of its
// own, turned end for end or not.
func again(c fault.Case, p *pack, r *rand.Rand, turned bool) fault.Case {
	q := &pack{series: p.series}
	for _, mv := range p.mv {
		q.mv = append(q.mv, mv+r.NormFloat64())
	}
	if turned {
		slices.Reverse(q.mv)
	}
	for _, g := range q.fault().GroupVolts {
		g.Instrument = "meter"
		c.GroupVolts = append([]fault.GroupVolts{g}, c.GroupVolts...)
	}
	return c
}

func TestSignatures_TurnedList(t *testing.T) {
	wrong, missed := 0, 0
	for i := range 60 {
		r := rand.New(rand.NewPCG(uint64(i), 41))
		p := newPack(r, 2+4*r.Float64())
		a, b := p.band(r)
		p.lower(a, b, 30)
		for _, turned := range []bool{false, true} {
			c := again(p.fault(), p, r, turned)
			said := slices.ContainsFunc(cells.Signatures(c), func(s cells.Signature) bool { return s.Kind == cells.Turned })
			switch {
			case said && !turned:
				wrong++
			case !said && turned:
				missed++
			}
			if said == (len(cells.Evidence(c)) > 0) {
				t.Errorf("pack %d, turned %v: said %v, evidence %v", i, turned, said, cells.Evidence(c))
			}
		}
	}
	// A band in the middle looks nearly the same from both ends.
	if t.Logf("said wrongly %d times, missed %d times of 60", wrong, missed); wrong > 0 || missed > 6 {
		t.Error("too often")
	}
}

func TestSignatures_TurnedAgainstModuleReadings(t *testing.T) {
	p := even().lower(8, 11, 400).lower(80, 82, 150)
	for _, turned := range []bool{false, true} {
		c := p.fault()
		for m := range p.modules() {
			sum := 0.0
			for k := range p.series {
				at := m*p.series + k
				if turned {
					at = len(p.mv) - 1 - at
				}
				sum += p.mv[at]
			}
			id := moduleID(m)
			c.Readings = append(c.Readings, fault.Reading{ID: fmt.Sprintf("r%d", m), State: "closed", Quantity: fault.Volts,
				Red: id + "+", Black: id + "-", Value: float64(int(sum/10)) / 100})
		}
		said := ""
		for _, s := range cells.Signatures(c) {
			if s.Kind == cells.Turned {
				said = s.Text
			}
		}
		if turned != strings.Contains(said, "the volts that were read over its modules better turned end for end (correlation 1.00)") {
			t.Errorf("turned %v: %q", turned, said)
		}
	}
}
