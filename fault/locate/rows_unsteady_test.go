package locate_test

import (
	"math"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
)

// Leaks that come and go with torque, wetness, warmth, volts or time.

// comesAndGoes is one leak read in two states, with another size in the second.
func comesAndGoes(k *rec, first, second func(st *fault.State), before, after float64) *shop {
	s := k.shop()
	s.state("before", first)
	s.state("after", second)
	s.leak(circuit.Leak{At: "M09.3", Ohms: before})
	s.section("before", "M01-", "M12+")
	s.resize(0, after)
	s.section("after", "M01-", "M12+")
	return s
}

func torqued(yes bool) func(st *fault.State) {
	return func(st *fault.State) { st.Torqued = &yes }
}

func wet(yes bool) func(st *fault.State) {
	return func(st *fault.State) { st.Wet = &yes }
}

func TestRow16_onlyWithTheMountsTorqued(t *testing.T) {
	row(t, func(k *rec) {
		comesAndGoes(k, torqued(true), torqued(false), 120e3, 1e12).find().apart("before", "after", "torque|mount")
	})
}

func TestRow17_onlyWhenWet(t *testing.T) {
	row(t, func(k *rec) {
		f := comesAndGoes(k, wet(true), wet(false), 120e3, 1e12).find()
		f.apart("before", "after", "wet|dry|dried")
		f.never(`wet (it|the pack)|spray|repaired`)
	})
}

func TestRow18_anotherTemperature(t *testing.T) {
	row(t, func(k *rec) {
		s := comesAndGoes(k, nil, nil, 120e3, 600e3)
		for state, celsius := range map[string]float64{"before": 31, "after": 14} {
			s.record(fault.Reading{State: state, Quantity: fault.Celsius, Red: "M09-", Black: "M09-", Value: celsius})
		}
		f := s.find()
		f.apart("before", "after", "changed|differ|do(es)? not (fit|agree|belong)|°C")
		f.never("improve")
	})
}

// Volts of the string see nothing; a tester's volts on the module alone break
// down.
func TestRow19_breaksDownUnderTestVolts(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.state("alone", func(st *fault.State) { st.Open = []string{"L08", "L09"} })
		s.leak(circuit.Leak{At: "M09.3", Ohms: 1e12})
		s.section("closed", "M01-", "M12+")
		s.section("alone", "M09-", "M09+")
		s.resize(0, 40e3)
		id := s.take(fault.Reading{State: "alone", Quantity: fault.Insulation, Red: "M09+", TestVolts: 500, Instrument: "tester"})
		f := s.find()
		if f.Verdict == fault.NoLeakTestProved || f.Verdict == fault.NoLeakTestNotProved {
			k.errorf("no leak is seen, though %s shows one: %s", id, f.Statement)
		}
		f.says(`500 V|test volt|tester`)
	})
}

// drifting is a leak that dries while it is read: top, bottom, top again, eleven
// minutes apart.
func drifting(k *rec) *shop {
	s := k.shop()
	s.leak(circuit.Leak{At: "M03.3", Ohms: 2e6})
	s.across("closed", "M12+", "M01-")
	g := 1 / 2e6
	for i, at := range []string{"M12+", "M01-", "M12+"} {
		s.resize(0, 1/(g*(1-0.15*float64(i))))
		s.minute += 10
		s.end("closed", at)
	}
	return s
}

func TestRow20_driftIsSaid(t *testing.T) {
	row(t, func(k *rec) {
		f := drifting(k).find()
		f.verdict(fault.EquivalentOnly, fault.BeyondMethod)
		f.explains("drift")
	})
}

// A leak that steps between two sizes is not averaged.
func TestRow21_steps(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 100e3})
		s.across("closed", "M12+", "M01-")
		s.end("closed", "M01-")
		for _, ohms := range []float64{100e3, 100e3, 3e6, 3e6, 3e6, 100e3} {
			s.resize(0, ohms)
			s.end("closed", "M12+")
		}
		f := s.find()
		f.verdict(fault.Inconsistent, fault.TooFewReadings)
		f.says(`step|level|jump|intermittent|two values|swing|changed between`)
	})
}

// Y capacitors: what is read soon after touching is not yet what it will be.
func TestRow26_settling(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 900e3})
		s.across("closed", "M12+", "M01-")
		const tau = 4.0
		for _, at := range []string{"M12+", "M01-"} {
			for _, seconds := range []float64{2, 5, 9} {
				id := s.end("closed", at)
				s.slip(id, func(r *fault.Reading) {
					r.Value = math.Round((r.Value+20*math.Exp(-seconds/tau))*10) / 10
					r.AfterTouchS = minutes(seconds)
				})
			}
		}
		f := s.find()
		f.verdict(fault.EquivalentOnly, fault.BeyondMethod)
		f.leaks(1)
		f.position(0, "M09.3", 8)
		f.explains("settl")
	})
}
