package casebook_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/topology"
)

func TestKit_AddedAndPutRight(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	second := fault.Instrument{ID: "tester", Kind: "insulation tester", GainPct: 5, Counts: 3}
	check(t, b.AddInstrument(id, second, anna))
	wantKind(t, b.AddInstrument(id, second, anna), casebook.Refused, `the id "tester" is taken`)
	wantKind(t, b.AddResistor(id, fault.Resistor{ID: "R1k", Ohms: -1}, anna), casebook.Refused, "ohms: must be above 0")
	check(t, b.AddResistor(id, fault.Resistor{ID: "R1M", Ohms: 1e6, TolPct: 5}, anna))
	in := theCase(t, b, id).Instruments[0]
	in.InputOhms, in.Ranges = 1.1e7, in.Ranges[:1]
	check(t, b.ReviseInstrument(id, in, anna))
	check(t, b.ReviseResistor(id, fault.Resistor{ID: "R1M", Ohms: 1.002e6, TolPct: .1}, anna))
	wantKind(t, b.ReviseInstrument(id, fault.Instrument{ID: "none"}, anna), casebook.Missing, `there is no instrument "none"`)
	c := theCase(t, b, id)
	if len(c.Instruments) != 2 || c.Instruments[0].InputOhms != 1.1e7 || len(c.Instruments[0].Ranges) != 1 || c.Instruments[1].ID != "tester" || c.Resistors[1].Ohms != 1.002e6 {
		t.Errorf("%+v", c.Instruments)
	}
	if name := must(b.Undo(id, anna)).or(t); name != "test resistor R1M put right" {
		t.Error(name)
	}
	must(b.Undo(id, anna)).or(t)
	if c := theCase(t, b, id); c.Instruments[0].InputOhms != 1e7 || len(c.Instruments[0].Ranges) != 2 || c.Resistors[1].Ohms != 1e6 {
		t.Errorf("%+v", c.Instruments)
	}
	holds(t, b)
}

func TestPhotos(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	picture := bytes.Repeat([]byte{0, 1, 2, 255}, 5000)
	one := must(b.AddPhoto(id, "plan", "lid off.jpg", picture, anna)).or(t)
	two := must(b.AddPhoto(id, "evidence", "the same.jpg", picture, anna)).or(t)
	_, err := b.AddPhoto(id, "plan", "nothing", nil, anna)
	wantKind(t, err, casebook.Refused, "is empty")
	_, err = b.AddPhoto("none", "plan", "x", picture, anna)
	wantKind(t, err, casebook.Missing, "no such case")
	b = reopen(t, b)
	all := must(b.Photos(id)).or(t)
	if len(all) != 2 || all[0].ID != one || all[0].Size != 20000 || all[0].Who != "Anna" || all[0].SHA256 != all[1].SHA256 {
		t.Errorf("%+v", all)
	}
	for _, p := range []string{one, two} {
		if !bytes.Equal(must(b.PhotoData(p)).or(t), picture) {
			t.Error("the picture is another")
		}
	}
	if n := count(t, b.Writer(), `SELECT count(*) FROM blobs WHERE length(bytes) = 20000`); n != 1 {
		t.Errorf("the same bytes are kept %d times", n)
	}
	if name := must(b.Undo(id, anna)).or(t); name != "photo the same.jpg" || len(must(b.Photos(id)).or(t)) != 1 {
		t.Error(name)
	}
	_, err = b.PhotoData("none")
	wantKind(t, err, casebook.Missing, "no such photo")
	holds(t, b)
}

func TestSettings_EachWithItsOwnUndo(t *testing.T) {
	b := newBook(t)
	get := func(key string) string {
		t.Helper()
		v, ok, err := b.Setting(key)
		check(t, err)
		if !ok {
			return "(none)"
		}
		return v
	}
	check(t, b.SetSetting("emergency", "first", anna))
	check(t, b.SetSetting("emergency", "second", anna))
	check(t, b.SetSetting("workshop", "ours", anna))
	check(t, b.SetSetting("workshop", "ours", anna)) // nothing new, no event
	if h := must(b.Head()).or(t); h.Seq != 4 {
		t.Errorf("%d events", h.Seq)
	}
	for _, want := range []string{"first", "(none)"} {
		must(b.Undo(casebook.ScopeSetting("emergency"), anna)).or(t)
		if got := get("emergency"); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	_, err := b.Undo(casebook.ScopeSetting("emergency"), anna)
	wantKind(t, err, casebook.Nothing, "there is nothing to undo")
	b = reopen(t, b)
	for _, want := range []string{"first", "second"} {
		must(b.Redo(casebook.ScopeSetting("emergency"), anna)).or(t)
		if got := get("emergency"); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	check(t, b.SetSetting("emergency", "", anna)) // an empty text is a text
	if got := get("emergency") + get("workshop"); got != "ours" {
		t.Errorf("%q", got)
	}
	wantKind(t, b.SetSetting("casebook", "x", anna), casebook.Refused, "no setting of this name")
	holds(t, b)
}

// Search looks at title, pack label, symptom and the places of the last finding.
func TestCases_Search(t *testing.T) {
	b := newBook(t)
	id, layout := newCase(t, b)
	check(t, b.SetTitle(id, "Größe prüfen", anna))
	check(t, b.SetSymptom(id, "Warnung nur bei REGEN", anna))
	wet := begun("second")
	wet.Extra = topology.Extra{"symptom": json.RawMessage(`"after a wash"`), "kept": json.RawMessage(`[1]`)}
	other := must(b.NewCase(layout, wet, anna)).or(t)
	check(t, b.SaveFinding(other, 0, findingJSON("located", "M03")))
	for query, want := range map[string][]string{
		"": {other, id}, "größe": {id}, "regen warnung": {id}, "bench PACK": {other, id}, "wash": {other}, "m03": {other}, "m03 regen": nil, "m02": nil,
	} {
		var got []string
		for _, c := range must(b.Cases(query)).or(t) {
			got = append(got, c.ID)
		}
		if len(got) != len(want) || len(got) > 0 && got[0] != want[0] {
			t.Errorf("%q finds %v, want %v", query, got, want)
		}
	}
	must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	all := must(b.Cases("")).or(t)
	if all[0].ID != id || all[0].Readings != 1 || all[1].Symptom != "after a wash" || all[1].Statement != "A leak in M03." || all[1].Layout != "bench pack" {
		t.Errorf("%+v", all)
	}
	c := must(b.ExportCase(other)).or(t)
	if string(c.Extra["symptom"]) != `"after a wash"` || string(c.Extra["kept"]) != "[1]" {
		t.Errorf("%+v", c.Extra)
	}
	if inBook := theCase(t, b, other); len(inBook.Extra) != 1 {
		t.Errorf("%+v", inBook.Extra)
	}
	holds(t, b)
}
