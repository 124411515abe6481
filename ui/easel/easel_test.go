package easel_test

import (
	"fmt"
	"image"
	"slices"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// square is a subject of one square of 100 units, with its name.
type square struct{ name string }

func (square) Fit(w, h float64) scene.View {
	return scene.Fit(scene.Rect{Max: mgl64.Vec2{100, 100}}, w, h, 10, 10, 10, 10)
}

func (s square) Scene(scene.View) *scene.List {
	l := &scene.List{}
	a, b := scene.At(0, 0), scene.At(100, 100)
	l.Rect("square", a, b, scene.Ink(theme.Raised), scene.Ink(theme.Ink), 2, 0)
	l.Text("square", scene.At(50, 50), scene.Middle, scene.Middle, scene.Ink(theme.Ink), 14, false, s.name)
	l.Target("square", 0, a, scene.At(100, 0), b, scene.At(0, 100))
	return l
}

func pane(t *testing.T) (*easel.Pane, *string) {
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Force: theme.Light})
	picked := new(string)
	*picked = "none"
	p := easel.NewPane(square{"first"})
	p.OnPick = func(id string) { *picked = id }
	w := test.NewTempWindow(t, p)
	w.SetPadded(false)
	w.Resize(fyne.NewSize(220, 120))
	return p, picked
}

func press(p *easel.Pane, x, y float32) {
	e := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x, y)}}
	p.MouseDown(e)
	p.MouseUp(e)
}

func TestPane_PressPicksAndDragDoesNot(t *testing.T) {
	p, picked := pane(t)
	press(p, 110, 60)
	if *picked != "square" {
		t.Errorf("a press in the middle picked %q", *picked)
	}
	press(p, 5, 5)
	if *picked != "" {
		t.Errorf("a press beside it picked %q", *picked)
	}
	*picked = "none"
	at := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(110, 60)}}
	p.MouseDown(at)
	p.Dragged(&fyne.DragEvent{Dragged: fyne.NewDelta(30, 0)})
	p.MouseUp(at)
	p.DragEnd()
	if *picked != "none" {
		t.Errorf("a drag picked %q", *picked)
	}
}

// A release outside the window ends the drag without MouseUp; the next press
// counts again.
func TestPane_ReleaseOutsideTheWindow(t *testing.T) {
	p, picked := pane(t)
	p.MouseDown(&desktop.MouseEvent{})
	p.Dragged(&fyne.DragEvent{Dragged: fyne.NewDelta(3, 0)})
	p.DragEnd()
	press(p, 110, 60)
	if *picked != "square" {
		t.Errorf("picked %q", *picked)
	}
}

func TestPane_WheelZoomsAboutThePointerWithinLimits(t *testing.T) {
	p, _ := pane(t)
	at := mgl64.Vec2{140, 70}
	before, scale := p.View().World(at), p.View().ScaleX
	p.Scrolled(&fyne.ScrollEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(140, 70)}, Scrolled: fyne.NewDelta(0, 25)})
	if p.View().ScaleX <= scale || p.View().World(at).Sub(before).Len() > 1e-4 {
		t.Errorf("scale %g to %g, place %v to %v", scale, p.View().ScaleX, before, p.View().World(at))
	}
	for range 200 {
		p.Zoom(2)
	}
	if got := p.View().ScaleX / scale; got > 60.1 {
		t.Errorf("zoomed in %g times", got)
	}
	for range 200 {
		p.Zoom(0.5)
	}
	if got := p.View().ScaleX / scale; got < 0.49 {
		t.Errorf("zoomed out %g times", got)
	}
}

func TestPane_FollowsItsSizeUntilItIsMoved(t *testing.T) {
	p, _ := pane(t)
	p.Resize(fyne.NewSize(420, 320))
	if got := p.View().ScaleX; got != 3 {
		t.Errorf("scale %g after a resize, want 3", got)
	}
	p.Pan(20, 0)
	middle := p.View().World(mgl64.Vec2{210, 160})
	p.Resize(fyne.NewSize(620, 320))
	if got := p.View().World(mgl64.Vec2{310, 160}); got.Sub(middle).Len() > 1e-6 {
		t.Errorf("the middle moved from %v to %v", middle, got)
	}
	p.Fit()
	if got := p.View().ScaleX; got != 3 {
		t.Errorf("scale %g after Fit, want 3", got)
	}
}

func TestPane_TextsAreReusedWhilePanning(t *testing.T) {
	p, _ := pane(t)
	find := func() *canvas.Text {
		for _, o := range test.WidgetRenderer(p).Objects() {
			if x, ok := o.(*canvas.Text); ok {
				return x
			}
		}
		return nil
	}
	before := find()
	p.Pan(7, 3)
	if find() != before || before == nil {
		t.Error("panning draws a text anew")
	}
	p.Set(square{"second"}, false)
	if after := find(); after == before || after.Text != "second" {
		t.Errorf("the text still says %q", after.Text)
	}
}

func TestPane_RevealMovesJustSoFar(t *testing.T) {
	p, _ := pane(t)
	p.Zoom(5)
	p.Pan(-2000, 0)
	r, ok := p.TargetRect("square")
	if !ok {
		t.Fatal("no target")
	}
	p.Reveal(scene.Rect{Min: r.Min, Max: r.Min.Add(mgl64.Vec2{10, 10})})
	r, _ = p.TargetRect("square")
	if r.Min.X() < 0 || r.Min.X() > 220 {
		t.Errorf("revealed at %v", r.Min)
	}
}

func TestBoard_IsAsHighAsItsWidthNeeds(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Force: theme.Light})
	b := easel.NewBoard(theme.Raised, 100, func(w float64) (*scene.List, float64) { return &scene.List{}, 10000 / w })
	if got := b.Prepare(200); got != 50 {
		t.Errorf("50 pixels high at 200, got %g", got)
	}
	if got := b.MinSize(); got != fyne.NewSize(100, 50) {
		t.Errorf("least size %v", got)
	}
}

func BenchmarkPane_Redraw(b *testing.B) {
	test.NewApp()
	p := easel.NewPane(square{"x"})
	p.Resize(fyne.NewSize(900, 500))
	test.WidgetRenderer(p)
	for b.Loop() {
		p.Pan(1, 0)
	}
}

// a hand writes down what it is given.
type hand struct {
	takes bool
	said  []string
}

func (h *hand) Take(mgl64.Vec2) bool { h.said = append(h.said, "take"); return h.takes }
func (h *hand) Drag(from, at mgl64.Vec2) {
	h.said = append(h.said, fmt.Sprintf("drag %v %v", from, at))
}
func (h *hand) Drop(from, at mgl64.Vec2) {
	h.said = append(h.said, fmt.Sprintf("drop %v %v", from, at))
}
func (h *hand) Pick(id string, at mgl64.Vec2) {
	h.said = append(h.said, fmt.Sprintf("pick %s %v", id, at))
}

// pull presses, moves and lets go.
func pull(p *easel.Pane, x, y, dx, dy float32) {
	e := func(x, y float32) fyne.PointEvent { return fyne.PointEvent{Position: fyne.NewPos(x, y)} }
	p.MouseDown(&desktop.MouseEvent{PointEvent: e(x, y)})
	p.Dragged(&fyne.DragEvent{PointEvent: e(x+dx, y+dy), Dragged: fyne.NewDelta(dx, dy)})
	p.MouseUp(&desktop.MouseEvent{PointEvent: e(x+dx, y+dy)})
	p.DragEnd()
}

func TestPane_AHandTakesDragsAndPresses(t *testing.T) {
	p, picked := pane(t)
	h := &hand{takes: true}
	p.Hand = h
	before := p.View()
	press(p, 110, 60)
	pull(p, 110, 60, 30, 5)
	want := []string{"pick square [110 60]", "take", "drag [110 60] [140 65]", "drop [110 60] [140 65]"}
	if !slices.Equal(h.said, want) {
		t.Errorf("the hand was given %q, not %q", h.said, want)
	}
	if p.View() != before || *picked != "none" {
		t.Errorf("the pane panned to %v or picked %q beside its hand", p.View(), *picked)
	}
}

func TestPane_PansWhatItsHandDoesNotTake(t *testing.T) {
	p, _ := pane(t)
	h := &hand{}
	p.Hand = h
	before := p.View()
	pull(p, 110, 60, 30, 5)
	if v := p.View(); v.OffX != before.OffX+30 || v.OffY != before.OffY+5 {
		t.Errorf("the drag moved the drawing from %v to %v", before, v)
	}
	if !slices.Equal(h.said, []string{"take"}) {
		t.Errorf("the hand was given %q", h.said)
	}
}

// A photo is shown where it lies, and only another one makes the display take it in again.
func TestPane_ShowsAPicture(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Force: theme.Light})
	m := image.NewRGBA(image.Rect(0, 0, 4, 4))
	for i := range m.Pix {
		m.Pix[i] = 255
	}
	p := easel.NewPane(photo{m})
	w := test.NewTempWindow(t, p)
	w.SetPadded(false)
	w.Resize(fyne.NewSize(220, 120))
	for _, o := range test.WidgetRenderer(p).Objects() {
		if i, ok := o.(*canvas.Image); ok {
			if i.Image != image.Image(m) || i.Size() != fyne.NewSize(100, 100) {
				t.Errorf("the photo is shown as %v in %v", i.Image, i.Size())
			}
			return
		}
	}
	t.Error("no photo is shown")
}

type photo struct{ image *image.RGBA }

func (photo) Fit(w, h float64) scene.View { return square{}.Fit(w, h) }
func (s photo) Scene(scene.View) *scene.List {
	l := &scene.List{}
	l.Add(scene.Shape{Kind: scene.Picture, Points: []scene.Point{scene.At(0, 0), scene.At(100, 100)}, Image: s.image})
	return l
}
