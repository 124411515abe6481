package series_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/series"
	"halfsplit/topology"
)

// six is a pack of six modules of two groups in two rows that turn back, with a
// disconnect after the third.
func six(t testing.TB) *topology.Net {
	t.Helper()
	l, err := topology.Make(topology.MakeSpec{Name: "six", Modules: 6, Series: 2, Parallel: 1, PerRow: 3, Disconnect: 3, W: 100, H: 200, Gap: 10, Alternate: true})
	if err != nil {
		t.Fatal(err)
	}
	n, problems := topology.Compile(l)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	return n
}

func names(points []series.Point) string {
	var out []string
	for _, p := range points {
		out = append(out, p.Name())
	}
	return strings.Join(out, ", ")
}

func TestPoints_InTheirOrders(t *testing.T) {
	n := six(t)
	read := fault.Case{Now: "s", States: []fault.State{{ID: "s"}, {ID: "old"}},
		Readings: []fault.Reading{
			{ID: "r1", State: "s", Quantity: fault.Volts, Red: "M02+", Black: "M02-", Value: 7},
			{ID: "r2", State: "old", Quantity: fault.Volts, Red: "M03+", Black: "M03-", Value: 7},
			{ID: "r3", State: "s", Quantity: fault.Volts, Red: "M04+", Black: "M05-", Value: 7},
			{ID: "r4", State: "s", Quantity: fault.Volts, Red: "M04+", Black: "M04-", Value: 7, Supersedes: "r3", Why: "wrong place noted"},
			{ID: "r5", State: "s", Quantity: fault.Joint, Red: "M01+", Black: "M02-", Value: 1e-4},
			{ID: "r6", State: "s", Quantity: fault.Insulation, Red: "M01+", Black: "chassis", Value: 1e9, AfterTouchS: ptr(15)},
			{ID: "r7", State: "s", Quantity: fault.Volts, Red: "M01-", Black: "chassis", Value: 1, Resistor: &fault.Fitted{ID: "R", From: "M01-", To: "chassis"}},
		},
		GroupVolts: []fault.GroupVolts{{Module: "M01", State: "s", Volts: []float64{3.6, math.NaN()}}, {Module: "M02", State: "old", Volts: []float64{3.6, 3.6}}}}
	for _, c := range []struct {
		kind  series.Kind
		order series.Order
		o     series.Options
		want  string
	}{
		{series.ModuleVolts, series.Electrical, series.Options{}, "M01, M02, M03, M04, M05, M06"},
		{series.ModuleVolts, series.Reverse, series.Options{}, "M06, M05, M04, M03, M02, M01"},
		{series.ModuleVolts, series.Own, series.Options{Own: []string{"M05", "M02", "no", "M05"}}, "M05, M02"},
		{series.ModuleVolts, series.OneStack, series.Options{Stack: "A"}, "M01, M02, M03, M04, M05, M06"},
		{series.ModuleVolts, series.OneStack, series.Options{Stack: "B"}, ""},
		{series.ModuleVolts, series.Missing, series.Options{Case: &read}, "M01, M03, M05, M06"},
		{series.GroupVolts, series.Own, series.Options{Own: []string{"M02"}}, "M02 group 1, M02 group 2"},
		{series.GroupVolts, series.Missing, series.Options{Case: &read}, "M01 group 2, M02 group 1, M02 group 2, M03 group 1, M03 group 2, M04 group 1, M04 group 2, M05 group 1, M05 group 2, M06 group 1, M06 group 2"},
		{series.ToChassis, series.Own, series.Options{Own: []string{"M03", "M01"}}, "M03- to chassis, M03+ to chassis, M01- to chassis, M01+ to chassis"},
		{series.ToChassis, series.Missing, series.Options{Case: &read}, "M01- to chassis, M01+ to chassis, M02- to chassis, M02+ to chassis, M03- to chassis, M03+ to chassis, M04- to chassis, M04+ to chassis, M05- to chassis, M05+ to chassis, M06- to chassis, M06+ to chassis"},
		{series.Insulation, series.Reverse, series.Options{}, "M06+ at 15 s, M06+ at 60 s, M05+ at 15 s, M05+ at 60 s, M04+ at 15 s, M04+ at 60 s, M03+ at 15 s, M03+ at 60 s, M02+ at 15 s, M02+ at 60 s, M01+ at 15 s, M01+ at 60 s"},
		{series.Insulation, series.Own, series.Options{Own: []string{"M01"}, Chassis: "chassis:tray"}, "M01+ at 15 s, M01+ at 60 s"},
		{series.Joint, series.Electrical, series.Options{}, "K-, L01, L02, SD, L04, L05, K+"},
		{series.Joint, series.Missing, series.Options{Case: &read}, "K-, L02, SD, L04, L05, K+"},
		{series.Joint, series.Own, series.Options{Own: []string{"SD", "L01", "M01"}}, "SD, L01"},
	} {
		if got := names(series.Points(n, c.kind, c.order, c.o)); got != c.want {
			t.Errorf("%s, %s:\n got %s\nwant %s", c.kind, c.order, got, c.want)
		}
	}
}

func ptr(v float64) *float64 { return &v }

// The made pack lies in rows that turn back, so that the way along the drawing is the
// way along the string; turned about by half a turn it is the same backwards.
func TestPoints_SnakeFollowsTheDrawing(t *testing.T) {
	l := six(t).Layout
	along := names(series.Points(six(t), series.ModuleVolts, series.Snake, series.Options{}))
	if along != "M01, M02, M03, M04, M05, M06" {
		t.Errorf("as made: %s", along)
	}
	l.Stacks = []topology.Stack{{ID: "A", Angle: 180}}
	n, _ := topology.Compile(l)
	if got := names(series.Points(n, series.ModuleVolts, series.Snake, series.Options{})); got != "M04, M05, M06, M01, M02, M03" && got != "M06, M05, M04, M03, M02, M01" {
		t.Errorf("turned about: %s", got)
	}
	// A tier above covers the one below: it is read first, from its left.
	l.Stacks = []topology.Stack{{ID: "A"}, {ID: "B", Tier: 1}}
	l.Modules = slices.Clone(l.Modules)
	l.Modules[4].Stack = "B"
	n, _ = topology.Compile(l)
	if got := names(series.Points(n, series.ModuleVolts, series.Snake, series.Options{})); got != "M05, M01, M02, M03, M04, M06" && got != "M05, M01, M02, M03, M06, M04" {
		t.Errorf("with a tier above: %s", got)
	}
	for i := range l.Modules {
		l.Modules[i].W, l.Modules[i].H = 0, 0
	}
	n, _ = topology.Compile(l)
	if got := names(series.Points(n, series.ModuleVolts, series.Snake, series.Options{})); got != along {
		t.Errorf("without outlines: %s", got)
	}
}

// Every order of the whole has each point once, and no two points of a series share
// their key; a pack without modules has none.
func TestPoints_EachOnce(t *testing.T) {
	n := six(t)
	for _, kind := range series.Kinds {
		want := keys(t, series.Points(n, kind, series.Electrical, series.Options{}))
		if len(want) == 0 {
			t.Fatalf("%s has no points", kind)
		}
		for _, order := range []series.Order{series.Snake, series.Reverse, series.Missing} {
			if got := keys(t, series.Points(n, kind, order, series.Options{})); !slices.Equal(got, want) {
				t.Errorf("%s, %s: %q, want %q", kind, order, got, want)
			}
		}
		empty, _ := topology.Compile(topology.Layout{})
		for _, order := range series.Orders {
			if got := series.Points(empty, kind, order, series.Options{}); len(got) != 0 {
				t.Errorf("an empty layout has %v", got)
			}
		}
	}
}

func keys(t *testing.T, points []series.Point) []string {
	t.Helper()
	var out []string
	for _, p := range points {
		out = append(out, p.Key())
	}
	slices.Sort(out)
	if n := len(out); len(slices.Compact(slices.Clone(out))) != n {
		t.Errorf("a key stands twice: %q", out)
	}
	return out
}

func TestUnknown_NamesWhatHasNoPoint(t *testing.T) {
	n := six(t)
	if got := series.Unknown(n, series.ModuleVolts, []string{"M01", "L01", "x"}); !slices.Equal(got, []string{"L01", "x"}) {
		t.Errorf("of modules: %q", got)
	}
	if got := series.Unknown(n, series.Joint, []string{"M01", "L01", "x"}); !slices.Equal(got, []string{"M01", "x"}) {
		t.Errorf("of links: %q", got)
	}
}
