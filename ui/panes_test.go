package ui

import (
	"strconv"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/stages"
	"halfsplit/ui/theme"
)

// drag takes hold of something of the window in its middle.
func (r *rig) drag(o fyne.CanvasObject, dx, dy float32) {
	at := o.Position().Add(fyne.NewPos(o.Size().Width/2, o.Size().Height/2))
	test.Drag(r.w.Canvas(), at, dx, dy)
}

func TestPanes_HandlesMoveTheEdgesAndAreKept(t *testing.T) {
	var kept Panes
	r := newRig(t, func(d *Deps) { d.SavePanes = func(p Panes) { kept = p } })
	r.runJobs()
	ruler, sheet, plan := r.rulerPane.Size().Height, r.frame.sheetW, r.planPane.Size()
	r.drag(r.rulerGrips[1], 0, -100)
	if got := r.rulerPane.Size().Height - ruler; got < 90 || got > 110 {
		t.Errorf("a drag of 100 made the ruler %g higher", got)
	}
	r.drag(r.sheetGrips[1], -80, 0)
	if got := r.frame.sheetW - sheet; got < 75 || got > 85 {
		t.Errorf("a drag of 80 made the sheet %g wider", got)
	}
	if s := r.planPane.Size(); s.Width >= plan.Width || s.Height >= plan.Height {
		t.Errorf("the plan did not give way: %v, then %v", plan, s)
	}
	if kept != r.panes || kept.Ruler == 0 || kept.Sheet == 0 {
		t.Errorf("kept %+v of %+v", kept, r.panes)
	}
	again := newRig(t, func(d *Deps) { d.Panes = kept })
	again.runJobs()
	if a, b := again.rulerPane.Size(), r.rulerPane.Size(); a.Subtract(b).Width != 0 || a.Height-b.Height > 4 || b.Height-a.Height > 4 {
		t.Errorf("after a restart the ruler has %v, before it had %v", a, b)
	}
}

func TestPanes_KeysMoveTheEdgesThereAndBack(t *testing.T) {
	r := ready(t)
	first := r.rulerPane.Size().Height
	r.typed(".")
	up := r.rulerPane.Size().Height
	r.typed(",")
	if back := r.rulerPane.Size().Height; up <= first || back >= up {
		t.Errorf("the ruler has %g, then %g, then %g", first, up, back)
	}
	r.typed(">>")
	if r.panes.Sheet != 440 {
		t.Errorf("two steps wider: %d", r.panes.Sheet)
	}
	r.typed("<")
	if r.panes.Sheet != 400 || !strings.Contains(r.happened, "400") {
		t.Errorf("one step back: %d, %q", r.panes.Sheet, r.happened)
	}
}

func TestPanes_StayUsable(t *testing.T) {
	r := ready(t)
	for range 40 {
		r.typed(".>")
	}
	if p := r.planPane.Size(); p.Height < leastPlan || p.Width < leastWide {
		t.Errorf("the plan has %v", p)
	}
	for range 40 {
		r.typed(",<")
	}
	if p := r.rulerPane.Size(); p.Height < leastRuler || r.frame.sheetW < leastSheet {
		t.Errorf("the ruler has %v, the sheet %g", p, r.frame.sheetW)
	}
}

// What a drag does, presses alone do as well: a handle that is pressed opens
// the page.
func TestPanes_ByPressesAlone(t *testing.T) {
	r := ready(t)
	test.TapCanvas(r.w.Canvas(), r.rulerGrips[1].Position().Add(fyne.NewPos(10, 10)))
	if r.page != panesPage {
		t.Fatalf("the sheet says\n%s", r.onSheet())
	}
	first := r.rulerPane.Size().Height
	r.pickOnSheet(rulerHigherID)
	r.pickOnSheet(sheetWiderID)
	if r.rulerPane.Size().Height <= first || r.panes.Sheet != 400 || !strings.Contains(r.happened, "a width of 400") {
		t.Errorf("ruler %g then %g, panes %+v, %q", first, r.rulerPane.Size().Height, r.panes, r.happened)
	}
	r.pickOnSheet(panesFirstID)
	if r.panes != (Panes{}) || r.rulerPane.Size().Height != first {
		t.Errorf("as at first: %+v, ruler %g", r.panes, r.rulerPane.Size().Height)
	}
}

func TestPanes_HandlesAreWideAndCoverNoButton(t *testing.T) {
	for _, size := range []fyne.Size{{Width: 1280, Height: 744}, {Width: 1024, Height: 644}, {Width: 960, Height: 540}, {Width: 640, Height: 520}} {
		r := ready(t)
		r.w.Resize(size)
		for i, g := range append(append([]fyne.CanvasObject{}, r.rulerGrips...), r.sheetGrips...) {
			if !g.Visible() {
				continue
			}
			least := float32(gripDeep)
			if i%2 == 1 {
				least = easel.Sizes().Touch()
			}
			if g.Size().Width < least || g.Size().Height < least {
				t.Errorf("%v: handle %d is %v", size, i, g.Size())
			}
		}
		for _, c := range r.chips {
			if c.Visible() && c.Size().Height < easel.Sizes().Touch() {
				t.Errorf("%v: %q is %v", size, c.Command.Name, c.Size())
			}
		}
	}
}

func TestFrame_StagesAreAColumnABarOrAPage(t *testing.T) {
	for name, c := range map[string]struct {
		w, h              float32
		column, bar, page bool
	}{
		"wide":      {1280, 744, true, false, false},
		"below":     {1024, 644, false, true, false},
		"low":       {1024, 500, false, false, true},
		"very slim": {800, 644, false, false, true},
	} {
		t.Run(name, func(t *testing.T) {
			r := ready(t)
			r.w.Resize(fyne.NewSize(c.w, c.h))
			if r.stageRoll.Visible() != c.column || r.stageBar.Visible() != c.bar || r.stageChip.Visible() != c.page {
				t.Errorf("column %v, bar %v, page %v", r.stageRoll.Visible(), r.stageBar.Visible(), r.stageChip.Visible())
			}
		})
	}
}

func TestFrame_TheBarOpensStages(t *testing.T) {
	r := ready(t)
	r.w.Resize(fyne.NewSize(1024, 644))
	for i, s := range stages.All {
		r.stageBar.OnPick(stages.ID(i))
		if got := r.stageShown(); got != i {
			t.Errorf("%s pressed shows %s", s.Name, stages.All[got].Name)
		}
		r.key(fyne.KeyEscape)
	}
	r.typed("g")
	r.key(fyne.KeyDown, fyne.KeyReturn)
	if r.stageShown() != stages.Locate+1 {
		t.Errorf("by keys: %s", stages.All[r.stageShown()].Name)
	}
}

func TestFrame_PlanAndRulerTakeTurnsInASlimWindow(t *testing.T) {
	r := ready(t)
	for _, w := range []float32{890, 920} {
		r.w.Resize(fyne.NewSize(w, 644))
		if both := r.planPane.Visible() && r.rulerPane.Visible(); both != (w > 900) {
			t.Errorf("%g wide: plan %v, ruler %v", w, r.planPane.Visible(), r.rulerPane.Visible())
		}
	}
	r.w.Resize(fyne.NewSize(890, 644))
	if got := label(r.viewChip); got != "Ruler" {
		t.Errorf("the switch says %q", got)
	}
	r.typed("v")
	if got := label(r.viewChip); got != "Plan" {
		t.Errorf("on the ruler the switch says %q", got)
	}
	if r.planPane.Visible() || !r.rulerPane.Visible() {
		t.Error("the switch does not show the ruler")
	}
}

// With large text on a small screen the drawings keep most of what the strip
// leaves, the buttons share one row, and all the rest is a press further away.
func TestFrame_LowWindowsKeepTheirRoomForTheDrawing(t *testing.T) {
	for _, size := range []fyne.Size{{Width: 640, Height: 344}, {Width: 768, Height: 376}, {Width: 683, Height: 411}} {
		r := ready(t)
		r.w.Resize(size)
		room := size.Height - r.strip.Size().Height
		if high := r.planPane.Size().Height; high < room*0.75 {
			t.Errorf("%v: the plan has %g of %g", size, high, room)
		}
		for _, c := range r.planChips.Objects {
			if c.Visible() && c.Position().Y > float32(chipGap)+1 {
				t.Errorf("%v: the buttons have a second row", size)
			}
		}
		test.Tap(r.moreChip)
		for _, want := range []string{"Shading: Suspicion", "Compute", "Colours", "Redo", "Who is here", "Instruments", "Keys"} {
			if !strings.Contains(r.onSheet(), want) {
				t.Errorf("%v: %q cannot be pressed:\n%s", size, want, r.onSheet())
			}
		}
		r.pickOnSheet(moreID + strconv.Itoa(r.more()[0]))
		if r.page != shadingPage {
			t.Errorf("%v: the first line opened\n%s", size, r.onSheet())
		}
	}
}

// Whatever the window, what is typed is seen while typing, and so is what it
// means but for the large figures of the glove view in a low window.
func TestFrame_TheNumberInHandIsInView(t *testing.T) {
	for _, glove := range []bool{false, true} {
		for _, size := range []fyne.Size{{Width: 1280, Height: 744}, {Width: 1024, Height: 644}, {Width: 768, Height: 376}, {Width: 683, Height: 411}, {Width: 640, Height: 344}} {
			r := ready(t)
			fyne.CurrentApp().Settings().SetTheme(&theme.Theme{Force: theme.Light, Glove: glove})
			r.w.Resize(size)
			r.key(fyne.KeyTab, fyne.KeyReturn)
			r.typed("29")
			top, bottom := r.paperRoll.Offset.Y, r.paperRoll.Offset.Y+r.paperRoll.Size().Height
			seen := 0
			for _, s := range r.paper.List().Shapes {
				if s.Kind != scene.Label || !strings.HasPrefix(s.Text, "29") || glove && r.frame.low() && s.Text != "29" {
					continue
				}
				seen++
				if y := float32(s.Points[0].World.Y() + s.Points[0].Px.Y()); y < top || y+float32(s.Size)/2 > bottom {
					t.Errorf("glove %v, %v: %q lies at %g, seen is %g to %g", glove, size, s.Text, y, top, bottom)
				}
			}
			if seen == 0 {
				t.Errorf("glove %v, %v: nothing that was typed is on the sheet", glove, size)
			}
		}
	}
}
