package ui

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/cells"
	"halfsplit/fault/locate"
	"halfsplit/ui/advice"
	"halfsplit/ui/casefile"
	"halfsplit/ui/entry"
	"halfsplit/ui/store"
)

// A bench is a rig with a clock that the test moves, and its ticks.
type bench struct {
	*rig
	now   time.Time
	tick  func()
	ticks int // timers that run
}

// onBench opens a case on a clock; nil is the sample.
func onBench(t *testing.T, c *fault.Case, find func(context.Context, fault.Case) (fault.Finding, error)) *bench {
	b := &bench{now: time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)}
	b.rig = newRig(t, func(d *Deps) {
		if c != nil {
			d.Case, d.Store = *c, store.NewMemory(*c)
		}
		if find != nil {
			d.Find = find
		}
		d.Now = func() time.Time { return b.now }
		d.Tick = func(_ time.Duration, do func()) func() {
			b.tick = do
			b.ticks++
			return func() { b.ticks--; b.tick = nil }
		}
	})
	b.runJobs()
	return b
}

// pass lets so many seconds go by, with the countdown drawn.
func (b *bench) pass(seconds float64) {
	b.now = b.now.Add(time.Duration(seconds * float64(time.Second)))
	if b.tick != nil {
		b.tick()
	}
}

func (b *bench) want(t *testing.T, texts ...string) {
	t.Helper()
	for _, s := range texts {
		if !strings.Contains(b.onSheet(), s) {
			t.Errorf("%q is missing in\n%s", s, b.onSheet())
		}
	}
}

// entering puts the leads on a place to chassis.
func (b *bench) entering(t *testing.T, node string) {
	t.Helper()
	b.choose("node:" + node)
	b.key(fyne.KeyReturn)
	if b.page != entryPage || b.form.Red != node {
		t.Fatalf("page %d, red on %s", b.page, b.form.Red)
	}
}

func TestAdvice_ListByKeysAndByPresses(t *testing.T) {
	b := onBench(t, nil, nil)
	b.key(fyne.KeyF8)
	b.want(t, "Help with measuring", "Lock the meter's range", "Choose a test resistor", "own input resistance", "pack in the vehicle")
	b.key(fyne.KeyDown, fyne.KeyReturn)
	b.want(t, "Lock the meter's range", "What one count is worth there")
	b.key(fyne.KeyEscape)
	b.want(t, "Help with measuring")
	b.key(fyne.KeyEscape)
	if b.page != findingPage {
		t.Errorf("Escape leaves to page %d", b.page)
	}
	b.tapSheet(t, adviceID)
	b.tapSheet(t, "advice:resistor")
	b.want(t, "Choose a test resistor")
	b.key(fyne.KeyF8)
	if b.page != findingPage {
		t.Errorf("F8 leaves to page %d", b.page)
	}
}

func TestAdvice_ResistorIsAdoptedInOneActionAndUndone(t *testing.T) {
	b := onBench(t, nil, nil)
	b.entering(t, "M14+")
	b.key(fyne.KeyF8)
	b.tapSheet(t, "advice:resistor")
	before := len(b.store.Case().Resistors)
	b.primary.Tapped(nil)
	b.runJobs()
	all := b.store.Case().Resistors
	if len(all) != before+1 || all[before].ID != "R220k" || b.form.Resistor != "R220k" || b.page != entryPage || b.form.Red != "M14+" {
		t.Fatalf("%+v, form %+v, page %d", all, b.form, b.page)
	}
	if u := b.store.Steps().Undo; u != "test resistor R220k" {
		t.Errorf("undo would take back %q", u)
	}
	b.key(fyne.KeyF8)
	b.tapSheet(t, "advice:resistor")
	if label, _, _ := b.primaryAction(); label != "Use R220k, which the case has" {
		t.Errorf("what is there already: %q", label)
	}
}

func TestAdvice_RangeIsOfferedAndLocked(t *testing.T) {
	b := onBench(t, nil, nil)
	b.entering(t, "M14+")
	if strings.Contains(b.onSheet(), "range for both ends") {
		t.Fatalf("it is offered with both ends on one range:\n%s", b.onSheet())
	}
	c := b.store.Case()
	for i := range c.Readings {
		if c.Readings[i].ID == "r7" {
			c.Readings[i].Value = -18.4
		}
	}
	b.SetCase(c)
	b.runJobs()
	b.entering(t, "M14+")
	b.want(t, "Lock the 600 V range for both ends", "fall on different ranges")
	b.tapSheet(t, lockID)
	b.want(t, "Each range has a gain error of its own")
	b.primary.Tapped(nil)
	if b.form.Range != 600 || b.page != entryPage || strings.Contains(b.onSheet(), "range for both ends") {
		t.Errorf("range %g, page %d\n%s", b.form.Range, b.page, b.onSheet())
	}
	b.typed("125.9")
	b.key(fyne.KeyReturn)
	if r := b.last(); r.Range != 600 {
		t.Errorf("recorded as %+v", r)
	}
}

// Both readings by keys; the new description is recorded, the old one and its
// readings stay.
func TestAdvice_MetersOwnInput(t *testing.T) {
	b := onBench(t, nil, nil)
	b.key(fyne.KeyF8, fyne.KeyDown, fyne.KeyDown, fyne.KeyDown, fyne.KeyReturn)
	b.want(t, "1. Straight on a steady source")
	b.typed("58.00")
	b.key(fyne.KeyReturn)
	b.tapKeys(t, "5", "6", ".", "8", "6") // 58 V into 10 MΩ through 199.6 kΩ
	b.want(t, "It would be recorded as dmm_2")
	n := recorded(b.rig)
	b.key(fyne.KeyReturn)
	b.runJobs()
	c := b.store.Case()
	in, ok := c.Instrument("dmm_2")
	if !ok || math.Abs(in.InputOhms-9.96e6) > 0.1e6 || !strings.Contains(string(in.Extra[advice.EvidenceKey]), "58.00 V straight") {
		t.Fatalf("%+v, %v", in, ok)
	}
	if old, ok := c.Instrument("dmm"); !ok || old.InputOhms != 10e6 || recorded(b.rig) != n || b.form.Instrument != "dmm_2" {
		t.Errorf("old %+v, %d readings, %s chosen", old, recorded(b.rig), b.form.Instrument)
	}
	if u := b.store.Steps().Undo; u != "instrument dmm_2" {
		t.Errorf("undo would take back %q", u)
	}
}

func TestTimer_TakesTimedValuesUntilTheySettle(t *testing.T) {
	b := onBench(t, nil, nil)
	b.entering(t, "M14+")
	n := recorded(b.rig)
	b.key(fyne.KeyF5)
	if b.ticks != 1 {
		t.Fatalf("%d timers", b.ticks)
	}
	b.pass(1.2)
	b.want(t, "The next value is at 2 s, in 1 s")
	b.pass(1)
	b.want(t, "read now: 2 s")
	for _, v := range []struct {
		wait float64
		text string
	}{{0.4, "110.2"}, {3, "121.4"}, {5.2, "125.8"}} {
		b.pass(v.wait)
		b.typed(v.text)
		b.pass(0.7)
		b.key(fyne.KeyReturn)
		b.runJobs()
		if b.form.Red != "M14+" || b.form.Raw != "" || b.page != entryPage {
			t.Fatalf("after %s: %+v on page %d", v.text, b.form, b.page)
		}
	}
	b.want(t, "Taken: 110.2 V at 2 s, 121.4 V at 5 s, 125.8 V at 10 s")
	b.Undo()
	b.runJobs()
	if s := b.onSheet(); !strings.Contains(s, "121.4 V at 5 s.") || strings.Contains(s, "125.8 V at 10 s") {
		t.Errorf("after an undo:\n%s", s)
	}
	b.typed("125.8") // what was undone is read again
	b.key(fyne.KeyReturn)
	b.runJobs()
	b.pass(9)
	b.typed("125.9")
	b.key(fyne.KeyReturn)
	b.runJobs()
	if recorded(b.rig) != n+4 || b.ticks != 0 || b.form.Red == "M14+" || !strings.Contains(b.happened, "Settled") {
		t.Errorf("%d readings, %d timers, red on %s, said %q", recorded(b.rig)-n, b.ticks, b.form.Red, b.happened)
	}
	for i, want := range []float64{2, 5, 10, 20} {
		if r := b.store.Case().Readings[n+i]; r.AfterTouchS == nil || *r.AfterTouchS != want || r.Red != "M14+" {
			t.Errorf("value %d: %+v", i, r)
		}
	}
	b.typed("-68.1")
	b.key(fyne.KeyReturn)
	if r := b.last(); r.AfterTouchS != nil {
		t.Errorf("a reading without the timer has %g s", *r.AfterTouchS)
	}
}

// The countdown holds nothing up and ends by itself where it makes no sense.
func TestTimer_EndsWithTheLeadsAndThePage(t *testing.T) {
	for name, leave := range map[string]func(*bench){
		"a key":         func(b *bench) { b.key(fyne.KeyF5) },
		"a press":       func(b *bench) { b.tapSheetNow(advice.StopID) },
		"another place": func(b *bench) { b.aim("node:M07+"); b.pass(1) },
		"the resistor":  func(b *bench) { b.typed("r"); b.pass(1) },
		"leaving":       func(b *bench) { b.key(fyne.KeyEscape); b.pass(1) },
		"the case":      func(b *bench) { b.Close() },
	} {
		t.Run(name, func(t *testing.T) {
			b := onBench(t, nil, nil)
			b.entering(t, "M14+")
			b.tapSheet(t, timerID)
			b.pass(4)
			if b.ticks != 1 {
				t.Fatal("the timer does not run")
			}
			leave(b)
			if b.ticks != 0 || b.timer.Running() {
				t.Errorf("%d timers run", b.ticks)
			}
		})
	}
}

// tapSheetNow is a press where the line is known to be.
func (b *bench) tapSheetNow(id string) { b.pickOnSheet(id) }

// The case of the socket, without its readings: the string still closed.
func socketCase(t *testing.T) *fault.Case {
	t.Helper()
	c, err := casefile.Open("../testdata/cases/S1-socket.case.json")
	if err != nil {
		t.Fatal(err)
	}
	c.Readings, c.States[0].Open, c.States[0].ID, c.Now = nil, nil, "closed", "closed"
	for i := range c.GroupVolts {
		c.GroupVolts[i].State = "closed"
	}
	return &c
}

func byEngine(ctx context.Context, c fault.Case) (fault.Finding, error) {
	return locate.Find(ctx, c, cells.All(c))
}

// The whole path by Enter and digits alone, with the engine's own finding: each step
// comes back to it.
func TestSocket_WholePathByKeys(t *testing.T) {
	b := onBench(t, socketCase(t), byEngine)
	b.key(fyne.KeyF8, fyne.KeyUp, fyne.KeyUp, fyne.KeyReturn)
	b.want(t, "At the socket, pack in the vehicle", "Shrouded adaptors", "1. Record the state")
	b.key(fyne.KeyReturn)
	b.want(t, "Nothing is recorded yet", "174 V from M01- to M06+")
	if n := len(b.store.Case().States); n != 1 {
		t.Fatalf("%d states before it is recorded", n)
	}
	b.key(fyne.KeyReturn)
	b.runJobs()
	c := b.store.Case()
	st, _ := c.State(c.Now)
	if !slices.Equal(st.Open, []string{"SD"}) || st.Contactors != fault.Open || !slices.Contains(st.Connected, advice.InVehicle) {
		t.Fatalf("recorded %+v", st)
	}
	for _, v := range []struct{ text, red, resistor string }{{"-67.1", "SD@M07-", ""}, {"-35.67", "SD@M07-", "R200k"}, {"11.34", "SD@M06+", ""}, {"0.255", "SD@M06+", "R200k"}} {
		b.key(fyne.KeyReturn)
		if b.page != entryPage || b.form.Red != v.red || b.form.Black != "chassis" || (b.form.Kind == entry.WithResistor) != (v.resistor != "") {
			t.Fatalf("for %s: page %d, %+v\n%s", v.text, b.page, b.form, b.onSheet())
		}
		b.typed(v.text)
		b.key(fyne.KeyReturn)
		b.runJobs()
		if b.page != guidePage {
			t.Fatalf("after %s it is on page %d", v.text, b.page)
		}
	}
	b.want(t, "68.3", "above SD@M07-", "M09", "This half reads like a sound floating half")
	if label, _, _ := b.primaryAction(); label != "Show the finding" {
		t.Errorf("after the last step comes %q", label)
	}
}

// By presses alone, leaving a step comes back too.
func TestSocket_ByPresses(t *testing.T) {
	b := onBench(t, socketCase(t), byEngine)
	b.openStage(1)
	b.tapSheet(t, socketID)
	b.tapSheet(t, "advice:state")
	b.tapSheet(t, "advice:back")
	if len(b.store.Case().States) != 1 {
		t.Error("back has recorded something")
	}
	b.tapSheet(t, "advice:state")
	b.primary.Tapped(nil)
	b.runJobs()
	b.tapSheet(t, "advice:truefalse")
	if b.page != entryPage || b.form.Red != "SD@M07-" {
		t.Fatalf("page %d, %+v", b.page, b.form)
	}
	b.tapKeys(t, "-", "6", "7", ".", "1")
	b.primary.Tapped(nil)
	b.runJobs()
	b.want(t, "Done: read -67.1 V as r1", "not read yet in this state")
	b.tapSheet(t, "advice:truetrue")
	b.key(fyne.KeyEscape)
	if b.page != guidePage {
		t.Errorf("Escape from a step leads to page %d", b.page)
	}
}

func TestOverTime_OpensFromWhatIsSelected(t *testing.T) {
	c := onBench(t, nil, nil).store.Case()
	for i := range c.Readings {
		c.Readings[i].At = time.Date(2026, 3, 2, 9, i, 0, 0, time.UTC).Format(time.RFC3339)
	}
	b := onBench(t, &c, nil)
	over := func() string { return strings.ReplaceAll(textOf(b), "\u2009", " ") }
	b.choose("reading:r6")
	b.key(fyne.KeyF7)
	if b.root.Visible() || !b.overTime.Content().Visible() || !strings.Contains(over(), "M14+ to chassis") || !strings.Contains(over(), "another circuit, not compared") {
		t.Fatalf("F7 shows\n%s", over())
	}
	b.key(fyne.KeyReturn) // the selected value
	if b.overTime.Content().Visible() || b.Selected() != "reading:r6" || b.page != selectionPage {
		t.Errorf("Enter leads to page %d with %s", b.page, b.Selected())
	}
	b.tapSheet(t, overTimeID)
	b.key(fyne.KeyEscape) // nothing selected
	b.key(fyne.KeyReturn) // read it again
	if b.page != entryPage || b.form.Red != "M14+" || b.form.Kind != entry.ToChassis || b.form.Range != 600 {
		t.Errorf("read again: page %d, %+v", b.page, b.form)
	}
	b.key(fyne.KeyF7, fyne.KeyF7)
	if b.overTime.Content().Visible() {
		t.Error("F7 does not lead back")
	}
}

func textOf(b *bench) string {
	var out []string
	for _, k := range b.overTime.Blocks() {
		out = append(out, k.Text)
	}
	return strings.Join(out, "\n")
}

func TestOverTime_NothingReadYet(t *testing.T) {
	c := onBench(t, nil, nil).store.Case()
	c.Readings = nil
	b := onBench(t, &c, nil)
	b.key(fyne.KeyF7)
	if s := textOf(b); !strings.Contains(s, "One value is no series") {
		t.Errorf("it says\n%s", s)
	}
	b.key(fyne.KeyReturn)
	if b.page != entryPage || b.overTime.Content().Visible() {
		t.Errorf("the one action leads to page %d", b.page)
	}
}
