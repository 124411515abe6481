package comparing

import (
	"math"
	"slices"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/compare"
	"halfsplit/topology"
	"halfsplit/ui/golden"
	"halfsplit/ui/plan"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
)

// lists is the sample with its groups read twice in one circuit at one temperature; the
// second time group 2 of M01 is 30 mV higher, and group 1 of M02 was left out.
func lists(t *testing.T) (fault.Case, *topology.Net) {
	t.Helper()
	twenty := 20.0
	c := sample.Case()
	c.States = []fault.State{{ID: "before", Celsius: &twenty}, {ID: "after", Celsius: &twenty}}
	c.Now, c.GroupVolts = "after", nil
	c.Instruments = []fault.Instrument{{ID: "dmm", GainPct: 0.5, Counts: 2, Ranges: []fault.Range{{Max: 60, Count: 0.01}}}}
	n, _ := topology.Compile(c.Layout)
	c.Readings = nil
	for i, state := range []string{"before", "after"} {
		at := []string{"2026-03-02T10:00:00Z", "2026-03-02T11:30:00Z"}[i]
		for m, mod := range c.Layout.Modules {
			v := make([]float64, mod.Series)
			for k := range v {
				v[k] = 3.6 + 0.001*float64(k)
			}
			if i == 1 && m == 0 {
				v[1] += 0.03
			}
			if i == 1 && m == 1 {
				v[0] = math.NaN()
			}
			c.GroupVolts = append(c.GroupVolts, fault.GroupVolts{Module: mod.ID, State: state, At: at, Instrument: "", Volts: v})
		}
		c.Readings = append(c.Readings, fault.Reading{ID: "r" + state, State: state, At: at, Quantity: fault.Volts, Red: "M01-", Black: "chassis", Value: -12 - 3*float64(i), Instrument: "dmm"})
	}
	return c, n
}

func TestDifferences_AfterLessBefore(t *testing.T) {
	c, n := lists(t)
	sets := compare.Sets(c)
	r := compare.Compare(sets[0], sets[1])
	if !r.Comparable() {
		t.Fatalf("not comparable: %v", r.Reasons)
	}
	in := differences(n, r, ofCells, 0.1)
	for g := range n.Groups {
		m, k := n.Groups[g].Module, n.Groups[g].K
		switch d := in.Groups[g]; {
		case m == 0 && k == 2 && math.Abs(d-0.03) > 1e-9:
			t.Errorf("group 2 of M01 moved by %g V", d)
		case m == 1 && k == 1 && !math.IsNaN(d):
			t.Errorf("group 1 of M02 was read once, and moved by %g V", d)
		case !(m == 0 && k == 2) && !(m == 1 && k == 1) && d != 0:
			t.Errorf("group %d of module %d did not move, and moved by %g V", k, m, d)
		}
	}
	if in.Texts[0][0] != "+30\u2009mV" {
		t.Errorf("M01 says %q", in.Texts[0])
	}
	if !strings.Contains(in.Texts[1][0], "within the error") {
		t.Errorf("M02 says %q", in.Texts[1])
	}
	out := differences(n, r, ofChassis, 5)
	if math.Abs(out.Modules[0]+3) > 1e-9 || !math.IsNaN(out.Modules[1]) || out.Groups != nil {
		t.Errorf("to chassis: %v", out.Modules)
	}
	swapped := differences(n, compare.Compare(sets[1], sets[0]), ofCells, 0.1)
	if swapped.Texts[0][0] != "-30\u2009mV" {
		t.Errorf("swapped, M01 says %q", swapped.Texts[0])
	}
}

// In another circuit volts to chassis are not comparable: they are hatched everywhere,
// without a number, and the legend says why; volts inside the modules are. A bound is no
// number either.
func TestDifferences_NotComparable(t *testing.T) {
	c, n := lists(t)
	wet := true
	c.States[1].Wet = &wet
	sets := compare.Sets(c)
	shaded := func(d *plan.Differences) bool {
		return slices.ContainsFunc(append(d.Modules, d.Groups...), func(v float64) bool { return !math.IsNaN(v) })
	}
	d := differences(n, compare.Compare(sets[0], sets[1]), ofChassis, 5)
	if shaded(d) {
		t.Error("volts to chassis of another state are shaded")
	}
	if !strings.Contains(d.Note, "not comparable") || !strings.Contains(d.Note, "Another state") {
		t.Errorf("the legend says %q", d.Note)
	}
	if in := differences(n, compare.Compare(sets[0], sets[1]), ofCells, 0.1); math.Abs(in.Groups[1]-0.03) > 1e-9 || strings.Contains(in.Note, "not comparable") {
		t.Errorf("volts inside of another state: %v, %q", in.Groups[:3], in.Note)
	}
	c.States[1].Wet, c.States[1].Celsius = nil, nil
	sets = compare.Sets(c)
	r := compare.Compare(sets[0], sets[1])
	if r.Comparable() || !r.Untold() || !shaded(differences(n, r, ofCells, 0.1)) || !shaded(differences(n, r, ofChassis, 5)) {
		t.Errorf("one temperature that is not recorded: %v", r.Reasons)
	}
	warm := 45.0
	c.States[1].Celsius = &warm
	sets = compare.Sets(c)
	r = compare.Compare(sets[0], sets[1])
	if r.Untold() || !shaded(differences(n, r, ofCells, 0.1)) || shaded(differences(n, r, ofChassis, 5)) {
		t.Errorf("another temperature: %v", r.Reasons)
	}
	c.States[1].Celsius = c.States[0].Celsius
	c.Instruments = append(c.Instruments, c.Instruments[0])
	c.Instruments[1].ID, c.Readings[1].Instrument = "other", "other"
	sets = compare.Sets(c)
	r = compare.Compare(sets[0], sets[1])
	if !shaded(differences(n, r, ofCells, 0.1)) || shaded(differences(n, r, ofChassis, 5)) {
		t.Errorf("another meter for one value: %v", r.Reasons)
	}
	c.Readings[1].Instrument = "dmm"
	c.States[1].Wet = nil
	c.Readings[1].Relation = fault.Greater
	sets = compare.Sets(c)
	if d := differences(n, compare.Compare(sets[0], sets[1]), ofChassis, 5); !math.IsNaN(d.Modules[0]) {
		t.Errorf("a bound differs by %g V", d.Modules[0])
	}
}

// The legend has the locked ends with their units, and so has the line that stands for
// it where a drawing is low.
func TestDifferences_LegendHasUnits(t *testing.T) {
	c, n := lists(t)
	sets := compare.Sets(c)
	d := differences(n, compare.Compare(sets[0], sets[1]), ofCells, 0.1)
	l := plan.ScaleLine(plan.Options{Mode: plan.ByDifference, Differences: d}, 500, scaleHigh, golden.Mono)
	var all []string
	for _, s := range l.Shapes {
		if s.Kind == scene.Label {
			all = append(all, strings.ReplaceAll(s.Text, "\u2009", " "))
		}
	}
	text := strings.Join(all, "\n")
	for _, want := range []string{"-100 mV", "+100 mV", "after less before"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
}
