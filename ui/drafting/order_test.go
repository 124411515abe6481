package drafting

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"github.com/google/go-cmp/cmp"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/sheet"
)

// measuredRow is a row of modules of 29 V each, joined to nothing, and the volts of
// their terminals against M01-, as they would be in the order 1, 3, 2, 4 …
func measuredRow(t *testing.T, n int) (l topology.Layout, order []string, volts map[string]string) {
	t.Helper()
	l = rowOf(t, n)
	for _, m := range l.Modules {
		order = append(order, m.ID)
	}
	order[1], order[2] = order[2], order[1]
	volts = map[string]string{}
	for i, id := range order {
		volts[id+"-"] = fmt.Sprintf("%.2f", 29.12*float64(i))
		volts[id+"+"] = fmt.Sprintf("%.2f", 29.12*float64(i+1))
	}
	return l, order, volts
}

// The volts of every terminal are typed by the number pad alone; the links that they
// speak for are accepted, and the string has the true order.
func TestOrder_TypedAndAcceptedByKeys(t *testing.T) {
	l, order, volts := measuredRow(t, 4)
	b := on(t, l)
	b.typed("5")
	for range 7 { // M01- is the reference
		asked := b.order.asked
		b.focus(b.order.field)
		b.replace(strings.Replace(volts[asked], ".", ",", 1))
		b.key(fyne.KeyReturn)
	}
	if n := len(b.order.taken.Values); n != 7 {
		t.Fatalf("%d values are kept; it says %q", n, b.happened)
	}
	if len(b.order.found.Links) != 3 {
		t.Fatalf("proposed: %+v", b.order.found.Links)
	}
	for range 3 {
		if len(b.order.accepts) == 0 {
			break
		}
		b.focus(b.order.accepts[0])
		b.key(fyne.KeyReturn)
	}
	net, _ := topology.Compile(b.st.Layout())
	var got []string
	for _, m := range net.Strings[0].Modules {
		got = append(got, b.st.Layout().Modules[m].ID)
	}
	if !slices.Equal(got, order) {
		t.Errorf("the string is %v, measured was %v; it says %q", got, order, b.happened)
	}
}

// By presses: a terminal is pressed in the drawing, a list is pasted by its button.
func TestOrder_APressAsksAndAListIsPasted(t *testing.T) {
	l, _, volts := measuredRow(t, 3)
	b := on(t, l)
	b.tap("Order")
	m := b.module("M02")
	b.press(m.X+75, m.Y+320)
	if b.order.asked != "M02-" { // M02 is turned about: its minus end lies at the bottom
		t.Errorf("a press at the end of M02 asks for %s", b.order.asked)
	}
	for terminal, v := range volts {
		if terminal != "M01-" {
			b.clip += terminal + "\t" + v + "\n"
		}
	}
	b.clip += "M99+\t3.3\nnonsense\n"
	b.tap("Paste a list")
	b.tap("Keep 5 values")
	if n := len(b.order.taken.Values); n != 5 {
		t.Errorf("%d values are kept; it says %q", n, b.happened)
	}
	b.undone(1)
	if b.reckon(); len(b.order.taken.Values) != 0 {
		t.Errorf("undone there are %d values", len(b.order.taken.Values))
	}
}

func TestOrder_WhatIsNoValueIsNotKeptAndStays(t *testing.T) {
	l, _, _ := measuredRow(t, 3)
	b := on(t, l)
	b.open(orderPage)
	b.focus(b.order.field)
	b.replace("29x1")
	b.key(fyne.KeyReturn)
	if len(b.order.taken.Values) != 0 || b.order.field.Text != "29x1" || !strings.HasPrefix(b.happened, "Not kept") {
		t.Errorf("kept %v, the field holds %q, it says %q", b.order.taken.Values, b.order.field.Text, b.happened)
	}
}

// Numbers are pasted, counted along the string, and who proved them is kept.
func TestNumbers_PastedCountedAndProved(t *testing.T) {
	l := rowOf(t, 3)
	for _, k := range [][2]string{{"M01+", "M02-"}, {"M02+", "M03-"}} {
		var err error
		if l, _, err = edit.Link(l, k[0], k[1], topology.Busbar); err != nil {
			t.Fatal(err)
		}
	}
	b := on(t, l)
	b.typed("6")
	b.clip = "bench\tlabel\nM01\tA-17\nM02\tA-09\nM77\tA-01\n"
	b.tap("Paste a table of numbers …")
	b.tap("Keep the numbers of 2 modules")
	if m := b.module("M02"); m.Label != "A-09" {
		t.Errorf("M02 has the label %q; it says %q", m.Label, b.happened)
	}
	b.tap("From the positive end")
	if m := b.module("M03"); !slices.Equal(m.MonitorIndex, []int{8, 1}) && !slices.Equal(m.MonitorIndex, []int{1, 8}) {
		t.Errorf("counted from the positive end M03 has %v", m.MonitorIndex)
	}
	b.tap("Forward along the string")
	if m := b.module("M03"); !slices.Equal(m.MonitorIndex, []int{17, 24}) {
		t.Errorf("counted forward M03 has %v", m.MonitorIndex)
	}
	b.set("What was done to prove them", "by meter at M01 and M03")
	b.set("Who proved them", "Kim")
	if d := cmp.Diff(&topology.NumberingProof{Done: "by meter at M01 and M03", Who: "Kim"}, b.st.Layout().Proof); d != "" {
		t.Error(d)
	}
	b.set("Monitor's index of M02", "17-24")
	if said := b.numberNotes(); !slices.ContainsFunc(said, func(k sheet.Block) bool { return strings.Contains(k.Text, "both have") && k.ID == "M03" }) {
		t.Errorf("two modules with one index: %+v", said)
	}
}
