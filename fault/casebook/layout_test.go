package casebook_test

import (
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/topology"
)

func moved(x float64) topology.Layout {
	l := bench()
	l.Modules[0].X = x
	return l
}

func without(link string) topology.Layout {
	l := bench()
	var kept []topology.Link
	for _, k := range l.Links {
		if k.ID != link {
			kept = append(kept, k)
		}
	}
	l.Links = kept
	return l
}

func theLayout(t *testing.T, b *casebook.Book, id string) casebook.LayoutInfo {
	t.Helper()
	for _, l := range must(b.Layouts()).or(t) {
		if l.ID == id {
			return l
		}
	}
	t.Fatal("the layout is not in the list")
	return casebook.LayoutInfo{}
}

// A draft changes in place; the first reading freezes it; from then on a change
// is a new version, which a case takes when it is told to.
func TestLayouts_FrozenByTheFirstReading(t *testing.T) {
	b := newBook(t)
	id, layout := newCase(t, b)
	check(t, b.SaveLayout(layout, moved(10), "move M01", anna))
	if l := theLayout(t, b, layout); l.Version != 1 || !l.Draft || l.Cases != 1 || l.Name != "bench pack" {
		t.Errorf("%+v", l)
	}
	if x := theCase(t, b, id).Layout.Modules[0].X; x != 10 {
		t.Errorf("the case sees the draft at %v", x)
	}
	must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	if l := theLayout(t, b, layout); l.Draft {
		t.Error("a draft after the first reading")
	}
	_, err := b.Undo(layout, anna)
	wantKind(t, err, casebook.Refused, "readings rest on this version")
	check(t, b.SaveLayout(layout, moved(20), "move M01 again", anna))
	if l := theLayout(t, b, layout); l.Version != 2 || !l.Draft {
		t.Errorf("%+v", l)
	}
	if x := theCase(t, b, id).Layout.Modules[0].X; x != 10 {
		t.Errorf("the case rests on %v after a new version", x)
	}
	check(t, b.UseNewestLayout(id, anna))
	c, info, err := b.Case(id)
	check(t, err)
	if c.Layout.Modules[0].X != 20 || info.Version != 2 || len(c.Readings) != 1 {
		t.Errorf("%+v", info)
	}
	if n := count(t, b.Writer(), `SELECT count(*) FROM readings r JOIN layout_versions v ON v.id = r.layout_version WHERE v.number = 1`); n != 1 {
		t.Error("the reading does not stay with the version that it was taken on")
	}
	_, err = b.Undo(layout, anna)
	wantKind(t, err, casebook.Refused, `case "case" rests on this version`)
	if name := must(b.Undo(id, anna)).or(t); name != "layout version 2" {
		t.Error(name)
	}
	if name := must(b.Undo(layout, anna)).or(t); name != "move M01 again" {
		t.Error(name)
	}
	if l := theLayout(t, b, layout); l.Version != 1 || l.Next != 3 {
		t.Errorf("%+v", l)
	}
	check(t, b.SaveLayout(layout, moved(30), "elsewhere", anna))
	if l := theLayout(t, b, layout); l.Version != 3 || l.Next != 4 {
		t.Errorf("version %d: the number of a version that was taken back is not given again", l.Version)
	}
	holds(t, b)
}

// A change of the layout that a case could not live with is refused.
func TestLayouts_CasesStayLegal(t *testing.T) {
	b := newBook(t)
	id, layout := newCase(t, b)
	must(b.RecordState(id, fault.State{Open: []string{"SD"}}, anna)).or(t)
	wantKind(t, b.SaveLayout(layout, without("SD"), "remove SD", anna), casebook.Refused, `case "case" does not go with this`)
	must(b.Undo(id, anna)).or(t)
	check(t, b.SaveLayout(layout, without("SD"), "remove SD", anna)) // a draft, and no state speaks of SD
	_, err := b.Redo(id, anna)
	wantKind(t, err, casebook.Refused, `there is no link "SD"`)
	must(b.Undo(layout, anna)).or(t)
	must(b.Redo(id, anna)).or(t)
	must(b.AddReading(id, volts("SD@M02+", "chassis", 1), anna)).or(t)
	check(t, b.SaveLayout(layout, without("SD"), "remove SD", anna))
	wantKind(t, b.UseNewestLayout(id, anna), casebook.Refused, "does not go with this")
	bad := bench()
	bad.Links[0].To = "M99-"
	wantKind(t, b.SaveLayout(layout, bad, "x", anna), casebook.Refused, "this layout cannot be saved")
	wantKind(t, b.SaveLayout("none", bench(), "x", anna), casebook.Missing, "there is no such layout")
	holds(t, b)
}

// Cases of the same pack share its layout.
func TestImportCase_SharesLayouts(t *testing.T) {
	b := newBook(t)
	c := caseFile(t, "S1")
	one := must(b.ImportCase(c, nil, anna)).or(t)
	must(b.ImportCase(c, nil, anna)).or(t)
	must(b.ImportCase(caseFile(t, "S2"), nil, anna)).or(t)
	all := must(b.Layouts()).or(t)
	if len(all) != 2 || all[0].Cases+all[1].Cases != 3 {
		t.Errorf("%+v", all)
	}
	summary := must(b.Cases("")).or(t)
	same(t, fault.Case{Layout: must(b.ExportLayout(summary[2].LayoutID)).or(t)}, fault.Case{Layout: theCase(t, b, one).Layout})
}

// The commands of the casebook as a whole are undone in a scope of their own.
func TestUndo_OfTheBook(t *testing.T) {
	b := newBook(t)
	id, layout := newCase(t, b)
	must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	other := must(b.ImportCase(caseFile(t, "S1"), nil, anna)).or(t)
	if name := must(b.Undo(casebook.ScopeBook, anna)).or(t); name != "import case "+caseFile(t, "S1").Title {
		t.Error(name)
	}
	if n := len(must(b.Cases("")).or(t)); n != 1 || len(must(b.Layouts()).or(t)) != 1 {
		t.Errorf("%d cases", n)
	}
	_, _, err := b.Case(other)
	wantKind(t, err, casebook.Missing, "was taken back")
	_, err = b.Undo(other, anna)
	if casebook.KindOf(err) != casebook.Nothing {
		t.Error(err)
	}
	must(b.Redo(casebook.ScopeBook, anna)).or(t)
	same(t, caseFile(t, "S1"), theCase(t, b, other))
	for _, want := range []string{"import case " + caseFile(t, "S1").Title, "new case case", "layout bench pack"} {
		if name := must(b.Undo(casebook.ScopeBook, anna)).or(t); name != want {
			t.Errorf("%q, want %q", name, want)
		}
	}
	_, err = b.Undo(id, anna)
	wantKind(t, err, casebook.Missing, "was taken back")
	_, err = b.NewCase(layout, begun("x"), anna)
	wantKind(t, err, casebook.Missing, "there is no such layout")
	for range 3 {
		must(b.Redo(casebook.ScopeBook, anna)).or(t)
	}
	if n := len(theCase(t, b, id).Readings); n != 1 || len(must(b.Layouts()).or(t)) != 2 {
		t.Errorf("%d readings after all was done again", n)
	}
	holds(t, b)
}
