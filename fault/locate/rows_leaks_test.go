package locate_test

import (
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
)

// What leaks in the string itself: one, two, many, hard, soft, too soft.

func TestRow01_hardLeakUnbroken(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M08.3", Ohms: 600})
		s.across("closed", "M12+", "M01-")
		s.end("closed", "M12+", "M01-", "M12+")
		f := s.find()
		f.verdict(fault.EquivalentOnly)
		f.leaks(1)
		if l := f.Leaks[0]; l.If != "one leak" || l.Ohms.Relation != fault.Less {
			k.errorf("if %q, ohms %+v: want one leak, and a bound by the bare meter", l.If, l.Ohms)
		}
		f.position(0, "M08.3", 3.5)
		f.says(`live to chassis|treat chassis as joined`)
		f.never(`balanced|good insulation`)
		s.with("closed", "M01-", "R47k")
		f = s.find()
		f.verdict(fault.EquivalentOnly)
		f.leaks(1)
		f.ohms(0, 600, 0)
		if high := float64(f.Leaks[0].Ohms.High); !(high < 3000) {
			k.errorf("with 47 kΩ a leak of 600 Ω is below %g Ω, want 3 kΩ", high)
		}
	})
}

func TestRow01_hardLeakSplit(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M08.3", Ohms: 600})
		s.ends("closed", "M01-", "M12+", "R47k")
		s.end("split", "M01-", "M06+")
		s.ends("split", "M07-", "M12+", "R47k")
		f := s.find()
		f.verdict(fault.Located)
		f.leaks(1)
		f.place("M08")
		f.position(0, "M08.3", 3.5)
		f.ohms(0, 600, 0)
		f.says(`one leak in each section`)
	})
}

func TestRow02_softLeak(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
		s.section("closed", "M01-", "M12+")
		s.end("closed", "M12+")
		f := s.find()
		f.verdict(fault.EquivalentOnly)
		f.leaks(1)
		f.position(0, "M09.3", 4)
		f.explains("background")
		s.halves("split")
		f = s.find()
		f.verdict(fault.Located)
		f.leaks(1)
		f.place("M09")
		f.position(0, "M09.3", 3.5)
		f.ohms(0, 180e3, 0.04)
	})
}

func TestRow03_verySoftLeakIsOutOfReach(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.pack.BackgroundPerGroup = 33e6 * groups
		s.leak(circuit.Leak{At: "M11.3", Ohms: 9.5e6})
		s.section("closed", "M01-", "M12+")
		f := s.find()
		f.verdict(fault.BeyondMethod, fault.EquivalentOnly, fault.Narrowed, fault.NoLeakTestNotProved)
		f.condemnsNone(0.95)
		if len(f.Leaks) == 1 {
			f.position(0, "M11.3", groups)
			if p := f.Leaks[0].Position; float64(p.High-p.Low) < series {
				k.errorf("position %.1f to %.1f is less than a module wide", float64(p.Low), float64(p.High))
			}
		}
	})
}

// The pull of the background is counted in the interval.
func TestRow03_backgroundLimits(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.pack.BackgroundPerGroup = 33e6 * groups
		s.leak(circuit.Leak{At: "M11.3", Ohms: 2e6})
		s.section("closed", "M01-", "M12+")
		f := s.find()
		f.verdict(fault.EquivalentOnly, fault.BeyondMethod)
		f.leaks(1)
		f.position(0, "M11.3", groups)
		if f.LimitedBy != "background" {
			k.errorf("limited by %q, want background", f.LimitedBy)
		}
	})
}

func twoHalves(k *rec) *shop {
	s := k.shop()
	s.leak(circuit.Leak{At: "M03.3", Ohms: 150e3})
	s.leak(circuit.Leak{At: "M10.3", Ohms: 330e3})
	s.section("closed", "M01-", "M12+")
	return s
}

func TestRow04_twoHalvesUnbroken(t *testing.T) {
	row(t, func(k *rec) {
		f := twoHalves(k).find()
		f.verdict(fault.EquivalentOnly)
		f.leaks(1)
		if f.Leaks[0].If != "one leak" {
			k.errorf("if %q, want one leak", f.Leaks[0].If)
		}
		f.condemnsNone(0.95)
		f.would("SD")
	})
}

func TestRow04_twoHalvesSplit(t *testing.T) {
	row(t, func(k *rec) {
		s := twoHalves(k)
		s.halves("split")
		f := s.find()
		f.verdict(fault.Located)
		f.leaks(2)
		f.place("M03")
		f.place("M10")
		f.position(0, "M03.3", 3.5)
		f.position(1, "M10.3", 3.5)
		f.ohms(0, 150e3, 0.05)
		f.ohms(1, 330e3, 0.05)
	})
}

// Two leaks drain what lies between them: u₂ − u₁ over R₁ + R₂.
func TestRow04_loopCurrent(t *testing.T) {
	row(t, func(k *rec) {
		s := twoHalves(k)
		s.halves("split")
		s.find().explains(`\d[ \d.]*(mA|µA)`)
	})
}

func twoInOneHalf(k *rec) *shop {
	s := k.shop(accessible)
	s.leak(circuit.Leak{At: "M08.3", Ohms: 150e3})
	s.leak(circuit.Leak{At: "M11.3", Ohms: 200e3})
	s.section("closed", "M01-", "M12+")
	s.halves("split")
	return s
}

func TestRow05_twoInOneHalfAreNotDenied(t *testing.T) {
	row(t, func(k *rec) {
		f := twoInOneHalf(k).find()
		f.verdict(fault.Located, fault.Narrowed)
		f.leaks(1)
		if several := float64(f.Leaks[0].Several); !(several > 0.02) {
			k.errorf("several %.3f; one section read as a whole cannot deny a second leak", several)
		}
		f.says(`one leak in each section`)
		f.would(`L0[789]|L1[01]`)
	})
}

func TestRow05_twoInOneHalfSplitAgain(t *testing.T) {
	row(t, func(k *rec) {
		s := twoInOneHalf(k)
		s.state("again", func(st *fault.State) { st.Open = []string{"SD", "L09"} })
		s.section("again", "M07-", "M09+")
		s.section("again", "M10-", "M12+")
		f := s.find()
		f.verdict(fault.Located)
		f.leaks(2)
		f.place("M08")
		f.place("M11")
		f.position(0, "M08.3", 3.5)
		f.position(1, "M11.3", 3.5)
	})
}

// Drying changes two leaks unequally: what looks like one leak moves.
func TestRow05_equivalentThatMoves(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		yes, no := true, false
		s.state("wet", func(st *fault.State) { st.Open, st.Wet = []string{"SD"}, &yes })
		s.state("dry", func(st *fault.State) { st.Open, st.Wet = []string{"SD"}, &no })
		s.leak(circuit.Leak{At: "M08.3", Ohms: 150e3})
		s.leak(circuit.Leak{At: "M11.3", Ohms: 200e3})
		s.halves("wet")
		s.resize(1, 900e3)
		s.halves("dry")
		f := s.find()
		f.apart("wet", "dry", "wet|dry")
		f.explains(`moved?\b|more than one|several`)
	})
}

// pooled is liquid under four modules: every wet module leaks at several taps.
func pooled(k *rec) *shop {
	s := k.shop()
	for _, at := range []string{"M05.1", "M05.3", "M05.5", "M06.2", "M06.4", "M07.1", "M07.3", "M07.6", "M08.2", "M08.3", "M08.5"} {
		s.leak(circuit.Leak{At: at, Ohms: between(s.rng, 1e6, 3e6)})
	}
	s.section("closed", "M01-", "M12+")
	return s
}

func TestRow06_pooledUnbroken(t *testing.T) {
	row(t, func(k *rec) {
		f := pooled(k).find()
		f.verdict(fault.EquivalentOnly)
		f.condemnsNone(0.95)
	})
}

func TestRow06_pooledSplit(t *testing.T) {
	row(t, func(k *rec) {
		s := pooled(k)
		s.state("runs", func(st *fault.State) { st.Open = []string{"L04", "L05", "SD", "L07", "L08"} })
		s.end("runs", "M01-", "M04+", "M09-", "M12+")
		for _, m := range []string{"M05", "M06", "M07", "M08"} {
			s.section("runs", m+"-", m+"+")
		}
		f := s.find()
		f.verdict(fault.Narrowed)
		f.leads(fault.Spread)
		f.condemnsNone(0.95)
		f.says(`spread|distributed`)
		f.says(`no single module|liquid`)
	})
}
