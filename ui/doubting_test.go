package ui

import (
	"context"
	"errors"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/doubt"
	"halfsplit/ui/sample"
	"halfsplit/ui/sheet"
	"halfsplit/ui/store"
)

func TestDoubt_KeptAsReadByKeysAlone(t *testing.T) {
	r := ready(t)
	before := recorded(r)
	r.typed("k")
	if !strings.Contains(r.onSheet(), "r9: its sign may be reversed") || r.Selected() != "reading:r9" {
		t.Fatalf("K shows\n%s", r.onSheet())
	}
	r.typed("3")
	r.key(fyne.KeyReturn)
	if recorded(r) != before || !strings.Contains(r.onSheet(), "say why it stands") {
		t.Fatalf("kept without a note:\n%s", r.onSheet())
	}
	r.typed("Read twice, Q and W")
	r.key(fyne.KeyReturn)
	r.runJobs()
	got := r.last()
	if recorded(r) != before+1 || got.Stands != "Read twice, Q and W" || got.Value != 6.7 || got.Supersedes != "r9" || got.Raw != "6.7" || got.Why != doubt.WhyKept(got.Stands) {
		t.Fatalf("recorded %+v", got)
	}
	for _, want := range []string{"Doubts", got.ID + ", 6.7 V", "Kept as read: Read twice, Q and W"} {
		if !strings.Contains(r.onSheet(), want) {
			t.Errorf("%q is missing in\n%s", want, r.onSheet())
		}
	}
	if !strings.Contains(r.store.Steps().Undo, "6.7 V") {
		t.Errorf("undo is named %q", r.store.Steps().Undo)
	}
	r.Undo()
	if recorded(r) != before {
		t.Error("undo keeps it")
	}
}

func TestDoubt_TheCorrectedValueByTapsAlone(t *testing.T) {
	r := ready(t)
	before := recorded(r)
	r.tapSheet(t, sheet.DoubtID+"0")
	r.tapSheet(t, sheet.UseCorrected)
	r.runJobs()
	got := r.last()
	if recorded(r) != before+1 || got.Value != -6.7 || got.Supersedes != "r9" || !strings.HasPrefix(got.Why, "corrected: its sign is reversed") || got.Raw != "" {
		t.Fatalf("recorded %+v", got)
	}
	if old, ok := r.deps.Case.Reading("r9"); !ok || old.Value != 6.7 {
		t.Errorf("the old reading is %+v", old)
	}
	if !strings.Contains(r.happened, got.ID) || !strings.Contains(r.happened, "Undo") {
		t.Errorf("it says %q", r.happened)
	}
}

// A blank typed into a note is a key of its own as well: it must not leave the page.
func TestReason_ABlankStaysInTheNote(t *testing.T) {
	r := ready(t)
	r.typed("k3")
	for _, c := range "read twice" {
		r.typed(string(c))
		if c == ' ' {
			r.key(fyne.KeySpace)
		}
	}
	if r.page != reasonPage || r.reason.text != "read twice" {
		t.Errorf("on page %d with %q", r.page, r.reason.text)
	}
	r.key(fyne.KeyEscape)
	if r.page != doubtPage || recorded(r) != 9 {
		t.Errorf("Escape leads to page %d, %d readings", r.page, recorded(r))
	}
}

// doubted is a rig whose finding has one doubt.
func doubted(t *testing.T, q fault.Doubt, edit func(*Deps)) *rig {
	r := newRig(t, func(d *Deps) {
		d.Find = func(context.Context, fault.Case) (fault.Finding, error) {
			f := sample.Finding()
			f.Doubts = []fault.Doubt{q}
			return f, nil
		}
		if edit != nil {
			edit(d)
		}
	})
	r.runJobs()
	return r
}

// What is no value leads to the page where it is described.
func TestDoubt_OfNoValueLeadsToWhereItIsDescribed(t *testing.T) {
	for name, c := range map[string]struct {
		d    fault.Doubt
		page page
		want string
	}{
		"input":    {fault.Doubt{Reading: "r1", Kind: doubt.Input, With: "dmm", FitsIf: "the input resistance of dmm is 1.00 MΩ"}, kitPage, "Input resistance"},
		"meters":   {fault.Doubt{Reading: "r4", Kind: doubt.TwoMeters, With: "r5", FitsIf: "both were on"}, statePage, "Record a change of state"},
		"mirrored": {fault.Doubt{Reading: "r1", Kind: doubt.Mirrored, With: "group_volts", FitsIf: "the list runs down"}, stagePage, "Draw the pack"},
		"turned":   {fault.Doubt{Reading: "r1", Kind: doubt.Turned, With: "M04", FitsIf: "M04 is turned"}, stagePage, "Draw the pack"},
	} {
		t.Run(name, func(t *testing.T) {
			r := doubted(t, c.d, nil)
			before := recorded(r)
			r.typed("k1")
			if r.page != c.page || !strings.Contains(r.onSheet(), c.want) || recorded(r) != before {
				t.Errorf("it leads to page %d:\n%s", r.page, r.onSheet())
			}
		})
	}
}

func TestDoubt_TwoValuesExchanged(t *testing.T) {
	q := fault.Doubt{Reading: "r7", Kind: doubt.Transposed, With: "r8", FitsIf: "its value and that of r8 are exchanged"}
	r := doubted(t, q, nil)
	before := recorded(r)
	r.typed("k")
	r.key(fyne.KeyReturn)
	r.runJobs()
	c := r.store.Case()
	a, b := c.Superseded()["r7"], c.Superseded()["r8"]
	if recorded(r) != before+2 || a.Value != -39.9 || b.Value != -68.1 || a.Resistor != nil || b.Resistor == nil {
		t.Errorf("recorded %+v and %+v", a, b)
	}
}

// A failing store refuses the second correction.
type failing struct {
	store.Store
	left int
}

func (f *failing) SupersedeReading(old string, r fault.Reading, why string) (fault.Reading, error) {
	if f.left--; f.left < 0 {
		return r, errors.New("the disk is full")
	}
	return f.Store.SupersedeReading(old, r, why)
}

// Two values are exchanged together or not at all.
func TestDoubt_HalfAnExchangeIsTakenBack(t *testing.T) {
	q := fault.Doubt{Reading: "r7", Kind: doubt.Transposed, With: "r8", FitsIf: "its value and that of r8 are exchanged"}
	r := doubted(t, q, func(d *Deps) { d.Store = &failing{store.NewMemory(sample.Case()), 1} })
	before := recorded(r)
	r.typed("k1")
	if recorded(r) != before || r.store.Steps().Undo != "" || !strings.Contains(r.onSheet(), "Nothing was recorded: the disk is full") {
		t.Errorf("%d readings, undo %q:\n%s", recorded(r), r.store.Steps().Undo, r.onSheet())
	}
}
