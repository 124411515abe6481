package locate_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/fault/locate"
)

// What holds for every pack, whatever leaks: more terminals of one section are
// no news of more leaks, scale is not place, and what does not belong has no
// say. Each test tries packs with one or two leaks, drawn.

// drawn is a pack with one or two leaks anywhere, read closed; split if asked.
func drawn(k *rec, leaks int, split bool) *shop {
	s := k.shop()
	for range leaks {
		at := s.pack.Net.TapAt(0, s.rng.IntN(groups+1))
		s.leak(circuit.Leak{At: s.pack.Net.Name(at), Ohms: math.Exp(between(s.rng, math.Log(1e3), math.Log(500e3)))})
	}
	s.section("closed", "M01-", "M12+")
	if split {
		s.halves("split")
	}
	return s
}

func TestRowsProperty_MoreTapsAreNoMoreLeaks(t *testing.T) {
	row(t, func(k *rec) {
		s := drawn(k, 1+int(k.seed%2), true)
		before := s.find()
		s.end("split", "M02+", "M04-", "M09.3", "M11+")
		s.end("closed", "M03+", "M08-")
		after := s.find()
		if len(after.Leaks) > len(before.Leaks) {
			k.errorf("%d leaks with more taps of the same sections, %d without: %s", len(after.Leaks), len(before.Leaks), after.Statement)
		}
		if d := after.hypothesis(fault.Two) - before.hypothesis(fault.Two); d > 0.1 {
			k.errorf("more taps of the same sections raise two leaks by %.2f", d)
		}
	})
}

func TestRowsProperty_NothingLocatedBeforeASplit(t *testing.T) {
	row(t, func(k *rec) {
		for range 3 {
			f := drawn(k, 2, false).find()
			if f.Verdict == fault.Located || f.Verdict == fault.NotDistinguishable && len(f.Leaks) > 1 {
				k.errorf("an unbroken string with two leaks: %s: %s", f.Verdict, f.Statement)
			}
			for _, l := range f.Leaks {
				if l.If != "one leak" {
					k.errorf("%s rests on no condition: %+v", f.Verdict, l)
				}
			}
		}
	})
}

// Every voltage, range and count times one factor: the same place, the same
// ohms, volts times the factor.
func TestRowsProperty_ScaleIsNotPlace(t *testing.T) {
	row(t, func(k *rec) {
		s := drawn(k, 1, true)
		want := s.find()
		const by = 0.5
		s.c.Readings = slices.Clone(s.c.Readings)
		for i := range s.c.Readings {
			s.c.Readings[i].Value *= by
			s.c.Readings[i].Raw = ""
			s.c.Readings[i].Range *= by
		}
		s.c.GroupVolts = slices.Clone(s.c.GroupVolts)
		for i := range s.c.GroupVolts {
			v := slices.Clone(s.c.GroupVolts[i].Volts)
			for g := range v {
				v[g] *= by
			}
			s.c.GroupVolts[i].Volts = v
		}
		s.c.Instruments = slices.Clone(s.c.Instruments)
		for i := range s.c.Instruments {
			r := slices.Clone(s.c.Instruments[i].Ranges)
			for n := range r {
				r[n].Max *= by
				r[n].Count *= by
			}
			s.c.Instruments[i].Ranges = r
		}
		f := s.find()
		f.leaks(len(want.Leaks))
		for i, l := range f.Leaks {
			w := want.Leaks[i]
			// A cell's 5 mV do not scale, so that the place may breathe a little.
			near(k, "position", float64(l.Position.Mid), float64(w.Position.Mid), 0.1)
			near(k, "volts", float64(l.Volts.Mid), by*float64(w.Volts.Mid), 0.5)
			if l.Ohms.Relation == fault.Equal {
				near(k, "log ohms", math.Log(float64(l.Ohms.Mid)), math.Log(float64(w.Ohms.Mid)), 0.01)
			}
		}
	})
}

func near(k *rec, what string, got, want, within float64) {
	if !(math.Abs(got-want) <= within) {
		k.errorf("%s %.4g, want %.4g ± %g", what, got, want, within)
	}
}

// A reading of a state that no longer holds, and one that was corrected, leave
// the finding as it is.
func TestRowsProperty_OutOfStateHasNoInfluence(t *testing.T) {
	row(t, func(k *rec) {
		s := drawn(k, 1, true)
		want := s.find()
		for _, r := range []fault.Reading{
			{State: "", Red: "M12+", Value: 5}, {State: "never was", Red: "M12+", Value: 5},
			{State: "split", Red: "pack-", Value: 5}, {State: "split", Red: "M12+", Value: 5, Instrument: "lost"},
		} {
			r.Quantity, r.Black = fault.Volts, "chassis"
			if r.Instrument == "" {
				r.Instrument = "dmm"
			}
			id := s.record(r)
			if f := s.find(); slices.Contains(f.Used, id) {
				k.errorf("%+v is used", r)
			}
		}
		f := s.find()
		if f.Statement != want.Statement || f.Verdict != want.Verdict {
			k.errorf("was %q, is %q", want.Statement, f.Statement)
		}
		if len(f.LeftOut) != len(want.LeftOut)+4 {
			k.errorf("left out %v", f.LeftOut)
		}
	})
}

// Ends that read more than the section has volts would need a resistance below
// zero: the size is a bound.
func TestRowsProperty_NoResistanceBelowZero(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M05.2", Ohms: 5})
		s.across("closed", "M12+", "M01-")
		top, bottom := s.end("closed", "M12+"), s.end("closed", "M01-")
		s.slip(top, func(r *fault.Reading) { r.Value = math.Round(r.Value*10.02) / 10 })
		s.slip(bottom, func(r *fault.Reading) { r.Value = math.Round(r.Value*10.02) / 10 })
		f := s.find()
		for _, l := range f.Leaks {
			if l.Ohms.Relation != fault.Less || l.Ohms.Low != 0 || !(l.Ohms.High > 0) {
				k.errorf("ohms %+v, want a bound", l.Ohms)
			}
		}
		for _, sec := range f.Sections {
			if sec.Ohms.Low < 0 || sec.Ohms.High < 0 || sec.StandardOhms < 0 {
				k.errorf("section %+v", sec)
			}
		}
	})
}

// A cell of a megavolt is nonsense, and a leak that is named still has a place.
func TestRowsProperty_NonsenseCellVolts(t *testing.T) {
	cases := small(t)
	row(t, func(k *rec) {
		c := copied(cases[0])
		c.GroupVolts[2].Volts[1] = 912500
		f, err := locate.Find(context.Background(), c, nil)
		if err != nil {
			k.fatalf("%v", err)
		}
		legal(k, c, f)
	})
}
