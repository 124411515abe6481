package ui

import (
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// answerPages open the pages on which something is answered, noted or asked, each
// with something typed.
func answerPages(r *rig) map[string]func() {
	return map[string]func(){
		"every part": func() {
			r.showFinding()
			for _, p := range sheet.Parts {
				r.folds[p.ID] = true
			}
		},
		"doubt": func() { r.showFinding(); r.nextDoubt() },
		"reason": func() {
			r.showFinding()
			r.nextDoubt()
			r.answerDoubt(sheet.KeepAsRead)
			r.typed("read twice, with new leads at both")
		},
		"note":    func() { r.choose("module:M10"); r.openNote(); r.typed("damp below the cover and at its side") },
		"what if": func() { r.showFinding(); r.openWhatIf(); r.key(fyne.KeyDown); r.typed("1M") },
		"answer":  func() { r.showFinding(); r.openWhatIf(); r.key(fyne.KeySpace, fyne.KeyReturn); r.runJobs() },
	}
}

func TestAnswers_WhatIsPressedIsLargeEnough(t *testing.T) {
	for _, glove := range []bool{false, true} {
		for _, size := range []fyne.Size{{Width: 1280, Height: 744}, {Width: 1024, Height: 644}, {Width: 640, Height: 344}} {
			r, _, _ := asker(t, nil)
			th := &theme.Theme{Force: theme.Light, Glove: glove}
			fyne.CurrentApp().Settings().SetTheme(th)
			r.w.Resize(size)
			least := float64(th.Touch())
			for name, open := range answerPages(r) {
				open()
				r.showAll(false)
				targets := append(append([]scene.Target(nil), r.paper.List().Targets...), r.strip.List().Targets...)
				if len(targets) == 0 {
					t.Errorf("%s: nothing can be pressed", name)
				}
				for _, tg := range targets {
					if h := high(tg); h < least-0.5 {
						t.Errorf("glove %v, %v, %s: %s is %g high", glove, size, name, tg.ID, h)
					}
				}
				r.endWhatIf()
			}
		}
	}
}

func TestAnswers_OnlyGlyphsOfTheWindowsFont(t *testing.T) {
	g, err := theme.NewGlyphs()
	if err != nil {
		t.Fatal(err)
	}
	r, _, _ := asker(t, nil)
	for name, open := range answerPages(r) {
		open()
		r.showAll(false)
		n := 0
		for _, l := range []*scene.List{r.paper.List(), r.strip.List(), r.planPane.List(), r.rulerPane.List()} {
			for _, s := range l.Shapes {
				n++
				if miss := g.Missing(s.Text); len(miss) > 0 {
					t.Errorf("%s: %q has %q, which the font lacks", name, s.Text, string(miss))
				}
			}
		}
		if n < 100 {
			t.Errorf("%s: only %d shapes", name, n)
		}
		r.endWhatIf()
	}
}
