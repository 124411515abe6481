package ui

import (
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/entry"
	"halfsplit/ui/hands"
	"halfsplit/ui/sample"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// inBook records into a casebook and puts off what comes later until the test runs
// it.
func inBook(t *testing.T, later *[]func()) func(*Deps) {
	return func(d *Deps) {
		clocked(d)
		d.Store = hands.Book(t, sample.Case())
		d.Later = func(_ time.Duration, do func()) func() {
			*later = append(*later, do)
			at := len(*later) - 1
			return func() { (*later)[at] = func() {} }
		}
	}
}

// A run of group volts by the keys of the number pad alone, with a skip, a mark, a
// second reading, a correction and a way back; then its end.
func TestSeries_GroupVoltsByTheNumberPadAlone(t *testing.T) {
	var later []func()
	r := newRig(t, inBook(t, &later))
	r.runJobs()
	before, events := recorded(r), len(r.store.Case().GroupVolts)
	r.typed("*")
	r.key(fyne.KeyRight, fyne.KeyReturn) // group volts, along the string
	if !strings.HasPrefix(r.onSheet(), "M01 group 1\nnext M01 group 2") {
		t.Fatalf("the panel says\n%s", r.onSheet())
	}
	if r.marks != [2]string{"M01.1", "M01-"} {
		t.Errorf("the drawings mark %q", r.marks)
	}
	r.typed("3622")
	if !strings.Contains(r.onSheet(), "Not saved yet, M01 group 1: 3622 V") || !strings.Contains(r.onSheet(), "1000 times") {
		t.Errorf("no doubt:\n%s", r.onSheet())
	}
	for range 4 {
		r.key(fyne.KeyBackspace)
	}
	r.typed("3.622")
	r.key(fyne.KeyEnter)
	if !strings.Contains(r.onSheet(), "Saved, M01 group 1: 3.622 V") {
		t.Errorf("no echo:\n%s", r.onSheet())
	}
	r.typed("/")      // group 2 is skipped
	r.typed("3.618*") // group 3, suspect
	r.key(fyne.KeyEnter)
	r.typed("3.62+") // group 4, and a second reading of it
	if !strings.Contains(r.onSheet(), "A second reading of this point.") {
		t.Errorf("no second reading:\n%s", r.onSheet())
	}
	r.typed("3.63")
	r.key(fyne.KeyEnter, fyne.KeyBackspace) // back to group 4
	if !strings.HasPrefix(r.onSheet(), "M01 group 4") || !strings.Contains(r.onSheet(), "It has a value.") {
		t.Errorf("one point back:\n%s", r.onSheet())
	}
	r.key(fyne.KeyPageDown)
	if !strings.HasPrefix(r.onSheet(), "M02 group 1") {
		t.Errorf("a module on:\n%s", r.onSheet())
	}
	r.typed("3.6")
	r.key(fyne.KeyEnter, fyne.KeyF2)
	if !strings.Contains(r.onSheet(), "[3.6]") || !strings.HasPrefix(r.onSheet(), "M02 group 1") {
		t.Errorf("editing the last value:\n%s", r.onSheet())
	}
	r.typed("1")
	r.key(fyne.KeyEnter)

	c := r.store.Case()
	got := map[string][]float64{}
	for _, g := range c.GroupVolts[events:] {
		got[g.Module] = g.Volts
	}
	if m := got["M01"]; len(m) < 4 || m[0] != 3.622 || m[1] == m[1] || m[2] != 3.618 || m[3] != 3.62 {
		t.Errorf("M01 has %v", m)
	}
	if m := got["M02"]; len(m) < 1 || m[0] != 3.61 {
		t.Errorf("M02 has %v", m)
	}
	if x := r.last(); recorded(r) != before+1 || x.Red != "M01.4" || x.Black != "M01.3" || x.Value != 3.63 || x.Raw != "3.63" {
		t.Errorf("%d readings more, the last %+v", recorded(r)-before, x)
	}
	if len(r.jobs) != 0 {
		t.Error("a finding is computed while values are typed")
	}

	r.key(fyne.KeyEnd)
	for _, want := range []string{"M01 group 2\nSkipped: why?", "M01 group 3\nMarked as suspect.", "Not reached, and"} {
		if !strings.Contains(r.onSheet(), want) {
			t.Errorf("the end lacks %q:\n%s", want, r.onSheet())
		}
	}
	r.typed("2")
	if !strings.Contains(r.onSheet(), "Skipped: covered or taped.") {
		t.Errorf("no reason:\n%s", r.onSheet())
	}
	r.key(fyne.KeyReturn) // back to the point
	if !strings.HasPrefix(r.onSheet(), "M01 group 2") {
		t.Errorf("the line does not lead back:\n%s", r.onSheet())
	}
	r.key(fyne.KeyEnd, fyne.KeyUp, fyne.KeyReturn) // on no line: it ends
	if r.page != findingPage || r.series.run != nil {
		t.Errorf("the run goes on:\n%s", r.onSheet())
	}
	if len(r.jobs) == 0 {
		t.Error("after the run no finding is computed")
	}
}

// The same by presses alone.
func TestSeries_ByPressesAlone(t *testing.T) {
	var later []func()
	r := newRig(t, inBook(t, &later))
	r.runJobs()
	before := recorded(r)
	r.press(t, r.planPane, "module:M05")
	r.tapSheet(t, openSeriesID)
	r.tapSheet(t, "run:0")
	r.tapSheet(t, "run:0") // terminals to chassis
	r.press(t, r.planPane, "module:M03")
	r.primary.Tapped(nil)
	if !strings.HasPrefix(r.onSheet(), "M03- to chassis\nnext M03+ to chassis") {
		t.Fatalf("the panel says\n%s", r.onSheet())
	}
	r.tapKeys(t, "6", "1", ".", "5", "-", entry.SuspectKey)
	r.primary.Tapped(nil)
	if x := r.last(); recorded(r) != before+1 || x.Value != -61.5 || x.Red != "M03-" || x.Note != entry.SuspectNote || x.Raw != "-61.5" {
		t.Fatalf("recorded %+v", r.last())
	}
	r.tapKeys(t, entry.SkipKey, "3", entry.AgainKey, "3")
	r.primary.Tapped(nil)
	r.tapKeys(t, entry.EditKey)
	if !strings.HasPrefix(r.onSheet(), "M04- to chassis") {
		t.Fatalf("edit leads to\n%s", r.onSheet())
	}
	r.tapKeys(t, entry.BackKey, "4")
	r.primary.Tapped(nil)
	x := r.last()
	if x.Value != 4 || x.Supersedes == "" || x.Why != "typed wrong" {
		t.Errorf("corrected as %+v", x)
	}
	r.tapSheet(t, entry.EndID)
	r.tapSheet(t, entry.PointID+"5") // M03+, skipped
	if !strings.HasPrefix(r.onSheet(), "M03+ to chassis") {
		t.Errorf("the line leads to\n%s", r.onSheet())
	}
}

// A program that ends in the middle asks whether to go on, and does at the next
// field with what was typed there.
func TestSeries_GoesOnAfterTheProgramEnded(t *testing.T) {
	var later []func()
	var place Place
	r := newRig(t, func(d *Deps) { inBook(t, &later)(d); d.SavePlace = func(p Place) { place = p } })
	r.runJobs()
	r.typed("*")
	r.key(fyne.KeyReturn)
	for _, v := range []string{"29.2", "29.1"} {
		r.typed(v)
		r.key(fyne.KeyEnter)
	}
	r.typed("29.")
	st := r.store
	again := newRig(t, func(d *Deps) { inBook(t, &later)(d); d.Store, d.Place = st, place })
	again.runJobs()
	if !strings.Contains(again.onSheet(), "Continue at M03 in 'run 1'?") {
		t.Fatalf("the sheet says\n%s", again.onSheet())
	}
	again.key(fyne.KeyEnter)
	if !strings.HasPrefix(again.onSheet(), "M03\n") || !strings.Contains(again.onSheet(), "[29.]") {
		t.Fatalf("goes on at\n%s", again.onSheet())
	}
	again.typed("3")
	again.key(fyne.KeyEnter)
	if x := again.last(); x.Red != "M03+" || x.Value != 29.3 {
		t.Errorf("recorded %+v", x)
	}
	again.key(fyne.KeyEscape) // left: the next start does not ask
	if last := newRig(t, func(d *Deps) { d.Store = st }); last.page != findingPage || last.series.run == nil {
		t.Errorf("after the run was left the program begins at\n%s", last.onSheet())
	}
}

// A letter inside a number is kept with it, said at once, and keeps it from being saved.
func TestSeries_ALetterInsideANumberIsRefused(t *testing.T) {
	r := ready(t)
	r.typed("*")
	r.primary.Tapped(nil)
	if !r.inRun() {
		t.Fatalf("no run:\n%s", r.onSheet())
	}
	before := len(r.store.Case().GroupVolts) + len(r.store.Case().Readings)
	for _, letter := range []string{"x", "r", "s", "q"} {
		r.typed("1" + letter + "5")
		if r.form.Raw != "1"+letter+"5" {
			t.Fatalf("the field has %q", r.form.Raw)
		}
		r.key(fyne.KeyEnter)
		if got := r.onSheet(); !strings.Contains(got, letter+`" does not belong`) || len(r.store.Case().GroupVolts)+len(r.store.Case().Readings) != before {
			t.Errorf("1%s5 is saved, or why not is not said:\n%s", letter, got)
		}
		r.key(fyne.KeyBackspace, fyne.KeyBackspace, fyne.KeyBackspace)
	}
	r.typed("3.6e0")
	if got := r.onSheet(); !strings.Contains(got, "3.6 × 10^0") {
		t.Errorf("the echo does not say how the exponent was read:\n%s", got)
	}
	r.key(fyne.KeyEnter)
	if len(r.store.Case().GroupVolts)+len(r.store.Case().Readings) == before {
		t.Errorf("3.6e0 is not saved:\n%s", r.onSheet())
	}
}

func TestSeries_UndoGoesBackToThePoint(t *testing.T) {
	var later []func()
	r := newRig(t, inBook(t, &later))
	r.runJobs()
	r.typed("*")
	r.key(fyne.KeyReturn)
	r.typed("29.2")
	r.key(fyne.KeyEnter)
	r.typed("*") // the value that was saved last
	if x := r.last(); x.Note != entry.SuspectNote || x.Value != 29.2 || x.Supersedes == "" || !strings.Contains(r.onSheet(), "Saved, M01, suspect: 29.2 V") {
		t.Errorf("marked as %+v:\n%s", x, r.onSheet())
	}
	r.typed("*")
	if x := r.last(); x.Note != "" || x.Value != 29.2 {
		t.Errorf("the mark is taken back as %+v", x)
	}
	r.Undo()
	r.Undo()
	n := recorded(r)
	r.Undo()
	if recorded(r) != n-1 || !strings.HasPrefix(r.onSheet(), "M01\n") {
		t.Errorf("after undo the run is at\n%s", r.onSheet())
	}
}

// The settle timer gives its value the seconds and goes on; insulation has its own
// two times.
func TestSeries_SettleTimerAndInsulationTimes(t *testing.T) {
	var later []func()
	now := time.Date(2026, 3, 2, 10, 4, 0, 0, time.UTC)
	r := newRig(t, func(d *Deps) {
		inBook(t, &later)(d)
		d.Now = func() time.Time { return now }
		d.Tick = func(time.Duration, func()) func() { return func() {} }
	})
	r.runJobs()
	r.typed("*")
	r.key(fyne.KeyReturn, fyne.KeyF5)
	if !strings.Contains(r.onSheet(), "Settle timer, 10 s: 0 s") {
		t.Fatalf("the panel says\n%s", r.onSheet())
	}
	now = now.Add(10 * time.Second)
	if !strings.Contains(r.onSheet(), "read now: 10 s") {
		t.Errorf("at its end the panel says\n%s", r.onSheet())
	}
	r.typed("29.2")
	r.key(fyne.KeyEnter)
	if x := r.last(); x.AfterTouchS == nil || *x.AfterTouchS != 10 || r.timer.Running() {
		t.Errorf("recorded %+v", x)
	}
	r.key(fyne.KeyEscape)
	r.typed("*")
	for range 3 {
		r.key(fyne.KeyRight)
	}
	r.key(fyne.KeyDown)
	r.series.setup.At = entry.SetupOrder
	r.key(fyne.KeyReturn)
	if !strings.HasPrefix(r.onSheet(), "M01+ at 15 s\nnext M01+ at 60 s") {
		t.Fatalf("the panel says\n%s", r.onSheet())
	}
	r.key(fyne.KeyF5)
	now = now.Add(4 * time.Second)
	r.typed("210M")
	r.key(fyne.KeyEnter)
	if got := r.series.run.Doubts[0]; got != "Typed 4 s after touching, recorded as of 15 s." {
		t.Errorf("a value that was typed too early: %q", got)
	}
	if !strings.Contains(r.onSheet(), "Settle timer, 60 s: 4 s") {
		t.Errorf("the timer does not go on to the second time:\n%s", r.onSheet())
	}
	now = now.Add(56 * time.Second)
	r.typed("-2G") // over its range
	r.key(fyne.KeyEnter)
	if got := r.series.run.Doubts[1]; got != "" || r.timer.Running() {
		t.Errorf("at its time: %q, the timer runs %v", got, r.timer.Running())
	}
	all := r.store.Case().Readings
	a, b := all[len(all)-2], all[len(all)-1]
	if a.Quantity != fault.Insulation || *a.AfterTouchS != 15 || *b.AfterTouchS != 60 || b.Relation != fault.Greater || b.Value != 2e9 || b.Raw != ">2G" {
		t.Errorf("recorded %+v and %+v", a, b)
	}
}

// Every line and key of the three pages is at least as high as a finger.
func TestSeries_OwnListAndTouchHeights(t *testing.T) {
	var later []func()
	r := newRig(t, inBook(t, &later))
	r.runJobs()
	r.typed("*")
	r.series.setup.At = entry.SetupOrder
	r.key(fyne.KeyLeft) // round to the own list
	r.press(t, r.planPane, "module:M09")
	r.press(t, r.planPane, "module:M04")
	r.press(t, r.planPane, "module:M02")
	r.press(t, r.planPane, "module:M04") // out again
	if !strings.Contains(r.onSheet(), "2 values, from M09 to M02.") {
		t.Fatalf("the list is\n%s", r.onSheet())
	}
	r.typed(" M99")
	r.primary.Tapped(nil)
	if !strings.Contains(r.onSheet(), "This pack has no module called M99.") || r.page != seriesPage {
		t.Errorf("an unknown name:\n%s", r.onSheet())
	}
	for range 4 {
		r.key(fyne.KeyBackspace)
	}
	r.primary.Tapped(nil)
	for _, open := range []func(){func() {}, r.openEnd} {
		open()
		for _, tg := range r.paper.List().Targets {
			if h := high(tg); h < 44-0.5 && !strings.HasPrefix(tg.ID, "stage") {
				t.Errorf("%s is %g high", tg.ID, h)
			}
		}
	}
	if !strings.Contains(sheet.Text(r.blocks()), "The end of") {
		t.Error("the end is not shown")
	}
}

// With gloves on everything for a value stands together: the pad below the field, each
// key as high as a gloved finger, the value at 40 points and more, and no button above
// them; it is left by the pad alone.
func TestSeries_OnTheBenchByTouchAlone(t *testing.T) {
	var later []func()
	r := newRig(t, inBook(t, &later))
	fyne.CurrentApp().Settings().SetTheme(&theme.Theme{Force: theme.Contrast, Glove: true})
	r.runJobs()
	r.openSeries()
	r.primary.Tapped(nil)
	if r.pageChips.Visible() || r.frame.sheetW < 500 {
		t.Errorf("buttons above the panel: %v; it is %g wide", r.pageChips.Visible(), r.frame.sheetW)
	}
	r.tapKeys(t, "2", "9", ".", "2")
	value := float64(0)
	for _, s := range r.paper.List().Shapes {
		if s.Text == "29.2"+"\u2009"+"V" {
			value = s.Size
		}
	}
	if value < 40 {
		t.Errorf("the value is %g high", value)
	}
	r.primary.Tapped(nil)
	if x := r.last(); x.Red != "M01+" || x.Value != 29.2 || !strings.HasPrefix(r.onSheet(), "M02\n") {
		t.Errorf("recorded %+v, then\n%s", x, r.onSheet())
	}
	onScreen := func() float32 { top, _ := r.padTop(); return top - r.paperRoll.Offset.Y }
	at := onScreen()
	r.tapKeys(t, "2") // and a doubt stands above the pad
	if now := onScreen(); now < at-1 || now > at+1 {
		t.Errorf("the pad moved under the finger: from %g to %g", at, now)
	}
	for _, tg := range r.paper.List().Targets {
		if h := high(tg); strings.HasPrefix(tg.ID, "key:") && h < 59.5 {
			t.Errorf("%s is %g high", tg.ID, h)
		}
	}
	r.tapKeys(t, entry.LeaveKey)
	if r.page != findingPage || !r.pageChips.Visible() || r.series.run.Raw != "2" {
		t.Errorf("left at page %d with %q", r.page, r.series.run.Raw)
	}
}
