package entry_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"halfsplit/fault"
	"halfsplit/fault/series"
	"halfsplit/topology"
	"halfsplit/ui/entry"
	"halfsplit/ui/facts"
)

// three is a pack of three modules of two groups each, in a recorded state.
func three(t testing.TB) fault.Case {
	t.Helper()
	l, err := topology.Make(topology.MakeSpec{Name: "three", Modules: 3, Series: 2, Parallel: 1, W: 100, H: 200, Gap: 10, Alternate: true})
	if err != nil {
		t.Fatal(err)
	}
	return fault.Case{Layout: l, Now: "s", States: []fault.State{{ID: "s", Contactors: fault.Open}, {ID: "later"}},
		Instruments: []fault.Instrument{{ID: "dmm", Kind: "voltmeter", Counts: 2, GainPct: 0.5, Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}}},
			{ID: "bridge", Kind: "milliohmmeter"}, {ID: "tester", Kind: "insulation tester"}}}
}

func begin(t testing.TB, c fault.Case, s entry.Setup) (*entry.Run, *facts.Pack) {
	t.Helper()
	p := facts.New(c, facts.Result{})
	if why := s.Trouble(p); why != "" {
		t.Fatal(why)
	}
	return s.Run(p), p
}

func at(r *entry.Run) string {
	pt, _ := r.Point()
	return pt.Name()
}

// What the number pad's numbers mean in each kind of run, shown large and recorded.
func TestRun_KeystrokesAreUnderstoodAndEchoed(t *testing.T) {
	for _, c := range []struct {
		kind        series.Kind
		prefix, raw string
		value, how  string
		want        float64
		relation    string
	}{
		{series.GroupVolts, "m", "3622", "3.622 V", "(read as mV)", 3.622, ""},
		{series.GroupVolts, "m", "3.622V", "3.622 V", "", 3.622, ""},
		{series.GroupVolts, "", "3,62", "3.62 V", "", 3.62, ""},
		{series.GroupVolts, "", "3622mV", "3.622 V", "", 3.622, ""},
		{series.ToChassis, "m", "-103.6", "-103.6 V", "", -103.6, ""}, // no millivolts to chassis
		{series.Insulation, "", ".21M", "210 kΩ", "", 210e3, ""},
		{series.Insulation, "M", "210", "210 MΩ", "(read as MΩ)", 210e6, ""},
		{series.Insulation, "", ">2G", "> 2 GΩ", "(bound)", 2e9, fault.Greater},
		{series.Insulation, "G", ">2", "> 2 GΩ", "(read as GΩ) (bound)", 2e9, fault.Greater},
		{series.Joint, "u", "150", "150 µΩ", "(read as µΩ)", 150e-6, ""},
		{series.Joint, "", "0.15m", "150 µΩ", "", 150e-6, ""},
		{series.Joint, "m", "0.15", "150 µΩ", "(read as mΩ)", 150e-6, ""},
	} {
		r, p := begin(t, three(t), entry.Setup{Kind: c.kind, Order: series.Electrical, Prefix: c.prefix})
		f := typed(r.Form(p, entry.Form{}), c.raw)
		e, err := f.Parse(p)
		if err != nil {
			t.Errorf("%s %q: %v", c.kind, c.raw, err)
			continue
		}
		if value, how := f.EchoParts(e); value != c.value || how != c.how {
			t.Errorf("%s %q is echoed as %q %q, want %q %q", c.kind, c.raw, value, how, c.value, c.how)
		}
		x, err := f.Reading(p)
		if err != nil || math.Abs(x.Value-c.want) > 1e-9*math.Abs(c.want) || x.Relation != c.relation || x.Raw != c.raw {
			t.Errorf("%s %q would be recorded as %+v, %v", c.kind, c.raw, x, err)
		}
	}
}

func TestRun_EachKindHasItsLeadsItsInstrumentAndItsTime(t *testing.T) {
	for _, c := range []struct {
		kind       series.Kind
		red, black string
		instrument string
		after      float64
	}{
		{series.ModuleVolts, "M01+", "M01-", "dmm", 0},
		{series.GroupVolts, "M01.1", "M01-", "dmm", 0},
		{series.ToChassis, "M01-", "chassis", "dmm", 0},
		{series.Insulation, "M01+", "chassis", "tester", 15},
		{series.Joint, "M01-", "pack-", "bridge", 0},
	} {
		r, p := begin(t, three(t), entry.Setup{Kind: c.kind, Order: series.Electrical})
		x, err := typed(r.Form(p, entry.Form{Instrument: "dmm"}), "1").Reading(p)
		after := 0.0
		if x.AfterTouchS != nil {
			after = *x.AfterTouchS
		}
		if err != nil || x.Red != c.red || x.Black != c.black || x.Instrument != c.instrument || after != c.after {
			t.Errorf("%s: %+v after %g s, %v", c.kind, x, after, err)
		}
	}
}

func TestRun_GoesOnSkipsAndComesBack(t *testing.T) {
	r, _ := begin(t, three(t), entry.Setup{Kind: series.GroupVolts, Order: series.Electrical, From: 2})
	if at(r) != "M02 group 1" {
		t.Fatalf("begins at %s", at(r))
	}
	r.Accepted("3.6", "3.6 V", "", "")
	r.Skip()
	r.Accepted("3.6", "3.6 V", "", "odd")
	r.Accepted("3.6", "3.6 V", "", "")
	if at(r) != "M01 group 1" { // from the end on to where it began
		t.Errorf("after the last point comes %s", at(r))
	}
	if !r.Jump(1) || at(r) != "M02 group 1" || !r.Jump(-1) || at(r) != "M01 group 1" || r.Jump(-1) || r.Step(-1) {
		t.Errorf("jumps end at %s", at(r))
	}
	r.Mark(2, true)
	if got := r.Again(); !slices.Equal(got, []int{2, 3, 4, 0}) {
		t.Errorf("to be looked at again: %v", got)
	}
	if !r.SayWhy(3, 0) || r.SayWhy(2, 0) || r.SayWhy(3, 99) {
		t.Error("a reason was given to a point that was not skipped, or not to the one that was")
	}
	if more := r.Accepted("3.6", "3.6 V", "", ""); !more || at(r) != "M01 group 2" {
		t.Errorf("then %s, more %v", at(r), more)
	}
	if more := r.Accepted("3.6", "3.6 V", "", ""); more {
		t.Errorf("after the last open point comes %s", at(r))
	}
}

// Whatever was done in a run, its text gives the same run again.
func TestRun_KeptTextComesBackAsItWas(t *testing.T) {
	c := three(t)
	rapid.Check(t, func(t *rapid.T) {
		p := facts.New(c, facts.Result{})
		s := entry.Setup{Name: "a", Kind: rapid.SampledFrom(series.Kinds).Draw(t, "kind"), Order: rapid.SampledFrom([]series.Order{series.Electrical, series.Snake, series.Reverse, series.Missing}).Draw(t, "order")}
		r := s.Run(p)
		for range rapid.IntRange(0, 30).Draw(t, "steps") {
			switch rapid.IntRange(0, 5).Draw(t, "step") {
			case 0, 1:
				r.Accepted("3.6", "3.6 V", "(read as mV)", rapid.SampledFrom([]string{"", "odd"}).Draw(t, "doubt"))
			case 2:
				r.Skip()
			case 3:
				r.Jump(1)
			case 4:
				r.Step(-1)
			case 5:
				r.Mark(r.At, true)
			}
		}
		if r.Taken.Has(r.At) { // a point that has a value is not caught up on
			return
		}
		text := r.Keep(p, "12")
		got, why := entry.RestoreRun(p, text)
		if got == nil {
			t.Fatalf("not restored: %s", why)
		}
		if again := got.Keep(p, "12"); again != text || !slices.Equal(got.Points(), r.Points()) {
			t.Fatalf("kept as\n%s\nthen as\n%s", text, again)
		}
	})
}

// The program ends after the value was recorded and before the run was kept.
func TestRun_ValueRecordedJustBeforeTheEndCounts(t *testing.T) {
	c := three(t)
	r, p := begin(t, c, entry.Setup{Kind: series.ModuleVolts, Order: series.Electrical})
	text := r.Keep(p, "7.2")
	c.Readings = append(c.Readings, fault.Reading{ID: "r1", State: "s", Quantity: fault.Volts, Red: "M01+", Black: "M01-", Value: 7.2, Raw: "7.2"})
	got, _ := entry.RestoreRun(facts.New(c, facts.Result{}), text)
	if at(got) != "M02" || got.Raw != "" || !got.Taken.Has(0) {
		t.Errorf("goes on at %s with %q", at(got), got.Raw)
	}
	c.Readings[0].Red, c.Readings[0].Black = "M02+", "M02-" // another point's: the run stays
	if got, _ = entry.RestoreRun(facts.New(c, facts.Result{}), text); at(got) != "M01" || got.Raw != "7.2" {
		t.Errorf("goes on at %s with %q", at(got), got.Raw)
	}

	c = three(t)
	c.GroupVolts = []fault.GroupVolts{{Module: "M01", State: "s", Volts: []float64{3.5, math.NaN()}}}
	r, p = begin(t, c, entry.Setup{Kind: series.GroupVolts, Order: series.Electrical})
	text = r.Keep(p, "3.6")
	if got, _ = entry.RestoreRun(p, text); at(got) != "M01 group 1" {
		t.Errorf("a value from before counts: %s", at(got))
	}
	c.GroupVolts[0].Volts[0] = 3.6
	if got, _ = entry.RestoreRun(facts.New(c, facts.Result{}), text); at(got) != "M01 group 2" {
		t.Errorf("goes on at %s", at(got))
	}
}

func TestRestoreRun_SaysWhatDoesNotFit(t *testing.T) {
	c := three(t)
	r, p := begin(t, c, entry.Setup{Name: "baseline", Kind: series.ModuleVolts, Order: series.Electrical})
	text := r.Keep(p, "")
	c.Layout.Modules = c.Layout.Modules[:2]
	if got, why := entry.RestoreRun(facts.New(c, facts.Result{}), text); got != nil || !strings.Contains(why, "'baseline' was begun on another drawing") {
		t.Errorf("another drawing: %v, %q", got, why)
	}
	if got, why := entry.RestoreRun(p, "{broken"); got != nil || !strings.Contains(why, "cannot be read") {
		t.Errorf("a broken text: %v, %q", got, why)
	}
	r.Ended = true
	if got, why := entry.RestoreRun(p, r.Keep(p, "")); got != nil || why != "" {
		t.Errorf("an ended run: %v, %q", got, why)
	}
}

// Numbers that a damaged text may hold never break the window.
func FuzzRestoreRun(f *testing.F) {
	c := three(f)
	r, p := begin(f, c, entry.Setup{Kind: series.GroupVolts, Order: series.Missing})
	f.Add(r.Keep(p, "3"))
	f.Add(`{"kind":"joint","order":"snake","count":4,"at":-3,"last":9,"taken":"0-9"}`)
	f.Fuzz(func(t *testing.T, text string) {
		got, _ := entry.RestoreRun(p, text)
		if got == nil {
			return
		}
		got.Blocks(p, got.Form(p, entry.Form{}), "", nil, entry.Room(len(text)%3))
		got.EndBlocks(0)
		got.Next()
		got.Jump(1)
	})
}

// What stands out is said in few words, with what it may have been; it keeps no value
// from being saved.
func TestRun_ShortDoubts(t *testing.T) {
	c := three(t)
	c.GroupVolts = []fault.GroupVolts{{Module: "M01", State: "s", Volts: []float64{3.622, 3.618}}}
	for raw, want := range map[string]string{
		"3.62": "", "3622": "1000 times its neighbours. 3.622 V?", "0.362": "1/10 of its neighbours. 3.62 V?", "-3.62": "The other sign than its neighbours. 3.62 V?",
		"3.2": "0.42 V below its neighbours.", "290": "80 times its neighbours.", "OL": "",
	} {
		r, p := begin(t, c, entry.Setup{Kind: series.GroupVolts, Order: series.Electrical})
		r.Accepted("3.622", "", "", "")
		r.Accepted("3.618", "", "", "")
		f := typed(r.Form(p, entry.Form{}), raw)
		if got := strings.ReplaceAll(r.Doubt(p, f), "\u2009", " "); got != want {
			t.Errorf("%s: %q, want %q", raw, got, want)
		}
	}
	c.Readings = []fault.Reading{{ID: "r1", State: "s", Quantity: fault.Volts, Red: "M01+", Black: "chassis", Value: 12.1}}
	r, p := begin(t, c, entry.Setup{Kind: series.ToChassis, Order: series.Electrical, From: 2})
	if got := strings.ReplaceAll(r.Doubt(p, typed(r.Form(p, entry.Form{}), "-12.1")), "\u2009", " "); got != "M01+, tied to it, shows 12.1 V. The other sign?" {
		t.Errorf("tied terminals: %q", got)
	}
	s := 15.0
	c.Readings = []fault.Reading{{ID: "r1", State: "s", Quantity: fault.Insulation, Red: "M01+", Black: "chassis", Value: 210e6, AfterTouchS: &s}}
	r, p = begin(t, c, entry.Setup{Kind: series.Insulation, Order: series.Electrical, From: 1})
	if got := strings.ReplaceAll(r.Doubt(p, typed(r.Form(p, entry.Form{}), "80M")), "\u2009", " "); got != "Less than at 15 s, 210 MΩ." {
		t.Errorf("insulation that falls: %q", got)
	}
}

func TestSet_TextOfRuns(t *testing.T) {
	for text, want := range map[string]int{"": 0, "3": 1, "0-2,5": 4} {
		var s entry.Set
		if err := s.UnmarshalText([]byte(text)); err != nil || len(s) != want {
			t.Errorf("%q: %v, %v", text, s, err)
		}
		if got, _ := s.MarshalText(); string(got) != text {
			t.Errorf("%q comes back as %q", text, got)
		}
	}
	for _, text := range []string{"x", "1-", "3-1", "-1", "0-99999999999", "1,,2"} {
		var s entry.Set
		if err := json.Unmarshal([]byte(`"`+text+`"`), &s); err == nil {
			t.Errorf("%q is read as %v", text, s)
		}
	}
}
