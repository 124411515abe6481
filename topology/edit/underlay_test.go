package edit_test

import (
	"math"
	"strings"
	"testing"

	"github.com/go-gl/mathgl/mgl64"
	"pgregory.net/rapid"

	"halfsplit/topology"
	"halfsplit/topology/edit"
)

var photo = strings.Repeat("0f", 32)

func under(t *testing.T) (topology.Layout, string) {
	t.Helper()
	l, id, err := edit.AddUnderlay(pack(t, 12), photo, "lid off.jpg", 4000, 3000, 0)
	if err != nil {
		t.Fatal(err)
	}
	legal(t, l)
	return l, id
}

func TestHomography_takesFourPointsToFourOthers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var src, dst [4][2]float64
		for i, c := range [4][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
			for axis := range 2 {
				src[i][axis] = 3000*c[axis] + rapid.Float64Range(-900, 900).Draw(t, "pixels")
				dst[i][axis] = 1000*c[axis] + rapid.Float64Range(-300, 300).Draw(t, "mm")
			}
		}
		m, err := edit.Homography(src, dst)
		if err != nil {
			t.Skip()
		}
		back, err := edit.Homography(dst, src)
		if err != nil {
			t.Fatal(err)
		}
		for i := range src {
			if !near(edit.Through(m, src[i]), dst[i], 1e-5) || !near(edit.Through(back, dst[i]), src[i], 1e-4) {
				t.Fatalf("point %d comes to %v", i, edit.Through(m, src[i]))
			}
		}
	})
}

func TestHomography_refusesThreeOnALine(t *testing.T) {
	square := [4][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}}
	for _, bad := range [][4][2]float64{{{0, 0}, {1, 1}, {2, 2}, {0, 1}}, {{0, 0}, {0, 0}, {1, 1}, {0, 1}}, {{0, 0}, {1, 0}, {1, 1}, {2, 0}}, {{math.NaN(), 0}, {1, 0}, {1, 1}, {0, 1}}} {
		if _, err := edit.Homography(square, bad); err == nil {
			t.Errorf("%v was taken", bad)
		}
		if _, err := edit.Homography(bad, square); err == nil {
			t.Errorf("%v was taken", bad)
		}
	}
}

func TestScaleUnderlay_theFirstPointStays(t *testing.T) {
	l, id := under(t)
	l, err := edit.Rotate(l, edit.Selection{id}, 10)
	if err != nil {
		t.Fatal(err)
	}
	before, err := edit.PhotoToPack(l.Underlays[0])
	if err != nil {
		t.Fatal(err)
	}
	first, second := mgl64.Vec2{400, 2000}, mgl64.Vec2{3100, 900} // pixels
	a, b := edit.Through(before, first), edit.Through(before, second)
	out, err := edit.ScaleUnderlay(l, id, a, b, 1234)
	if err != nil {
		t.Fatal(err)
	}
	legal(t, out)
	after, err := edit.PhotoToPack(out.Underlays[0])
	if err != nil {
		t.Fatal(err)
	}
	if c, d := edit.Through(after, first), edit.Through(after, second); !near(a, c, 1e-3) || math.Abs(d.Sub(c).Len()-1234) > 1e-3 {
		t.Errorf("the first went from %v to %v, and they are %g apart", a, c, d.Sub(c).Len())
	}
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := edit.ScaleUnderlay(l, id, a, b, bad); err == nil {
			t.Errorf("a length of %g was taken", bad)
		}
	}
	if _, err := edit.ScaleUnderlay(l, id, a, a, 5); err == nil {
		t.Error("one point was taken for two")
	}
}

func TestStraighten_theFourBecomeTheCorners(t *testing.T) {
	l, id := under(t)
	tray := [4][2]float64{{500, 400}, {3600, 300}, {3500, 2700}, {450, 2500}}
	was, _ := edit.PhotoToPack(l.Underlays[0])
	out, err := edit.Straighten(l, id, tray)
	if err != nil {
		t.Fatal(err)
	}
	legal(t, out)
	u := out.Underlays[0]
	m, err := edit.PhotoToPack(u)
	if err != nil {
		t.Fatal(err)
	}
	middle := mgl64.Vec2{}
	for i, c := range edit.UnderlayPlace(u).Corners() {
		if !near(edit.Through(m, tray[i]), c, 1e-6) {
			t.Errorf("corner %d lies at %v", i, edit.Through(m, tray[i]))
		}
		middle = middle.Add(edit.Through(was, tray[i]).Mul(0.25))
	}
	if !near(edit.UnderlayPlace(u).Center, middle, 1e-3) {
		t.Errorf("the middle went from %v to %v", middle, edit.UnderlayPlace(u).Center)
	}
	tray[0], tray[1] = tray[1], tray[0]
	if _, err := edit.Straighten(l, id, tray); err == nil || !strings.Contains(err.Error(), "clockwise") {
		t.Errorf("crossed: %v", err)
	}
}

func TestLockUnderlays_holdsThePhoto(t *testing.T) {
	l, id := under(t)
	l, err := edit.LockUnderlays(l, edit.Selection{id}, true)
	if err != nil {
		t.Fatal(err)
	}
	x, _ := edit.FieldOf(edit.UnderlayKind, "x")
	for name, f := range map[string]func() error{
		"moved":   func() error { _, err := edit.Move(l, edit.Selection{"M01", id}, 1, 1); return err },
		"turned":  func() error { _, err := edit.Rotate(l, edit.Selection{id}, 1); return err },
		"deleted": func() error { _, _, err := edit.Delete(l, edit.Selection{id}); return err },
		"set":     func() error { _, err := x.Set(l, edit.Selection{id}, "5"); return err },
		"scaled": func() error {
			_, err := edit.ScaleUnderlay(l, id, mgl64.Vec2{}, mgl64.Vec2{1, 1}, 5)
			return err
		},
	} {
		if err := f(); err == nil || !strings.Contains(err.Error(), "is locked; unlock it") {
			t.Errorf("%s: %v", name, err)
		}
	}
	locked, _ := edit.FieldOf(edit.UnderlayKind, "locked")
	if l, err = locked.Set(l, edit.Selection{id}, "no"); err != nil {
		t.Fatal(err)
	}
	if l, err = edit.Move(l, edit.Selection{id}, 3, 0); err != nil {
		t.Error(err)
	}
}

func TestErase_cutsAStroke(t *testing.T) {
	l, err := edit.AddStroke(topology.Layout{}, 1, [][2]float64{{0, 0}, {100, 0}, {100, 0}, {100, 100}})
	if err != nil || len(l.Sketch[0].Points) != 3 {
		t.Fatal(l.Sketch, err)
	}
	out, n, err := edit.Erase(l, 1, mgl64.Vec2{50, 0}, 10)
	if err != nil || n != 1 || len(out.Sketch) != 2 {
		t.Fatal(out.Sketch, n, err)
	}
	if a, b := out.Sketch[0].Points, out.Sketch[1].Points; a[1] != [2]float64{40, 0} || b[0] != [2]float64{60, 0} || len(b) != 3 || out.Sketch[1].Tier != 1 {
		t.Error(out.Sketch)
	}
	if out, n, _ := edit.Erase(l, 0, mgl64.Vec2{50, 0}, 10); n != 0 || len(out.Sketch) != 1 {
		t.Error("another tier was erased")
	}
	if out, n, _ := edit.Erase(l, 1, mgl64.Vec2{50, 50}, 200); n != 1 || len(out.Sketch) != 0 {
		t.Error("it was not erased whole")
	}
	if len(edit.ClearSketch(l, 1).Sketch) != 0 || len(edit.ClearSketch(l, 0).Sketch) != 1 {
		t.Error("the wrong tier was cleared")
	}
}
