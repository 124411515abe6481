package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"github.com/go-gl/mathgl/mgl64"
)

// The lifted view by keys: lifted, turned, a module chosen as on the plan, and back.
func TestLifted_ByKeys(t *testing.T) {
	r := newRig(t, nil)
	r.runJobs()
	shift(r, fyne.KeyF6)
	if !r.seeing.lifted || !strings.Contains(r.happened, "not to scale") {
		t.Fatalf("it says %q", r.happened)
	}
	before := r.seeing.lift
	r.moveOrTurn(panStep, 0)
	r.moveOrTurn(0, panStep)
	if r.seeing.lift.Turn != before.Turn+15 || r.seeing.lift.Apart <= before.Apart {
		t.Errorf("turned and lifted it is %+v", r.seeing.lift)
	}
	r.key(fyne.KeyRight)
	if !strings.HasPrefix(r.selected, "module:") {
		t.Errorf("selected is %q", r.selected)
	}
	shift(r, fyne.KeyF6)
	if r.seeing.lifted || r.planPane.Hand != nil {
		t.Error("back on the plan a drag still turns")
	}
}

// By presses: its buttons, a module's top, and a drag that turns and lifts.
func TestLifted_ByPresses(t *testing.T) {
	r := newRig(t, nil)
	r.runJobs()
	r.toggleLifted()
	press := func(id string) {
		t.Helper()
		for _, k := range r.planPane.List().Targets {
			if k.ID == id && len(k.Area) > 2 {
				at := mgl64.Vec2{}
				for _, p := range k.Area {
					at = at.Add(r.planPane.View().Screen(p).Mul(1 / float64(len(k.Area))))
				}
				r.planPane.Hand.Pick(r.planPane.List().Hit(r.planPane.View(), at), at)
				return
			}
		}
		t.Fatalf("there is no %s to press", id)
	}
	turn := r.seeing.lift.Turn
	press(turnOnID)
	if r.seeing.lift.Turn != turn+15 {
		t.Errorf("turned to %g", r.seeing.lift.Turn)
	}
	r.planPane.Hand.Take(mgl64.Vec2{100, 100})
	r.planPane.Hand.Drag(mgl64.Vec2{100, 100}, mgl64.Vec2{40, 40})
	if r.seeing.lift.Turn != turn+45 || r.seeing.lift.Apart <= 0.5 {
		t.Errorf("dragged it is %+v", r.seeing.lift)
	}
	press("module:M01")
	if r.selected != "module:M01" {
		t.Errorf("a press on M01 selects %q", r.selected)
	}
	press(flatID)
	if r.seeing.lifted {
		t.Error("the button does not go back to the plan")
	}
}

// From the other side the drawing is mirrored, and what is selected stays.
func TestOtherSide_MirrorsTheDrawingAlone(t *testing.T) {
	r := newRig(t, nil)
	r.runJobs()
	r.key(fyne.KeyHome)
	at := r.plan.Geo.Modules[0].Center
	shift(r, fyne.KeyF8)
	if got := r.plan.Geo.Modules[0].Center; got.X() != -at.X() || got.Y() != at.Y() {
		t.Errorf("M01 lies at %v, before at %v", got, at)
	}
	if r.selected != "module:M01" {
		t.Errorf("selected is %q", r.selected)
	}
	shift(r, fyne.KeyF8)
	if r.plan.Geo.Modules[0].Center != at {
		t.Error("seen as drawn it is not as it was")
	}
}

// shift presses a key with Shift held.
func shift(r *rig, k fyne.KeyName) {
	held := r.set.Modifier
	r.set.Modifier = func() fyne.KeyModifier { return fyne.KeyModifierShift }
	r.set.Key(&fyne.KeyEvent{Name: k})
	r.set.Modifier = held
}
