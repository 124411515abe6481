package edit_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/go-gl/mathgl/mgl64"
	"pgregory.net/rapid"

	"halfsplit/topology"
	"halfsplit/topology/edit"
)

// boxes are modules of 100 by 50 mm at these places, M1 first.
func boxes(at ...[2]float64) (l topology.Layout) {
	for i, p := range at {
		l.Modules = append(l.Modules, topology.Module{ID: fmt.Sprintf("M%d", i+1), Series: 1, Parallel: 1, X: p[0], Y: p[1], W: 100, H: 50})
	}
	return l
}

func snapper(t testing.TB, l topology.Layout, moving ...string) *edit.Snapper {
	t.Helper()
	s, err := edit.NewSnapper(l, moving)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestSnap_edgesCentresGridAndTolerance(t *testing.T) {
	l := boxes([2]float64{0, 0}, [2]float64{300, 200})
	s := snapper(t, l, "M1")
	to := edit.SnapTo{Tolerance: 5, Things: true}
	got := s.Snap(297, 60, to)
	if got.DX != 300 || got.DY != 60 || len(got.Guides) != 2 {
		t.Fatalf("%+v", got)
	}
	if g := got.Guides[0]; g.Kind != edit.EdgeGuide || g.Axis != edit.Across || g.From != (mgl64.Vec2{300, 60}) || g.To != (mgl64.Vec2{300, 250}) {
		t.Errorf("%+v", g)
	}
	if got := s.Snap(294, 60, to); got.DX != 294 || len(got.Guides) != 0 {
		t.Errorf("it jumped 6 mm: %+v", got)
	}
	if got := s.Snap(396, 148, to); got.DX != 400 || got.DY != 150 || len(got.Guides) != 2 {
		t.Errorf("beside and above: %+v", got)
	}
	l.Modules[0].W = 60
	if got := snapper(t, l, "M1").Snap(322, 0, to); got.DX != 320 || got.Guides[0].Kind != edit.CentreGuide || got.Guides[0].From.X() != 350 {
		t.Errorf("the middle: %+v", got)
	}
	if got := s.Snap(38, 41, edit.SnapTo{Tolerance: 5, Grid: 20, Things: true}); got.DX != 40 || got.DY != 40 || got.Guides[0].Kind != edit.GridGuide {
		t.Errorf("the grid: %+v", got)
	}
	if got := s.Snap(math.NaN(), 0, to); len(got.Guides) != 0 {
		t.Errorf("%+v", got)
	}
}

func TestSnap_equalGaps(t *testing.T) {
	to := edit.SnapTo{Tolerance: 5, Gaps: true}
	row := boxes([2]float64{0, 0}, [2]float64{112, 0}, [2]float64{1000, 10})
	got := snapper(t, row, "M3").Snap(-778, 0, to) // to 222, and 224 is a gap of 12
	if got.DX != -776 || got.DY != 0 || len(got.Guides) != 2 {
		t.Fatalf("%+v", got)
	}
	for i, g := range got.Guides {
		if g.Kind != edit.GapGuide || g.Gap != 12 || g.To.X()-g.From.X() != 12 || g.From.Y() != g.To.Y() {
			t.Errorf("guide %d: %+v", i, g)
		}
	}
	between := boxes([2]float64{0, 0}, [2]float64{300, 0}, [2]float64{0, 500})
	got = snapper(t, between, "M3").Snap(153, -490, to)
	if got.DX != 150 || len(got.Guides) != 2 || got.Guides[0].Gap != 50 || got.Guides[1].Gap != 50 {
		t.Errorf("%+v", got)
	}
	column := boxes([2]float64{0, 0}, [2]float64{0, 70}, [2]float64{500, 500})
	if got = snapper(t, column, "M3").Snap(-500, -358, to); got.DY != -360 || got.Guides[0].Axis != edit.Down || got.Guides[0].Gap != 20 {
		t.Errorf("%+v", got)
	}
}

// Whatever moves jumps no farther than the tolerance, and what explains it touches it.
func TestSnap_isWithinToleranceAndExplained(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		sel := drawSelection(t, l, edit.ModuleKind, edit.StackKind)
		s, err := edit.NewSnapper(l, sel)
		if err != nil {
			t.Skip()
		}
		by := drawPoint(t)
		to := edit.SnapTo{Tolerance: 20, Things: rapid.Bool().Draw(t, "things"), Gaps: rapid.Bool().Draw(t, "gaps"), Grid: rapid.SampledFrom([]float64{0, 25}).Draw(t, "grid")}
		got := s.Snap(by.X(), by.Y(), to)
		for axis, d := range []float64{got.DX - by.X(), got.DY - by.Y()} {
			if math.Abs(d) > to.Tolerance+1e-3 {
				t.Fatalf("it jumped by %g", d)
			}
			explained := false
			for _, g := range got.Guides {
				explained = explained || int(g.Axis) == axis
			}
			if math.Abs(d) > 1e-3 && !explained {
				t.Fatalf("it jumped by %g for no reason: %+v", d, got)
			}
		}
		out, err := edit.Move(l, sel, got.DX, got.DY)
		if err != nil {
			t.Skip()
		}
		b, _ := edit.Bounds(out, sel)
		for _, g := range got.Guides {
			at := g.From[g.Axis]
			near := math.Min(math.Abs(at-b.Min[g.Axis]), math.Min(math.Abs(at-b.Max[g.Axis]), math.Abs(at-b.Center()[g.Axis])))
			if g.Kind != edit.GapGuide && near > 2e-3 {
				t.Fatalf("%+v explains nothing about %+v", g, b)
			}
		}
	})
}
