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
	b := d.Blocks(fault.Case{}, "", fault.Meeting{})
	for i := range b {
		if b[i].Kind == sheet.Input && (b[i+1].Kind != sheet.Doubt || !strings.Contains(b[i+1].Text, "half")) {
			t.Errorf("below the field stands %q", b[i+1].Text)
		}
	}
	if !strings.Contains(sheet.Text(b), d.Failed) {
		t.Error("the reason is not told")
	}
}

// at puts the keyboard on a field by its name.
func at(t *testing.T, d kit.Draft, name string) kit.Draft {
	t.Helper()
	for i, f := range d.Fields {
		if f.Name == name {
			d.At = i
			return d
		}
	}
	t.Fatalf("there is no field %q", name)
	return d
}

func typed(d kit.Draft, text string) kit.Draft {
	for _, r := range text {
		d = d.Type(r)
	}
	return d
}

// Each range takes a gain, counts and an input resistance of its own; what is left empty
// is the instrument's.
func TestDraft_RangesWithFiguresOfTheirOwn(t *testing.T) {
	d := filled(kit.Voltmeter, "10M", "0.5", "2", "6000", "6 60 1000", "1")
	d = typed(at(t, d, "1000 V: ± % of reading"), "0,8")
	d = typed(at(t, d, "1000 V: ± counts"), "0")
	d = typed(at(t, d, "6 V: input resistance"), "11M")
	got, err := d.Instrument()
	if err != nil {
		t.Fatal(err)
	}
	if r := got.Ranges[2]; r.GainPct == nil || *r.GainPct != 0.8 || r.Counts == nil || *r.Counts != 0 || r.InputOhms != 0 {
		t.Errorf("1000 V is %+v", r)
	}
	if r := got.Ranges[0]; r.GainPct != nil || r.Counts != nil || r.InputOhms != 11e6 || got.InputTolPct != 1 {
		t.Errorf("6 V is %+v, input ± %g %%", r, got.InputTolPct)
	}
	if text := sheet.Text(d.Blocks(fault.Case{}, "", fault.Meeting{})); !strings.Contains(text, "Range 1000 V: ± 0,8 %, ± 0 counts") || !strings.Contains(text, "Range 60 V: as above") {
		t.Errorf("the page says\n%s", text)
	}
	for name, wrong := range map[string]string{"60 V: ± % of reading": "1x", "60 V: ± counts": "-1", "60 V: input resistance": "0", "Input resistance, ± %": "100"} {
		e := typed(at(t, d, name), wrong)
		if _, err := e.Instrument(); err == nil || !strings.HasPrefix(err.Error(), name+": ") || e.Fields[e.At].Name != name {
			t.Errorf("%s: %v at %s", name, err, e.Fields[e.At].Name)
		}
	}
}

// Figures of a range stay while its full scale is typed anew, and come back with it.
func TestDraft_FiguresStayWithTheirRange(t *testing.T) {
	d := filled(kit.Voltmeter, "10M", "0.5", "2", "6000", "60 600")
	d = typed(at(t, d, "600 V: ± counts"), "5")
	d = at(t, d, "Ranges in V")
	d = d.Back().Back() // 60 6
	d = typed(d, "00 1000")
	got, err := d.Instrument()
	if err != nil || len(got.Ranges) != 3 || got.Ranges[1].Counts == nil || *got.Ranges[1].Counts != 5 || got.Ranges[2].Counts != nil {
		t.Errorf("%+v, %v", got.Ranges, err)
	}
}

// What is put right keeps what was not changed to the last digit, also when full scales
// are added and taken away.
func TestOver_RangesThatRemainKeepWhatTheyHave(t *testing.T) {
	one, three := 0.7, 3.0
	was := fault.Instrument{ID: "dmm", Kind: "voltmeter", GainPct: 0.5, Counts: 2, InputOhms: 10123457.25, InputTolPct: 0.3, Functions: []fault.Function{{Quantity: fault.Ohms}},
		Ranges: []fault.Range{{Max: 6, Count: 0.0005}, {Max: 60, Count: 0.01, GainPct: &one, Counts: &three, InputOhms: 1111111.5}, {Max: 600, Count: 0.1, Counts: &three}}}
	c := fault.Case{Instruments: []fault.Instrument{was}}
	put := func(change func(kit.Draft) kit.Draft) fault.Instrument {
		t.Helper()
		d, ok := kit.Edit(c, "dmm", "")
		if !ok || d.Typed() {
			t.Fatalf("opened as %+v", d)
		}
		if d = change(d); !d.Typed() {
			t.Error("a change is not seen")
		}
		in, err := d.Instrument()
		if err != nil {
			t.Fatal(err)
		}
		return d.Over(was, in)
	}
	want := was
	want.Serial = "7"
	if diff := cmp.Diff(want, put(func(d kit.Draft) kit.Draft { return typed(at(t, d, "Serial number"), "7") })); diff != "" {
		t.Error(diff)
	}
	got := put(func(d kit.Draft) kit.Draft {
		d = at(t, d, "Ranges in V")
		return typed(d.Back().Back().Back(), "1000") // 6 60 1000
	})
	want = was
	want.Ranges = []fault.Range{was.Ranges[0], was.Ranges[1], {Max: 1000, Count: got.Ranges[2].Count}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	got = put(func(d kit.Draft) kit.Draft {
		d = at(t, d, "60 V: ± counts")
		return typed(d.Back(), "4")
	})
	if r := got.Ranges[1]; r.Counts == nil || *r.Counts != 4 || *r.GainPct != 0.7 || r.InputOhms != 1111111.5 || r.Count != 0.01 {
		t.Errorf("60 V is %+v", r)
	}
}

// A tester with several ranges keeps them when something else is put right.
func TestOver_ATestersRanges(t *testing.T) {
	was := fault.Instrument{ID: "tester", Kind: "insulation tester", GainPct: 3, Ranges: []fault.Range{{Max: 1e6, Count: 1e3}, {Max: 2e9, Count: 1e6}}}
	d, _ := kit.Edit(fault.Case{Instruments: []fault.Instrument{was}}, "tester", "")
	d = typed(at(t, d, "Serial number"), "7")
	in, err := d.Instrument()
	if got := d.Over(was, in); err != nil || !cmp.Equal(got.Ranges, was.Ranges) || got.Serial != "7" {
		t.Errorf("%+v, %v", got, err)
	}
}

// What is half typed comes back from its text as it was: something new, something that
// is put right, and a range's own figures; an address stays on its computer.
func TestKept_ComesBackFromItsText(t *testing.T) {
	c := sample.Case()
	in := c.Instruments[0]
	left := kit.Kept{}
	edit, _ := kit.Edit(c, in.ID, "tcp://192.0.2.7:5025")
	edit = typed(at(t, edit, "Serial number"), "K-1")
	left.Leave(edit)
	fresh := filled(kit.Voltmeter, "10M", "0.5", "2", "6000", "6 60")
	fresh = typed(at(t, fresh, "60 V: ± counts"), "5")
	fresh = typed(at(t, fresh, "Connected at"), "tcp://192.0.2.9:5025")
	text := left.Text(&fresh)
	if strings.Contains(text, "192.0.2") {
		t.Errorf("an address is kept beside the case: %s", text)
	}
	got := kit.Restore(c, text, func(string) string { return "tcp://192.0.2.7:5025" })
	if len(got) != 2 {
		t.Fatalf("%d come back from %s", len(got), text)
	}
	if d, ok := got.Edit(c, in.ID, ""); !ok || !d.Typed() || d.Of != in.ID || !strings.Contains(strings.Join(d.Texts(), " "), "K-1") {
		t.Errorf("put right: %+v", d)
	}
	d := got.Begin(c, kit.Voltmeter)
	back, err := d.Instrument()
	if err != nil || back.Ranges[1].Counts == nil || *back.Ranges[1].Counts != 5 {
		t.Errorf("%+v, %v", back, err)
	}
	if again := got.Text(nil); again != text {
		t.Errorf("kept again as %s, was %s", again, text)
	}
	got.Done(d)
	got.Done(edit)
	if text := got.Text(nil); text != "" {
		t.Errorf("what was recorded is kept: %s", text)
	}
	if n := len(kit.Restore(fault.Case{}, text, func(string) string { return "" })); n != 1 {
		t.Errorf("of a case without the instrument come back %d", n)
	}
	if n := len(kit.Restore(c, "half", nil)); n != 0 {
		t.Errorf("from a broken text come back %d", n)
	}
}

// Ratings that do not reach the pack's volts are said at the instrument.
func TestBlocks_Ratings(t *testing.T) {
	c := fault.Case{Instruments: []fault.Instrument{{ID: "dmm", Ratings: []fault.Rating{{Category: "III", Volts: 300}}}, {ID: "tester"}}, Resistors: []fault.Resistor{{ID: "R1", MaxVolts: 1000}, {ID: "R2"}}}
	text := sheet.Text(kit.Begin(c, kit.Voltmeter).Blocks(c, "2026-03-02", fault.Meets(403, 0)))
	for _, want := range []string{"dmm is rated CAT III 300 V; this pack works at 403 V.", "Rating of tester not recorded.", "Rated volts of R2 not recorded."} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if strings.Contains(text, "R1 is rated") {
		t.Errorf("R1 is cautioned of:\n%s", text)
	}
}
