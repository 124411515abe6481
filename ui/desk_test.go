package ui

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/facts"
	"halfsplit/ui/plan"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// a rig is a desk in a window without a screen; background work waits in jobs
// until the test runs it.
type rig struct {
	*Desk
	w     fyne.Window
	jobs  []func()
	shift bool
	copy  string
}

func newRig(t *testing.T, edit func(*Deps)) *rig {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(&theme.Theme{Force: theme.Light})
	r := &rig{w: test.NewTempWindow(t, nil)}
	deps := Deps{
		Case:   sample.Case(),
		Find:   func(context.Context, fault.Case) (fault.Finding, error) { return sample.Finding(), nil },
		Go:     func(f func()) { r.jobs = append(r.jobs, f) },
		Do:     func(f func()) { f() },
		Canvas: func() fyne.Canvas { return r.w.Canvas() },
		Copy:   func(s string) { r.copy = s },
		Later:  func(time.Duration, func()) func() { return func() {} }, // no clock runs beside a test
		Restyle: func(v theme.Variant) {
			a.Settings().SetTheme(&theme.Theme{Force: v})
		},
		Modifier: func() fyne.KeyModifier {
			if r.shift {
				return fyne.KeyModifierShift
			}
			return 0
		},
	}
	if edit != nil {
		edit(&deps)
	}
	r.Desk = NewDesk(deps)
	r.w.SetPadded(false)
	r.w.SetContent(r.Content())
	r.w.Resize(fyne.NewSize(1280, 800))
	r.Focus()
	return r
}

// ready is a rig whose finding has come.
func ready(t *testing.T) *rig {
	r := newRig(t, nil)
	r.runJobs()
	return r
}

func (r *rig) runJobs() {
	for len(r.jobs) > 0 {
		f := r.jobs[0]
		r.jobs = r.jobs[1:]
		f()
	}
}

func (r *rig) key(names ...fyne.KeyName) {
	for _, n := range names {
		if f := r.w.Canvas().Focused(); f != nil {
			f.TypedKey(&fyne.KeyEvent{Name: n})
		}
	}
}

func (r *rig) typed(s string) {
	for _, c := range s {
		r.w.Canvas().Focused().TypedRune(c)
	}
}

// press presses a target in the middle of where a pane drew it.
func (r *rig) press(t *testing.T, p *easel.Pane, id string) {
	t.Helper()
	for _, tg := range p.List().Targets {
		if tg.ID != id {
			continue
		}
		var x, y float64
		for _, q := range tg.Area {
			s := p.View().Screen(q)
			x, y = x+s.X()/float64(len(tg.Area)), y+s.Y()/float64(len(tg.Area))
		}
		e := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(float32(x), float32(y))}}
		p.MouseDown(e)
		p.MouseUp(e)
		return
	}
	t.Fatalf("%s cannot be pressed", id)
}

func ringed(l *scene.List) bool {
	for _, s := range l.Shapes {
		if s.Line.Role == theme.Accent {
			return true
		}
	}
	return false
}

func (r *rig) onSheet() string { return strings.ReplaceAll(sheet.Text(r.blocks()), "\u2009", " ") }

func TestDesk_SelectingInOneSelectsInTheOther(t *testing.T) {
	r := ready(t)
	for name, p := range map[string]*easel.Pane{"plan": r.planPane, "ruler": r.rulerPane} {
		for _, id := range []string{"module:M10", "module:M03", "link:SD"} {
			r.choose("")
			r.press(t, p, id)
			if r.Selected() != id || !ringed(r.planPane.List()) || !ringed(r.rulerPane.List()) {
				t.Errorf("%s pressed on the %s: %q is selected, ring on plan %v, on ruler %v",
					id, name, r.Selected(), ringed(r.planPane.List()), ringed(r.rulerPane.List()))
			}
			if _, want, _ := strings.Cut(id, ":"); !strings.Contains(strings.SplitN(r.onSheet(), "\n", 2)[0], want) {
				t.Errorf("the sheet does not speak of %s:\n%s", id, r.onSheet())
			}
		}
	}
}

// What a list selects is seen on both drawings, whatever it is.
func TestDesk_WhatIsSelectedIsMarkedOnBoth(t *testing.T) {
	r := ready(t)
	r.choose("")
	if ringed(r.planPane.List()) || ringed(r.rulerPane.List()) {
		t.Fatal("something is marked although nothing is selected")
	}
	for _, id := range []string{"module:M05", "link:SD", "link:L02", "link:K+", "node:M03.4", "node:M14+", "reading:r1", "reading:r8"} {
		r.choose(id)
		if !ringed(r.planPane.List()) || !ringed(r.rulerPane.List()) {
			t.Errorf("%s: marked on the plan %v, on the ruler %v", id, ringed(r.planPane.List()), ringed(r.rulerPane.List()))
		}
	}
}

func TestDesk_TabWalksTheStringAndLeavesAtItsEnd(t *testing.T) {
	r := ready(t)
	for i := range 14 {
		r.key(fyne.KeyTab)
		want := "module:" + r.pack.Net.Layout.Modules[r.order()[i]].ID
		if r.Selected() != want {
			t.Fatalf("Tab %d selects %q, want %q", i+1, r.Selected(), want)
		}
	}
	r.key(fyne.KeyTab)
	if r.w.Canvas().Focused() == fyne.Focusable(r.planPane) {
		t.Error("the keyboard is caught in the plan")
	}
	r.Focus()
	r.shift = true
	r.key(fyne.KeyTab)
	if r.Selected() != "module:M13" {
		t.Errorf("Shift Tab selects %q, want M13", r.Selected())
	}
}

func TestDesk_Keys(t *testing.T) {
	for name, c := range map[string]struct {
		press func(*rig)
		holds func(*rig) bool
	}{
		"arrow down":   {func(r *rig) { r.key(fyne.KeyDown, fyne.KeyDown) }, func(r *rig) bool { return r.Selected() == "module:M02" }},
		"arrow up":     {func(r *rig) { r.key(fyne.KeyUp) }, func(r *rig) bool { return r.Selected() == "module:M14" }},
		"home":         {func(r *rig) { r.key(fyne.KeyEnd, fyne.KeyHome) }, func(r *rig) bool { return r.Selected() == "module:M01" }},
		"next link":    {func(r *rig) { r.typed("ll") }, func(r *rig) bool { return r.Selected() == "link:L02" }},
		"enter":        {func(r *rig) { r.key(fyne.KeyDown, fyne.KeyReturn) }, func(r *rig) bool { return strings.HasPrefix(r.onSheet(), "Module volts, M01") }},
		"space":        {func(r *rig) { r.key(fyne.KeyDown, fyne.KeySpace) }, func(r *rig) bool { return strings.HasPrefix(r.onSheet(), "Module M01") }},
		"escape":       {func(r *rig) { r.key(fyne.KeyDown, fyne.KeyReturn, fyne.KeyEscape) }, func(r *rig) bool { return strings.HasPrefix(r.onSheet(), "Narrowed") }},
		"escape twice": {func(r *rig) { r.key(fyne.KeyDown, fyne.KeyReturn, fyne.KeyEscape, fyne.KeyEscape) }, func(r *rig) bool { return r.Selected() == "" }},
		"median":       {func(r *rig) { r.typed("2") }, func(r *rig) bool { return r.look.Mode == plan.ByMedian }},
		"potential":    {func(r *rig) { r.typed("3") }, func(r *rig) bool { return r.look.Mode == plan.ByPotential }},
		"suspicion":    {func(r *rig) { r.typed("21") }, func(r *rig) bool { return r.look.Mode == plan.BySuspicion }},
		"keys":         {func(r *rig) { r.typed("?") }, func(r *rig) bool { return strings.HasPrefix(r.onSheet(), "Keys") }},
		"why":          {func(r *rig) { r.typed("w") }, func(r *rig) bool { return strings.Contains(r.onSheet(), "f = 68.1") }},
		"copy":         {func(r *rig) { r.typed("c") }, func(r *rig) bool { return strings.HasPrefix(r.copy, "Narrowed") }},
		"zoom": {func(r *rig) { r.typed("++") }, func(r *rig) bool {
			return r.planPane.View().ScaleX > 1.6*r.plan.Fit(r.planPane.View().W, r.planPane.View().H).ScaleX
		}},
		"whole": {func(r *rig) { r.typed("++0") }, func(r *rig) bool {
			return r.planPane.View() == r.plan.Fit(r.planPane.View().W, r.planPane.View().H)
		}},
		"pan": {func(r *rig) { r.shift = true; r.key(fyne.KeyLeft) }, func(r *rig) bool {
			return r.planPane.View().OffX > r.plan.Fit(r.planPane.View().W, r.planPane.View().H).OffX+50
		}},
		"other drawing": {func(r *rig) { r.key(fyne.KeyF6) }, func(r *rig) bool { return r.w.Canvas().Focused() == fyne.Focusable(r.rulerPane) }},
		"zoom the ruler": {func(r *rig) { r.key(fyne.KeyF6); r.typed("+") }, func(r *rig) bool {
			return r.rulerPane.View().ScaleX > 1.2*r.ruler.Fit(r.rulerPane.View().W, r.rulerPane.View().H).ScaleX && r.rulerPane.View().ScaleY == 1
		}},
		"colours": {func(r *rig) { r.typed("tt") }, func(r *rig) bool { return easel.Variant() == theme.Dark }},
		"roll": {func(r *rig) {
			r.typed("w")
			r.key(fyne.KeyPageUp, fyne.KeyPageUp, fyne.KeyPageUp, fyne.KeyPageUp, fyne.KeyPageUp, fyne.KeyPageUp, fyne.KeyPageDown)
		},
			func(r *rig) bool { return r.paperRoll.Offset.Y > 100 }},
	} {
		t.Run(name, func(t *testing.T) {
			r := ready(t)
			c.press(r)
			if !c.holds(r) {
				t.Errorf("selected %q, mode %d, page %d, sheet:\n%.200s", r.Selected(), r.look.Mode, r.page, r.onSheet())
			}
		})
	}
}

// Each command that has a button does the same by button as by key; each one
// without is listed with what does the same.
func TestDesk_EveryButtonIsOfTouchSizeAndInView(t *testing.T) {
	r := ready(t)
	for _, size := range []fyne.Size{fyne.NewSize(1280, 800), fyne.NewSize(1024, 700), fyne.NewSize(800, 600)} {
		r.w.Resize(size)
		for _, c := range r.chips {
			if !c.Visible() {
				continue
			}
			if s := c.Size(); s.Width < theme.Touch || s.Height < theme.Touch {
				t.Errorf("at %v %s is %v", size, c.Command.Name, s)
			}
			at := fyne.CurrentApp().Driver().AbsolutePositionForObject(c)
			if at.X < 0 || at.Y < 0 || at.X+c.Size().Width > size.Width || at.Y+c.Size().Height > size.Height {
				t.Errorf("at %v %s lies at %v", size, c.Command.Name, at)
			}
		}
	}
}

func TestDesk_FindingIsComputedBesideTheWindow(t *testing.T) {
	r := newRig(t, nil)
	if !r.Computing() || !strings.Contains(r.onSheet(), "Computing the finding") || r.pack.HasShares() {
		t.Errorf("before it is ready the sheet says\n%s", r.onSheet())
	}
	r.runJobs()
	if r.Computing() || !strings.HasPrefix(r.onSheet(), "Narrowed") || !r.pack.HasShares() {
		t.Errorf("when it is ready the sheet says\n%s", r.onSheet())
	}
}

func TestDesk_Cancel(t *testing.T) {
	var got context.Context
	r := newRig(t, func(d *Deps) {
		d.Find = func(ctx context.Context, _ fault.Case) (fault.Finding, error) {
			got = ctx
			return fault.Finding{}, ctx.Err()
		}
	})
	r.key(fyne.KeyEscape)
	if r.Computing() || !strings.Contains(r.onSheet(), "The finding was cancelled") {
		t.Errorf("the sheet says\n%s", r.onSheet())
	}
	r.runJobs()
	if got.Err() == nil {
		t.Error("the computation was not told")
	}
	if !strings.Contains(r.onSheet(), "The finding was cancelled") {
		t.Errorf("what came late is shown:\n%s", r.onSheet())
	}
}

func TestDesk_Failed(t *testing.T) {
	r := newRig(t, func(d *Deps) {
		d.Find = func(context.Context, fault.Case) (fault.Finding, error) {
			return fault.Finding{}, errors.New("the case has no layout")
		}
	})
	r.runJobs()
	if got := r.onSheet(); !strings.Contains(got, "The finding failed") || !strings.Contains(got, "the case has no layout") {
		t.Errorf("the sheet says\n%s", got)
	}
	r.deps.Find = func(context.Context, fault.Case) (fault.Finding, error) { return sample.Finding(), nil }
	r.typed("r")
	r.runJobs()
	if !strings.HasPrefix(r.onSheet(), "Narrowed") {
		t.Errorf("computed again, the sheet says\n%s", r.onSheet())
	}
}

func TestDesk_AnOlderFindingIsMarked(t *testing.T) {
	r := ready(t)
	c := sample.Case()
	c.Now = "closed"
	r.SetCase(c)
	if got := r.onSheet(); !strings.Contains(got, "older than the last reading") || !strings.HasPrefix(r.pack.FindingLine(), "Older than the last reading") {
		t.Errorf("the sheet says\n%s", got)
	}
	r.runJobs()
	if r.result.Stale || strings.Contains(r.onSheet(), "older than") {
		t.Error("still marked when the new one is ready")
	}
}

// A computation that was overtaken by another does not show.
func TestDesk_LateResultsAreDropped(t *testing.T) {
	r := newRig(t, nil)
	late := r.jobs
	r.jobs = nil
	r.deps.Find = func(context.Context, fault.Case) (fault.Finding, error) {
		f := sample.Finding()
		f.Verdict = fault.Located
		return f, nil
	}
	r.SetCase(sample.Case())
	r.runJobs()
	r.jobs = late
	r.runJobs()
	if !strings.HasPrefix(r.onSheet(), "Located") {
		t.Errorf("the sheet says\n%.60s", r.onSheet())
	}
}

func TestDesk_AnySizeAndAnyCase(t *testing.T) {
	cases := map[string]func(*Deps){
		"sample":     func(*Deps) {},
		"no modules": func(d *Deps) { d.Case.Layout = topology.Layout{} },
		"nothing":    func(d *Deps) { d.Case = fault.Case{} },
		"no engine":  func(d *Deps) { d.Find = nil },
		"no state":   func(d *Deps) { d.Case.Now = "" },
		"one module": func(d *Deps) { d.Case.Layout.Modules, d.Case.Layout.Links = d.Case.Layout.Modules[:1], nil },
		"empty finding": func(d *Deps) {
			d.Find = func(context.Context, fault.Case) (fault.Finding, error) { return fault.Finding{}, nil }
		},
	}
	for name, edit := range cases {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, edit)
			r.runJobs()
			for _, s := range []fyne.Size{{Width: 1920, Height: 1080}, {Width: 1024, Height: 700}, {Width: 860, Height: 500}, {Width: 500, Height: 400}, {Width: 320, Height: 300}, {Width: 1, Height: 1}} {
				r.w.Resize(s)
				r.typed("v123+-0l?w")
				r.key(fyne.KeyTab, fyne.KeyReturn, fyne.KeyEscape, fyne.KeyPageDown)
				r.Focus()
			}
			if r.strip.List() == nil || len(r.blocks()) == 0 {
				t.Error("nothing is shown")
			}
		})
	}
}

func TestDesk_NarrowWindowShowsOneViewAtATime(t *testing.T) {
	r := ready(t)
	r.w.Resize(fyne.NewSize(560, 640))
	var seen []string
	for range 3 {
		s := ""
		for name, o := range map[string]fyne.CanvasObject{"plan": r.planPane, "ruler": r.rulerPane, "sheet": r.paperRoll} {
			if o.Visible() {
				s += name
			}
		}
		seen = append(seen, s)
		r.viewChip.Tapped(nil)
	}
	if got := strings.Join(seen, " "); got != "plan ruler sheet" {
		t.Errorf("one after the other: %s", got)
	}
	r.w.Resize(fyne.NewSize(1280, 800))
	if !r.planPane.Visible() || !r.rulerPane.Visible() || !r.paperRoll.Visible() || r.viewChip.Visible() {
		t.Error("a wide window shows everything, and no button for it")
	}
}

// Every character that the window can show is in its own font.
func TestDesk_OnlyGlyphsOfTheWindowsFont(t *testing.T) {
	g, err := theme.NewGlyphs()
	if err != nil {
		t.Fatal(err)
	}
	r := ready(t)
	r.deps.Case.Title = "Leak \u2264 1 M\u03a9 \u2192 M10 \u2212 rain"
	r.SetCase(r.deps.Case)
	r.runJobs()
	r.result.Finding.Why = append(r.result.Finding.Why, fault.WorkedLine{What: "R \u2265 0", Worked: "1 \u2212 2 \u2248 \u22121"})
	lists := map[string]*scene.List{}
	look := func(name string) {
		lists[name+" plan"], lists[name+" ruler"], lists[name+" strip"] = r.planPane.List(), r.rulerPane.List(), r.strip.List()
		r.paper.Refresh()
		lists[name+" sheet"], lists[name+" foot"] = r.paper.List(), r.foot.List()
	}
	for _, k := range "123w?" {
		r.typed(string(k))
		look(string(k))
	}
	for _, id := range []string{"module:M10", "module:M12", "link:SD", "reading:r8", "section:M08-"} {
		r.pick(id)
		look(id)
	}
	n := 0
	for name, l := range lists {
		for _, s := range l.Shapes {
			n++
			if miss := g.Missing(s.Text); len(miss) > 0 {
				t.Errorf("%s: %q has %q, which the font lacks", name, s.Text, string(miss))
			}
		}
	}
	for _, c := range r.chips {
		if miss := g.Missing(c.Command.Name + c.Command.Keys); len(miss) > 0 {
			t.Errorf("the button %s has %q", c.Command.Name, string(miss))
		}
	}
	if n < 1000 {
		t.Errorf("only %d shapes looked at", n)
	}
}

func BenchmarkDesk_FrameWithoutAWindow(b *testing.B) {
	test.NewApp().Settings().SetTheme(&theme.Theme{Force: theme.Light})
	f := sample.Finding()
	d := NewDesk(Deps{Case: sample.Case(), Find: func(context.Context, fault.Case) (fault.Finding, error) { return f, nil },
		Go: func(f func()) { f() }, Do: func(f func()) { f() }})
	d.Content().Resize(fyne.NewSize(1280, 800))
	if d.pack.Result.Status != facts.Ready {
		b.Fatal("no finding")
	}
	for b.Loop() {
		d.planPane.Pan(1, 0)
		d.rulerPane.Pan(1, 0)
	}
}

func sampleFinding() fault.Finding { return sample.Finding() }

// chipNamed is the button of a command.
func (r *rig) chipNamed(t *testing.T, name string) *command.Chip {
	t.Helper()
	for _, c := range r.chips {
		if c.Command.Name == name {
			return c
		}
	}
	t.Fatalf("there is no button %s", name)
	return nil
}
