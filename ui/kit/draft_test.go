package kit_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
	"halfsplit/ui/kit"
	"halfsplit/ui/sample"
	"halfsplit/ui/sheet"
)

// filled types the texts into the fields, from the first after the name.
func filled(k kit.Kind, texts ...string) kit.Draft {
	d := kit.Begin(sample.Case(), k)
	for _, t := range texts {
		for _, r := range t {
			d = d.Type(r)
		}
		d = d.Move(1)
	}
	return d
}

func TestDraft_Voltmeter(t *testing.T) {
	d := filled(kit.Voltmeter, "10M", "0,5", "2", "6000", "6 60 600 1000")
	got, err := d.Instrument()
	want := fault.Instrument{ID: "dmm_2", Kind: "voltmeter", GainPct: 0.5, Counts: 2, InputOhms: 1e7,
		Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}, {Max: 600, Count: 0.1}, {Max: 1000, Count: 1}}}
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(want, got, cmp.Comparer(func(a, b float64) bool { return a-b < 1e-12 && b-a < 1e-12 })); diff != "" {
		t.Error(diff)
	}
}

func TestDraft_TesterAndResistor(t *testing.T) {
	d := filled(kit.Tester, "3", "2G")
	if in, err := d.Instrument(); err != nil || in.Ranges[0].Max != 2e9 || in.Kind != "insulation tester" {
		t.Errorf("%+v, %v", in, err)
	}
	d = filled(kit.Resistor, "199.6k", "1", "2", "1000")
	if r, err := d.Resistor(); err != nil || !cmp.Equal(r, fault.Resistor{ID: "R1", Ohms: 199600, TolPct: 1, Watts: 2, MaxVolts: 1000}) {
		t.Errorf("%+v, %v", r, err)
	}
}

func TestDraft_ErrorsNameTheFieldAndGoThere(t *testing.T) {
	for name, c := range map[string]struct {
		draft kit.Draft
		want  string
		at    int
	}{
		"nothing":          {filled(kit.Voltmeter), "Input resistance: nothing was typed", 1},
		"no ohms":          {filled(kit.Voltmeter, "0"), "Input resistance: too small", 1},
		"no number":        {filled(kit.Voltmeter, "10M", "half"), "± % of reading: \"half\" is not a number", 2},
		"below zero":       {filled(kit.Voltmeter, "10M", "-1"), "too small", 2},
		"ranges downwards": {filled(kit.Voltmeter, "10M", "0.5", "2", "6000", "60 6"), "does not go on upwards", 5},
		"no range":         {filled(kit.Voltmeter, "10M", "0.5", "2", "6000"), "Ranges in V: nothing was typed", 5},
		"a name":           {filled(kit.Voltmeter).Move(-1).Type('-'), "Name: a letter", 0},
	} {
		t.Run(name, func(t *testing.T) {
			d := c.draft
			if _, err := d.Instrument(); err == nil || !strings.Contains(err.Error(), c.want) || d.At != c.at {
				t.Errorf("got %v at field %d, want %q at %d", err, d.At, c.want, c.at)
			}
		})
	}
}

// The reason stands below its field, not below the last one, which may be out of view.
func TestBlocks_TheReasonStandsAtItsField(t *testing.T) {
	d := filled(kit.Voltmeter, "10M", "half")
	_, err := d.Instrument()
	if err == nil {
		t.Fatal("half a per cent is taken")
	}
	d.Failed = err.Error()
	b := d.Blocks(fault.Case{}, "")
	for i := range b {
		if b[i].Kind == sheet.Input && (b[i+1].Kind != sheet.Doubt || !strings.Contains(b[i+1].Text, "half")) {
			t.Errorf("below the field stands %q", b[i+1].Text)
		}
	}
	if !strings.Contains(sheet.Text(b), d.Failed) {
		t.Error("the reason is not told")
	}
}
