package ui

import (
	"context"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"halfsplit/fault"
	"halfsplit/ui/entry"
	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
)

// tapSheet presses a target of the sheet where it is drawn.
func (r *rig) tapSheet(t *testing.T, id string) {
	t.Helper()
	for _, tg := range r.paper.List().Targets {
		if tg.ID == id {
			a, b := tg.Area[0].World, tg.Area[2].World
			e := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(float32(a.X()+b.X())/2, float32(a.Y()+b.Y())/2)}}
			r.paper.MouseDown(e)
			r.paper.MouseUp(e)
			return
		}
	}
	t.Fatalf("%s is not on the sheet:\n%s", id, r.onSheet())
}

func (r *rig) tapKeys(t *testing.T, keys ...string) {
	t.Helper()
	for _, k := range keys {
		r.tapSheet(t, sheet.PadKey(k))
	}
}

func clocked(d *Deps) {
	d.Now = func() time.Time { return time.Date(2026, 3, 2, 10, 4, 0, 0, time.UTC) }
}

func (r *rig) last() fault.Reading {
	all := r.store.Case().Readings
	return all[len(all)-1]
}

func recorded(r *rig) int { return len(r.store.Case().Readings) }

func TestEntry_ModuleVoltsByKeysAlone(t *testing.T) {
	r := newRig(t, clocked)
	r.runJobs()
	before := recorded(r)
	r.key(fyne.KeyHome, fyne.KeyReturn)
	for i, v := range []string{"29.21", "29,19", "29180mV"} {
		r.typed(v)
		if !strings.Contains(r.onSheet(), "["+v+"]") {
			t.Fatalf("what is typed is not shown:\n%s", r.onSheet())
		}
		r.key(fyne.KeyReturn)
		got := r.last()
		want := []float64{29.21, 29.19, 29.18}[i]
		place := []string{"M01", "M02", "M03"}[i]
		if got.Value < want-1e-9 || got.Value > want+1e-9 || got.Red != place+"+" || got.Black != place+"-" || got.Raw != v ||
			got.State != "split" || got.Instrument != "dmm" || got.At != "2026-03-02T10:04:00Z" {
			t.Fatalf("%s recorded as %+v", v, got)
		}
	}
	if recorded(r) != before+3 || r.Selected() != "module:M04" || !strings.HasPrefix(r.onSheet(), "Module volts, M04 (4 of 14)") {
		t.Errorf("after three: %s selected\n%s", r.Selected(), r.onSheet())
	}
	if !strings.HasPrefix(r.pack.FindingLine(), "Older than the last reading") {
		t.Errorf("the finding line says %q", r.pack.FindingLine())
	}
	r.typed("29.2")
	r.key(fyne.KeyEscape)
	if recorded(r) != before+3 {
		t.Error("Escape saved something")
	}
	r.key(fyne.KeyReturn)
	if !strings.Contains(r.onSheet(), "[29.2]") {
		t.Errorf("what was typed is lost:\n%s", r.onSheet())
	}
}

func TestEntry_ToChassisWithResistorByTapsAlone(t *testing.T) {
	r := ready(t)
	r.press(t, r.planPane, "node:M08-")
	r.primary.Tapped(nil)
	if !strings.HasPrefix(r.onSheet(), "M08- to chassis") {
		t.Fatalf("the sheet says\n%s", r.onSheet())
	}
	r.tapSheet(t, "entry:what")
	if !strings.Contains(r.onSheet(), "M08- to chassis with R200k") || !strings.Contains(r.onSheet(), "Resistor across the probes: R200k") {
		t.Fatalf("the sheet says\n%s", r.onSheet())
	}
	r.tapSheet(t, "entry:range")
	r.tapSheet(t, "entry:range")
	r.tapSheet(t, "entry:range") // 600 V
	r.tapKeys(t, "-", "3", "9", ".", "5", "5", "Back")
	if !strings.Contains(r.onSheet(), "\n-39.5 V\n") {
		t.Errorf("no echo:\n%s", r.onSheet())
	}
	r.primary.Tapped(nil)
	got := r.last()
	if got.Value != -39.5 || got.Red != "M08-" || got.Black != "chassis" || got.Resistor == nil || *got.Resistor != (fault.Fitted{ID: "R200k", From: "M08-", To: "chassis"}) || got.Range != 600 {
		t.Errorf("recorded as %+v", got)
	}
	if r.form.Red != "M07+" { // round to the first section's upper end
		t.Errorf("next place is %s", r.form.Red)
	}
}

func TestEntry_GroupsAndInsulationByKeys(t *testing.T) {
	r := ready(t)
	r.choose("module:M12")
	r.key(fyne.KeyReturn)
	for r.form.At != entry.What {
		r.key(fyne.KeyDown)
	}
	r.key(fyne.KeyRight) // group volts
	for r.form.At != entry.Unit {
		r.key(fyne.KeyDown)
	}
	r.key(fyne.KeyRight) // in millivolts
	r.typed("3651")
	if !strings.Contains(r.onSheet(), "3.651 V (read as mV)") {
		t.Errorf("the echo does not say that it is read as millivolts:\n%s", r.onSheet())
	}
	r.key(fyne.KeyReturn)
	r.typed("3652")
	r.key(fyne.KeyReturn)
	m, _ := r.pack.Net.Module("M12")
	if mod := r.pack.Modules[m]; mod.Measured != 2 || r.pack.Group[mod.Groups[1]] != 3.652 || r.form.Group != 3 {
		t.Errorf("M12 has %d groups, next is group %d", mod.Measured, r.form.Group)
	}
	r.key(fyne.KeyBackspace) // an empty field goes back one
	if r.form.Group != 2 {
		t.Errorf("back at group %d", r.form.Group)
	}
	for r.form.Kind != entry.Insulation {
		for r.form.At != entry.What {
			r.key(fyne.KeyDown)
		}
		r.key(fyne.KeyRight)
	}
	for r.form.At != entry.Forced {
		r.key(fyne.KeyDown)
	}
	r.key(fyne.KeyRight) // -500
	r.typed(">2G")
	r.key(fyne.KeyReturn)
	if got := r.last(); got.Quantity != fault.Insulation || got.Value != 2e9 || got.Relation != fault.Greater || got.TestVolts != -500 || got.Black != "chassis" {
		t.Errorf("recorded as %+v", got)
	}
}

func TestEntry_ErrorsAndDoubtsStandBesideTheField(t *testing.T) {
	r := ready(t)
	r.key(fyne.KeyHome, fyne.KeyReturn)
	if strings.Contains(r.onSheet(), "expected") {
		t.Errorf("what is expected shows before anything is typed:\n%s", r.onSheet())
	}
	before := recorded(r)
	r.typed("3.1.2")
	if !strings.Contains(r.onSheet(), "more than one decimal mark") {
		t.Errorf("the sheet says\n%s", r.onSheet())
	}
	r.key(fyne.KeyReturn)
	if recorded(r) != before || !strings.Contains(r.onSheet(), "Not saved:") {
		t.Errorf("saved all the same:\n%s", r.onSheet())
	}
	r.key(fyne.KeyDelete)
	r.typed("2.92")
	if !strings.Contains(r.onSheet(), "A tenth? 29.2 V is expected") {
		t.Errorf("no doubt:\n%s", r.onSheet())
	}
	r.key(fyne.KeyReturn) // a doubt never keeps it out
	if recorded(r) != before+1 {
		t.Error("a doubt kept the reading from being saved")
	}
}

func TestEntry_CorrectionSupersedes(t *testing.T) {
	r := ready(t)
	r.pick("reading:r9")
	if got := r.primary.Command.Label(); got != "Correct this reading" {
		t.Errorf("the button says %q", got)
	}
	r.key(fyne.KeyReturn)
	r.typed("-6.7")
	r.key(fyne.KeyReturn)
	c := r.store.Case()
	by, ok := c.Superseded()["r9"]
	if !ok || by.Value != -6.7 || by.Red != "M12+" || by.Why != "typed wrong" {
		t.Errorf("r9 is replaced by %+v", by)
	}
	if _, ok := c.Reading("r9"); !ok {
		t.Error("r9 is gone")
	}
}

func TestEntry_PressingAnotherPlaceAims(t *testing.T) {
	r := ready(t)
	r.press(t, r.planPane, "module:M10")
	r.primary.Tapped(nil)
	r.press(t, r.planPane, "module:M05")
	if r.page != entryPage || r.form.Module != "M05" {
		t.Errorf("page %d, module %s", r.page, r.form.Module)
	}
	r.typed("2") // not a shading
	if r.form.Raw != "2" || r.look.Mode != 0 {
		t.Errorf("typed %q, mode %d", r.form.Raw, r.look.Mode)
	}
	r.press(t, r.planPane, "link:SD")
	if r.form.Kind != entry.Across || r.form.Link != "SD" {
		t.Errorf("form %+v", r.form)
	}
}

// A finding is cancelled by the next reading, and only the last one shows.
func TestEntry_TheNextReadingCancelsTheFinding(t *testing.T) {
	r := ready(t)
	var seen []context.Context
	r.deps.Find = func(ctx context.Context, _ fault.Case) (fault.Finding, error) {
		seen = append(seen, ctx)
		return sampleFinding(), ctx.Err()
	}
	r.key(fyne.KeyHome, fyne.KeyReturn)
	r.typed("29.2")
	r.key(fyne.KeyReturn)
	r.typed("29.3")
	r.key(fyne.KeyReturn)
	r.runJobs()
	if len(seen) != 2 || seen[0].Err() == nil || r.result.Stale || r.result.Status != facts.Ready {
		t.Errorf("%d computed, result %+v", len(seen), r.result.Status)
	}
}

func TestState_InTwoStepsByKeysAlone(t *testing.T) {
	r := ready(t)
	r.choose("link:L02")
	states := len(r.store.Case().States)
	r.typed("s")
	r.key(fyne.KeyReturn)
	got := r.onSheet()
	for _, want := range []string{"Record L02 as opened?", "Nothing is recorded yet", "Recorded: SD, L02 open", "expected, not measured", "M01- to M02+", "Modules cannot be switched off"} {
		if !strings.Contains(got, want) {
			t.Errorf("the sheet lacks %q:\n%s", want, got)
		}
	}
	if len(r.store.Case().States) != states {
		t.Fatal("the first step recorded something")
	}
	r.key(fyne.KeyReturn)
	c := r.store.Case()
	s, _ := c.State(c.Now)
	if c.Now != "L02_open" || len(s.Open) != 2 || s.Contactors != fault.Open || len(r.pack.Sections) != 3 {
		t.Errorf("present state %q: %+v, %d sections", c.Now, s, len(r.pack.Sections))
	}
	if !strings.Contains(r.pack.LiveLine(), "Modules cannot be switched off") || !strings.Contains(r.pack.StateLine(), "L02 open") {
		t.Errorf("the strip says %q, %q", r.pack.StateLine(), r.pack.LiveLine())
	}
}

func TestState_InTwoStepsByTapsAlone(t *testing.T) {
	r := ready(t)
	r.press(t, r.planPane, "link:SD")
	r.tapSheet(t, "offer:0")
	if got := r.primary.Command.Label(); got != "Record SD as closed" {
		t.Fatalf("the button says %q", got)
	}
	r.primary.Tapped(nil)
	if c := r.store.Case(); c.Now != "SD_closed" || len(r.pack.Sections) != 1 {
		t.Errorf("present state %q, %d sections", c.Now, len(r.pack.Sections))
	}
}

func TestState_EscapeRecordsNothing(t *testing.T) {
	r := ready(t)
	r.choose("module:M03")
	r.typed("s")
	r.key(fyne.KeyReturn, fyne.KeyEscape, fyne.KeyEscape)
	if c := r.store.Case(); len(c.States) != 2 || c.Now != "split" || r.page != findingPage {
		t.Errorf("present state %q, page %d", c.Now, r.page)
	}
}

func TestUndo_NamedByKeyAndByButton(t *testing.T) {
	r := ready(t)
	r.key(fyne.KeyHome, fyne.KeyReturn)
	r.typed("29.2")
	r.key(fyne.KeyReturn)
	n := recorded(r)
	undo, redo := r.chipNamed(t, "Undo"), r.chipNamed(t, "Redo")
	if got := undo.Command.Label(); got != "Undo: M01 29.2 V" {
		t.Errorf("the button says %q", got)
	}
	for name, do := range map[string][2]func(){
		"keys":    {func() { r.Shortcut(&fyne.ShortcutUndo{}) }, func() { r.Shortcut(&fyne.ShortcutRedo{}) }},
		"shift":   {func() { r.Shortcut(&fyne.ShortcutUndo{}) }, func() { r.Shortcut(Shortcuts()[3]) }},
		"buttons": {func() { undo.Tapped(nil) }, func() { redo.Tapped(nil) }},
	} {
		do[0]()
		if recorded(r) != n-1 || redo.Command.Label() != "Redo: M01 29.2 V" {
			t.Errorf("%s: not undone, redo is %q", name, redo.Command.Label())
		}
		do[1]()
		if recorded(r) != n {
			t.Errorf("%s: not done again", name)
		}
	}
}

func TestUndo_OfAStateAsksWhatItWas(t *testing.T) {
	for name, c := range map[string]struct {
		answer func(*rig)
		now    string
		states int
	}{
		"typing mistake":  {func(r *rig) { r.typed("1") }, "split", 2},
		"changed by hand": {func(r *rig) { r.typed("2") }, "split_again", 4},
		"by a press":      {func(r *rig) { r.tapSheet(t, mistakeID) }, "split", 2},
		"left":            {func(r *rig) { r.key(fyne.KeyEscape) }, "L02_open", 3},
	} {
		t.Run(name, func(t *testing.T) {
			r := ready(t)
			r.choose("link:L02")
			r.typed("s")
			r.key(fyne.KeyReturn, fyne.KeyReturn)
			r.Undo()
			if !strings.Contains(r.onSheet(), "typing mistake, or was the pack changed back by hand") {
				t.Fatalf("the sheet says\n%s", r.onSheet())
			}
			c.answer(r)
			if got := r.store.Case(); got.Now != c.now || len(got.States) != c.states {
				t.Errorf("present state %q of %d", got.Now, len(got.States))
			}
		})
	}
}

func TestWho_TypedOnceAndKept(t *testing.T) {
	kept := ""
	r := newRig(t, func(d *Deps) { d.SaveWho = func(s string) { kept = s } })
	r.runJobs()
	r.typed("n")
	r.typed("Ada L.")
	r.key(fyne.KeyReturn)
	r.key(fyne.KeyHome, fyne.KeyReturn)
	r.typed("29.2")
	r.key(fyne.KeyReturn)
	if kept != "Ada L." || r.last().Who != "Ada L." {
		t.Errorf("kept %q, recorded as %q", kept, r.last().Who)
	}
	r.tapSheet(t, entry.WhoID)
	r.key(fyne.KeyDelete)
	r.tapKeys(t, "B", "O")
	r.primary.Tapped(nil)
	if kept != "Bo" || r.page != entryPage {
		t.Errorf("kept %q, page %d", kept, r.page)
	}
}

func TestGlide_MovesFromTheEarlierFinding(t *testing.T) {
	var ticks []func(float32)
	r := newRig(t, func(d *Deps) { d.Glide = func(f func(float32)) { ticks = append(ticks, f) } })
	r.runJobs()
	if len(ticks) != 0 {
		t.Fatal("the first finding has nothing to glide from")
	}
	r.typed("r")
	r.runJobs()
	if len(ticks) != 1 || r.glide.Left != 1 || r.glide.Share["M10"] == 0 {
		t.Fatalf("%d glides, %+v", len(ticks), r.glide)
	}
	ticks[0](0.5)
	half := r.glide.Left
	ticks[0](1)
	if half != 0.5 || r.glide.Left != 0 {
		t.Errorf("left %g, then %g", half, r.glide.Left)
	}
}

// The pad stays under the finger while what stands above it grows and shrinks: a
// doubt that comes with a digit must not put another key where the next press falls.
func TestEntry_ThePadStaysUnderTheFinger(t *testing.T) {
	r := ready(t)
	r.choose("module:M05")
	r.key(fyne.KeyReturn)
	where := func() float32 {
		top, ok := r.padTop()
		if !ok {
			t.Fatal("no pad")
		}
		return top - r.paperRoll.Offset.Y
	}
	at, grown := where(), false
	for _, k := range []string{"2", "9", "2", ".", "-", "Back", "Back", "Back"} {
		r.tapKeys(t, k)
		if y := where(); y < at-0.01 || y > at+0.01 { // a hundredth of a pixel is the rounding of sums
			t.Errorf("after %s the pad is at %g, not %g", k, y, at)
		}
		grown = grown || r.paperRoll.Offset.Y > 0
	}
	if !grown {
		t.Error("nothing above the pad has grown: this test has nothing to tell")
	}
	r.tapKeys(t, "2")
	r.primary.Tapped(nil)
	if y := where(); y != at {
		t.Errorf("after saving the pad is at %g, not %g", y, at)
	}
}

// A case is left while its finding is on its way: what comes too late to be cancelled
// is dropped.
func TestDesk_AFindingThatComesAfterTheCaseWasLeft(t *testing.T) {
	r := newRig(t, nil)
	r.Close()
	r.runJobs()
	if r.result.Finding != nil {
		t.Error("a finding was shown in a case that was left")
	}
}
