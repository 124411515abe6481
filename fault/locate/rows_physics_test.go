package locate_test

import (
	"math"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
)

// What the method rests on: closure, subtraction, bracketing, two meters, the
// tester's volts, one-ended access, the reference, and leaks that drain.

func TestPhysics05_closurePasses(t *testing.T) {
	row(t, func(k *rec) {
		s := twoHalves(k)
		s.halves("split")
		f := s.find()
		if len(f.Closure) == 0 {
			k.fatalf("no closure: %s", f.Statement)
		}
		for _, c := range f.Closure {
			k.mostly("closure passes", c.Passed, "%+v", c)
		}
	})
}

// A leak that dried between the states is a finding of its own.
func TestPhysics05_closureFails(t *testing.T) {
	row(t, func(k *rec) {
		s := twoHalves(k)
		s.resize(1, 60e3)
		s.halves("split")
		f := s.find()
		f.verdict(fault.Inconsistent)
		for _, c := range f.Closure {
			if c.Passed {
				k.errorf("closure passes: %+v", c)
			}
		}
		f.says(`state|closure|changed`)
	})
}

// went is what unplugging B09 took away.
func (f found) went() fault.Subtraction {
	for _, s := range f.Subtraction {
		if s.Away == "B09" && s.Before == "closed" && s.After == "out" {
			return s
		}
	}
	f.k.fatalf("no subtraction for B09 among %+v", f.Subtraction)
	return fault.Subtraction{}
}

// boardTakesPart is a module's leak beside a board's: unplugging takes one away.
func boardTakesPart(k *rec, ohms float64) found {
	s := k.shop(boards, accessible)
	s.leak(circuit.Leak{At: "M03.3", Ohms: 250e3})
	s.leak(circuit.Leak{At: "M09.3", Ohms: ohms, OnlyWithBoard: "B09"})
	s.state("out", func(st *fault.State) { st.Unplugged = []string{"B09"} })
	s.section("closed", "M01-", "M12+")
	s.section("out", "M01-", "M12+")
	return s.find()
}

func TestPhysics06_whatUnpluggingTook(t *testing.T) {
	row(t, func(k *rec) {
		f := boardTakesPart(k, 150e3)
		w := f.went()
		if !w.Detected {
			k.errorf("150 kΩ went, and no change is detected: %+v", w)
		}
		k.mostly("what went covers its ohms", float64(w.Ohms.Low) <= 150e3 && 150e3 <= float64(w.Ohms.High), "%+v", w.Ohms)
		truth := 0.0
		for _, v := range f.s.pack.GroupVolts[:8*series+3] {
			truth += v
		}
		truth += f.s.pack.Leaks[1].Shift
		k.mostly("what went covers its volts", float64(w.Volts.Low) <= truth && truth <= float64(w.Volts.High), "%+v, truth %.2f", w.Volts, truth)
		f.verdict(fault.EquivalentOnly, fault.Narrowed, fault.NotDistinguishable, fault.Located)
		f.explains(`B09`)
	})
}

func TestPhysics06_noDetectableChange(t *testing.T) {
	row(t, func(k *rec) {
		f := boardTakesPart(k, 1e12)
		w := f.went()
		k.mostly("nothing went", !w.Detected, "%+v", w)
		if !w.Detected {
			f.explains("no detectable change")
			if w.Ohms.Relation != fault.Greater || !math.IsNaN(float64(w.Volts.Mid)) {
				k.errorf("what did not go has a place or a size: %+v", w)
			}
		}
		if share := f.suspected("B09"); share > 0.05 {
			k.errorf("a board that changes nothing has a share of %.2f", share)
		}
	})
}

func TestPhysics11_bracketed(t *testing.T) {
	row(t, func(k *rec) {
		f := drifting(k).find()
		f.leaks(1)
		f.position(0, "M03.3", 24)
	})
}

// The two meters' own pull is in the circuit: with the pair alone the size stays
// open, and is no zero.
func TestPhysics12_twoMetersSayNoSize(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 2e6})
		s.together("closed", "M12+", "M01-", "")
		f := s.find()
		for _, l := range f.Leaks {
			if l.Ohms.Relation == fault.Equal && float64(l.Ohms.High/l.Ohms.Low) < 3 {
				k.errorf("one equation gives a size of %+v", l.Ohms)
			}
		}
		for _, sec := range f.Sections {
			if sec.Ohms.Relation == fault.Equal && float64(sec.Ohms.High/sec.Ohms.Low) < 3 {
				k.errorf("one equation gives a section's size of %+v", sec.Ohms)
			}
		}
	})
}

// Two meters at once, written down as one that was moved.
func TestPhysics12_twoMetersNotWrittenDown(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 2e6})
		s.section("closed", "M01-", "M12+")
		s.end("closed", "M07-", "M04+", "M10+")
		a, b := s.together("closed", "M12+", "M01-", "")
		s.slip(b, func(r *fault.Reading) { r.TogetherWith = "" })
		f := s.find()
		f.doubt("two|together", a, b)
	})
}

// A tester of 250 V against 260 V of string: the higher end overflows, and is a
// bound on nothing but itself.
func TestPhysics13_drivenBackwards(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M01.2", Ohms: 35e3})
		s.across("closed", "M12+", "M01-")
		top, bottom := test(s, "closed", "M12+", 200), test(s, "closed", "M01-", 200)
		if r, _ := s.c.Reading(top); r.Relation != fault.Greater {
			k.fatalf("the tester was to overflow, and reads %+v", r)
		}
		f := s.find()
		if f.Verdict == fault.NoLeakTestProved || f.Verdict == fault.NoLeakTestNotProved {
			k.errorf("an overflow passes for insulation: %s", f.Statement)
		}
		for _, l := range f.Leaks {
			if float64(l.Ohms.Low) > 35e3 {
				k.errorf("%s and %s put the leak above %+v", top, bottom, l.Ohms)
			}
		}
	})
}

// Only the socket of the disconnect can be reached, the pack still in the car.
func TestPhysics17_socketAlone(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
		for _, pole := range []string{"SD@M07-", "SD@M06+"} {
			s.end("split", pole)
			s.with("split", pole, "R200k")
		}
		f := s.find()
		f.verdict(fault.Located, fault.Narrowed)
		f.leaks(1)
		f.place("M09")
		f.position(0, "M09.3", 6)
		f.ohms(0, 180e3, 0.08)
	})
}

// A lid on an isolating bracket is no second point: the reading does not move.
func TestPhysics18_otherPieceNotBonded(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop(pieces("lid"))
		s.pack.BackgroundPerGroup = 12e6 * groups
		s.pack.Bonds = []circuit.Bond{{From: "tray", To: "lid", Ohms: 1e12}}
		s.section("closed", "M01-", "M12+")
		s.take(fault.Reading{State: "closed", Red: "M01-", Black: "chassis:tray", Resistor: &fault.Fitted{ID: "R1M", From: "M12+", To: "chassis:lid"}})
		f := s.find()
		f.verdict(fault.NoLeakTestNotProved, fault.Inconsistent)
		if f.ReferenceProved {
			k.errorf("a proof that nothing moved is taken as proof")
		}
		f.says(`reference|lid|bond`)
	})
}

// A drain band in the cell volts speaks for two leaks at its edges.
func TestPhysics20_drainBandIsEvidence(t *testing.T) {
	row(t, func(k *rec) {
		s := twoHalves(k)
		why := "groups 15 to 57 are 22 mV low, with edges in M03 and M10"
		plain := s.find()
		f := s.find(fault.Evidence{Place: "M03", With: "M10", Kind: fault.Two, Odds: 50, Why: why})
		f.verdict(fault.EquivalentOnly)
		if f.hypothesis(fault.Two) <= plain.hypothesis(fault.Two) {
			k.errorf("two leaks: %.3f with the band, %.3f without", f.hypothesis(fault.Two), plain.hypothesis(fault.Two))
		}
		if f.suspected("M03") <= plain.suspected("M03") || f.suspected("M10") <= plain.suspected("M10") {
			k.errorf("the band's edges are no more suspected for it")
		}
		f.explains("22 mV low")
	})
}
