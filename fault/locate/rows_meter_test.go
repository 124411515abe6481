package locate_test

import (
	"math"
	"slices"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
)

// What is wrong with the measurement: the meter, the chassis reference, the
// place probed, the circuit around it.

func TestRow22_meterLoading(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
		for _, in := range []string{"dmm", "meter1M"} {
			s.take(fault.Reading{State: "closed", Red: "M12+", Instrument: in})
			s.take(fault.Reading{State: "closed", Red: "M01-", Instrument: in})
			s.take(fault.Reading{State: "closed", Red: "M01-", Instrument: in, Resistor: &fault.Fitted{ID: "R200k"}})
		}
		f := s.find()
		f.verdict(fault.EquivalentOnly)
		f.leaks(1)
		f.position(0, "M09.3", 4)
		f.ohms(0, 180e3, 0.05)
	})
}

func TestRow22_inputNotKnown(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
		s.section("closed", "M01-", "M12+")
		id := s.take(fault.Reading{State: "closed", Red: "M12+", Instrument: "unknown"})
		s.find().left(id, "input resistance")
	})
}

// A meter of 1 MΩ written down as one of 10 MΩ.
func TestRow23_wrongInputResistance(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
		for _, in := range []string{"meter1M", "dmm2"} {
			for _, red := range []string{"M12+", "M01-", "M07-", "M04+"} {
				s.take(fault.Reading{State: "closed", Red: red, Instrument: in})
			}
		}
		s.take(fault.Reading{State: "closed", Red: "M01-", Instrument: "meter1M", Resistor: &fault.Fitted{ID: "R200k"}})
		s.c.Instruments = slices.Clone(s.c.Instruments)
		for i := range s.c.Instruments {
			if s.c.Instruments[i].ID == "meter1M" {
				s.c.Instruments[i].InputOhms = 1e7
			}
		}
		f := s.find()
		f.doubt("input", "r1", "r2", "r3", "r4", "r5", "r6", "r7", "r8", "r9")
		f.says("input")
	})
}

func TestRow24_ghost(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.pack.BackgroundPerGroup = 20e6 * groups
		s.section("closed", "M01-", "M12+")
		f := s.find()
		f.verdict(fault.NoLeakTestNotProved)
		f.condemnsNone(0.5)
		f.never("balanced, good|good insulation")
		f.explains("ghost|background")
	})
}

// A low-impedance input of wide tolerance is weighed as what it is.
func TestRow25_lowImpedanceInput(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
		for _, red := range []string{"M12+", "M01-"} {
			s.take(fault.Reading{State: "closed", Red: red, Instrument: "lowz"})
		}
		f := s.find()
		f.verdict(fault.EquivalentOnly, fault.BeyondMethod)
		f.leaks(1)
		f.position(0, "M09.3", 8)
		f.ohms(0, 180e3, 0)
		if r := f.Leaks[0].Ohms; r.Relation == fault.Equal && float64(r.High/r.Low) < 1.15 {
			k.errorf("an input of ± 20 %% gives no size as close as %+v", r)
		}
	})
}

func TestRow27_activeMonitor(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop(monitor(2e6))
		s.state("live", func(st *fault.State) { st.Monitor = fault.MonitorActive })
		s.section("live", "M01-", "M12+")
		f := s.find()
		f.verdict(fault.Inconsistent)
		f.leaks(0)
		f.says("monitor")
	})
}

func TestRow27_connectedMonitorIsTwoResistors(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop(monitor(2e6))
		s.state("joined", func(st *fault.State) { st.Monitor = fault.MonitorConnected })
		s.leak(circuit.Leak{At: "M09.3", Ohms: 300e3})
		s.section("joined", "M01-", "M12+")
		f := s.find()
		f.verdict(fault.EquivalentOnly)
		f.leaks(1)
		f.position(0, "M09.3", 4)
		f.ohms(0, 300e3, 0.08)
	})
}

// A monitor whose resistance nobody knows may be all of the leak that is read.
func TestRow27_connectedMonitorNotKnown(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop(monitor(0))
		s.pack.MonitorOhms = 2e6
		s.state("joined", func(st *fault.State) { st.Monitor = fault.MonitorConnected })
		s.section("joined", "M01-", "M12+")
		f := s.find()
		f.condemnsNone(0.5)
		f.says("monitor")
	})
}

// A clip on paint reads near nothing everywhere, like a sound pack.
func TestRow29_clipOnPaint(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop(pieces("lid"))
		s.pack.Bonds = []circuit.Bond{{From: "tray", To: "clip", Ohms: math.Inf(1)}}
		s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
		s.across("closed", "M12+", "M01-")
		for _, red := range []string{"M12+", "M01-"} {
			s.clipped(s.across("closed", red, "chassis:clip"))
		}
		f := s.find()
		f.verdict(fault.NoLeakTestNotProved, fault.Inconsistent)
		f.says(`not proved|reference|clip`)
		s.clipped(s.take(fault.Reading{State: "closed", Red: "M01-", Black: "chassis:clip", Resistor: &fault.Fitted{ID: "R1M", From: "M12+", To: "chassis:lid"}}))
		f = s.find()
		f.verdict(fault.NoLeakTestNotProved, fault.Inconsistent)
		f.says(`reference|clip`)
		if f.ReferenceProved || f.hypothesis(fault.One)+f.hypothesis(fault.Two) > 0.5 {
			k.errorf("a clip that nothing moves is taken for chassis: %v", f.Hypotheses)
		}
	})
}

// clipped writes a reading down as taken to the tray, where the clip was meant to be.
func (s *shop) clipped(id string) {
	s.slip(id, func(r *fault.Reading) {
		r.Black = "chassis:tray"
		if r.Resistor != nil && r.Resistor.To == "chassis:clip" {
			r.Resistor = &fault.Fitted{ID: r.Resistor.ID, From: r.Resistor.From, To: "chassis:lid"}
		}
	})
}

// Resistor and black lead on one bad clip move, by a wrong amount.
func TestRow30_resistorOnTheSameClip(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop(pieces("lid"))
		s.pack.BackgroundPerGroup = 12e6 * groups
		s.pack.Bonds = []circuit.Bond{{From: "tray", To: "clip", Ohms: math.Inf(1)}}
		s.section("closed", "M01-", "M12+")
		s.clipped(s.take(fault.Reading{State: "closed", Red: "M01-", Black: "chassis:clip", Resistor: &fault.Fitted{ID: "R1M", From: "M12+", To: "chassis:clip"}}))
		f := s.find()
		f.verdict(fault.NoLeakTestNotProved, fault.Inconsistent)
		if f.ReferenceProved {
			k.errorf("a proof that does not move as foretold is taken as proof")
		}
		f.says(`reference|same metal|clip`)
	})
}

func TestRow30_properProof(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop(pieces("lid"))
		s.pack.BackgroundPerGroup = 12e6 * groups
		s.section("closed", "M01-", "M12+")
		s.take(fault.Reading{State: "closed", Red: "M01-", Black: "chassis:tray", Resistor: &fault.Fitted{ID: "R1M", From: "M12+", To: "chassis:lid"}})
		f := s.find()
		f.verdict(fault.NoLeakTestProved)
		if !f.ReferenceProved {
			k.errorf("the reference is not proved")
		}
		f.condemnsNone(0.5)
	})
}

func TestRow31_beyondTheContactors(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
		s.section("closed", "M01-", "M12+")
		before := s.find()
		id := s.end("closed", "pack+")
		f := s.find()
		f.left(id, `not on the string`)
		if f.Statement != before.Statement {
			k.errorf("a reading off the string changed the statement to %s", f.Statement)
		}
	})
}

func TestRow32_endsOfTwoHalves(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 180e3})
		s.across("split", "M12+", "M01-")
		s.end("split", "M12+", "M01-")
		f := s.find()
		f.verdict(fault.TooFewReadings)
		f.leaks(0)
		f.condemnsNone(0.5)
		f.says(`halves|two sections|different sections|another terminal of it`)
	})
}

// A fuse in the middle has blown and nobody knows.
func TestRow33_brokenString(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.state("blown", func(st *fault.State) { st.Open = []string{"L08"} })
		s.leak(circuit.Leak{At: "M10.3", Ohms: 180e3})
		s.across("blown", "M12+", "M01-")
		s.end("blown", "M12+", "M01-", "M04+", "M06+", "M10-")
		s.across("blown", "M06+", "M01-")
		for i := range s.c.Readings {
			s.c.Readings[i].State = "closed"
		}
		f := s.find()
		f.verdict(fault.Inconsistent)
		f.says(`broken|interrupted|open between|not joined`)
	})
}
