package locate_test

import (
	"math"
	"slices"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// What is wrong with the entry: signs, units, places, times.

// walked is a pack whose terminals were read one after the other, closed.
func walked(k *rec) (*shop, map[string]string) {
	s := k.shop()
	s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
	ids := map[string]string{}
	s.across("closed", "M12+", "M01-")
	for _, red := range []string{"M12+", "M01-", "M02+", "M04+", "M05+", "M06+", "M07+", "M08+", "M10+", "M11+"} {
		ids[red] = s.end("closed", red)
	}
	s.with("closed", "M01-", "R200k")
	return s, ids
}

func scaled(by float64) func(r *fault.Reading) {
	return func(r *fault.Reading) { r.Value *= by }
}

func TestRow39_signReversed(t *testing.T) {
	row(t, func(k *rec) {
		s, ids := walked(k)
		id := ids["M04+"]
		s.slip(id, scaled(-1))
		f := s.find()
		f.doubt("sign", id)
		if v := s.value(id); v < 0 {
			k.errorf("the reading was changed")
		}
	})
}

func TestRow40_magnitudes(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M05.3", Ohms: 100e3})
		s.across("closed", "M12+", "M01-")
		s.end("closed", "M12+")
		bottom := s.end("closed", "M01-")
		s.slip(bottom, scaled(-1))
		f := s.find()
		f.verdict(fault.Inconsistent)
		f.doubts("sign", bottom)
		f.says(`sign`)
	})
}

func TestRow41_moduleDrawnTurned(t *testing.T) {
	row(t, func(k *rec) {
		s, _ := walked(k)
		s.across("closed", "M05+", "M05-")
		drawn := drawnTurned(s.layout, "M05")
		_, problems := topology.Compile(drawn)
		if !slices.ContainsFunc(problems, func(p topology.Problem) bool { return p.Kind == topology.Reversed && p.GoTo == "M05" }) {
			k.errorf("the drawing's problems do not name M05: %+v", problems)
		}
		s.c.Layout = drawn
		f := s.find()
		f.verdict(fault.Inconsistent)
	})
}

func TestRow42_neighboursTransposed(t *testing.T) {
	row(t, func(k *rec) {
		s, ids := walked(k)
		a, b := ids["M04+"], ids["M05+"]
		va, vb := s.value(a), s.value(b)
		s.slip(a, func(r *fault.Reading) { r.Value = vb })
		s.slip(b, func(r *fault.Reading) { r.Value = va })
		f := s.find()
		f.doubt("transposed", a, b)
		if len(f.Doubts) > 0 && f.Doubts[0].With != a && f.Doubts[0].With != b {
			k.errorf("transposed with %q, want %s or %s", f.Doubts[0].With, a, b)
		}
	})
}

func TestRow43_millivolts(t *testing.T) {
	row(t, func(k *rec) {
		s, ids := walked(k)
		s.slip(ids["M05+"], scaled(1e-3))
		s.find().doubt("scale", ids["M05+"])
	})
}

func TestRow43_thousandfold(t *testing.T) {
	row(t, func(k *rec) {
		s, ids := walked(k)
		s.slip(ids["M05+"], scaled(1e3))
		s.find().doubt("scale", ids["M05+"])
	})
}

// OL says where the value is not, and must not make anything less certain.
func TestRow44_overflowIsABound(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M03.3", Ohms: 180e3})
		s.section("closed", "M01-", "M12+")
		id := s.take(fault.Reading{State: "closed", Red: "M10+", Range: 60})
		if r, _ := s.c.Reading(id); r.Relation != fault.Greater {
			k.fatalf("read %+v, want an overflow", r)
		}
		f := s.find()
		f.used(id)
		f.verdict(fault.EquivalentOnly)
		f.leaks(1)
		f.position(0, "M03.3", 4)
	})
}

// An overflow that no hypothesis allows is a contradiction, not a gap.
func TestRow44_boundThatContradicts(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M03.3", Ohms: 180e3})
		s.section("closed", "M01-", "M12+")
		id := s.end("closed", "M02+")
		s.slip(id, func(r *fault.Reading) { r.Value, r.Range, r.Relation = 600, 600, fault.Greater })
		f := s.find()
		if f.Verdict != fault.Inconsistent && !slices.ContainsFunc(f.LeftOut, func(l fault.LeftOut) bool { return l.Reading == id }) && len(f.Doubts) == 0 {
			k.errorf("an overflow where about −20 V belong passes: %s", f.Statement)
		}
	})
}

func TestRow45_decimalComma(t *testing.T) {
	for raw, want := range map[string]float64{"3,622": 3.622, "3.622": 3.622, "-126,4": -126.4} {
		e, err := fault.ParseEntry(raw, fault.EntryOptions{Quantity: fault.Volts, DecimalComma: true})
		if err != nil || math.Abs(e.Value-want) > 1e-9 {
			t.Errorf("%q reads %v, %v; want %g", raw, e.Value, err, want)
		}
	}
	if e, err := fault.ParseEntry("1,234", fault.EntryOptions{Quantity: fault.Volts}); err == nil {
		t.Errorf("1,234 may be two numbers, and reads %g", e.Value)
	}
}

func TestRow46_digitDropped(t *testing.T) {
	for name, by := range map[string]float64{"tenfold": 10, "tenth": 0.1} {
		t.Run(name, func(t *testing.T) {
			row(t, func(k *rec) {
				s, ids := walked(k)
				s.slip(ids["M10+"], scaled(by))
				s.find().doubt("scale", ids["M10+"])
			})
		})
	}
}

// A value from before the disconnect was opened, written down under the state
// after.
func TestRow47_stale(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M03.3", Ohms: 180e3})
		s.section("closed", "M01-", "M12+")
		s.end("closed", "M08+", "M10+")
		s.halves("split")
		s.end("split", "M02+", "M04+", "M08+")
		id := s.end("closed", "M10+")
		s.slip(id, func(r *fault.Reading) { r.State = "split" })
		f := s.find()
		f.doubts("stale", id)
		f.position(0, "M03.3", 4)
	})
}

func TestRow47_supersededHasNoInfluence(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M03.3", Ohms: 180e3})
		s.section("closed", "M01-", "M12+")
		want := s.find()
		old := s.c.Readings[1]
		old.ID, old.Value = "old", -9
		s.c.Readings = append([]fault.Reading{old}, s.c.Readings...)
		s.c.Readings[2].Supersedes, s.c.Readings[2].Why = "old", "typed wrong"
		f := s.find()
		f.left("old", "superseded")
		if f.Statement != want.Statement {
			k.errorf("a superseded reading changes the statement to %s", f.Statement)
		}
	})
}

// A reading of another version of the drawing names what this one lacks.
func TestRow48_notInThisLayout(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M03.3", Ohms: 180e3})
		s.section("closed", "M01-", "M12+")
		id := s.record(fault.Reading{State: "closed", Quantity: fault.Volts, Red: "M13+", Black: "chassis", Value: 4, Instrument: "dmm"})
		s.find().left(id, "not a node")
	})
}

// The monitor counts from the other end of the string.
func TestRow49_mirroredList(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		for g := series; g < 3*series; g++ {
			s.pack.GroupVolts[g] -= 0.9
		}
		s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
		s.section("closed", "M01-", "M12+")
		s.across("closed", "M03+", "M01-")
		s.across("closed", "M06+", "M01-")
		s.across("closed", "M12+", "M07-")
		s.end("closed", "M03+", "M06+")
		list := s.c.GroupVolts
		s.c.GroupVolts = nil
		for i := range list {
			gv := list[len(list)-1-i]
			gv.Module, gv.Volts = list[i].Module, slices.Clone(gv.Volts)
			slices.Reverse(gv.Volts)
			s.c.GroupVolts = append(s.c.GroupVolts, gv)
		}
		f := s.find()
		f.explains(`mirror|other end|reverse order`)
		ok := slices.ContainsFunc(f.Doubts, func(d fault.Doubt) bool { return d.Odds >= 20 })
		k.mostly("a doubt of the list", ok, "%+v", f.Doubts)
	})
}

func TestRow50_copied(t *testing.T) {
	row(t, func(k *rec) {
		s, ids := walked(k)
		v := s.value(ids["M05+"])
		s.slip(ids["M06+"], func(r *fault.Reading) { r.Value = v })
		s.find().doubts("cop", ids["M06+"])
	})
}

// A cell list of another charge carries over with one drift.
func TestRow51_otherCharge(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
		s.state("later", nil)
		s.cells("closed")
		for g := range s.pack.GroupVolts {
			s.pack.GroupVolts[g] *= 0.97
		}
		s.bench = nil
		s.section("later", "M01-", "M12+")
		f := s.find()
		f.verdict(fault.EquivalentOnly)
		f.leaks(1)
		f.position(0, "M09.3", 5)
	})
}

func TestRow52_repeatsAreAllUsed(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
		s.section("closed", "M01-", "M12+")
		once := s.find()
		for range 4 {
			s.end("closed", "M12+", "M01-")
		}
		f := s.find()
		f.leaks(1)
		once.leaks(1)
		if len(f.Used) != len(s.c.Readings) {
			k.errorf("used %v of %d", f.Used, len(s.c.Readings))
		}
		a, b := once.Leaks[0].Electrical, f.Leaks[0].Electrical
		if float64(b.High-b.Low) > 1.1*float64(a.High-a.Low) {
			k.errorf("repeats widen the place from %.3f to %.3f groups", float64(a.High-a.Low), float64(b.High-b.Low))
		}
		f.position(0, "M09.3", 4)
	})
}

func TestRow53_noSuchRange(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
		s.section("closed", "M01-", "M12+")
		id := s.end("closed", "M02-")
		s.slip(id, func(r *fault.Reading) { r.Instrument = "small" })
		s.find().left(id, "range")
	})
}
