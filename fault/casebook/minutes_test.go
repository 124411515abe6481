package casebook_test

import (
	"encoding/json"
	"math"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/format"
	"halfsplit/topology"
)

// timed is the bench pack where the layout says how long SD and B1 take.
func timed(t *testing.T, b *casebook.Book) (caseID, layoutID string) {
	t.Helper()
	l, one, five := bench(), 1.0, 5.0
	l.Links[1].Minutes, l.Boards[0].Minutes = &one, &five
	layoutID = must(b.ImportLayout(l, nil, anna)).or(t)
	return must(b.NewCase(layoutID, begun("case"), anna)).or(t), layoutID
}

func TestMinutes_SetUndoneRedone(t *testing.T) {
	b := newBook(t)
	id, _ := timed(t, b)
	twelve, half, five := 12.0, 0.5, 5.0
	steps := []struct {
		thing   string
		minutes *float64
		name    string
		after   map[string]float64
	}{
		{"SD", &twelve, "the access minutes of SD from 1 to 12", map[string]float64{"SD": 12}},
		{"L1", &half, "the access minutes of L1 as 0.5", map[string]float64{"SD": 12, "L1": 0.5}},
		{"L1", &twelve, "the access minutes of L1 from 0.5 to 12", map[string]float64{"SD": 12, "L1": 12}},
		{"B1", &five, "the access minutes of B1 as 5", map[string]float64{"SD": 12, "L1": 12, "B1": 5}},
		{"L1", nil, "the access minutes of L1 from 12 to not recorded", map[string]float64{"SD": 12, "B1": 5}},
		{"SD", nil, "the access minutes of SD from 12 to the layout's 1", map[string]float64{"B1": 5}},
		{"B1", nil, "the access minutes of B1 from 5 to the layout's 5", nil},
	}
	has := func(want map[string]float64) {
		t.Helper()
		if d := cmp.Diff(want, theCase(t, b, id).Minutes); d != "" {
			t.Error(d)
		}
	}
	for _, s := range steps {
		check(t, b.SetMinutes(id, s.thing, s.minutes, anna))
		has(s.after)
		if name := must(b.UndoName(id)).or(t); name != s.name {
			t.Errorf("undo is named %q, want %q", name, s.name)
		}
	}
	seq := must(b.Head()).or(t).Seq
	check(t, b.SetMinutes(id, "L1", nil, anna)) // nothing to take back, no event
	if now := must(b.Head()).or(t).Seq; now != seq {
		t.Errorf("%d events, want %d", now, seq)
	}
	b = reopen(t, b)
	for i := len(steps) - 1; i >= 0; i-- {
		has(steps[i].after)
		if name := must(b.Undo(id, anna)).or(t); name != steps[i].name {
			t.Errorf("undone %q, want %q", name, steps[i].name)
		}
	}
	has(nil)
	b = reopen(t, b)
	for _, s := range steps {
		if name := must(b.Redo(id, anna)).or(t); name != s.name {
			t.Errorf("redone %q, want %q", name, s.name)
		}
		has(s.after)
	}
	if h := must(b.History(id, 1)).or(t); h[0].Who != "Anna" || h[0].Kind != "redo" {
		t.Errorf("%+v", h)
	}
	holds(t, b)
}

func TestMinutes_Refused(t *testing.T) {
	b := newBook(t)
	id, layout := timed(t, b)
	at := func(v float64) *float64 { return &v }
	for _, tt := range []struct {
		thing   string
		minutes *float64
		words   string
	}{
		{"L9", at(5), `none called "L9"`},
		{"L9", nil, `none called "L9"`},
		{"M01", at(5), `none called "M01"`},
		{"SD", at(-1), "lie between 0 and 10000, not at -1"},
		{"SD", at(10001), "lie between 0 and 10000"},
		{"SD", at(math.NaN()), "lie between 0 and 10000"},
	} {
		wantKind(t, b.SetMinutes(id, tt.thing, tt.minutes, anna), casebook.Refused, tt.words)
	}
	wantKind(t, b.SetMinutes("none", "SD", at(5), anna), casebook.Missing, "no such case")
	if m := theCase(t, b, id).Minutes; m != nil {
		t.Errorf("%v was recorded", m)
	}
	// A layout that is still a draft keeps what has minutes in a case.
	check(t, b.SetMinutes(id, "SD", at(5), anna))
	wantKind(t, b.SaveLayout(layout, without("SD"), "remove SD", anna), casebook.Refused, `the layout has none called "SD"`)
	must(b.Undo(id, anna)).or(t)
	check(t, b.SaveLayout(layout, without("SD"), "remove SD", anna))
	_, err := b.Redo(id, anna)
	wantKind(t, err, casebook.Refused, `the layout has none called "SD"`)
	holds(t, b)
}

// facts is a case file with boards out and minutes of its own.
func facts(t *testing.T) (fault.Case, []byte) {
	t.Helper()
	c := begun("boards out")
	c.Layout = bench()
	c.States = append(c.States, fault.State{ID: "out", Boards: fault.BoardsOut, Unplugged: []string{"B1"}})
	c.Minutes = map[string]float64{"K+": 2.25, "B1": 0, "SD": 10000}
	raw, err := format.WriteCase(c)
	check(t, err)
	return c, raw
}

// Boards out and minutes go in and come out with their case, and from one casebook
// into another.
func TestFacts_ImportedAndExported(t *testing.T) {
	c, raw := facts(t)
	b := newBook(t)
	id := must(b.ImportCase(c, raw, anna)).or(t)
	b = reopen(t, b)
	to := filepath.Join(t.TempDir(), "stick.casebook")
	check(t, b.SaveAs(t.Context(), to, false))
	stick := must(casebook.Open(to, casebook.Options{NoCopies: true})).do(t, closing)
	other := newBook(t)
	there := must(other.ImportCase(must(stick.ExportCase(id)).or(t), nil, anna)).or(t)
	layout := must(other.ImportLayout(bench(), nil, anna)).or(t)
	anew := must(other.NewCase(layout, c, anna)).or(t)
	for name, got := range map[string]fault.Case{"imported": must(b.ExportCase(id)).or(t), "saved as": must(stick.ExportCase(id)).or(t),
		"in another casebook": must(other.ExportCase(there)).or(t), "begun anew": must(other.ExportCase(anew)).or(t)} {
		same(t, c, got)
		if again := must(format.WriteCase(got)).or(t); string(again) != string(raw) {
			t.Errorf("%s: it is not written as the file it came from", name)
		}
	}
	holds(t, b)
	holds(t, stick)
	holds(t, other)
}

// A casebook of format 3 that had taken in a file of a later version kept boards
// out and minutes among the further fields. They count now, what is changed since
// counts more, and no row that was recorded changes.
func TestFacts_KeptByAnEarlierVersion(t *testing.T) {
	const head = "464b84aa7c3d72b5ff7aed2b08ed699165b9aff74d761856772be338dceafc72"
	path := filepath.Join(t.TempDir(), "ahead.casebook")
	write(t, path, read(t, "testdata/v3-ahead.casebook"))
	b := must(casebook.Open(path, casebook.Options{NoCopies: true})).do(t, closing)
	if r := holds(t, b); r.Head != head {
		t.Errorf("head %s, want %s", r.Head, head)
	}
	want, _ := facts(t)
	want.States[1].Extra, want.Extra = topology.Extra{"later": json.RawMessage("1")}, topology.Extra{"other": json.RawMessage("2")}
	r := volts("M01+", "chassis", 1)
	r.ID = "r1"
	want.Readings = []fault.Reading{r}

	id := must(b.Cases("")).or(t)[0].ID
	same(t, want, theCase(t, b, id))
	must(b.AddReading(id, volts("M01+", "chassis", 2), anna)).or(t)
	must(b.Undo(id, anna)).or(t)
	twelve, kept := 12.0, want.Minutes
	check(t, b.SetMinutes(id, "SD", &twelve, anna))
	if name := must(b.UndoName(id)).or(t); name != "the access minutes of SD from 10000 to 12" {
		t.Error(name)
	}
	want.Minutes = map[string]float64{"K+": 2.25, "B1": 0, "SD": 12}
	same(t, want, theCase(t, b, id))
	for thing := range want.Minutes {
		check(t, b.SetMinutes(id, thing, nil, anna))
	}
	if m := theCase(t, b, id).Minutes; m != nil {
		t.Errorf("after all were taken back: %v", m)
	}
	for range 4 {
		must(b.Undo(id, anna)).or(t)
	}
	want.Minutes = kept
	same(t, want, theCase(t, b, id))
	if _, err := format.WriteCase(must(b.ExportCase(id)).or(t)); err != nil {
		t.Error(err)
	}
	holds(t, b)
}
