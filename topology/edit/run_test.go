package edit_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"halfsplit/topology"
	"halfsplit/topology/edit"
)

// one is a layout with one module of which runs are drawn.
func one(t testing.TB, minus string) topology.Layout {
	t.Helper()
	l, _, err := edit.AddModule(topology.Layout{Stacks: []topology.Stack{{ID: "A", Angle: 20, X: 7}}}, topology.Module{ID: "M01", Stack: "A", Series: 8, W: 100, H: 200, Minus: minus})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestRepeat_turnsEachSecondModule(t *testing.T) {
	for _, tt := range []struct {
		minus string
		run   edit.Run
		want  string
	}{
		{"top", edit.Run{Copies: 3, Alternate: true}, "top bottom top bottom"},
		{"top", edit.Run{Copies: 3}, "top top top top"},
		{"left", edit.Run{Copies: 3, Alternate: true}, "left right left right"},
		{"left", edit.Run{Copies: 5, PerRow: 3}, "left left left right right right"},
		{"left", edit.Run{Copies: 5, PerRow: 3, OneWay: true}, "left left left left left left"},
		{"bottom", edit.Run{Copies: 3, PerRow: 2, Alternate: true}, "bottom top top bottom"},
		{"bottom", edit.Run{Copies: 3, PerRow: 2, Alternate: true, RowsLeft: true}, "bottom top bottom top"},
		{"left", edit.Run{Copies: 3, PerRow: 2, Alternate: true, Angle: 90}, "left right right left"},
	} {
		tt.run.Of, tt.run.Gap = "M01", 10
		tt.run.Angle += 20 // as the stack lies
		out, _, _, err := edit.Repeat(one(t, tt.minus), tt.run)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, m := range out.Modules {
			got = append(got, m.Minus)
		}
		if strings.Join(got, " ") != tt.want {
			t.Errorf("%+v: %s, not %s", tt.run, strings.Join(got, " "), tt.want)
		}
	}
}

// Outlines lie a gap apart, whatever way the run goes and the stack is turned.
func TestRepeat_keepsTheGap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := topology.Layout{Stacks: []topology.Stack{{ID: "A", Angle: rapid.Float64Range(0, 360).Draw(t, "stack")}},
			Modules: []topology.Module{{ID: "M1", Stack: "A", Series: 1, Parallel: 1, W: 100, H: 200, Minus: "top"}}}
		quarter := rapid.IntRange(0, 3).Draw(t, "quarter")
		out, _, _, err := edit.Repeat(l, edit.Run{Of: "M1", Copies: 5, PerRow: 3, Gap: 7, RowGap: 31, Angle: l.Stacks[0].Angle + 90*float64(quarter)})
		if err != nil {
			t.Fatal(err)
		}
		ps := edit.Places(out)
		along, across := 107.0, 231.0
		if quarter%2 == 1 {
			along, across = 207, 131
		}
		for i, want := range []float64{along, along, across, along, along} {
			if d := ps[i+1].Center.Sub(ps[i].Center).Len(); math.Abs(d-want) > 1e-3 {
				t.Fatalf("%d and %d lie %g apart, not %g", i, i+1, d, want)
			}
		}
	})
}

func TestRepeat_refusals(t *testing.T) {
	l := one(t, "top")
	l.Modules = append(l.Modules, topology.Module{ID: "M05", Series: 1, Parallel: 1, W: 50, H: 50})
	l, _, err := edit.Link(l, "M01+", "M05-", topology.Cable)
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		run  edit.Run
		want string
	}{
		{edit.Run{Of: "M09", Copies: 1}, "nothing in this layout is called M09"},
		{edit.Run{Of: "L01", Copies: 1}, "L01 is a link"},
		{edit.Run{Of: "M01", Copies: 0}, "from 1 to 999"},
		{edit.Run{Of: "M01", Copies: 999}, "1001 modules"},
		{edit.Run{Of: "M01", Copies: 1, Gap: -1}, "gap"},
		{edit.Run{Of: "M01", Copies: 4, From: 2}, "M05 is the id of a module already"},
		{edit.Run{Of: "M01", Copies: 4, Link: true}, "M01+ is joined by L01 already"},
		{edit.Run{Of: "M01", Copies: 4, Stem: "7"}, "cannot begin with"},
	} {
		out, _, _, err := edit.Repeat(l, tt.run)
		if err == nil || !strings.Contains(err.Error(), tt.want) || len(out.Modules) != 2 {
			t.Errorf("%+v: %v", tt.run, err)
		}
	}
	out, names, _, err := edit.Repeat(l, edit.Run{Of: "M01", Copies: 4})
	if err != nil || fmt.Sprint(names) != "[M02 M03 M04 M06]" {
		t.Errorf("%v %v", names, err)
	}
	legal(t, out)
}

func TestMirror_twiceIsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		sel := drawSelection(t, l, edit.ModuleKind, edit.StackKind)
		axis := edit.Axis(rapid.IntRange(0, 1).Draw(t, "axis"))
		once, err := edit.Mirror(l, sel, axis)
		if err != nil {
			t.Skip()
		}
		twice, err := edit.Mirror(once, sel, axis)
		if err != nil {
			t.Fatal(err)
		}
		a, b := edit.Places(l), edit.Places(twice)
		for i := range a {
			if !near(a[i].Center, b[i].Center, 2e-3) || math.Abs(math.Remainder(a[i].Angle-b[i].Angle, 360)) > 1e-3 || l.Modules[i].Minus != twice.Modules[i].Minus {
				t.Fatalf("%s was at %+v and is at %+v", l.Modules[i].ID, a[i], b[i])
			}
		}
	})
}

// The minus end of what is mirrored lies where a mirror shows it.
func TestMirror_minusEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		sel := drawSelection(t, l, edit.ModuleKind, edit.StackKind)
		axis := edit.Axis(rapid.IntRange(0, 1).Draw(t, "axis"))
		out, err := edit.Mirror(l, sel, axis)
		b, ok := edit.Bounds(l, sel)
		if err != nil || !ok {
			t.Skip()
		}
		chosen := map[string]bool{}
		for _, id := range sel {
			chosen[id] = true
		}
		a, c := edit.Places(l), edit.Places(out)
		for i, m := range l.Modules {
			want := minusOf(a[i], m.Minus)
			if chosen[m.ID] || chosen[m.Stack] && m.Stack != "" {
				want[axis] = 2*b.Center()[axis] - want[axis]
			}
			if got := minusOf(c[i], out.Modules[i].Minus); !near(got, want, 2e-3) {
				t.Fatalf("the minus end of %s lies at %v, not %v", m.ID, got, want)
			}
		}
	})
}

func minusOf(p edit.Place, minus string) (v [2]float64) {
	at := map[string][2]float64{"left": {0, 0.5}, "right": {1, 0.5}, "top": {0.5, 0}, "bottom": {0.5, 1}}[minus]
	return p.At(at[0], at[1])
}

func TestFlipped_twiceIsTheLayout(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		once := edit.Flipped(l)
		if diff := cmp.Diff(l, edit.Flipped(once), cmpopts.EquateApprox(0, 1e-9), cmpopts.EquateEmpty()); diff != "" {
			t.Fatal(diff)
		}
		if l.SeenFrom == "above" && once.SeenFrom != "below" || l.Front == "left" && once.Front != "right" || l.Front == "up" && once.Front != "up" {
			t.Fatalf("seen from %s, front %s", once.SeenFrom, once.Front)
		}
		a, b := edit.Places(l), edit.Places(once)
		for i := range a {
			want := minusOf(a[i], l.Modules[i].Minus)
			want[0] = -want[0]
			if got := minusOf(b[i], once.Modules[i].Minus); !near(got, want, 1e-6) {
				t.Fatalf("the minus end of %s is drawn at %v, not %v", l.Modules[i].ID, got, want)
			}
		}
	})
}
