package start

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault/casebook"
	"halfsplit/topology"
	"halfsplit/ui/theme"
)

// made is a layout of twelve modules, the last with so many groups.
func made(t *testing.T, name string, last int) topology.Layout {
	t.Helper()
	l, err := topology.Make(topology.MakeSpec{Modules: 12, Series: 8, Parallel: 2, W: 300, H: 150, Gap: 20, Disconnect: 6})
	if err != nil {
		t.Fatal(err)
	}
	l.Name, l.Modules[11].Series = name, last
	return l
}

// withLayouts is a rig on a casebook with these layouts, the first of them chosen.
func withLayouts(t *testing.T, all ...topology.Layout) *rig {
	t.Helper()
	r := newRig(t, fyne.NewSize(1280, 800))
	for _, l := range all {
		if _, err := r.book.ImportLayout(l, nil, casebook.By{}); err != nil {
			t.Fatal(err)
		}
	}
	r.SetBook(r.book)
	r.typed("2")
	return r
}

func (r *rig) names() string {
	r.t.Helper()
	all, err := r.book.Layouts()
	if err != nil {
		r.t.Fatal(err)
	}
	var out []string
	for _, l := range all {
		out = append(out, l.Name)
	}
	return strings.Join(out, "; ")
}

func (r *rig) says(want ...string) {
	r.t.Helper()
	for _, w := range want {
		if !strings.Contains(r.pageText(), w) {
			r.t.Errorf("the page lacks %q: %s", w, r.pageText())
		}
	}
}

func TestLayouts_ByKeysAlone(t *testing.T) {
	r := withLayouts(t, made(t, "pack one", 8), made(t, "pack two", 7))
	r.typed("u")
	r.replace("pack three")
	r.key(fyne.KeyReturn)
	if got := r.names(); got != "pack one; pack three; pack two" {
		t.Fatal(got)
	}
	r.typed("r")
	r.says("Rename pack three")
	r.replace("pack 3")
	r.key(fyne.KeyReturn)
	if got := r.names(); got != "pack 3; pack one; pack two" {
		t.Fatal(got)
	}
	r.typed("b")
	r.says("Compare pack 3 with which layout?")
	r.key(fyne.KeyReturn)
	r.says("pack 3 against pack one", "All 12 modules match. The circuit is the same", "The layout has the name pack 3, not pack one.")
	r.key(fyne.KeyEscape)
	r.typed("t")
	r.says("Take pack 3 out of the list?", "No case rests on it.")
	r.key(fyne.KeyReturn)
	if got := r.names(); got != "pack one; pack two" {
		t.Fatal(got)
	}
	r.says("Taken out of the list: pack 3")
	r.tap("Put it back")
	if got := r.names(); got != "pack 3; pack one; pack two" {
		t.Fatal(got, r.happened)
	}
}

func TestLayouts_ByPressesAlone(t *testing.T) {
	r := withLayouts(t, made(t, "pack one", 8), made(t, "pack two", 7))
	r.tap("Compare with another …")
	r.tap("pack two")
	r.says("pack one against pack two", "11 of 12 modules match", "M12 has 8 groups, not 7.")
	if !strings.Contains(r.happened, "pack two: 11 of 12 modules match") {
		t.Errorf("it says %q", r.happened)
	}
	r.tap("Close")
	r.tap("Duplicate …")
	r.tap("Duplicate under this name")
	if got := r.names(); got != "pack one; pack one, copy; pack two" {
		t.Fatal(got)
	}
	r.tap("Rename …")
	r.w.Canvas().Focus(nil)
	r.View.handling.name = "  "
	r.tap("Keep this name")
	r.says("A layout needs a name.")
	r.tap("Leave")
	r.tap("Take out of the list …")
	r.tap("Leave")
	if got := r.names(); got != "pack one; pack one, copy; pack two" {
		t.Fatal(got)
	}
}

// A layout that a case rests on stays, and the words say which case.
func TestLayouts_OneThatACaseRestsOnStays(t *testing.T) {
	r := withLayouts(t, made(t, "pack one", 8))
	r.key(fyne.KeyReturn)
	r.typed("Wet floor")
	r.key(fyne.KeyReturn)
	r.Refresh()
	r.typed("2")
	r.typed("t")
	r.says("The layout stays in the list", "The case “Wet floor” rests on this layout")
	if got := r.names(); got != "pack one" {
		t.Error(got)
	}
	r.key(fyne.KeyEscape)
	r.typed("1t")
	if !strings.Contains(r.happened, "Choose a layout first") {
		t.Errorf("on a case it says %q", r.happened)
	}
}

func TestLayouts_NarrowAndGlyphs(t *testing.T) {
	g, err := theme.NewGlyphs()
	if err != nil {
		t.Fatal(err)
	}
	r := newRig(t, fyne.NewSize(512, 350))
	for _, l := range []topology.Layout{made(t, "pack one", 8), made(t, "pack two", 7)} {
		if _, err := r.book.ImportLayout(l, nil, casebook.By{}); err != nil {
			t.Fatal(err)
		}
	}
	r.SetBook(r.book)
	r.typed("2")
	for _, k := range []string{"u", "r", "t", "b"} {
		r.typed(k)
		if !r.sheet.Roll.Visible() || r.sheet.Roll.Size().Height < 120 {
			t.Errorf("%s: the page is %v", k, r.sheet.Roll.Size())
		}
		if miss := g.Missing(r.pageText()); len(miss) > 0 {
			t.Errorf("%s: the font lacks %q", k, string(miss))
		}
		r.back()
		r.back()
	}
}
