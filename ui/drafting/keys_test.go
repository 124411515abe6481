package drafting

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/command"
	"halfsplit/ui/form"
)

// called is the name of what has the keyboard.
func (b *bench) called() string {
	switch f := b.w.Canvas().Focused().(type) {
	case *command.Chip:
		if f.Command.Label != nil {
			return f.Command.Label()
		}
		return f.Command.Name
	case *form.Entry:
		for _, o := range b.sheet.Objects() {
			if l, ok := o.(*form.Labelled); ok && l.Field == f {
				return l.Name
			}
		}
	}
	return ""
}

// tab goes on by Tab alone, until what has the keyboard begins with a name. The drawing
// keeps Tab for itself: who comes to it has gone too far.
func (b *bench) tab(to string) {
	b.t.Helper()
	var seen []string
	for range 500 {
		b.w.Canvas().FocusNext()
		if b.w.Canvas().Focused() == b.pane {
			break
		}
		name := b.called()
		if strings.HasPrefix(name, to) {
			return
		}
		seen = append(seen, name)
	}
	b.t.Fatalf("Tab does not lead to %q, but over %q", to, seen)
}

// enter is tab, and a press of Enter.
func (b *bench) enter(on string) { b.t.Helper(); b.tab(on); b.key(fyne.KeyReturn) }

// write is tab, and a text over what the field holds.
func (b *bench) write(in, text string) { b.t.Helper(); b.tab(in); b.replace(text) }

// linksOf are a layout's links as text.
func linksOf(l topology.Layout) (out []string) {
	for _, k := range l.Links {
		out = append(out, k.From+" "+k.To)
	}
	slices.Sort(out)
	return out
}

// Volts are typed with a comma, a point, in V and in mV, by keys alone; each is kept as
// it was typed. All links that are certain are accepted at one press, and go at one undo.
func TestOrderKeys_CommaAndMillivoltsThenAllThatAreCertain(t *testing.T) {
	l, _, _ := measuredRow(t, 4)
	b := on(t, l)
	b.typed("5")
	raw := map[string]string{"M01+": "29,12", "M03-": "29120 mV", "M03+": "58.24", "M02-": "58,24 V", "M02+": "87360mV", "M04-": "87.36", "M04+": "116,48"}
	for range len(raw) {
		asked := b.order.asked
		if name := b.called(); !strings.HasPrefix(name, "Volts of "+asked+" against M01-") {
			t.Fatalf("the keyboard is in %q, and %s is asked for", name, asked)
		}
		b.typed(raw[asked])
		b.key(fyne.KeyReturn)
	}
	kept := b.st.Layout().OrderVolts
	if kept == nil || len(kept.Values) != len(raw) || kept.Reference != "M01-" {
		t.Fatalf("kept is %+v; it says %q", kept, b.happened)
	}
	volts := map[string]float64{"M01+": 29.12, "M03-": 29.12, "M03+": 58.24, "M02-": 58.24, "M02+": 87.36, "M04-": 87.36, "M04+": 116.48}
	for _, v := range kept.Values {
		if v.Raw != raw[v.Terminal] || v.Volts != volts[v.Terminal] {
			t.Errorf("%s is kept as %q, %g V", v.Terminal, v.Raw, v.Volts)
		}
	}
	b.enter("Accept all that are certain (3)")
	if got, want := linksOf(b.st.Layout()), []string{"M01+ M03-", "M02+ M04-", "M03+ M02-"}; !slices.Equal(got, want) {
		t.Errorf("joined are %v; it says %q", got, b.happened)
	}
	b.undone(1)
	if got := linksOf(b.st.Layout()); len(got) > 0 || len(b.st.Layout().OrderVolts.Values) != len(raw) {
		t.Errorf("undone there are %v", got)
	}
}

// Values that cannot be right are said with their reason. While they stand nothing is
// certain, since any terminal could be the one that was misread, and the links that hang
// on them cannot be accepted at all. Typed again, all are certain.
func TestOrderKeys_AContradictionIsSaidAndNotAccepted(t *testing.T) {
	l, _, volts := measuredRow(t, 7)
	b := on(t, l)
	b.typed("5")
	for range len(volts) - 1 {
		b.typed(map[string]string{"M03+": "8.24", "M02-": "8.24"}[b.order.asked]) // a digit was left out, twice
		if b.order.field.Text == "" {
			b.typed(volts[b.order.asked])
		}
		b.key(fyne.KeyReturn)
	}
	b.says("Cannot all be right")
	for _, name := range b.texts() {
		if strings.HasPrefix(name, "Accept all") || strings.HasPrefix(name, "Accept") && (strings.Contains(name, "M03+") || strings.Contains(name, "M02-")) {
			t.Errorf("there is the button %q", name)
		}
	}
	for b.order.asked != "M02-" {
		b.enter("Back to")
	}
	b.typed(volts["M02-"])
	b.key(fyne.KeyReturn)
	for b.order.asked != "M03+" {
		b.key(fyne.KeyReturn)
	}
	b.typed(volts["M03+"])
	b.key(fyne.KeyReturn)
	if strings.Contains(b.said(), "Cannot all be right") {
		t.Error("it is still said that something cannot be right")
	}
	b.enter("Accept all that are certain (6)")
	if n := len(b.st.Layout().Links); n != 6 {
		t.Errorf("%d links are joined; it says %q", n, b.happened)
	}
}

// Two values that agree by their last digits as typed do not by those of a locked range;
// which is meant is chosen by keys.
func TestOrderKeys_ALockedRangeSaysHowFarAValueCanErr(t *testing.T) {
	b := on(t, rowOf(t, 2))
	b.typed("5")
	for range 3 {
		b.typed(map[string]string{"M01+": "29.1", "M02-": "29.19", "M02+": "58.3"}[b.order.asked])
		b.key(fyne.KeyReturn)
	}
	b.says("Links that the volts speak for: 1", "the last digit as typed")
	b.enter("Reference and meter …")
	b.enter("Locked to 60 V")
	b.says("Links that the volts speak for: 0", "the last digit of its 60")
	if m := b.st.Layout().OrderVolts.Meter; m == nil || m.Range != 60 {
		t.Errorf("the meter is kept as %+v", m)
	}
	b.undone(1)
	b.says("Links that the volts speak for: 1")
}

// A list is pasted, weighed and recorded; who proved it and how is written: by keys
// alone.
func TestNumbersKeys_PasteScoreRecordAndProve(t *testing.T) {
	l, groups, volts := countedPack(t, 6)
	b := on(t, l)
	b.typed("5")
	for range len(volts) {
		b.typed(volts[b.order.asked])
		b.key(fyne.KeyReturn)
	}
	b.Focus()
	var list []string
	for i := len(groups) - 1; i >= 0; i-- {
		list = append(list, fmt.Sprintf("%.3f", groups[i]))
	}
	b.clip = strings.Join(list, "\n") + "\n"
	b.typed("6")
	if name := b.called(); name != "Paste a monitor's list …" {
		t.Fatalf("the keyboard is on %q", name)
	}
	b.key(fyne.KeyReturn)
	b.says("48 values; the drawing has 48 groups.")
	b.enter("Weigh 48 values")
	b.says("What was read fits one order: mirrored, from the positive end.", "A proof without volts: load or warm M", "Order 1. Share")
	if got := indicesOf(b.st.Layout()); got[0] != "-" {
		t.Fatalf("indices were given without being asked: %v", got)
	}
	b.enter("Record order 1")
	if got, want := indicesOf(b.st.Layout()), []string{"48-41", "40-33", "32-25", "24-17", "16-9", "8-1"}; !slices.Equal(got, want) {
		t.Errorf("indices are %v; it says %q", got, b.happened)
	}
	if name := b.called(); name != "Which numbers were proved" {
		t.Errorf("after that the keyboard is in %q", name)
	}
	b.replace("monitor's indices")
	b.write("What was done to prove them", "M01 warmed: 41 to 48 followed")
	b.write("Who proved them", "Kim")
	b.write("When they were proved", "today")
	b.tab("Bench number of M01")
	want := topology.NumberingProof{Of: "monitor's indices", Done: "M01 warmed: 41 to 48 followed", Who: "Kim", When: "today"}
	if p := b.st.Layout().Proof; p == nil || p.Of != want.Of || p.Done != want.Done || p.Who != want.Who || p.When != want.When {
		t.Errorf("kept is %+v; it says %q", p, b.happened)
	}
	b.key(fyne.KeyEscape)
	b.typed("6")
	b.enter("Forward along the string")
	if !strings.Contains(b.happened, "was of the indices before") {
		t.Errorf("other indices under an old proof: it says %q", b.happened)
	}
	b.undone(6)
	if got := indicesOf(b.st.Layout()); got[0] != "-" || b.st.Layout().Proof != nil {
		t.Errorf("undone they are %v, %+v", got, b.st.Layout().Proof)
	}
}

// An order of boards is typed; what is wrong with it stands below while it is written,
// and nothing is recorded of it. Then one board is mirrored.
func TestNumbersKeys_BoardsTypedAndOneMirrored(t *testing.T) {
	l, _, _ := countedPack(t, 6)
	b := on(t, l)
	b.typed("6")
	b.write("Boards in the monitor's order", "B3, B1")
	b.says("Board B2 is left out: the monitor counts all of them.")
	b.enter("Record the boards as written")
	if got := indicesOf(b.st.Layout()); got[0] != "-" || !strings.HasPrefix(b.happened, "Not done: Board B2 is left out") {
		t.Fatalf("indices are %v; it says %q", got, b.happened)
	}
	b.key(fyne.KeyEscape)
	b.typed("6")
	b.write("Boards in the monitor's order", "3 1 mirrored 2")
	b.says("M05: 1 to 8; now none.", "M01: 32 to 25; now none.")
	b.enter("Record the boards as written")
	if got, want := indicesOf(b.st.Layout()), []string{"32-25", "24-17", "33-40", "41-48", "1-8", "9-16"}; !slices.Equal(got, want) {
		t.Fatalf("indices are %v; it says %q", got, b.happened)
	}
	b.enter("Mirror B3 …")
	if name := b.called(); name != "Record B3 mirrored" {
		t.Fatalf("the keyboard is on %q", name)
	}
	b.says("M05: 16 to 9; now 1 to 8.", "M06: 8 to 1; now 9 to 16.")
	b.key(fyne.KeyReturn)
	if got := indicesOf(b.st.Layout()); got[4] != "16-9" || got[5] != "8-1" || got[0] != "32-25" {
		t.Errorf("indices are %v; it says %q", got, b.happened)
	}
	b.undone(2)
	if got := indicesOf(b.st.Layout()); got[4] != "-" {
		t.Errorf("two steps undone they are %v", got)
	}
}

// All numbers of a large pack are typed by keys alone: the page keys go on to the
// modules after, with the keyboard in their first field.
func TestNumbersKeys_ALargePack(t *testing.T) {
	l := rowOf(t, 96)
	b := on(t, l)
	b.typed("6")
	b.says("Modules 1 to 40 of 96")
	b.write("Maker's label of M40", "A-40")
	for range 100 { // to the end of the page, and on
		b.key(fyne.KeyPageDown)
		if b.numbers.from > 0 {
			break
		}
	}
	b.says("Modules 41 to 80 of 96")
	if name := b.called(); name != "Bench number of M41" {
		t.Fatalf("the keyboard is in %q", name)
	}
	b.write("Maker's label of M41", "A-41")
	b.write("Monitor's index of M41", "321-328")
	b.enter("The modules after")
	b.says("Modules 81 to 96 of 96")
	b.write("Maker's label of M96", "A-96")
	b.key(fyne.KeyReturn)
	for id, label := range map[string]string{"M40": "A-40", "M41": "A-41", "M96": "A-96"} {
		if m := b.module(id); m.Label != label {
			t.Errorf("%s has the label %q", id, m.Label)
		}
	}
	if m := b.module("M41"); !slices.Equal(m.MonitorIndex, []int{321, 328}) {
		t.Errorf("M41 has %v", m.MonitorIndex)
	}
}

// A bench number that is typed on the page leaves the other modules on it, and the next
// field is that of the module under its new number.
func TestNumbersKeys_RenamedAmongMany(t *testing.T) {
	b := on(t, rowOf(t, 3))
	b.typed("6")
	b.write("Bench number of M02", "X7")
	b.tab("Maker's label of")
	if name := b.called(); name != "Maker's label of X7" {
		t.Fatalf("the keyboard is in %q; it says %q", name, b.happened)
	}
	b.typed("A-7")
	b.write("Bench number of M03", "X8")
	b.key(fyne.KeyReturn)
	if name := b.called(); name != "Bench number of X8" {
		t.Errorf("the keyboard is in %q", name)
	}
	if m := b.module("X7"); m.Label != "A-7" {
		t.Errorf("X7 has the label %q", m.Label)
	}
	if _, ok := edit.Kinds(b.st.Layout())["M02"]; ok {
		t.Error("M02 is still there")
	}
}

// On a low sheet the buttons of the pages leave the page its height: the one that is
// shown stands there, and the others are one press, or one key, away.
func TestTable_ALowSheetFoldsItsPages(t *testing.T) {
	b := newBench(t, rowOf(t, 3), fyne.NewSize(512, 330))
	b.typed("6")
	folded := b.sheet.Roll.Size().Height
	if names := b.texts(); slices.Contains(names, "Order") || !slices.Contains(names, "Numbers") || !slices.Contains(names, "Other pages") || !slices.Contains(names, "Drawing") {
		t.Errorf("folded there are %q", names)
	}
	b.tap("Other pages")
	if names := b.texts(); !slices.Contains(names, "Order") || slices.Contains(names, "Other pages") || b.sheet.Roll.Size().Height >= folded {
		t.Errorf("unfolded there are %q, and the page is %g high, folded %g", names, b.sheet.Roll.Size().Height, folded)
	}
	b.tap("Order")
	if names := b.texts(); b.page != orderPage || slices.Contains(names, "Numbers") || b.sheet.Roll.Size().Height != folded {
		t.Errorf("on the page %d there are %q", b.page, names)
	}
	if b.w.Resize(fyne.NewSize(1280, 740)); !slices.Contains(b.texts(), "Versions") || slices.Contains(b.texts(), "Other pages") {
		t.Errorf("in a large window there are %q", b.texts())
	}
}

// What is half typed in a field stays when the orders have been weighed beside it, and is
// not kept before it is left.
func TestNumbersKeys_WhatIsHalfTypedStaysWhileOrdersAreWeighed(t *testing.T) {
	l, groups, _ := countedPack(t, 4)
	b := on(t, l)
	var waiting []func()
	b.deps.Go = func(f func()) { waiting = append(waiting, f) }
	for i, g := range groups {
		b.clip += fmt.Sprintf("%d;%.3f\n", i+1, g)
	}
	b.typed("6")
	b.key(fyne.KeyReturn)
	b.enter("Weigh 32 values")
	b.says("The orders are being weighed …")
	b.tab("Who proved them")
	b.typed("Ki")
	for _, f := range waiting {
		f()
	}
	b.says("Nothing was read on this pack")
	if name := b.called(); name != "Who proved them" || b.st.Layout().Proof != nil {
		t.Fatalf("the keyboard is in %q; kept is %+v", name, b.st.Layout().Proof)
	}
	b.typed("m")
	b.tab("When they were proved")
	if p := b.st.Layout().Proof; p == nil || p.Who != "Kim" {
		t.Errorf("kept is %+v; it says %q", p, b.happened)
	}
}
