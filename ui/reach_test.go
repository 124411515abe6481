package ui

import (
	"image"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/golden"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// label is what a button says.
func label(c *command.Chip) string {
	if c.Command.Label != nil {
		return c.Command.Label()
	}
	return c.Command.Name
}

// From the drawings the keyboard goes on to the sheet's buttons, its primary
// action, the buttons at the foot, and round again; where it is can be seen.
func TestFrame_TabOrderIsSeen(t *testing.T) {
	r := ready(t)
	c := r.w.Canvas()
	c.Focus(r.rulerPane)
	var order []string
	var before image.Image
	for range 30 {
		c.FocusNext()
		chip, ok := c.Focused().(*command.Chip)
		if !ok {
			break
		}
		order = append(order, label(chip))
		now := c.Capture()
		if before != nil && golden.Same(before, now) {
			t.Errorf("the focus on %q cannot be seen", label(chip))
		}
		before = now
	}
	got := strings.Join(order, ", ")
	const want = "Finding, Selected, State, Run, Record L10 as opened …, Suspicion, -, +, Whole, Keys, Compute, Colours, More, Undo, Redo"
	if got != want {
		t.Errorf("the order is\n%s\nwant\n%s", got, want)
	}
	if c.Focused() != fyne.Focusable(r.planPane) {
		t.Errorf("after the last comes %T", c.Focused())
	}
}

// high is the height of a target on a board.
func high(tg scene.Target) float64 {
	var lo, hi float64
	for i, p := range tg.Area {
		y := p.World.Y() + p.Px.Y()
		if i == 0 || y < lo {
			lo = y
		}
		if i == 0 || y > hi {
			hi = y
		}
	}
	return hi - lo + 2*tg.Grow
}

// Everything that is pressed is as high as a finger needs, and in the glove view
// as a glove needs, whatever the window's size.
func TestFrame_WhatIsPressedIsLargeEnough(t *testing.T) {
	for _, glove := range []bool{false, true} {
		for _, size := range []fyne.Size{{Width: 1280, Height: 744}, {Width: 1024, Height: 644}, {Width: 640, Height: 344}} {
			r := ready(t)
			th := &theme.Theme{Force: theme.Light, Glove: glove}
			fyne.CurrentApp().Settings().SetTheme(th)
			r.w.Resize(size)
			least := float64(th.Touch())
			for _, open := range []func(){r.showFinding, r.openShading, r.openPanes, r.openMore, r.listStages, r.openStates, r.askWho} {
				open()
				r.showAll(false)
				for _, c := range r.chips {
					if s := c.Size(); c.Visible() && (float64(s.Height) < least || float64(s.Width) < least) {
						t.Errorf("glove %v, %v: %q is %v", glove, size, label(c), s)
					}
				}
				for name, b := range map[string]*easel.Board{"sheet": r.paper, "column": r.column, "bar": r.stageBar} {
					if name != "sheet" && !b.Visible() {
						continue
					}
					for _, tg := range b.List().Targets {
						if h := high(tg); h < least-0.5 {
							t.Errorf("glove %v, %v, page %d: %s on the %s is %g high", glove, size, r.page, tg.ID, name, h)
						}
					}
				}
			}
		}
	}
}

// A key that did two things would do only the first.
func TestKeys_EachDoesOneThing(t *testing.T) {
	r := ready(t)
	taken := map[rune]string{}
	for _, c := range r.set.List() {
		for _, k := range strings.ToLower(c.Runes) {
			if was, ok := taken[k]; ok {
				t.Errorf("%q does both %q and %q", k, was, c.Name)
			}
			taken[k] = c.Name
		}
	}
	for _, k := range "pm,.<>" {
		if taken[k] == "" {
			t.Errorf("%q does nothing", k)
		}
	}
	r.typed("?")
	for _, want := range []string{"Shift Enter", "F2", "why this test is proposed", "what is not proposed, and what would lift that", "Divide the window", "The ruler lower or higher", "The sheet narrower or wider"} {
		if !strings.Contains(r.onSheet(), want) {
			t.Errorf("the list of keys lacks %q", want)
		}
	}
}
