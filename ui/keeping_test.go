package ui

import (
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/kit"
	"halfsplit/ui/proving"
)

// What is half typed on the page of instruments is on the disk a moment later: a program
// that ends then offers it again, field by field.
func TestKit_GoesOnAfterTheProgramEnded(t *testing.T) {
	var later []func()
	r := newRig(t, inBook(t, &later))
	r.runJobs()
	r.typed("i10M")
	r.key(fyne.KeyDown)
	r.typed("0.5")
	if r.store.Draft(kit.KeptName) != "" {
		t.Error("every key is a line of the log")
	}
	passed(later)
	st := r.store
	again := newRig(t, func(d *Deps) { inBook(t, &later)(d); d.Store = st })
	again.runJobs()
	if got := again.onSheet(); !strings.Contains(got, "Typed before and not recorded: voltmeter dmm_2.") {
		t.Errorf("the sheet says\n%s", got)
	}
	again.typed("i")
	if got := again.onSheet(); !strings.Contains(got, "10M") || !strings.Contains(got, "[0.5]") {
		t.Fatalf("it goes on with\n%s", got)
	}
	for _, s := range []string{"", "2", "6000", "6 60 600"} {
		again.typed(s)
		again.key(fyne.KeyDown)
	}
	again.key(fyne.KeyReturn)
	c := st.Case()
	if _, ok := c.Instrument("dmm_2"); !ok {
		t.Fatalf("not added:\n%s", again.onSheet())
	}
	if text := st.Draft(kit.KeptName); text != "" {
		t.Errorf("what was recorded is still offered: %s", text)
	}
}

// A change of something in the case that was not recorded is kept too, by Escape and by
// the end of the program.
func TestKit_AChangeThatWasNotRecordedIsKept(t *testing.T) {
	var later []func()
	r := newRig(t, inBook(t, &later))
	r.runJobs()
	r.typed("i")
	r.tapSheet(t, "kit:edit:dmm")
	r.tapSheet(t, kit.FieldID(7)) // the serial number
	r.typed("K-7")
	r.key(fyne.KeyEscape)
	st := r.store
	again := newRig(t, func(d *Deps) { inBook(t, &later)(d); d.Store = st })
	again.runJobs()
	again.typed("i")
	if got := again.onSheet(); !strings.Contains(got, "Put right: dmm") || !strings.Contains(got, "[K-7]") {
		t.Fatalf("it goes on with\n%s", got)
	}
	again.key(fyne.KeyReturn)
	c := st.Case()
	if in, _ := c.Instrument("dmm"); in.Serial != "K-7" || st.Draft(kit.KeptName) != "" {
		t.Errorf("recorded as %+v, kept %q", in, st.Draft(kit.KeptName))
	}
}

// What is half typed while isolating and proving comes back by a line on its page.
func TestIsolate_GoesOnAfterTheProgramEnded(t *testing.T) {
	var later []func()
	r := newRig(t, inBook(t, &later))
	r.runJobs()
	r.openIsolating()
	r.openItem(fault.SafeWait)
	r.typed("5")
	r.key(fyne.KeyTab)
	r.typed("sheet 1")
	passed(later)
	st := r.store
	again := newRig(t, func(d *Deps) { inBook(t, &later)(d); d.Store = st })
	again.runJobs()
	if got := again.onSheet(); !strings.Contains(got, "Typed before and not recorded: "+proving.Name(fault.SafeWait)) {
		t.Errorf("the sheet says\n%s", got)
	}
	again.tapSheet(t, goOnIsolateID)
	if got := again.onSheet(); !strings.Contains(got, "Typed and not recorded: 5, sheet 1.") {
		t.Fatalf("the page says\n%s", got)
	}
	again.tapSheet(t, leftID+fault.SafeWait)
	again.typed("2")
	again.key(fyne.KeyReturn)
	m := st.Case().MakeSafe
	if i := slices.IndexFunc(m, func(m fault.MakeSafe) bool { return m.Item == fault.SafeWait }); i < 0 || *m[i].Value != 5 || m[i].Text != "sheet 12" {
		t.Errorf("recorded %+v", m)
	}
	if text := st.Draft(proving.KeptName); text != "" {
		t.Errorf("what was recorded is still offered: %s", text)
	}
}

// Pages that are left by another key than Escape keep what was typed all the same, and
// recording one thing forgets no other.
func TestKeeping_LeftByAnotherKeyAndBesideOthers(t *testing.T) {
	var later []func()
	r := newRig(t, inBook(t, &later))
	r.runJobs()
	r.typed("i10M")
	r.showFinding()
	passed(later)
	if !strings.Contains(r.store.Draft(kit.KeptName), "10M") {
		t.Errorf("left by another key it keeps %q", r.store.Draft(kit.KeptName))
	}
	r.typed("i")
	if !strings.Contains(r.onSheet(), "[10M]") {
		t.Errorf("it goes on with\n%s", r.onSheet())
	}
	r.tapSheet(t, "kit:edit:dmm")
	r.tapSheet(t, kit.FieldID(7))
	r.typed("K-7")
	r.key(fyne.KeyReturn)
	if text := r.store.Draft(kit.KeptName); !strings.Contains(text, "10M") || strings.Contains(text, "K-7") {
		t.Errorf("beside what was recorded it keeps %q", text)
	}
	r.openIsolating()
	r.openItem(fault.SafeLock)
	r.typed("14")
	r.showFinding()
	r.openIsolating()
	r.openItem(fault.SafeKey)
	passed(later)
	if text := r.store.Draft(proving.KeptName); !strings.Contains(text, `"14"`) || strings.Contains(text, fault.SafeKey) {
		t.Errorf("of isolating and proving it keeps %q", text)
	}
}

// A closed window keeps what waits, without the pause.
func TestClose_KeepsWhatIsHalfTyped(t *testing.T) {
	var later []func()
	r := newRig(t, inBook(t, &later))
	r.runJobs()
	r.typed("i10M")
	r.Close()
	if !strings.Contains(r.store.Draft(kit.KeptName), "10M") {
		t.Errorf("kept %q", r.store.Draft(kit.KeptName))
	}
}

// A reading that is begun says whether what it is taken with is rated for the pack.
func TestEntry_SaysWhatARatingDoesNotReach(t *testing.T) {
	r := newRig(t, func(d *Deps) {
		d.Case.Layout.WorkingVolts = 462
		d.Case.Instruments[0].Ratings = []fault.Rating{{Category: "III", Volts: 300}}
		d.Case.Resistors = []fault.Resistor{{ID: "R1", Ohms: 1e5, TolPct: 1}}
	})
	r.runJobs()
	r.choose("node:M08-")
	r.enter()
	if got := r.onSheet(); !strings.Contains(got, "dmm is rated CAT III 300 V; this pack works at 462 V.") || strings.Contains(got, "Rated volts of R1") {
		t.Errorf("the sheet says\n%s", got)
	}
	r.typed("r")
	if got := r.onSheet(); !strings.Contains(got, "Rated volts of R1 not recorded.") {
		t.Errorf("with the resistor the sheet says\n%s", got)
	}
	r.typed("29.2")
	r.key(fyne.KeyReturn)
	if x := r.last(); x.Value != 29.2 {
		t.Errorf("a rating keeps a reading from being recorded: %+v", x)
	}
}

// passed runs what waits for a pause.
func passed(later []func()) {
	for _, do := range later {
		do()
	}
}
