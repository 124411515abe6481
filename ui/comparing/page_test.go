package comparing_test

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"halfsplit/fault"
	"halfsplit/ui/comparing"
	"halfsplit/ui/hands"
	"halfsplit/ui/sample"
	"halfsplit/ui/sheet"
)

// page shows a case on a window of its own; copied is what went to the clipboard.
func page(t *testing.T, c fault.Case) (p *comparing.Page, w fyne.Canvas, copied *string, left *bool) {
	t.Helper()
	test.NewTempApp(t)
	copied, left = new(string), new(bool)
	var canvas fyne.Canvas
	p = comparing.New(comparing.Deps{Case: func() fault.Case { return c }, Back: func() { *left = true }, Copy: func(s string) { *copied = strings.ReplaceAll(s, fault.ThinSpace, " ") }, Canvas: func() fyne.Canvas { return canvas }})
	win := test.NewTempWindow(t, p.Content())
	win.Resize(fyne.NewSize(1280, 800))
	canvas = win.Canvas()
	p.Open()
	p.Focus()
	return p, canvas, copied, left
}

// twice is the sample with everything read again in the same circuit an hour and a half
// later, one value otherwise.
func twice() fault.Case {
	twenty := 20.0
	c := sample.Case()
	c.States = []fault.State{{ID: "before", Celsius: &twenty}, {ID: "after", Celsius: &twenty}}
	c.Now, c.GroupVolts, c.Readings = "after", nil, nil
	c.Instruments = []fault.Instrument{{ID: "dmm", GainPct: 0.5, Counts: 2, Ranges: []fault.Range{{Max: 60, Count: 0.01}}}}
	for i, r := range []struct {
		state, at, red string
		v              float64
	}{{"before", "2026-03-02T10:00:00Z", "M01-", -12.34}, {"before", "2026-03-02T10:01:00Z", "M02-", 17.5}, {"before", "2026-03-02T10:02:00Z", "M03-", 3},
		{"after", "2026-03-02T11:30:00Z", "M01-", -12.35}, {"after", "2026-03-02T11:31:00Z", "M02-", 18.5}, {"after", "2026-03-02T11:32:00Z", "M04-", 4}} {
		c.Readings = append(c.Readings, fault.Reading{ID: "r" + string(rune('1'+i)), State: r.state, At: r.at, Quantity: fault.Volts, Red: r.red, Black: "chassis", Value: r.v, Instrument: "dmm"})
	}
	return c
}

func TestPage_TwoSetsByKeys(t *testing.T) {
	p, w, copied, left := page(t, twice())
	hands.Type(t, w, "c")
	for _, must := range []string{"state before, 2026-03-02 10:00 to 10:02", "1 of 2 values differs", "M02- to chassis\t17.50 V\t18.50 V\t+1.000 ± ", "Within the error: 1", "M01- to chassis"} {
		if !strings.Contains(*copied, must) {
			t.Errorf("no %q in\n%s", must, *copied)
		}
	}
	if strings.Contains(*copied, "Not comparable") {
		t.Errorf("the same circuit at the same temperature is not comparable:\n%s", *copied)
	}
	hands.Type(t, w, "x")
	hands.Type(t, w, "c")
	if !strings.Contains(*copied, "18.50 V\t17.50 V\t-1.000") {
		t.Errorf("not swapped:\n%s", *copied)
	}
	hands.Type(t, w, "b") // the one before is now the other one: the same set twice
	if text := sheet.Text(p.Blocks()); !strings.Contains(text, "the same set twice") {
		t.Errorf("the same set twice is not said:\n%s", text)
	}
	hands.Type(t, w, "e")
	if text := sheet.Text(p.Blocks()); !strings.Contains(text, "± 0.2 V") {
		t.Errorf("the scale's end is not said:\n%s", text)
	}
	hands.Key(t, w, fyne.KeyEscape)
	if !*left {
		t.Error("Escape does not leave")
	}
}

// Fewer than two sets are no blank page: what is lacking is said, and no key fails.
func TestPage_NothingToCompare(t *testing.T) {
	one := twice()
	one.Readings = one.Readings[:3]
	for name, k := range map[string]struct {
		c    fault.Case
		want string
	}{"nothing": {fault.Case{}, "Nothing is read yet."}, "one": {one, "There is one set of readings so far"}} {
		p, w, _, _ := page(t, k.c)
		hands.Type(t, w, "baxhec")
		if text := sheet.Text(p.Blocks()); !strings.Contains(text, k.want) || !strings.Contains(text, "Two sets are needed") {
			t.Errorf("%s:\n%s", name, text)
		}
	}
}
