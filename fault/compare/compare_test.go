package compare_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/fault/compare"
	"halfsplit/topology"
)

var start = time.Date(2026, 3, 2, 10, 0, 0, 0, time.UTC)

func at(minutes int) string {
	return start.Add(time.Duration(minutes) * time.Minute).Format(time.RFC3339)
}

// meter is a 6000-count meter of so many counts.
func meter(id string, counts float64) fault.Instrument {
	return fault.Instrument{ID: id, Kind: "voltmeter", GainPct: 0.5, Counts: counts, InputOhms: 1e7, InputTolPct: 1,
		Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}, {Max: 600, Count: 0.1}}}
}

// lab is a pack with a leak and a case with two states of the same circuit.
func lab(t testing.TB, seed uint64, counts, leak float64) (*circuit.Bench, fault.Case) {
	t.Helper()
	l, err := topology.Make(topology.MakeSpec{Name: "twelve", Modules: 12, Series: 8, Parallel: 2, Disconnect: 6, W: 300, H: 150, Gap: 10})
	if err != nil {
		t.Fatal(err)
	}
	net, _ := topology.Compile(l)
	volts := make([]float64, len(net.Groups))
	rng := rand.New(rand.NewPCG(seed, 7))
	for i := range volts {
		volts[i] = 3.62 + 0.004*rng.NormFloat64()
	}
	twenty := 20.0
	c := fault.Case{Title: "bench", Layout: l, Now: "b", Instruments: []fault.Instrument{meter("dmm", counts), meter("other", counts)},
		States: []fault.State{{ID: "a", Contactors: fault.Open, Celsius: &twenty}, {ID: "b", Contactors: fault.Open, Celsius: &twenty}}}
	b, err := circuit.NewBench(rng, circuit.Pack{Net: net, GroupVolts: volts, Leaks: []circuit.Leak{{At: "M09.3", Ohms: leak}}}, c)
	if err != nil {
		t.Fatal(err)
	}
	return b, c
}

// read takes every terminal to chassis in a state.
func read(t testing.TB, b *circuit.Bench, c fault.Case, state, instrument string, minute int) fault.Case {
	t.Helper()
	for i := 1; i <= 12; i++ {
		for _, end := range []string{"-", "+"} {
			r := fault.Reading{ID: fmt.Sprintf("r%d", len(c.Readings)+1), At: at(minute), State: state, Quantity: fault.Volts, Red: fmt.Sprintf("M%02d%s", i, end), Black: "chassis", Instrument: instrument}
			got, err := b.Read(r)
			if err != nil {
				t.Fatal(err)
			}
			c.Readings = append(c.Readings, got)
			minute++
		}
	}
	return c
}

func two(t testing.TB, c fault.Case) compare.Comparison {
	t.Helper()
	sets := compare.Sets(c)
	if len(sets) != 2 {
		t.Fatalf("%d sets", len(sets))
	}
	return compare.Compare(sets[0], sets[1])
}

// Where nothing changed, no more values are told to have changed than the level says,
// and a table with a change that chance does not explain is as rare.
func TestCompare_CleanRepeat(t *testing.T) {
	for _, second := range []string{"dmm", "other"} {
		for _, counts := range []float64{0, 1, 2} {
			judged, changed, tables, runs := 0, 0, 0, 150
			for seed := range runs {
				b, c := lab(t, uint64(seed), counts, 47e3)
				c = read(t, b, c, "a", "dmm", 0)
				c = read(t, b, c, "b", second, 60)
				got := two(t, c)
				judged += got.Judged
				changed += got.Changed
				if got.Surely > 0 {
					tables++
				}
				if got.Judged != 24 || got.Comparable() != (second == "dmm") {
					t.Fatalf("%d judged, reasons %v", got.Judged, got.Reasons)
				}
			}
			share, of := float64(changed)/float64(judged), float64(tables)/float64(runs)
			t.Logf("second read by %s, ± %g counts: %.2f %% of %d values, %.1f %% of %d tables", second, counts, 100*share, judged, 100*of, runs)
			// Three standard deviations of the share above its level; gains are common to
			// a table where the instrument is another, so that tables count there.
			n := float64(judged)
			if second == "other" {
				n = float64(runs)
			}
			if most := 0.05 + 3*math.Sqrt(0.05*0.95/n); share > most {
				t.Errorf("read again by %s, ± %g counts: %.2f %% of values changed, at most %.2f %%", second, counts, 100*share, 100*most)
			}
			if most := 0.05 + 3*math.Sqrt(0.05*0.95/float64(runs)); of > most {
				t.Errorf("read again by %s, ± %g counts: %.1f %% of tables have a sure change", second, counts, 100*of)
			}
		}
	}
}

// A value that truly moved by three counts is seen on a meter that errs by its display
// alone, and more often than not on one of ± 1 count, whose own readings move by two;
// by five counts it is seen there too. One of ten counts leads the table, and is told
// apart from chance among all values.
func TestCompare_RealChange(t *testing.T) {
	for _, c := range []struct {
		counts, move, least float64
		surely              bool
	}{{0, 3, 1, false}, {1, 3, 0.6, false}, {1, 4, 0.9, false}, {1, 5, 0.99, false}, {1, 10, 1, true}, {2, 8, 0.99, false}} {
		seen, runs := 0, 200
		for seed := range runs {
			rng := rand.New(rand.NewPCG(uint64(seed), 3))
			b, k := lab(t, uint64(seed), c.counts, 47e3)
			k = read(t, b, k, "a", "dmm", 0)
			k = read(t, b, k, "b", "dmm", 60)
			// The middle of the second set moves: by a whole number of counts, so that the
			// display's own step stays as it was.
			i := 24 + rng.IntN(24)
			rg, _, _ := k.Instruments[0].RangeOf(k.Readings[i])
			k.Readings[i].Value += c.move * rg.Count
			k.Readings[i].Raw = ""
			got := two(t, k)
			for _, r := range got.Rows {
				if r.After.Reading == k.Readings[i].ID && (r.Verdict == compare.Surely || !c.surely && r.Verdict == compare.Beyond) {
					seen++
				}
			}
			if c.surely && got.Rows[0].After.Reading != k.Readings[i].ID {
				t.Errorf("seed %d: %s leads the table", seed, got.Rows[0].What)
			}
		}
		share := float64(seen) / float64(runs)
		t.Logf("± %g counts: a change of %g counts is seen in %.1f %%", c.counts, c.move, 100*share)
		if share < c.least {
			t.Errorf("± %g counts: a change of %g counts is seen in %.1f %%, at least %.1f %%", c.counts, c.move, 100*share, 100*c.least)
		}
	}
}

// A leak that became larger moves what the meter shows, and every change points the
// same way.
func TestCompare_AnotherLeak(t *testing.T) {
	b, c := lab(t, 5, 1, 2e6)
	c = read(t, b, c, "a", "dmm", 0)
	worse, _ := lab(t, 5, 1, 500e3) // the same meters and cells
	c = read(t, worse, c, "b", "dmm", 60)
	got := two(t, c)
	if got.Changed < 20 || !strings.HasPrefix(got.Say(), fmt.Sprint(got.Changed)+" of 24 values differ") {
		t.Errorf("%d changed: %s", got.Changed, got.Say())
	}
}

func TestSets_CutByStateAndPause(t *testing.T) {
	r := func(id, state, at string) fault.Reading {
		return fault.Reading{ID: id, State: state, At: at, Quantity: fault.Volts, Red: "M01+", Black: "chassis"}
	}
	c := fault.Case{States: []fault.State{{ID: "a"}, {ID: "b"}}, Readings: []fault.Reading{
		r("r1", "a", at(0)), r("r2", "a", at(50)), r("r3", "b", at(55)), r("r4", "a", at(60)), r("r5", "a", at(180)), r("r6", "a", ""), r("r0", "a", at(-10)),
		{ID: "r7", State: "a", At: at(181), Supersedes: "r2", Why: "slip", Quantity: fault.Volts}},
		GroupVolts: []fault.GroupVolts{{Module: "M01", State: "b", Volts: []float64{3.6}}, {Module: "M01", State: "c", Volts: []float64{3.6, 3.6}}}}
	var got []string
	for _, s := range compare.Sets(c) {
		line := s.Title() + ":"
		for _, r := range s.Readings {
			line += " " + r.ID
		}
		got = append(got, fmt.Sprintf("%s, %s", line, s.Count()))
	}
	want := []string{
		"state a, 2026-03-02 09:50 to 10:00: r0 r1, 2 readings",
		"state b, 2026-03-02 10:55: r3, 1 readings and 1 group volts",
		"state a, 2026-03-02 11:00: r4, 1 reading",
		"state a, 2026-03-02 13:00 to 13:01: r5 r6 r7, 3 readings",
		"state c, time not recorded:, 2 group volts",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if len(compare.Sets(fault.Case{})) != 0 {
		t.Error("a case without readings has sets")
	}
}

func TestSpan(t *testing.T) {
	b, c := lab(t, 1, 1, 47e3)
	c = read(t, b, c, "a", "dmm", 0)
	s, err := compare.Span(c, "before the wash", "a", start, start.Add(5*time.Minute))
	if err != nil || len(s.Readings) != 6 || !strings.HasPrefix(s.Title(), "before the wash, state a") {
		t.Errorf("%d readings, %s, %v", len(s.Readings), s.Title(), err)
	}
	for want, span := range map[string][2]int{"nothing was read": {500, 600}, "ends before it begins": {5, 0}} {
		if _, err := compare.Span(c, "x", "a", start.Add(time.Duration(span[0])*time.Minute), start.Add(time.Duration(span[1])*time.Minute)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v: %v", span, err)
		}
	}
	if _, err := compare.Span(c, "x", "zz", start, start); err == nil || !strings.Contains(err.Error(), `no state "zz"`) {
		t.Errorf("an unknown state: %v", err)
	}
}

// Whatever differs is said, each by its kind; none of them says that anything is
// better.
func TestReasons(t *testing.T) {
	base := func() fault.Case {
		b, c := lab(t, 2, 1, 47e3)
		c = read(t, b, c, "a", "dmm", 0)
		return read(t, b, c, "b", "dmm", 60)
	}
	yes, warm := true, 30.0
	for name, c := range map[string]struct {
		change func(*fault.Case)
		kind   string
		says   string
	}{
		"open":        {func(c *fault.Case) { c.States[1].Open = []string{"SD"} }, "state", "SD recorded open after and not before"},
		"wet":         {func(c *fault.Case) { c.States[0].Wet = &yes }, "state", "moisture: wet before and not recorded after"},
		"monitor":     {func(c *fault.Case) { c.States[0].Monitor = fault.MonitorActive }, "state", "monitor active before"},
		"warm":        {func(c *fault.Case) { c.States[1].Celsius = &warm }, "temperature", "20 °C before and 30 °C after"},
		"no degrees":  {func(c *fault.Case) { c.States[1].Celsius = nil }, "temperature", "of the set after is not recorded"},
		"instrument":  {func(c *fault.Case) { c.Readings[30].Instrument = "other" }, "instrument", "dmm before, dmm, other after"},
		"no state":    {func(c *fault.Case) { c.States = c.States[:1] }, "state", "not recorded"},
		"other point": {func(c *fault.Case) { c.Readings = []fault.Reading{c.Readings[0], c.Readings[30]} }, "nothing in common", "no point in common"},
	} {
		k := base()
		c.change(&k)
		got := two(t, k)
		found := false
		for _, r := range got.Reasons {
			found = found || r.Kind == c.kind && strings.Contains(r.Text, c.says)
		}
		if !found || got.Comparable() || !strings.HasPrefix(got.Say(), "Not comparable. ") {
			t.Errorf("%s: %v: %s", name, got.Reasons, got.Say())
		}
		for _, never := range []string{"improved", "better", "worse", "safe"} {
			if strings.Contains(got.Say(), never) {
				t.Errorf("%s says %q", name, never)
			}
		}
	}
	if got := two(t, base()); !got.Comparable() {
		t.Errorf("the same circuit under two names: %v", got.Reasons)
	}
	sets := compare.Sets(base())
	sets[1].Layout = "2"
	if got := compare.Compare(sets[0], sets[1]); len(got.Reasons) != 1 || got.Reasons[0].Kind != "layout" {
		t.Errorf("another layout: %v", got.Reasons)
	}
}

func TestCompare_GroupsMovedTogether(t *testing.T) {
	list := func(state string, by float64) fault.GroupVolts {
		return fault.GroupVolts{Module: "M01", State: state, Volts: []float64{3.6 * by, 3.61 * by, 3.62*by - 0.05, 3.63 * by, math.NaN()}}
	}
	twenty := 20.0
	c := fault.Case{States: []fault.State{{ID: "a", Celsius: &twenty}, {ID: "b", Celsius: &twenty}}, GroupVolts: []fault.GroupVolts{list("a", 1), list("b", 1)}}
	if got := two(t, c); got.Judged != 4 || got.Changed != 0 || !got.Comparable() {
		t.Errorf("the same list: %d of %d, %v", got.Changed, got.Judged, got.Reasons)
	}
	c.GroupVolts[1] = list("b", 1.02)
	if got := two(t, c); len(got.Reasons) != 1 || got.Reasons[0].Kind != "charge" || math.Abs(got.Shift-0.02) > 1e-6 {
		t.Errorf("another charge: %v, %g", got.Reasons, got.Shift)
	}
	c.GroupVolts[1] = list("b", 1)
	c.GroupVolts[1].Volts[1] -= 0.04
	got := two(t, c)
	if got.Changed != 1 || got.Surely != 1 || got.Rows[0].What != "M01 group 2" || got.Rows[0].DifferenceText() != "-0.0400 ± 0.0080"+fault.ThinSpace+"V" {
		t.Errorf("one group: %d changed, %s %s", got.Changed, got.Rows[0].What, got.Rows[0].DifferenceText())
	}
}

func TestCompare_Bounds(t *testing.T) {
	twenty := 20.0
	r := func(id, state, relation string, v float64) fault.Reading {
		return fault.Reading{ID: id, State: state, Quantity: fault.Insulation, Red: "M01+", Black: "chassis", Value: v, Relation: relation, Instrument: "tester", TestVolts: 500}
	}
	tester := fault.Instrument{ID: "tester", GainPct: 3, Counts: 2, Ranges: []fault.Range{{Max: 1e6, Count: 100}, {Max: 2e9, Count: 1e5}}}
	for _, k := range []struct {
		before, after fault.Reading
		want          compare.Verdict
	}{
		{r("r1", "a", ">", 2e9), r("r2", "b", ">", 2e9), compare.Bounds},
		{r("r1", "a", ">", 2e9), r("r2", "b", "=", 34e3), compare.Surely},
		{r("r1", "a", "=", 1.95e9), r("r2", "b", ">", 2e9), compare.Bounds},
		{r("r1", "a", "=", 34e3), r("r2", "b", "=", 34e3), compare.Within},
		{r("r1", "a", "=", 34e3), r("r2", "b", "=", 60e3), compare.Surely},
	} {
		c := fault.Case{Instruments: []fault.Instrument{tester}, States: []fault.State{{ID: "a", Celsius: &twenty}, {ID: "b", Celsius: &twenty}}, Readings: []fault.Reading{k.before, k.after}}
		if got := two(t, c); got.Rows[0].Verdict != k.want {
			t.Errorf("%s%g and %s%g: %d, want %d", k.before.Relation, k.before.Value, k.after.Relation, k.after.Value, got.Rows[0].Verdict, k.want)
		}
	}
	// Without an instrument no change is told.
	c := fault.Case{States: []fault.State{{ID: "a"}, {ID: "b"}}, Readings: []fault.Reading{r("r1", "a", "=", 34e3), r("r2", "b", "=", 34e6)}}
	if got := two(t, c); got.Rows[0].Verdict != compare.Unknown || got.Changed != 0 || got.Judged != 0 || !strings.Contains(got.Rows[0].DifferenceText(), "error not known") {
		t.Errorf("no instrument: %+v", got.Rows[0])
	}
}

// An instrument errs as its specification has it for the quantity and the range.
func TestCompare_ErrsByFunctionAndRange(t *testing.T) {
	twenty, fine := 20.0, 0.0
	in := meter("dmm", 50)
	in.Functions = []fault.Function{{Quantity: fault.Joint, GainPct: 1, Counts: 5, Ranges: []fault.Range{{Max: 1, Count: 1e-5, Counts: &fine}}}}
	r := func(id, state string, v float64) fault.Reading {
		return fault.Reading{ID: id, State: state, Quantity: fault.Joint, Red: "M01+", Black: "M02-", Value: v, Instrument: "dmm"}
	}
	c := fault.Case{Instruments: []fault.Instrument{in}, States: []fault.State{{ID: "a", Celsius: &twenty}, {ID: "b", Celsius: &twenty}}, Readings: []fault.Reading{r("r1", "a", 1e-4), r("r2", "b", 1.4e-4)}}
	// ± 0 counts: the display's step alone, 1.96·√2·10 µΩ/√12 and half a step.
	if got := two(t, c).Rows[0]; got.Verdict != compare.Surely || math.Abs(got.Error-(1.96*math.Sqrt2*1e-5/math.Sqrt(12)+0.5e-5)) > 1e-7 {
		t.Errorf("%+v", got)
	}
	in.Functions[0].Ranges[0].Counts = nil // ± 5 counts
	if got := two(t, c).Rows[0]; got.Verdict != compare.Within {
		t.Errorf("%+v", got)
	}
}

// A test resistor, a test voltage and a time make another point.
func TestCompare_WhatMakesAPoint(t *testing.T) {
	fifteen, sixty := 15.0, 60.0
	like := fault.Reading{State: "a", Quantity: fault.Insulation, Red: "M01+", Black: "chassis", Value: 1e6, TestVolts: 500, AfterTouchS: &fifteen}
	for name, change := range map[string]func(*fault.Reading){
		"resistor": func(r *fault.Reading) { r.Resistor = &fault.Fitted{ID: "R", From: "M01+", To: "chassis"} },
		"volts":    func(r *fault.Reading) { r.TestVolts = 250 },
		"seconds":  func(r *fault.Reading) { r.AfterTouchS = &sixty },
		"chassis":  func(r *fault.Reading) { r.Black = "chassis:lid" },
	} {
		a, b := like, like
		a.ID, b.ID, b.State = "r1", "r2", "b"
		change(&b)
		got := two(t, fault.Case{States: []fault.State{{ID: "a"}, {ID: "b"}}, Readings: []fault.Reading{a, b}})
		if len(got.Rows) != 0 || len(got.OnlyBefore) != 1 || len(got.OnlyAfter) != 1 {
			t.Errorf("%s: %d rows", name, len(got.Rows))
		}
	}
}

func BenchmarkCompare(b *testing.B) {
	c := fault.Case{States: []fault.State{{ID: "a"}, {ID: "b"}}}
	for _, s := range []string{"a", "b"} {
		for m := range 125 {
			c.GroupVolts = append(c.GroupVolts, fault.GroupVolts{Module: fmt.Sprintf("M%03d", m), State: s, Volts: []float64{3.6, 3.6, 3.6, 3.6, 3.6, 3.6, 3.6, 3.6}})
		}
	}
	sets := compare.Sets(c)
	for b.Loop() {
		compare.Compare(sets[0], sets[1])
	}
}
