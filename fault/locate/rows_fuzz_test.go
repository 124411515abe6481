package locate_test

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/format"
	"halfsplit/fault/locate"
	"halfsplit/topology"
)

// whole is every case file that the commands are tested with.
func whole(t testing.TB) []fault.Case {
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
		cases = append(cases, c)
	}
	return cases
}

// FuzzFind bends case files: their readings, states, instruments, cell lists and
// layouts. Whatever comes in, the finding is a legal one.
//
// The first byte chooses the file, then every five bytes are one change: its kind,
// what it is done to, how, and a number of two bytes.
func FuzzFind(f *testing.F) {
	cases := whole(f)
	for i := range cases {
		f.Add([]byte{byte(i), byte(i), byte(3 * i), byte(i / ops), 200, 90})
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		if raced {
			t.Skip("the race detector has the rows themselves")
		}
		if len(data) == 0 || len(data) > 61 {
			return
		}
		c := copied(cases[int(data[0])%len(cases)])
		for rest := data[1:]; len(rest) >= 5; rest = rest[5:] {
			bend(&c, rest[0], int(rest[1]), int(rest[2]), number(rest[3], rest[4]))
		}
		found, err := locate.Find(context.Background(), c, nil)
		if err != nil {
			t.Fatal(err)
		}
		legal(t, c, found)
	})
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
	return &list[i%len(list)]
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
			bendState(c, s, what, int(math.Abs(math.Mod(v, 100))))
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
				gv.Volts[what%len(gv.Volts)] = v
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

// legal checks what every finding must be.
func legal(t *testing.T, c fault.Case, f fault.Finding) {
	t.Helper()
	if !slices.Contains(fault.Verdicts, f.Verdict) || f.Statement == "" {
		t.Errorf("verdict %q, statement %q", f.Verdict, f.Statement)
	}
	if strings.Contains(f.Statement+f.WouldTell, "NaN") || strings.Contains(f.Statement, "%!") {
		t.Errorf("statement: %s", f.Statement)
	}
	sum := 0.0
	for _, h := range f.Hypotheses {
		share(t, "hypothesis "+h.Kind, h.Share)
		sum += float64(h.Share)
	}
	if len(f.Hypotheses) > 0 && math.Abs(sum-1) > 1e-6 {
		t.Errorf("hypotheses sum to %.9f: %v", sum, f.Hypotheses)
	}
	for _, s := range f.Suspicion {
		share(t, "suspicion of "+s.ID, s.Share)
	}
	for i := range f.Leaks {
		legalLeak(t, f.Leaks[i])
	}
	for _, s := range f.Sections {
		bounded(t, "section "+s.From, s.Ohms, true)
	}
	for _, d := range f.Doubts {
		if !(d.Odds >= 20) || d.Kind == "" {
			t.Errorf("doubt %+v", d)
		}
	}
	accounted(t, c, f)
}

func share(t *testing.T, what string, s fault.Number) {
	t.Helper()
	if !(s >= 0 && s <= 1+1e-9) {
		t.Errorf("%s has a share of %g", what, float64(s))
	}
}

func legalLeak(t *testing.T, l fault.Leak) {
	t.Helper()
	share(t, "several", l.Several)
	sum := 0.0
	for _, p := range l.Places {
		share(t, "place "+p.ID, p.Share)
		sum += float64(p.Share)
	}
	if math.Abs(sum-1) > 1e-3 {
		t.Errorf("places sum to %g: %v", sum, l.Places)
	}
	for _, iv := range []fault.Interval{l.Position, l.Electrical, l.Volts} {
		if !(iv.Low <= iv.Mid && iv.Mid <= iv.High) {
			t.Errorf("interval %+v of %+v", iv, l)
		}
	}
	bounded(t, "leak", l.Ohms, false)
}

// bounded wants ohms of zero or more, in order, with no number only where a
// bound has none. A section that was not read has none at all.
func bounded(t *testing.T, what string, b fault.Bounded, mayLack bool) {
	t.Helper()
	low, mid, high := float64(b.Low), float64(b.Mid), float64(b.High)
	if mayLack && math.IsNaN(low) && math.IsNaN(mid) && math.IsNaN(high) {
		return
	}
	ok := false
	switch b.Relation {
	case fault.Equal:
		ok = 0 <= low && low <= mid && mid <= high && !math.IsInf(high, 0)
	case fault.Less:
		ok = low == 0 && high > 0
	case fault.Greater:
		ok = low >= 0
	}
	if !ok {
		t.Errorf("%s: ohms %+v", what, b)
	}
}

// accounted wants every reading once among those used or left out.
func accounted(t *testing.T, c fault.Case, f fault.Finding) {
	t.Helper()
	seen := map[string]int{}
	for _, id := range f.Used {
		seen[id]++
	}
	for _, l := range f.LeftOut {
		if seen[l.Reading]++; l.Why == "" {
			t.Errorf("%s is left out without a reason", l.Reading)
		}
	}
	for _, r := range c.Readings {
		if seen[r.ID] != 1 {
			t.Errorf("%s is accounted for %d times", r.ID, seen[r.ID])
		}
		delete(seen, r.ID)
	}
	if len(seen) > 0 {
		t.Errorf("readings that nobody took: %v", seen)
	}
}
