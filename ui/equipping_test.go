package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"halfsplit/ui/entry"
)

func TestKit_VoltmeterByKeysAlone(t *testing.T) {
	r := newRig(t, func(d *Deps) { d.Case.Instruments, d.Case.Readings = nil, nil })
	r.runJobs()
	r.key(fyne.KeyHome, fyne.KeyReturn)
	if !strings.Contains(r.onSheet(), "Describe the instrument first") {
		t.Errorf("the sheet says\n%s", r.onSheet())
	}
	r.typed("i")
	for _, s := range []string{"10M", "0.5", "2", "6000", "6 60 600"} {
		r.typed(s)
		r.key(fyne.KeyDown)
	}
	r.key(fyne.KeyReturn)
	if r.page != entryPage || r.form.Instrument != "dmm" {
		t.Fatalf("page %d, instrument %q:\n%s", r.page, r.form.Instrument, r.onSheet())
	}
	r.typed("29.2")
	r.key(fyne.KeyReturn)
	if got := r.last(); got.Instrument != "dmm" {
		t.Errorf("recorded as %+v", got)
	}
}

func TestKit_ResistorByTapsAlone(t *testing.T) {
	r := ready(t)
	r.press(t, r.planPane, "node:M08-")
	r.primary.Tapped(nil)
	r.tapSheet(t, "entry:what")
	r.tapSheet(t, entry.KitID)
	for _, word := range []string{"47k", "1", "2", "1000"} {
		for _, k := range word {
			r.tapKeys(t, string(k))
		}
		r.tapKeys(t, "Next")
	}
	r.primary.Tapped(nil)
	c := r.store.Case()
	if got, ok := c.Resistor("R1"); !ok || got.Ohms != 47e3 || got.Watts != 2 || r.form.Resistor != "R1" || r.form.Kind != entry.WithResistor {
		t.Errorf("added %+v, form has %s", got, r.form.Resistor)
	}
}

// What was typed outlives Escape and another kind, and is gone once it is added.
func TestKit_LeavingKeepsWhatWasTyped(t *testing.T) {
	r := ready(t)
	r.typed("i")
	r.typed("10M")
	r.key(fyne.KeyRight)
	drawn := ""
	for _, o := range test.WidgetRenderer(r.primary).Objects() {
		if text, ok := o.(*canvas.Text); ok {
			drawn += text.Text + "|"
		}
	}
	if !strings.Contains(drawn, "Add this insulation tester") {
		t.Errorf("the button says %q", drawn)
	}
	r.key(fyne.KeyLeft)
	if r.kit.Fields[1].Text != "10M" {
		t.Errorf("another kind and back leaves %q", r.kit.Fields[1].Text)
	}
	r.key(fyne.KeyEscape)
	if !strings.Contains(r.happened, "kept") {
		t.Errorf("the foot says %q", r.happened)
	}
	r.typed("i")
	if r.kit.Fields[1].Text != "10M" || !strings.Contains(r.onSheet(), "10M") {
		t.Fatalf("opened again it holds %q", r.kit.Fields[1].Text)
	}
	for _, s := range []string{"0.5", "2", "6000", "6 60 600"} {
		r.key(fyne.KeyDown)
		r.typed(s)
	}
	r.key(fyne.KeyReturn)
	r.typed("i")
	if r.kit.Typed() {
		t.Errorf("after it was added the page holds %+v", r.kit.Fields)
	}
	r.key(fyne.KeyEscape)
	if strings.Contains(r.happened, "kept") {
		t.Errorf("nothing was typed, and the foot says %q", r.happened)
	}
}

func TestKit_WhatIsWrongIsSaidThere(t *testing.T) {
	r := ready(t)
	before := len(r.store.Case().Instruments)
	r.typed("i")
	r.key(fyne.KeyReturn)
	if !strings.Contains(r.onSheet(), "Input resistance: nothing was typed") {
		t.Errorf("the sheet says\n%s", r.onSheet())
	}
	r.key(fyne.KeyEscape)
	if len(r.store.Case().Instruments) != before || r.page != findingPage {
		t.Error("something was added")
	}
}
