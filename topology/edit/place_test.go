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

func near(a, b mgl64.Vec2, within float64) bool { return a.Sub(b).Len() <= within }

// A module in a stack turned by a quarter lies where a hand finds it: 100 right and 20
// down in the stack is 20 left and 100 down in the pack.
func TestPlaceOf_turnsTheStackAboutItsOrigin(t *testing.T) {
	p := edit.PlaceOf(topology.Module{X: 100, Y: 20, W: 40, H: 10, Angle: 30}, topology.Stack{X: 1000, Y: 500, Angle: 90})
	if !near(p.Center, mgl64.Vec2{1000 - 25, 500 + 120}, 1e-9) || p.Angle != 120 {
		t.Errorf("%+v", p)
	}
	flat := edit.PlaceOf(topology.Module{X: 1, Y: 2, W: 30, H: 40, Angle: 90}, topology.Stack{})
	if b := flat.Box(); !near(b.Min, mgl64.Vec2{-4, 7}, 1e-9) || !near(b.Max, mgl64.Vec2{36, 37}, 1e-9) {
		t.Errorf("%+v", b)
	}
	if c := flat.Corners()[0]; !near(c, mgl64.Vec2{36, 7}, 1e-9) {
		t.Errorf("its top left lies at %v", c)
	}
}

func TestPut_isTheInverseOfPlaceOf(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := topology.Stack{ID: "A", X: mm(t, -99, 99, "x"), Y: mm(t, -99, 99, "y"), Angle: rapid.Float64Range(-400, 400).Draw(t, "stack")}
		at, angle := drawPoint(t), rapid.Float64Range(0, 359.9).Draw(t, "angle")
		m := edit.Put(topology.Module{W: 120, H: 70}, s, at, angle)
		p := edit.PlaceOf(m, s)
		if m.Stack != "A" || !near(p.Center, at, 1e-4) || math.Abs(math.Remainder(p.Angle-angle, 360)) > 1e-5 {
			t.Fatalf("%+v lies at %+v", m, p)
		}
	})
}

func TestMove_inATurnedStackGoesAsTheHandGoes(t *testing.T) {
	l := pack(t, 12)
	l.Stacks[0].Angle, l.Stacks[0].X = 90, 2000
	before := edit.Places(l)
	out, err := edit.Move(l, edit.Selection{"M03", "M03", "L01"}, 50, 0)
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range edit.Places(out) {
		want := before[i].Center
		if i == 2 {
			want[0] += 50
		}
		if !near(p.Center, want, 1e-9) {
			t.Errorf("%s lies at %v, not %v", out.Modules[i].ID, p.Center, want)
		}
	}
	all, err := edit.Move(l, edit.Selection{"A", "M03"}, 0, 70)
	if err != nil || all.Stacks[0].Y != 70 || all.Modules[2].X != l.Modules[2].X {
		t.Errorf("a module moved twice, with its stack and by itself: %v", err)
	}
}

func TestRotate_thereAndBackAndTheCentreStays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		sel := drawSelection(t, l, edit.ModuleKind, edit.StackKind)
		angle := rapid.Float64Range(-720, 720).Draw(t, "angle")
		out, err := edit.Rotate(l, sel, angle)
		if err != nil {
			t.Skip()
		}
		was, ok := edit.Center(l, sel)
		is, _ := edit.Center(out, sel)
		if ok && !near(was, is, 1e-3) {
			t.Fatalf("the centre went from %v to %v", was, is)
		}
		back, err := edit.Rotate(out, sel, -angle)
		if err != nil {
			t.Fatal(err)
		}
		a, b := edit.Places(l), edit.Places(back)
		for i := range a {
			if !near(a[i].Center, b[i].Center, 2e-3) || math.Abs(math.Remainder(a[i].Angle-b[i].Angle, 360)) > 0.011 {
				t.Fatalf("%s was at %+v and is at %+v", l.Modules[i].ID, a[i], b[i])
			}
		}
		for _, m := range out.Modules {
			if m.Angle < 0 || m.Angle >= 360 {
				t.Fatalf("%s is turned by %g", m.ID, m.Angle)
			}
		}
	})
}

func TestResize_holdsAPoint(t *testing.T) {
	l := pack(t, 2)
	l.Modules[0].Angle = 33.3
	was := edit.Places(l)[0].At(1, 1)
	out, err := edit.Resize(l, edit.Selection{"M01"}, 200, 0, mgl64.Vec2{1, 1})
	if err != nil {
		t.Fatal(err)
	}
	if m := out.Modules[0]; m.W != 200 || m.H != 330 || !near(edit.Places(out)[0].At(1, 1), was, 1e-3) {
		t.Errorf("%+v", m)
	}
	if _, err := edit.Resize(l, edit.Selection{"M01"}, 9, 0, mgl64.Vec2{}); err == nil || !strings.Contains(err.Error(), "10 mm") {
		t.Errorf("9 mm: %v", err)
	}
	if _, err := edit.Resize(l, edit.Selection{"SD"}, 90, 0, mgl64.Vec2{}); err == nil || !strings.Contains(err.Error(), "SD is a link") {
		t.Errorf("a link: %v", err)
	}
}

func TestSetStack_movesNothingInThePack(t *testing.T) {
	l := pack(t, 6)
	l.Stacks[0].Angle, l.Modules[1].Angle = 10, 5
	out, id, err := edit.NewStack(l, edit.Selection{"M01", "M02"}, false)
	if err != nil || id != "B" {
		t.Fatal(id, err)
	}
	out, err = edit.SetStack(out, edit.Selection{"M03"}, id, false)
	if err != nil {
		t.Fatal(err)
	}
	a, b := edit.Places(l), edit.Places(out)
	for i := range a {
		if !near(a[i].Center, b[i].Center, 1e-3) || a[i].Angle != b[i].Angle {
			t.Errorf("%s was at %+v and is at %+v", l.Modules[i].ID, a[i], b[i])
		}
	}
	if out.Modules[2].Stack != "B" || out.Modules[3].Stack != "A" {
		t.Error("the wrong modules went")
	}
	all := edit.Selection{"M01", "M02", "M03"}
	kept, _ := edit.SetStack(out, all, "A", false)
	gone, _ := edit.SetStack(out, all, "A", true)
	if len(kept.Stacks) != 2 || len(gone.Stacks) != 1 {
		t.Errorf("%d stacks where none was to go, %d where the empty one was", len(kept.Stacks), len(gone.Stacks))
	}
}

func TestAlign_andDistribute(t *testing.T) {
	l := pack(t, 4)
	l.Modules[1].Y, l.Modules[2].X = 77, 400
	sel := edit.Selection{"M01", "M02", "M03", "M04"}
	out, err := edit.Align(l, sel, edit.Bottom)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range edit.Places(out) {
		if p.Box().Max.Y() != 407 {
			t.Errorf("a bottom lies at %g", p.Box().Max.Y())
		}
	}
	out, err = edit.Distribute(out, sel, edit.Across)
	if err != nil {
		t.Fatal(err)
	}
	ps := edit.Places(out)
	for i := 1; i < 4; i++ {
		if gap := ps[i].Box().Min.X() - ps[i-1].Box().Max.X(); math.Abs(gap-12) > 1e-3 {
			t.Errorf("gap %d is %g", i, gap)
		}
	}
	l.Modules[3].W = 99
	out, err = edit.SameSize(l, edit.Selection{"M04", "M01"})
	if err != nil || out.Modules[0].W != 99 || out.Modules[0].X != l.Modules[0].X+25.5 {
		t.Errorf("%+v %v", out.Modules[0], err)
	}
	if _, err := edit.Distribute(l, sel[:2], edit.Down); err == nil {
		t.Error("two were distributed")
	}
}
