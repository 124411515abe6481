package locate_test

import (
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
)

// Circuits that are not one meter on one string: two meters, strings in
// parallel, a bridged gap, a tester with volts of its own.

// together reads two terminals with a meter on each at the same time.
func (s *shop) together(state, redA, redB, resistorB string) (a, b string) {
	one := fault.Reading{ID: "one", State: state, Quantity: fault.Volts, Red: redA, Black: "chassis", Instrument: "dmm", TogetherWith: "two"}
	two := fault.Reading{ID: "two", State: state, Quantity: fault.Volts, Red: redB, Black: "chassis", Instrument: "dmm2"}
	if resistorB != "" {
		two.Resistor = &fault.Fitted{ID: resistorB, From: redB, To: "chassis"}
	}
	if len(s.c.GroupVolts) == 0 {
		s.cells(s.c.States[0].ID)
	}
	s.ready(one, two)
	for _, r := range []*fault.Reading{&one, &two} {
		got, err := s.bench.Read(*r)
		if err != nil {
			s.k.fatalf("%v", err)
		}
		s.draws += 2
		*r = got
	}
	s.bench = nil
	one.TogetherWith = ""
	a = s.record(one)
	two.TogetherWith = a
	return a, s.record(two)
}

func TestRow34_twoMetersAtOnce(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M09.3", Ohms: 2e6})
		s.together("closed", "M12+", "M01-", "")
		f := s.find()
		f.verdict(fault.TooFewReadings, fault.EquivalentOnly, fault.BeyondMethod)
		f.condemnsNone(0.9)
		if len(f.Leaks) == 1 {
			f.position(0, "M09.3", groups)
			if p := f.Leaks[0].Position; float64(p.High-p.Low) < series {
				k.errorf("one equation places the leak within %.1f groups", float64(p.High-p.Low))
			}
		}
		s.together("closed", "M12+", "M01-", "R200k")
		f = s.find()
		f.verdict(fault.EquivalentOnly, fault.BeyondMethod)
		f.leaks(1)
		f.position(0, "M09.3", groups/2)
		f.ohms(0, 2e6, 0)
	})
}

func parallelPack(k *rec, state string, open ...string) *shop {
	s := k.shopOf(parallel())
	net := s.pack.Net
	if len(net.Strings) != 2 {
		k.fatalf("%d strings drawn", len(net.Strings))
	}
	s.state(state, func(st *fault.State) { st.Open = open })
	s.leak(circuit.Leak{At: "N03.3", Ohms: 120e3})
	return s
}

func TestRow35_tiedAtBothEnds(t *testing.T) {
	row(t, func(k *rec) {
		s := parallelPack(k, "tied")
		s.ends("tied", "N01-", "N06+", "R200k")
		f := s.find()
		f.verdict(fault.EquivalentOnly, fault.NotDistinguishable)
		f.condemnsNone(0.95)
		for _, id := range []string{"M03", "N03"} {
			f.place(id)
		}
		f.would(`both ends`)
	})
}

func TestRow36_apartAtOneEnd(t *testing.T) {
	row(t, func(k *rec) {
		s := parallelPack(k, "one end", "TNP")
		s.end("one end", "M06+", "N01-", "N06+")
		s.with("one end", "N06+", "R200k")
		f := s.find()
		f.verdict(fault.EquivalentOnly, fault.NotDistinguishable)
		f.place("N03")
		f.place("M03")
		f.says(`still one section|other end`)
	})
}

func TestRow36_apartAtBothEnds(t *testing.T) {
	row(t, func(k *rec) {
		s := parallelPack(k, "apart", "TNP", "TNN")
		s.end("apart", "M01-", "M06+")
		s.ends("apart", "N01-", "N06+", "R200k")
		f := s.find()
		f.verdict(fault.EquivalentOnly)
		f.leaks(1)
		if f.Leaks[0].String != "N01" {
			k.errorf("leak in string %s, want N01", f.Leaks[0].String)
		}
		f.place("N03")
		for _, m := range f.s.layout.Modules {
			if m.ID[0] == 'M' && f.suspected(m.ID) > 0.05 {
				k.errorf("%s is cleared, and has a share of %.2f", m.ID, f.suspected(m.ID))
			}
		}
	})
}

// A board or a harness joins the halves across the opened disconnect.
func TestRow37_bridgedGap(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop(boards)
		s.pack.Bridges = []circuit.Bridge{{From: "SD@M06+", To: "SD@M07-", Ohms: 300e3, OnlyWithBoard: "B06"}}
		s.leak(circuit.Leak{At: "M09.3", Ohms: 120e3})
		s.section("closed", "M01-", "M12+")
		s.halves("split")
		s.across("split", "SD@M07-", "SD@M06+")
		f := s.find()
		f.verdict(fault.Inconsistent, fault.Narrowed)
		f.says(`joins|bridge`)
	})
}

func test(s *shop, state, red string, volts float64) string {
	return s.take(fault.Reading{State: state, Quantity: fault.Insulation, Red: red, TestVolts: volts, Instrument: "tester"})
}

func TestRow38_testerAtOneEndOfALiveSection(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M03.3", Ohms: 35e3})
		s.across("closed", "M12+", "M01-")
		id := test(s, "closed", "M12+", 500)
		f := s.find()
		f.left(id, `live|volts|both ends|other end`)
		f.leaks(0)
	})
}

func TestRow38_testerAtBothEnds(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.leak(circuit.Leak{At: "M03.3", Ohms: 35e3})
		s.across("closed", "M12+", "M01-")
		top, bottom := test(s, "closed", "M12+", 500), test(s, "closed", "M01-", 500)
		f := s.find()
		f.used(top, bottom)
		f.verdict(fault.EquivalentOnly, fault.BeyondMethod)
		f.leaks(1)
		f.ohms(0, 35e3, 0)
		f.position(0, "M03.3", groups)
	})
}

// A tester on a module alone, whose volts are small beside the tester's, reads
// a resistance as it stands.
func TestRow38_testerOnAModuleAlone(t *testing.T) {
	row(t, func(k *rec) {
		s := k.shop()
		s.state("alone", func(st *fault.State) { st.Open = []string{"L08", "L09"} })
		s.leak(circuit.Leak{At: "M09.3", Ohms: 80e3})
		id := test(s, "alone", "M09+", 500)
		f := s.find()
		f.used(id)
		f.sectionOhms("alone", "M09-", 80e3)
	})
}

// sectionOhms wants a section's own resistance to cover the truth.
func (f found) sectionOhms(state, from string, truth float64) {
	for _, sec := range f.Sections {
		if sec.State == state && sec.From == from {
			f.k.mostly("section ohms cover", float64(sec.Ohms.Low) <= truth && truth <= float64(sec.Ohms.High), "%+v, truth %g", sec.Ohms, truth)
			return
		}
	}
	f.k.errorf("no section %s of state %s", from, state)
}
