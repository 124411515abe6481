package drafting

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/command"
)

// countedPack is a joined row of modules of eight groups with a board on every two, the
// volts of its groups, and what a meter shows of its terminals against M01-.
func countedPack(t *testing.T, n int) (l topology.Layout, groups []float64, volts map[string]string) {
	t.Helper()
	l = rowOf(t, n)
	r := rand.New(rand.NewPCG(4, 2))
	volts = map[string]string{}
	at := 0.0
	var err error
	for i, m := range l.Modules {
		if i > 0 {
			if l, _, err = edit.Link(l, l.Modules[i-1].ID+"+", m.ID+"-", topology.Busbar); err != nil {
				t.Fatal(err)
			}
		}
		for range m.Series {
			groups = append(groups, 3.6+0.05*r.NormFloat64())
			at += groups[len(groups)-1]
		}
		volts[m.ID+"+"] = fmt.Sprintf("%.2f", at)
		if i > 0 {
			volts[m.ID+"-"] = volts[l.Modules[i-1].ID+"+"]
		}
		if i%2 == 1 {
			if l, _, err = edit.AddBoard(l, []string{l.Modules[i-1].ID + "-", m.ID + "+"}); err != nil {
				t.Fatal(err)
			}
		}
	}
	return l, groups, volts
}

func (b *bench) pasteIn(button, text, keep string) {
	b.t.Helper()
	b.clip = text
	b.tap(button)
	b.tap(keep)
}

func (b *bench) texts() (out []string) {
	b.objects(func(o fyne.CanvasObject) {
		if c, ok := o.(*command.Chip); ok {
			out = append(out, c.Command.Name)
		}
	})
	return out
}

// indicesOf are the modules' indices as text.
func indicesOf(l topology.Layout) (out []string) {
	for _, m := range l.Modules {
		if len(m.MonitorIndex) != 2 {
			out = append(out, "-")
			continue
		}
		out = append(out, fmt.Sprintf("%d-%d", m.MonitorIndex[0], m.MonitorIndex[1]))
	}
	return out
}

// Terminals measured on the page of order tell in which order a monitor's list runs:
// mirrored here. Nothing is recorded until a person says so, and it can be undone.
func TestNumbers_AListIsScoredAndItsOrderRecorded(t *testing.T) {
	l, groups, volts := countedPack(t, 6)
	b := on(t, l)
	b.tap("Order")
	var lines []string
	for terminal, v := range volts {
		lines = append(lines, terminal+"\t"+v)
	}
	slices.Sort(lines)
	b.pasteIn("Paste a list", strings.Join(lines, "\n")+"\n", fmt.Sprintf("Keep %d values", len(lines)))
	b.tap("Numbers")
	var list []string
	for i := len(groups) - 1; i >= 0; i-- {
		list = append(list, fmt.Sprintf("%.0f", 1000*groups[i]))
	}
	b.pasteIn("Paste a monitor's list …", strings.Join(list, "\n")+"\n", "Weigh 48 values")
	if !b.numbers.said.Told || b.numbers.said.Maps[0].Name != "mirrored, from the positive end" {
		t.Fatalf("told %v: %v", b.numbers.said.Told, b.numbers.said.Says)
	}
	if got := indicesOf(b.st.Layout()); got[0] != "-" {
		t.Fatalf("indices were given without being asked: %v", got)
	}
	b.tap("Record order 1")
	want := []string{"48-41", "40-33", "32-25", "24-17", "16-9", "8-1"}
	if got := indicesOf(b.st.Layout()); !slices.Equal(got, want) {
		t.Errorf("indices are %v; it says %q", got, b.happened)
	}
	if !strings.Contains(b.happened, "prove it by one thing") {
		t.Errorf("it says %q", b.happened)
	}
	b.st.Undo()
	if got := indicesOf(b.st.Layout()); got[0] != "-" {
		t.Errorf("after undo the indices are %v", got)
	}
}

// A list that does not go with the drawing, or a pack on which nothing was measured, is
// said, and nothing can be recorded that is not so.
func TestNumbers_AListThatTellsNothing(t *testing.T) {
	l, groups, _ := countedPack(t, 4)
	b := on(t, l)
	b.tap("Numbers")
	b.pasteIn("Paste a monitor's list …", "3.6\n3.61\n3.62\n", "Weigh 3 values")
	if says := strings.Join(b.numbers.said.Says, " "); !strings.Contains(says, "3 values and the pack 32 groups") {
		t.Errorf("it says %q", says)
	}
	if slices.ContainsFunc(b.texts(), func(s string) bool { return strings.HasPrefix(s, "Record order") }) {
		t.Error("an order can be recorded that was not weighed")
	}
	b.tap("Leave the list")
	var list []string
	for i, v := range groups {
		list = append(list, fmt.Sprintf("%d;%.3f V", i+1, v))
	}
	b.pasteIn("Paste a monitor's list …", strings.Join(list, "\n")+"\n", "Weigh 32 values")
	if says := strings.Join(b.numbers.said.Says, " "); !strings.Contains(says, "Nothing was read on this pack") || b.numbers.said.Tell == "" {
		t.Errorf("it says %q; %q", says, b.numbers.said.Tell)
	}
}

func TestMonitorList_everyLineIsAccountedFor(t *testing.T) {
	volts, lines, n := monitorList("3.61\n2: 3,62 V\n\n5\t3650\n5;3.7\n0 3.6\n7 36.5\nnonsense\n8 OL\n99999 3.6")
	want := []string{"Index 1: 3.61 V.", "Index 2: 3.62 V.", "Empty.", "Index 5: 3.65 V, read as mV.", "Index 5 stands in an earlier line", "0 is no index", "no group has 36.5 V", "Not used: ", "Not used: ", "99999 is no index"}
	if n != 3 || len(volts) != 5 || len(lines) != len(want) {
		t.Fatalf("%d values, %v, %d lines", n, volts, len(lines))
	}
	for i, w := range want {
		if !strings.Contains(lines[i][1], w) {
			t.Errorf("line %d, %q, says %q; wanted %q", i+1, lines[i][0], lines[i][1], w)
		}
	}
}

// The order of the boards is typed, with one of them mirrored in itself; what it would
// change stands there first.
func TestNumbers_BoardsInATypedOrder(t *testing.T) {
	l, _, _ := countedPack(t, 6)
	b := on(t, l)
	b.typed("6")
	b.focus(b.field("Boards in the monitor's order"))
	b.replace("B3, B1 mirrored, b2")
	b.tap("Record the boards as written")
	want := []string{"32-25", "24-17", "33-40", "41-48", "1-8", "9-16"}
	if got := indicesOf(b.st.Layout()); !slices.Equal(got, want) {
		t.Errorf("indices are %v; it says %q", got, b.happened)
	}
	for text, says := range map[string]string{
		"B1, B2":              "board B3 is left out",
		"B1, B2, B3, B1":      "board B1 is named twice",
		"B1, B2, B9":          `"B9" is no board`,
		"B1 upside, B2, B3":   `"upside" is no board`,
		"  ":                  "no board is named",
		"mirrored B1 B2 B3":   "behind the board that it is about",
		"1 mirrored mirrored": "stands once",
		"3 1 7":               `"7" is no board`,
		"3 1 B3 2":            "board B3 is named twice",
	} {
		if _, err := typedBlocks(l, text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v; wanted %q", text, err, says)
		}
	}
}

// Boards are named by commas or spaces, by their names or their numbers.
func TestNumbers_BoardsByTheirNumbers(t *testing.T) {
	l, _, _ := countedPack(t, 6)
	for _, text := range []string{"B3, B1 mirrored, B2", "3 1 mirrored 2", "b3;B1 Mirrored;2\n"} {
		got, err := typedBlocks(l, text)
		if err != nil || len(got) != 3 || got[0].Board != "B3" || got[1].Board != "B1" || !got[1].Mirrored || got[0].Mirrored || got[2].Mirrored || got[2].Board != "B2" {
			t.Errorf("%q is read as %+v, %v", text, got, err)
		}
	}
	l.Boards = append(slices.Clone(l.Boards), topology.Board{ID: "C3", Taps: []string{"M01.1"}})
	if _, err := typedBlocks(l, "1 2 3"); err == nil || err.Error() != "3 could be B3 or C3: write the whole name" {
		t.Errorf("two boards of one number: %v", err)
	}
}

// One board's indices are mirrored within themselves, the others stay.
func TestNumbers_OneBoardMirrored(t *testing.T) {
	l, _, _ := countedPack(t, 6)
	b := on(t, l)
	b.tap("Numbers")
	b.tap("Record the boards as written")
	b.tap("Mirror B2 …")
	b.says("M03: 32 to 25; now 17 to 24.", "M04: 24 to 17; now 25 to 32.")
	if got := indicesOf(b.st.Layout()); got[2] != "17-24" {
		t.Fatalf("it was mirrored before anybody said so: %v", got)
	}
	b.tap("Record B2 mirrored")
	want := []string{"1-8", "9-16", "32-25", "24-17", "33-40", "41-48"}
	if got := indicesOf(b.st.Layout()); !slices.Equal(got, want) {
		t.Errorf("indices are %v; it says %q", got, b.happened)
	}
	b.undone(1)
	if got := indicesOf(b.st.Layout()); got[2] != "17-24" {
		t.Errorf("undone they are %v", got)
	}
}

// Every module of a large pack has its fields, so many at a time.
func TestNumbers_AllModulesOfALargePackAreReached(t *testing.T) {
	l, _, _ := countedPack(t, 96)
	b := on(t, l)
	b.tap("Numbers")
	seen := map[string]bool{}
	for range 5 {
		shown, _, _ := b.numbered()
		for _, id := range shown {
			if seen[id] {
				t.Errorf("%s stands on two pages", id)
			}
			seen[id] = true
		}
		if !slices.Contains(b.texts(), "The modules after") {
			break
		}
		b.tap("The modules after")
	}
	if len(seen) != 96 {
		t.Errorf("%d of 96 modules were reached", len(seen))
	}
	b.tap("The modules before")
	if shown, _, _ := b.numbered(); len(shown) != mostNumbered || slices.Contains(shown, "M96") {
		t.Errorf("one page back stand %v", shown)
	}
}
