package ui

import (
	"context"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/easel"
	"halfsplit/ui/entry"
	"halfsplit/ui/facts"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// reading is a rig whose leading test is a reading with the test resistor.
func reading(t *testing.T) *rig {
	r := newRig(t, func(d *Deps) {
		clocked(d)
		d.Find = func(context.Context, fault.Case) (fault.Finding, error) {
			f := sampleFinding()
			f.Next = f.Next[1:]
			return f, nil
		}
	})
	r.runJobs()
	return r
}

func TestNext_AReadingByKeysAlone(t *testing.T) {
	r := reading(t)
	if got := label(r.primary); got != "Enter this reading" {
		t.Fatalf("the button says %q", got)
	}
	r.key(fyne.KeyReturn)
	if f := r.form; r.page != entryPage || f.Red != "M14+" || f.Black != "chassis" || f.Kind != entry.WithResistor || f.Resistor != "R200k" || f.Instrument != "dmm" || f.Range != 600 {
		t.Fatalf("page %d, form %+v", r.page, f)
	}
	if strings.Contains(r.onSheet(), "expected") {
		t.Errorf("what is expected shows before anything is typed:\n%s", r.onSheet())
	}
	r.typed("75.1")
	if got := r.onSheet(); !strings.Contains(got, "Expected, not measured: 72.4 to 78.9 V") || !strings.Contains(got, "agrees with it") {
		t.Errorf("the sheet says\n%s", got)
	}
	r.key(fyne.KeyReturn)
	got := r.last()
	if got.Value != 75.1 || got.Red != "M14+" || got.Resistor == nil || *got.Resistor != (fault.Fitted{ID: "R200k", From: "M14+", To: "chassis"}) || got.Range != 600 || got.State != "split" {
		t.Errorf("recorded as %+v", got)
	}
	if r.page != findingPage || !strings.Contains(r.onSheet(), "Working out the next test") || strings.Contains(r.onSheet(), "BLACK: ") {
		t.Errorf("page %d:\n%s", r.page, r.onSheet())
	}
	if !strings.Contains(r.happened, "Saved: ") || label(r.primary) != "Enter a reading" {
		t.Errorf("said %q, the button says %q", r.happened, label(r.primary))
	}
	r.runJobs()
	if label(r.primary) != "Enter this reading" {
		t.Errorf("with the new finding the button says %q", label(r.primary))
	}
}

func TestNext_AReadingFarFromWhatWasExpectedIsSavedToo(t *testing.T) {
	r := reading(t)
	r.primary.Tapped(nil)
	r.tapKeys(t, "3", "0")
	if got := r.onSheet(); !strings.Contains(got, "Outside of what was expected, 72.4 to 78.9 V") || !strings.Contains(got, "can be saved as it is") {
		t.Errorf("the sheet says\n%s", got)
	}
	r.primary.Tapped(nil)
	if got := r.last(); got.Value != 30 {
		t.Errorf("recorded as %+v", got)
	}
}

func TestNext_ALinkIsOpenedInTwoStepsByKeysAlone(t *testing.T) {
	r := newRig(t, clocked)
	r.runJobs()
	states := len(r.store.Case().States)
	r.key(fyne.KeyReturn)
	got := r.onSheet()
	for _, want := range []string{"Record L10 as opened?", "Nothing is recorded yet", "M08- to M10+", "When it is open: 9.0 to 14.0 V", "Modules cannot be switched off"} {
		if !strings.Contains(got, want) {
			t.Errorf("the sheet lacks %q:\n%s", want, got)
		}
	}
	r.key(fyne.KeyEscape)
	if r.page != findingPage || len(r.store.Case().States) != states {
		t.Fatalf("Escape goes to page %d with %d states", r.page, len(r.store.Case().States))
	}
	r.key(fyne.KeyReturn, fyne.KeyReturn)
	if c := r.store.Case(); c.Now != "L10_open" || r.page != entryPage || r.form.Red != "M11-" || r.form.Black != "chassis" || r.form.Range != 60 {
		t.Fatalf("present state %q, page %d, form %+v", c.Now, r.page, r.form)
	}

	r.typed("20x")
	if !strings.Contains(r.onSheet(), "[20x]") || !strings.Contains(r.happened, `"x" belongs into no number`) {
		t.Errorf("x falls out of what is typed: %s\n%s", r.happened, r.onSheet())
	}
	r.key(fyne.KeyBackspace)
	r.key(fyne.KeyF2)
	if !strings.Contains(r.onSheet(), "[20]") || !strings.HasPrefix(r.onSheet(), "M11- to chassis") {
		t.Errorf("what is typed is lost:\n%s", r.onSheet())
	}
	r.key(fyne.KeyDelete)

	// Before its far side is touched, the gap: hidden, then compared with the
	// prediction and not with zero.
	r.typed("x")
	if !strings.HasPrefix(r.onSheet(), "Across L10") || strings.Contains(r.onSheet(), "expected:") || strings.Contains(r.onSheet(), "9.0") {
		t.Errorf("the sheet says\n%s", r.onSheet())
	}
	for typed, want := range map[string]string{"0.00": "something bridges the gap at L10. Stop", "14": "to the last digit", "11.3": "agrees with it"} {
		r.typed(typed)
		if got := r.onSheet(); !strings.Contains(got, want) || !strings.Contains(got, "9.0 to 14.0 V") {
			t.Errorf("%s: the sheet lacks %q:\n%s", typed, want, got)
		}
		r.key(fyne.KeyDelete)
	}
	r.typed("11.3")
	r.key(fyne.KeyReturn)
	if got := r.last(); got.Red != "M11-" || got.Black != "M10+" || got.Value != 11.3 || got.State != "L10_open" {
		t.Errorf("recorded as %+v", got)
	}
	if r.page != entryPage || r.form.Black != "chassis" || r.form.Red != "M11-" || strings.Contains(r.onSheet(), "First read across") {
		t.Errorf("it does not come back to the proposed reading:\n%s", r.onSheet())
	}
	r.typed("20.4")
	r.key(fyne.KeyReturn)
	if got := r.last(); got.Red != "M11-" || got.Black != "chassis" || got.State != "L10_open" || r.page != findingPage {
		t.Errorf("page %d, recorded as %+v", r.page, got)
	}
}

func TestNext_ALinkIsOpenedInTwoStepsByPressesAlone(t *testing.T) {
	r := newRig(t, clocked)
	r.runJobs()
	r.primary.Tapped(nil)
	r.tapSheet(t, offerID+"back")
	if r.page != findingPage {
		t.Fatalf("page %d", r.page)
	}
	r.primary.Tapped(nil)
	if got := label(r.primary); got != "Record L10 as opened" {
		t.Fatalf("the button says %q", got)
	}
	r.primary.Tapped(nil)
	r.tapSheet(t, entry.GapID)
	r.tapKeys(t, "1", "1", ".", "3")
	r.primary.Tapped(nil)
	r.tapKeys(t, "2", "0")
	r.primary.Tapped(nil)
	if c := r.store.Case(); c.Now != "L10_open" || recorded(r) != 11 || r.last().Value != 20 {
		t.Errorf("%d readings, the last %+v", recorded(r), r.last())
	}
}

// A test that changes two things records them one after the other, each in its own
// two steps.
func TestNext_TwoStepsBeforeTheReading(t *testing.T) {
	r := newRig(t, func(d *Deps) {
		d.Find = func(context.Context, fault.Case) (fault.Finding, error) {
			f := sampleFinding()
			f.Next[0].State.Open = []string{"L09", "L10"}
			return f, nil
		}
	})
	r.runJobs()
	r.key(fyne.KeyReturn, fyne.KeyReturn)
	if got := r.onSheet(); !strings.HasPrefix(got, "Record L10 as opened?") {
		t.Fatalf("the sheet says\n%s", got)
	}
	r.key(fyne.KeyReturn)
	c := r.store.Case()
	if s, _ := c.State(c.Now); len(s.Open) != 3 || r.page != entryPage {
		t.Errorf("present state %+v, page %d", s, r.page)
	}
}

func TestNext_AnotherTestByKeyAndByPress(t *testing.T) {
	r := ready(t)
	r.shift = true
	r.key(fyne.KeyReturn)
	r.shift = false
	if got := r.onSheet(); !strings.Contains(got, "Next test, number 2 of 3") || !strings.Contains(got, "RED: M14+") || label(r.primary) != "Enter this reading" {
		t.Errorf("%q:\n%s", label(r.primary), got)
	}
	r.typed("z")
	r.tapSheet(t, sheet.TakeID+"2")
	if got := r.onSheet(); !strings.Contains(got, "number 3 of 3") || !strings.Contains(got, "RED: M08-") {
		t.Errorf("the sheet says\n%s", got)
	}
	r.typed("89")
	for _, want := range []string{"it would show drift since r7", "Bits a minute: 0.04", "Open L12, then red M13-, black chassis. How long it takes to reach L12 is not recorded."} {
		if got := r.onSheet(); !strings.Contains(strings.ToLower(got), strings.ToLower(want)) {
			t.Errorf("the sheet lacks %q:\n%s", want, got)
		}
	}
	r.Compute()
	r.runJobs()
	if r.lead != 0 {
		t.Error("a new finding's first test does not lead")
	}
}

// What was pointed at on a drawing comes first, and what is typed already.
func TestNext_TheButtonSaysWhatItDoes(t *testing.T) {
	r := ready(t)
	r.key(fyne.KeyHome)
	if got := label(r.primary); got != "Enter a reading" {
		t.Errorf("with M01 pointed at, the button says %q", got)
	}
	r.key(fyne.KeyReturn)
	r.typed("29.2")
	r.key(fyne.KeyEscape)
	if got := label(r.primary); got != "Go on with what is typed" {
		t.Errorf("with something typed, the button says %q", got)
	}
	r.key(fyne.KeyReturn)
	if !strings.Contains(r.onSheet(), "[29.2]") {
		t.Errorf("what was typed is lost:\n%s", r.onSheet())
	}
	r.key(fyne.KeyDelete, fyne.KeyEscape)
	if got := label(r.primary); got != "Record L10 as opened …" {
		t.Errorf("the button says %q", got)
	}
}

func TestNext_NothingIsProposed(t *testing.T) {
	r := newRig(t, func(d *Deps) {
		d.Find = func(context.Context, fault.Case) (fault.Finding, error) {
			f := sampleFinding()
			f.Next, f.Stop = nil, "M10 has 97 % of what must come out"
			return f, nil
		}
	})
	r.runJobs()
	if got := r.onSheet(); !strings.Contains(got, "Next test\nM10 has 97 % of what must come out.") || label(r.primary) != "Enter a reading" {
		t.Errorf("%q:\n%s", label(r.primary), got)
	}
	r.shift = true
	r.key(fyne.KeyReturn)
	if !strings.Contains(r.happened, "No test is proposed") {
		t.Errorf("said %q", r.happened)
	}
}

// Where enough is known that is said first, and what may still be measured after it.
func TestNext_EnoughIsKnownAndTheSizeIsNot(t *testing.T) {
	r := newRig(t, func(d *Deps) {
		d.Find = func(context.Context, fault.Case) (fault.Finding, error) {
			f := sampleFinding()
			f.Stop = "Enough is known: M10 has 97 %."
			return f, nil
		}
	})
	r.runJobs()
	got := r.onSheet()
	known, more := strings.Index(got, "Next test\nEnough is known: M10 has 97 %."), strings.Index(got, "What can still be measured")
	if known < 0 || more < known || label(r.primary) != "Record L10 as opened …" {
		t.Errorf("%q:\n%s", label(r.primary), got)
	}
}

// Under a question nothing is proposed, and of an older finding neither.
func TestNext_OnlyOfTheCaseAsItIs(t *testing.T) {
	r, _, _ := asker(t, nil)
	r.openWhatIf()
	r.key(fyne.KeySpace, fyne.KeyReturn)
	r.runJobs()
	if _, ok := r.proposal(); ok || label(r.primary) != "Enter a reading" {
		t.Errorf("under a question the button says %q", label(r.primary))
	}
	r.endWhatIf()
	r.result.Status, r.result.Stale = facts.Cancelled, true
	r.work()
	if _, ok := r.proposal(); ok {
		t.Error("an older finding proposes")
	}
}

func TestNext_PlanAndRulerMarkTheLeads(t *testing.T) {
	r := ready(t)
	marked := func(p *easel.Pane) (words []string) {
		for _, s := range p.List().Shapes {
			if s.Text == "RED" || s.Text == "BLACK" {
				words = append(words, s.Text)
			}
		}
		return words
	}
	for name, p := range map[string]*easel.Pane{"plan": r.planPane, "ruler": r.rulerPane} {
		if got := marked(p); len(got) != 1 || got[0] != "RED" {
			t.Errorf("%s marks %v", name, got)
		}
	}
	r.choose("module:M03")
	r.enter()
	for name, p := range map[string]*easel.Pane{"plan": r.planPane, "ruler": r.rulerPane} {
		if got := marked(p); len(got) != 2 {
			t.Errorf("while M03 is entered the %s marks %v", name, got)
		}
	}
}

func TestMinutes_TypedOverInPlaceByKeysAlone(t *testing.T) {
	r := booked(t)
	r.key(fyne.KeyF2)
	r.typed("a lot")
	r.key(fyne.KeyReturn)
	if got := r.onSheet(); !strings.Contains(got, `"a lot" is no number of minutes: "a" does not belong in it`) || r.store.Case().Minutes != nil {
		t.Fatalf("the sheet says\n%s", got)
	}
	r.key(fyne.KeyDelete)
	r.typed("99999")
	r.key(fyne.KeyReturn)
	if got := r.onSheet(); !strings.Contains(got, "minutes go from 0 to 10000") {
		t.Fatalf("the sheet says\n%s", got)
	}
	r.key(fyne.KeyDelete)
	r.typed("7,5")
	r.key(fyne.KeyReturn)
	if v := r.store.Case().Minutes["L10"]; v != 7.5 || !strings.Contains(r.onSheet(), "Working out the next test") {
		t.Errorf("kept %v:\n%s", v, r.onSheet())
	}
	r.runJobs()
	if got := r.onSheet(); !strings.Contains(got, "To open L10: 7.5 min, this workshop's figure") {
		t.Errorf("the sheet says\n%s", got)
	}
	if got := r.chipNamed(t, "Undo").Command.Label(); !strings.HasPrefix(got, "Undo: the access minutes") {
		t.Errorf("the button says %q", got)
	}
	r.key(fyne.KeyF2)
	for range 3 {
		r.key(fyne.KeyBackspace)
	}
	r.key(fyne.KeyReturn)
	r.runJobs()
	if r.store.Case().Minutes != nil || !strings.Contains(r.onSheet(), "To open L10: 5 min, the layout's") {
		t.Errorf("the sheet says\n%s", r.onSheet())
	}
	r.Undo()
	if r.store.Case().Minutes["L10"] != 7.5 {
		t.Error("undo does not bring them back")
	}
}

func TestMinutes_TypedOverInPlaceByPressesAlone(t *testing.T) {
	r := booked(t)
	r.pick("link:SD")
	r.tapSheet(t, sheet.MinutesID+"SD")
	r.tapKeys(t, "1", "2", "Back")
	if label(r.primary) != "Keep these minutes for SD" {
		t.Errorf("the button says %q", label(r.primary))
	}
	r.primary.Tapped(nil)
	r.runJobs()
	if v := r.store.Case().Minutes["SD"]; v != 1 || r.page != selectionPage {
		t.Errorf("kept %v, page %d", v, r.page)
	}
	r.tapSheet(t, sheet.MinutesID+"SD")
	r.press(t, r.planPane, "module:M03") // elsewhere
	r.typed("4")
	if r.store.Case().Minutes["SD"] != 1 || r.minutes.of != "" {
		t.Error("the field goes on behind another page")
	}
}

// Everything about the next test is as high as a finger needs, and its text is of
// the window's font.
func TestNext_WhatIsPressedIsLargeEnough(t *testing.T) {
	g, err := theme.NewGlyphs()
	if err != nil {
		t.Fatal(err)
	}
	for _, glove := range []bool{false, true} {
		for _, size := range []fyne.Size{{Width: 1280, Height: 744}, {Width: 640, Height: 344}} {
			r := ready(t)
			th := &theme.Theme{Force: theme.Light, Glove: glove}
			fyne.CurrentApp().Settings().SetTheme(th)
			r.w.Resize(size)
			for name, open := range map[string]func(){
				"parts":   func() { r.typed("8z9") },
				"minutes": func() { r.key(fyne.KeyF2) },
				"entry":   func() { r.key(fyne.KeyEscape, fyne.KeyReturn, fyne.KeyReturn) },
			} {
				r.showFinding()
				open()
				r.showAll(false)
				for _, tg := range r.paper.List().Targets {
					if h := high(tg); h < float64(th.Touch())-0.5 {
						t.Errorf("glove %v, %v, %s: %s is %g high", glove, size, name, tg.ID, h)
					}
				}
				for _, s := range r.paper.List().Shapes {
					if miss := g.Missing(s.Text); s.Kind == scene.Label && len(miss) > 0 {
						t.Errorf("%q has %q, which the font lacks", s.Text, string(miss))
					}
				}
			}
		}
	}
}
