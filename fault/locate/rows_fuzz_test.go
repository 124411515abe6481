package locate_test

import (
	"context"
	"errors"
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/fault/format"
	"halfsplit/fault/locate"
	"halfsplit/topology"
)

// small is every case file of few groups, and two packs with everything that a
// layout can have: what is bent should be weighed in milliseconds.
func small(t testing.TB) []fault.Case {
	paths, err := filepath.Glob("../../testdata/cases/*.case.json")
	if err != nil || len(paths) == 0 {
		t.Fatalf("no cases: %v", err)
	}
	var cases []fault.Case
	for _, p := range paths {
		raw, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		c, _, err := format.ReadCase(p, raw, nil)
		if err != nil {
			t.Fatal(err)
		}
		groups := 0
		for _, m := range c.Layout.Modules {
			groups += m.Series
		}
		if groups <= 20 {
			cases = append(cases, c)
		}
	}
	return append(cases, furnished(), twoStrings())
}

// thin leaves every module two groups.
func thin(l *topology.Layout) {
	for i := range l.Modules {
		l.Modules[i].Series = 2
	}
}

// furnished is a pack with boards, rails, a monitor and two pieces of chassis,
// read closed, split, and with a tester.
func furnished() fault.Case {
	k := &rec{seed: 1}
	s := k.shop(thin, boards, accessible, mainLinks, pieces("lid"), monitor(3e6))
	s.leak(circuit.Leak{At: "M09.1", Ohms: 150e3})
	s.section("closed", "M01-", "M12+")
	s.take(fault.Reading{State: "closed", Red: "M01-", Black: "chassis:tray", Resistor: &fault.Fitted{ID: "R1M", From: "M12+", To: "chassis:lid"}})
	s.halves("split")
	s.take(fault.Reading{State: "split", Quantity: fault.Insulation, Red: "M12+", TestVolts: 500, Instrument: "tester"})
	return s.c
}

// twoStrings is two strings tied at both ends.
func twoStrings() fault.Case {
	l := parallel()
	thin(&l)
	s := (&rec{seed: 2}).shopOf(l)
	s.state("apart", func(st *fault.State) { st.Open = []string{"TNP", "TNN"} })
	s.leak(circuit.Leak{At: "N03.1", Ohms: 90e3})
	s.section("closed", "M01-", "M06+")
	s.section("apart", "N01-", "N06+")
	return s.c
}

// FuzzFind bends cases: their readings, states, instruments, cell lists and
// layouts. Whatever comes in, the finding is a legal one.
//
// The first byte chooses the file, then every five bytes are one change: its kind,
// what it is done to, how, and a number of two bytes.
func FuzzFind(f *testing.F) {
	cases := small(f)
	for i := range cases {
		f.Add([]byte{byte(i)})
		for op := range byte(ops) {
			f.Add([]byte{byte(i), op, op + 3, 2*op + byte(i), 200, 90})
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 0 && len(data) <= 61 {
			bent(t, cases, data)
		}
	})
}

// TestRowsProperty_BentCasesGiveLegalFindings is the same with changes drawn at
// random, without the fuzzer.
func TestRowsProperty_BentCasesGiveLegalFindings(t *testing.T) {
	cases, rng := small(t), rand.New(rand.NewPCG(41, 1))
	for range 25 * seeds() * seeds() {
		data := make([]byte, 1+5*(1+rng.IntN(3)))
		for i := range data {
			data[i] = byte(rng.IntN(256))
		}
		if bent(t, cases, data); t.Failed() {
			t.Fatalf("by %v", data)
		}
	}
}

// patience is how long one finding may take: as long as it does, but while
// fuzzing, whose workers are taken for hung after ten seconds.
func patience() (context.Context, context.CancelFunc) {
	if f := flag.Lookup("test.fuzz"); f != nil && f.Value.String() != "" {
		return context.WithTimeout(context.Background(), 4*time.Second)
	}
	return context.WithCancel(context.Background())
}

// bent bends one case and checks what is found in it.
func bent(t *testing.T, cases []fault.Case, data []byte) {
	t.Helper()
	c, ok := copied(cases[int(data[0])%len(cases)]), false
	for rest := data[1:]; len(rest) >= 5; rest = rest[5:] {
		bend(&c, rest[0], int(rest[1]), int(rest[2]), number(rest[3], rest[4]))
	}
	if c, ok = throughFile(c); !ok {
		return
	}
	ctx, cancel := patience()
	defer cancel()
	found, err := locate.Find(ctx, c, nil)
	if errors.Is(err, context.DeadlineExceeded) {
		return // only while fuzzing: instrumented code is some ten times slower
	}
	if err != nil {
		t.Fatal(err)
	}
	legal(t, c, found)
}

// copied shares nothing that bend changes.
func copied(c fault.Case) fault.Case {
	c.Readings, c.States, c.Instruments = slices.Clone(c.Readings), slices.Clone(c.States), slices.Clone(c.Instruments)
	c.GroupVolts, c.Resistors = slices.Clone(c.GroupVolts), slices.Clone(c.Resistors)
	c.Layout.Modules, c.Layout.Links, c.Layout.Boards = slices.Clone(c.Layout.Modules), slices.Clone(c.Layout.Links), slices.Clone(c.Layout.Boards)
	for i := range c.GroupVolts {
		c.GroupVolts[i].Volts = slices.Clone(c.GroupVolts[i].Volts)
	}
	for i := range c.Instruments {
		c.Instruments[i].Ranges = slices.Clone(c.Instruments[i].Ranges)
	}
	return c
}

// throughFile writes a case and reads it again: what the reader refuses never
// reaches the engine.
func throughFile(c fault.Case) (fault.Case, bool) {
	raw, err := format.WriteCase(c)
	if err != nil {
		return c, false
	}
	c, _, err = format.ReadCase("bent", raw, nil)
	return c, err == nil
}

// number is a value of any size and sign, and now and then none.
func number(a, b byte) float64 {
	if a == 255 {
		return []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0}[b%4]
	}
	v := (float64(b) - 128) / 8
	return v * math.Pow10(int(a)%17-8)
}

// pick is an element of a list, nil of an empty one.
func pick[T any](list []T, i int) *T {
	if len(list) == 0 {
		return nil
	}
	return &list[max(0, i)%len(list)]
}

// ops is how many kinds of change bend knows.
const ops = 6

// bend changes one thing of a case.
func bend(c *fault.Case, op byte, which, what int, v float64) {
	switch op % ops {
	case 0:
		bendReading(c, which, what, v)
	case 1:
		if s := pick(c.States, which); s != nil {
			bendState(c, s, what, which/2)
		}
	case 2:
		if in := pick(c.Instruments, which); in != nil {
			bendInstrument(in, what, v)
		}
	case 3:
		if gv := pick(c.GroupVolts, which); gv != nil && len(gv.Volts) > 0 {
			if what%3 == 0 {
				gv.Volts = gv.Volts[:what%len(gv.Volts)]
			} else {
				gv.Volts[what%len(gv.Volts)] = math.Mod(v, 1000)
			}
		}
	case 4:
		bendLayout(&c.Layout, which, what)
	case 5:
		if r := pick(c.Resistors, which); r != nil {
			r.Ohms, r.TolPct = math.Abs(v), float64(what)/8
		}
	}
}

func bendReading(c *fault.Case, which, what int, v float64) {
	r := pick(c.Readings, which)
	if r == nil {
		return
	}
	other := pick(c.Readings, which+1+what/16)
	switch what % 12 {
	case 0:
		r.Value, r.Raw = v, ""
	case 1:
		r.Value, r.Raw = -r.Value, ""
	case 2:
		r.Value, r.Raw = r.Value*1000, ""
	case 3:
		r.Red, r.Black = r.Black, r.Red
	case 4:
		r.State = other.State
	case 5:
		r.Relation = []string{fault.Less, fault.Greater, "~"}[which%3]
	case 6:
		r.TogetherWith = other.ID
	case 7:
		r.Supersedes, r.Why = other.ID, "bent"
	case 8:
		r.Quantity, r.TestVolts = fault.Insulation, v
	case 9:
		r.Resistor = &fault.Fitted{ID: "R200k", From: other.Red, To: r.Black}
	case 10:
		r.AfterTouchS = &v
	case 11:
		r.Red, r.Range = other.Red, v
	}
}

func bendState(c *fault.Case, s *fault.State, what, n int) {
	yes := what%2 == 0
	switch what % 8 {
	case 0, 1:
		if l := pick(c.Layout.Links, n); l != nil {
			s.Open = append(slices.Clone(s.Open), l.ID)
		}
	case 2:
		s.Open = nil
	case 3:
		if m := pick(c.Layout.Modules, n); m != nil {
			s.Removed = append(slices.Clone(s.Removed), m.ID)
		}
	case 4:
		s.Contactors = []string{fault.Open, fault.Closed, ""}[n%3]
	case 5:
		s.Monitor = []string{fault.MonitorActive, fault.MonitorConnected, ""}[n%3]
	case 6:
		s.Wet, s.Torqued = &yes, nil
	case 7:
		s.Connected = []string{"a charger"}
	}
}

func bendInstrument(in *fault.Instrument, what int, v float64) {
	switch what % 6 {
	case 0:
		in.GainPct = math.Abs(v)
	case 1:
		in.Counts = math.Abs(v)
	case 2:
		in.InputOhms = math.Abs(v)
	case 3:
		in.InputTolPct = math.Abs(v)
	case 4:
		in.Ranges = nil
	case 5:
		if r := pick(in.Ranges, what); r != nil {
			r.Max, r.Count = math.Abs(v), math.Abs(v)/6000
		}
	}
}

func bendLayout(l *topology.Layout, which, what int) {
	m, k := pick(l.Modules, which), pick(l.Links, which)
	switch {
	case what%6 == 0 && m != nil:
		m.Series = what / 6
	case what%6 == 1 && k != nil:
		k.From, k.To = k.To, k.From
	case what%6 == 2 && k != nil:
		l.Links = slices.Delete(l.Links, which%len(l.Links), which%len(l.Links)+1)
	case what%6 == 3 && len(l.Modules) > 1:
		l.Modules = slices.Delete(l.Modules, which%len(l.Modules), which%len(l.Modules)+1)
	case what%6 == 4 && k != nil:
		k.To = pick(l.Links, which+what).From
	case what%6 == 5 && m != nil:
		l.Boards = append(l.Boards, topology.Board{ID: "BX", Taps: []string{m.ID + "-", m.ID + "+"}})
	}
}
