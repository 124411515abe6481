package whatif_test

import (
	"slices"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/sample"
	"halfsplit/ui/sheet"
	"halfsplit/ui/whatif"
)

// to goes to the item of a kind and id.
func to(t *testing.T, d whatif.Draft, it whatif.Item) whatif.Draft {
	t.Helper()
	i := slices.Index(d.Items, it)
	if i < 0 {
		t.Fatalf("%+v is not offered", it)
	}
	return d.On(i)
}

func typed(t *testing.T, d whatif.Draft, s string) whatif.Draft {
	t.Helper()
	for _, r := range s {
		var ok bool
		if d, ok = d.Type(r); !ok {
			t.Fatalf("%q is not taken", r)
		}
	}
	return d
}

func TestQuestion_WhatWasChosen(t *testing.T) {
	d := whatif.Begin(sample.Case(), nil)
	if _, err := d.Question(); err == nil || !strings.Contains(err.Error(), "nothing is asked") {
		t.Errorf("an empty question: %v", err)
	}
	d = to(t, d, whatif.Item{Kind: whatif.Reading, ID: "r8"}).Turn(1)
	d = to(t, d, whatif.Item{Kind: whatif.Reading, ID: "r4"}).Turn(1)
	d = to(t, d, whatif.Item{Kind: whatif.Leaks}).Turn(1)
	d = typed(t, to(t, d, whatif.Item{Kind: whatif.Input, ID: "dmm"}), "1m")
	q, err := d.Question()
	if err != nil || !slices.Equal(q.Leave, []string{"r4", "r8"}) || q.Leaks != 1 || q.Input["dmm"] != 1e6 {
		t.Errorf("%+v, %v", q, err)
	}
	d = to(t, d, whatif.Item{Kind: whatif.Reading, ID: "r4"}).Turn(1)
	d = to(t, d, whatif.Item{Kind: whatif.Leaks}).Turn(-1)
	d = to(t, d, whatif.Item{Kind: whatif.Input, ID: "dmm"}).Back().Back()
	if q, err := d.Question(); err != nil || !slices.Equal(q.Leave, []string{"r8"}) || q.Leaks != 0 || q.Input != nil {
		t.Errorf("after taking back: %+v, %v", q, err)
	}
}

func TestQuestion_RefusesWhatNoMeterHas(t *testing.T) {
	d := to(t, whatif.Begin(sample.Case(), nil), whatif.Item{Kind: whatif.Input, ID: "dmm"})
	for in, want := range map[string]string{"10": "less than any meter", "1k1": "input resistance of dmm", "..": "input resistance of dmm"} {
		if _, err := typed(t, d, in).Question(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", in, err)
		}
	}
	if _, ok := d.Type('x'); ok {
		t.Error("an x is taken")
	}
	if _, ok := d.On(0).Type('1'); ok {
		t.Error("a digit is taken where nothing is typed")
	}
}

// A change gives a new question and leaves the old one as it was.
func TestDraft_IsAValue(t *testing.T) {
	d := to(t, whatif.Begin(sample.Case(), nil), whatif.Item{Kind: whatif.Reading, ID: "r8"})
	e := d.Turn(1)
	if d.Left("r8") || !e.Left("r8") {
		t.Errorf("before %v, after %v", d.Left("r8"), e.Left("r8"))
	}
	i := to(t, d, whatif.Item{Kind: whatif.Input, ID: "dmm"})
	if typed(t, i, "1M"); i.Typed("dmm") != "" {
		t.Errorf("before: %q", i.Typed("dmm"))
	}
}

func TestBegin_OffersWhatAFindingCanRestOn(t *testing.T) {
	c := sample.Case()
	c.Readings = append(c.Readings, fault.Reading{ID: "r10", State: "split", Quantity: fault.Volts, Red: "M12+", Black: "chassis", Value: -6.7, Supersedes: "r9", Why: "x"},
		fault.Reading{ID: "r11", State: "split", Quantity: fault.Celsius, Red: "M12", Value: 21})
	var ids []string
	for _, it := range whatif.Begin(c, nil).Items {
		if it.Kind == whatif.Reading {
			ids = append(ids, it.ID)
		}
	}
	if got := strings.Join(ids, " "); got != "r10 r8 r7 r6 r5 r4 r3 r2 r1" {
		t.Errorf("offered are %s", got)
	}
}

func TestBlocks_SayWhatIsAskedAndThatNothingIsRecorded(t *testing.T) {
	d := to(t, whatif.Begin(sample.Case(), nil), whatif.Item{Kind: whatif.Reading, ID: "r8"}).Turn(1)
	text := sheet.Text(d.Blocks(sample.Case()))
	for _, want := range []string{whatif.NotRecorded, "LEFT OUT in this question", "Leaks: as the readings say", "dmm, described with"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is missing in\n%s", want, text)
		}
	}
	if n := strings.Count(text, "LEFT OUT"); n != 1 {
		t.Errorf("%d readings are left out", n)
	}
}

// A reading that the finding left out as doubted begins as left out; that alone asks
// nothing.
func TestBegin_WhatIsDoubtedIsLeftOut(t *testing.T) {
	f := sample.Finding() // leaves r9 out as doubted, and r3 for another reason
	d := whatif.Begin(sample.Case(), &f)
	if !d.Left("r9") || d.Left("r3") {
		t.Errorf("r9 left out %v, r3 %v", d.Left("r9"), d.Left("r3"))
	}
	if _, err := d.Question(); err == nil {
		t.Error("the finding itself is asked for")
	}
	q, err := to(t, d, whatif.Item{Kind: whatif.Leaks}).Turn(1).Question()
	if err != nil || !slices.Equal(q.Leave, []string{"r9"}) || q.Leaks != 1 {
		t.Errorf("%+v, %v", q, err)
	}
	if _, err = to(t, d, whatif.Item{Kind: whatif.Reading, ID: "r9"}).Turn(1).Question(); err == nil || !strings.Contains(err.Error(), "keeping it as read") {
		t.Errorf("with every reading in: %v", err)
	}
}
