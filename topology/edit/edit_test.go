package edit_test

import (
	"fmt"
	"testing"

	"halfsplit/fault/format"
	"halfsplit/topology"
	"halfsplit/topology/edit"
)

// pack is a made layout of n modules in rows of six, with a board at the first, two
// pieces of chassis and a cover.
func pack(t testing.TB, n int) topology.Layout {
	t.Helper()
	l, err := topology.Make(topology.MakeSpec{Modules: n, Series: 10, Parallel: 2, PerRow: 6, W: 150, H: 330, Gap: 12, Alternate: true, Disconnect: n / 2})
	if err != nil {
		t.Fatal(err)
	}
	minutes := 4.0
	l.Boards = []topology.Board{{ID: "B1", Taps: []string{"M01.0", "M01.5", "M01+"}, Minutes: &minutes}}
	l.Chassis = []topology.ChassisPiece{{ID: "tray"}, {ID: "lid"}}
	l.Monitor = &topology.Monitor{From: []string{"pack+", "M01-"}, To: "chassis:tray"}
	l.Parts = []topology.Part{{ID: "cover", Kind: "cover", Over: []string{"M01", "M02"}}}
	l.Modules[0].MonitorIndex, l.Modules[0].Label = []int{1, 10}, "A-1"
	l.Modules[0].Extra = topology.Extra{"colour": []byte(`"grey"`)}
	return l
}

// legal fails unless a layout can be written and read back.
func legal(t interface{ Fatalf(string, ...any) }, l topology.Layout) {
	raw, err := format.WriteLayout(l)
	if err != nil {
		t.Fatalf("it cannot be written: %v", err)
	}
	if _, _, err := format.ReadLayout("edited", raw); err != nil {
		t.Fatalf("it cannot be read back: %v\n%s", err, raw)
	}
}

func TestRepeat_linksAndNumbers(t *testing.T) {
	l, id, err := edit.AddModule(topology.Layout{}, topology.Module{Series: 8, W: 100, H: 200, Minus: "top"})
	if err != nil || id != "M01" {
		t.Fatal(id, err)
	}
	l, modules, links, err := edit.Repeat(l, edit.Run{Of: id, Copies: 11, Gap: 10, PerRow: 6, RowGap: 20, Alternate: true, Link: true})
	if err != nil {
		t.Fatal(err)
	}
	legal(t, l)
	if modules[10] != "M12" || links[10] != "L11" {
		t.Error(modules, links)
	}
	if _, problems := topology.Compile(l); len(problems) > 0 {
		t.Error(problems)
	}
	path := edit.Path(l)
	for i, m := range l.Modules {
		if path[m.ID] != (edit.Step{String: "M01", Number: i + 1, Of: 12}) {
			t.Errorf("%s is %+v", m.ID, path[m.ID])
		}
	}
	if m := l.Modules[6]; m.X != 550 || m.Y != 220 || m.Minus != "top" {
		t.Errorf("the second row begins at %g, %g with minus at the %s", m.X, m.Y, m.Minus)
	}
}

func TestDelete_saysWhatWentAlong(t *testing.T) {
	l, went, err := edit.Delete(pack(t, 12), edit.Selection{"M01"})
	if err != nil {
		t.Fatal(err)
	}
	legal(t, l)
	want := []string{
		"Link K- went: it was joined to M01-.",
		"Link L01 went: it was joined to M01+.",
		"Board B1 senses nothing now; it sensed M01.0, M01.5 and M01+.",
		"Part cover does not lie over M01 now.",
		"The insulation monitor does not measure from M01- now.",
	}
	if fmt.Sprint(went) != fmt.Sprint(want) {
		t.Errorf("%q", went)
	}
}
