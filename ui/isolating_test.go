package ui

import (
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/makesafe"
	"halfsplit/ui/caution"
	"halfsplit/ui/entry"
	"halfsplit/ui/hands"
	"halfsplit/ui/proving"
	"halfsplit/ui/sample"
	"halfsplit/ui/sheet"
	"halfsplit/ui/stages"
	"halfsplit/ui/store"
)

// A wall is a clock that the test moves.
type wall struct{ at time.Time }

func (w *wall) now() time.Time { return w.at }

// proof is a rig whose case is kept in a casebook, with a clock to move.
func proof(t *testing.T) (*rig, *wall, *store.Book) {
	c := sample.Case()
	c.Instruments[0].Ranges = append(c.Instruments[0].Ranges, fault.Range{Max: 1000, Count: 1})
	b := hands.Book(t, c)
	w := &wall{time.Date(2026, 3, 2, 10, 0, 0, 0, time.UTC)}
	r := newRig(t, func(d *Deps) { d.Store, d.Now, d.Who = b, w.now, "Ada" })
	r.runJobs()
	return r, w, b
}

func (r *rig) isolateSaid(t *testing.T, want string) {
	t.Helper()
	if got := r.onSheet(); !strings.Contains(got, want) {
		t.Errorf("the sheet lacks %q:\n%s", want, got)
	}
}

// enterOf types one field after another and records.
func (r *rig) fields(texts ...string) {
	for i, text := range texts {
		if i > 0 {
			r.key(fyne.KeyTab)
		}
		r.typed(text)
	}
	r.key(fyne.KeyReturn)
	r.runJobs()
}

func TestIsolate_TheWholeRecordByKeysAlone(t *testing.T) {
	r, w, b := proof(t)
	r.typed("g")
	for r.stage != stages.Isolate {
		r.key(fyne.KeyUp)
	}
	r.key(fyne.KeyReturn)
	r.isolateSaid(t, "The inside stays live")
	for _, step := range []struct {
		item  string
		texts []string
	}{
		{fault.SafeAuthorised, []string{"A. Novak"}}, {fault.SafeMeter, []string{"CAT III 1000 V", "2026-09-01"}}, {fault.SafeProver, []string{"unit 3", "690"}},
		{fault.SafeLock, []string{"14"}}, {fault.SafeKey, []string{"A. Novak"}}, {fault.SafeWait, []string{"5", "service sheet 12"}}, {fault.SafeBegan, nil},
	} {
		if r.isolate.on != step.item {
			t.Fatalf("%s is next, want %s", r.isolate.on, step.item)
		}
		r.key(fyne.KeyReturn)
		r.fields(step.texts...)
	}
	w.at = w.at.Add(6 * time.Minute)
	r.key(fyne.KeyReturn)
	for i, v := range []string{"689", "0.001", "0.001", "-0.001", "689"} {
		if r.page != provingPage || r.isolate.draft.Item != []string{fault.SafeBefore, fault.SafePoles, fault.SafePlus, fault.SafeMinus, fault.SafeAfter}[i] {
			t.Fatalf("before %s: page %d, %s", v, r.page, r.isolate.draft.Item)
		}
		r.fields(v)
		w.at = w.at.Add(time.Minute)
	}
	if r.page != isolatePage {
		t.Fatalf("at the end page %d", r.page)
	}
	c := b.Case()
	if l := makesafe.Lacking(&c, r.pack.ExpectAt, r.today(), r.pack.PathOpen()); len(l) != 0 {
		t.Errorf("lacking: %q", makesafe.Texts(l))
	}
	r.isolateSaid(t, "3 readings, 2 of 2 provings. Nothing that the order of removal asks for is lacking")
	r.isolateSaid(t, "agree by themselves")
	if got := stages.Standing(r.pack, stages.Isolate); got != "3 readings, 2 of 2 provings" {
		t.Error(got)
	}
	// Undo takes the last entry back and redo brings it again.
	r.Undo()
	r.runJobs()
	if got := stages.Standing(r.pack, stages.Isolate); got != "3 readings, 1 of 2 provings" {
		t.Error(got)
	}
	r.Redo()
	r.runJobs()
	if c := b.Case(); len(c.MakeSafe) != 12 || c.MakeSafe[0].Who != "Ada" || c.MakeSafe[8].State != "split" || c.MakeSafe[8].At != "2026-03-02T10:07:00Z" {
		t.Errorf("recorded %+v", c.MakeSafe)
	}
}

func TestIsolate_ByPressesAlone(t *testing.T) {
	r, _, b := proof(t)
	r.pickStage(stages.ID(stages.Isolate))
	r.tapSheet(t, proving.ItemID+fault.SafeLock)
	r.tapKeys(t, "1", "4", "Back", "5")
	r.primary.Tapped(nil)
	r.runJobs()
	r.tapSheet(t, proving.ItemID+fault.SafeMeter)
	r.tapKeys(t, "C", "A", "T", "Space", "3", "Next", "2")
	r.tapSheet(t, "provingfield:2")
	r.tapKeys(t, "Back", "2", "0", "2", "6", "-", "0", "9", "-", "0", "1")
	r.primary.Tapped(nil)
	r.runJobs()
	r.tapSheet(t, proving.ItemID+fault.SafePoles)
	r.tapKeys(t, "0", ".", "1", "Next", "0", "9", ":", "5", "8")
	r.primary.Tapped(nil)
	r.runJobs()
	c := b.Case()
	lock, _ := c.SafeNow(fault.SafeLock)
	meter, _ := c.SafeNow(fault.SafeMeter)
	poles, _ := c.SafeNow(fault.SafePoles)
	if lock.Text != "15" || meter.Text != "Cat 3" || meter.Date != "2026-09-01" || meter.Instrument != "dmm" || poles.Value == nil || *poles.Value != 0.1 || poles.Instrument != "dmm" || poles.At != "2026-03-02T09:58:00Z" {
		t.Errorf("recorded %+v", c.MakeSafe)
	}
}

// What is wrong is told beside the field, nothing is recorded, and nothing is lost.
func TestIsolate_WrongAndLeft(t *testing.T) {
	r, _, b := proof(t)
	r.openStage(stages.Isolate)
	r.tapSheet(t, proving.ItemID+fault.SafePlus)
	r.fields("12mV")
	r.isolateSaid(t, "Nothing was recorded. Volts: this field takes volts, without \"m\": write 0.012.")
	r.key(fyne.KeyEscape)
	if r.page != isolatePage || len(b.Case().MakeSafe) != 0 {
		t.Fatalf("page %d, recorded %+v", r.page, b.Case().MakeSafe)
	}
	r.tapSheet(t, proving.ItemID+fault.SafePlus)
	r.isolateSaid(t, "what the meter shows: [12mV] V")
	r.key(fyne.KeyBackspace, fyne.KeyBackspace, fyne.KeyDelete)
	r.fields("0.012")
	if c := b.Case(); len(c.MakeSafe) != 1 || *c.MakeSafe[0].Value != 0.012 {
		t.Errorf("recorded %+v", c.MakeSafe)
	}
	r.key(fyne.KeyEscape, fyne.KeyEscape)
	if r.page != findingPage {
		t.Errorf("page %d", r.page)
	}
}

// A reason needs a name and a sentence, and is kept with what was lacking.
func TestIsolate_AReasonIsRecordedWithWhatLacked(t *testing.T) {
	r, _, b := proof(t)
	r.openStage(stages.Isolate)
	r.tapSheet(t, proving.ReasonID)
	r.fields("go on")
	r.isolateSaid(t, "a reason is a sentence at least")
	r.key(fyne.KeyDelete)
	r.fields("The record of this isolation is on paper, sheet 7.")
	c := b.Case()
	m, ok := c.SafeNow(fault.SafeReason)
	if !ok || m.Who != "Ada" || len(m.Lacked) != 10 {
		t.Fatalf("recorded %+v", c.MakeSafe)
	}
	r.isolateSaid(t, "The order of removal lacks 10; a reason is recorded for each.")
	r.deps.Who = ""
	r.store.SetWho("")
	r.openItem(fault.SafeReason)
	r.fields("Nobody signs this sentence with any name.")
	r.isolateSaid(t, "a reason stands under a name")
}

// The stage never keeps anybody from recording, viewing or undoing.
func TestIsolate_StopsNobody(t *testing.T) {
	r, _, b := proof(t)
	r.openStage(stages.Isolate)
	r.key(fyne.KeyEscape, fyne.KeyHome, fyne.KeyReturn)
	before := len(b.Case().Readings)
	r.typed("29.2")
	r.key(fyne.KeyReturn)
	r.runJobs()
	if len(b.Case().Readings) != before+1 {
		t.Error("no reading was recorded")
	}
	r.openStates()
	r.key(fyne.KeyReturn, fyne.KeyReturn)
	if len(b.Case().States) != 3 {
		t.Error("no state was recorded")
	}
}

func TestCautions_OnceInAStateAndAgain(t *testing.T) {
	r, w, _ := proof(t)
	line := sheet.Block{}
	look := func() (full, asks bool) {
		for _, b := range r.blocks() {
			if b.ID == caution.OpenID+caution.MakeSafe && b.Kind == sheet.Action {
				line = b
				return false, false
			}
			asks = asks || b.Kind == sheet.Doubt && strings.HasPrefix(b.Text, "Is the state still: SD open")
			full = full || b.Kind == sheet.Caution && strings.HasPrefix(b.Text, "The inside stays live")
		}
		return full, asks
	}
	want := func(when string, full, asks bool) {
		t.Helper()
		if f, a := look(); f != full || a != asks {
			t.Errorf("%s: in full %v, asks %v\n%s", when, f, a, r.onSheet())
		}
	}
	r.openStage(stages.Isolate)
	want("first", true, false)
	r.showAll(false)
	want("while the page stays", true, false)
	r.openItem(fault.SafeLock)
	r.key(fyne.KeyEscape)
	want("coming back", false, false)
	if !strings.Contains(strings.ReplaceAll(line.Text, "\u2009", " "), "205 V and 197 V stay inside") {
		t.Errorf("the line says %q", line.Text)
	}
	r.typed("!")
	want("opened by key", true, false)
	r.openItem(fault.SafeLock)
	r.key(fyne.KeyEscape)
	r.tapSheet(t, caution.OpenID+caution.MakeSafe)
	want("opened by press", true, false)
	r.tapSheet(t, caution.OpenID+caution.MakeSafe)
	want("folded by press", false, false)
	r.typed("!")
	want("opened again by key", true, false)
	r.openItem(fault.SafeLock)
	r.key(fyne.KeyEscape)
	want("coming back again", false, false)
	w.at = w.at.Add(time.Hour)
	r.showAll(false)
	want("after a break", true, true)
	r.openItem(fault.SafeLock)
	r.key(fyne.KeyEscape)
	want("after that", false, false)
	r.deps.Who = "Ben"
	r.showAll(false)
	want("for another name", true, true)
	r.openStates()
	r.key(fyne.KeyReturn, fyne.KeyReturn)
	r.runJobs()
	r.openStage(stages.Isolate)
	f, a := false, false
	for _, b := range r.blocks() {
		f, a = f || b.Kind == sheet.Caution, a || b.Kind == sheet.Doubt
	}
	if !f || a {
		t.Errorf("in another state: in full %v, asks %v", f, a)
	}
}

// Over a form the caution is that of what is entered, and the finding's stand as one
// line once they were said.
func TestCautions_OfTheFormAndTheFinding(t *testing.T) {
	r, _, _ := proof(t)
	r.isolateSaid(t, r.result.Finding.Cautions[0])
	r.key(fyne.KeyHome, fyne.KeyReturn)
	r.isolateSaid(t, "The chassis clip goes on first and comes off last")
	r.typed("29.1")
	r.isolateSaid(t, "The chassis clip goes on first") // nothing moves while a value is typed
	r.key(fyne.KeyReturn)
	r.runJobs()
	r.isolateSaid(t, "The chassis clip goes on first")
	r.tapSheet(t, caution.OpenID+caution.Reading)
	if got := r.onSheet(); strings.Contains(got, "The chassis clip goes on first") || !strings.Contains(got, "Caution: up to 240 V, not measured") {
		t.Errorf("after a press on it:\n%s", got)
	}
	r.setForm(entry.Begin(r.pack, "node:M01-", r.form))
	if f, ok := r.form.SwitchResistor(); ok {
		r.setForm(f)
		r.isolateSaid(t, "It is a deliberate connection from a live pole to chassis")
	} else {
		t.Error("no resistor can be chosen")
	}
	r.key(fyne.KeyEscape)
	if got := r.onSheet(); strings.Contains(got, r.result.Finding.Cautions[0]) || !strings.Contains(got, "\nCaution: ") {
		t.Errorf("back at the finding:\n%s", got)
	}
}
