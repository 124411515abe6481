package sheet_test

import (
	"slices"
	"strings"
	"testing"

	"halfsplit/topology"
	"halfsplit/topology/match"
	"halfsplit/ui/sheet"
)

func twelve(t *testing.T) topology.Layout {
	t.Helper()
	l, err := topology.Make(topology.MakeSpec{Modules: 12, Series: 8, Parallel: 2, W: 300, H: 150, Gap: 20, Disconnect: 6})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestDifferences_CircuitBeforeDrawing(t *testing.T) {
	a, b := twelve(t), twelve(t)
	b.Modules[4].X += 40
	b.Modules[6].Series = 7
	got := sheet.Differences(match.Compare(a, b), 10, true)
	text := sheet.Text(got)
	first, then := strings.Index(text, "M07 has 7 groups, not 8."), strings.Index(text, "M05 lies 40 mm further right.")
	if first < 0 || then < first || !strings.Contains(text, "11 of 12 modules match. By this, a reading") {
		t.Error(text)
	}
	if !slices.ContainsFunc(got, func(k sheet.Block) bool { return k.Kind == sheet.Action && k.ID == "M07" }) {
		t.Errorf("no line leads to M07: %+v", got)
	}
}

func TestDifferences_SaysWhereTheCircuitIsTheSameAndHowManyMoreThereAre(t *testing.T) {
	a, b := twelve(t), twelve(t)
	if text := sheet.Text(sheet.Differences(match.Compare(a, b), 3, true)); !strings.Contains(text, "Nothing differs: all 12 modules match.") {
		t.Error(text)
	}
	for i := range b.Modules {
		b.Modules[i].Label = "row " + b.Modules[i].ID
	}
	got := sheet.Differences(match.Compare(a, b), 3, false)
	text := sheet.Text(got)
	for _, want := range []string{"All 12 modules match. The circuit is the same: old readings mean what they meant.", "M03 has the label", "and 9 more."} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q: %s", want, text)
		}
	}
	if strings.Contains(text, "M04") || slices.ContainsFunc(got, func(k sheet.Block) bool { return k.Kind == sheet.Action }) {
		t.Errorf("%+v", got)
	}
}
