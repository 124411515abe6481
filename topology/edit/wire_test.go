package edit_test

import (
	"fmt"
	"strings"
	"testing"

	"halfsplit/topology"
	"halfsplit/topology/edit"
)

func TestLink_refusals(t *testing.T) {
	l := pack(t, 12)
	for _, tt := range []struct{ from, to, kind, want string }{
		{"M01+", "M99-", topology.Busbar, "there is no module M99"},
		{"M01", "M03-", topology.Busbar, "is no terminal"},
		{"M01.5", "M03-", topology.Busbar, "not at an end"},
		{"M01-", "M01.0", topology.Busbar, "both are M01-"},
		{"pack+", "load+", topology.Busbar, "one conductor"},
		{"M02-", "M01.10", topology.Cable, "L01 joins M02- and M01+ already"},
		{"load+", "M12+", topology.Contactor, "K+ joins"},
		{"chassis", "M01-", topology.Cable, "is no terminal"},
		{"M01+", "M03-", "rope", "busbar, cable"},
	} {
		out, id, err := edit.Link(l, tt.from, tt.to, tt.kind)
		if err == nil || !strings.Contains(err.Error(), tt.want) || id != "" || len(out.Links) != len(l.Links) {
			t.Errorf("%s to %s: %q %v", tt.from, tt.to, id, err)
		}
	}
}

func TestLink_takesFreeIDs(t *testing.T) {
	l := pack(t, 12)
	l, went, err := edit.Delete(l, edit.Selection{"L03", "K-", "SD"})
	if err != nil || len(went) > 0 {
		t.Fatal(went, err)
	}
	for _, tt := range []struct{ from, to, kind, want string }{
		{"M03.10", "M04-", topology.Busbar, "L03"},
		{"M01-", "rail-", topology.Cable, "L06"},
		{"rail-", "pack-", topology.Contactor, "K-"},
		{"rail-", "rail+", topology.Contactor, "K1"},
		{"M06+", "M07-", topology.Disconnect, "SD"},
		{"M05+", "M07-", topology.Disconnect, "SD2"},
		{"M05-", "M07-", topology.Fuse, "F1"},
		{"M05-", "M08-", topology.Sensor, "CS1"},
	} {
		out, id, err := edit.Link(l, tt.from, tt.to, tt.kind)
		if err != nil || id != tt.want {
			t.Errorf("%s to %s: %q %v", tt.from, tt.to, id, err)
			continue
		}
		l = out
	}
	legal(t, l)
	if k := l.Links[len(l.Links)-8]; k.From != "M03+" {
		t.Errorf("M03.10 is written %s", k.From)
	}
}

func TestReverse_withLinksKeepsTheConductorsWhereTheyAre(t *testing.T) {
	l := pack(t, 4)
	out, err := edit.Reverse(l, edit.Selection{"M02"}, true)
	if err != nil {
		t.Fatal(err)
	}
	if l.Modules[1].Minus == out.Modules[1].Minus || out.Links[1].To != "M02+" || out.Links[2].From != "M02-" {
		t.Errorf("%+v %+v", out.Modules[1], out.Links)
	}
	_, problems := topology.Compile(out)
	if len(problems) == 0 || problems[0].Kind != topology.Reversed {
		t.Errorf("%v", problems)
	}
	drawn, err := edit.Reverse(l, edit.Selection{"M02"}, false)
	if err != nil || fmt.Sprint(drawn.Links) != fmt.Sprint(l.Links) {
		t.Errorf("links were moved: %v", err)
	}
}

func TestPath_numbersWhatIsJoined(t *testing.T) {
	l := pack(t, 6)
	l, _, err := edit.AddModule(l, topology.Module{Series: 1, W: 50, H: 50, Minus: "left"})
	if err != nil {
		t.Fatal(err)
	}
	path := edit.Path(l)
	if _, ok := path["M07"]; ok || path["M06"] != (edit.Step{String: "M01", Number: 6, Of: 6}) {
		t.Errorf("%v", path)
	}
	l, _, _ = edit.Unlink(l, edit.Selection{"SD"})
	if path = edit.Path(l); path["M04"] != (edit.Step{String: "M04", Number: 1, Of: 3}) {
		t.Errorf("%v", path)
	}
}

func TestRenameAll_changesNamesAboutEverywhere(t *testing.T) {
	l := pack(t, 12)
	out, err := edit.RenameAll(l, map[string]string{"M01": "M02", "M02": "M01", "tray": "lid", "lid": "tray", "A": "left"})
	if err != nil {
		t.Fatal(err)
	}
	legal(t, out)
	if out.Modules[0].ID != "M02" || out.Modules[0].Stack != "left" || out.Links[0].To != "M02-" || out.Links[1].From != "M02+" || out.Links[1].To != "M01-" {
		t.Errorf("%+v %+v", out.Modules[0], out.Links[:2])
	}
	if got := fmt.Sprintln(out.Boards[0].Taps, out.Monitor.From, out.Monitor.To, out.Parts[0].Over); got != "[M02.0 M02.5 M02+] [pack+ M02-] chassis:lid [M02 M01]\n" {
		t.Error(got)
	}
	for _, to := range []string{"M03", "K", "pack", "a b", "", "M01+"} {
		if _, err := edit.Rename(l, "M01", to); err == nil {
			t.Errorf("M01 is called %q now", to)
		}
	}
	if _, err := edit.Rename(l, "L01", "M02+"); err == nil {
		t.Error("a link is called M02+ now")
	}
}

func TestRenumber_orders(t *testing.T) {
	l := pack(t, 12) // two rows of six, the second running back
	rev, err := edit.RenameAll(l, map[string]string{"M01": "M12", "M12": "M01"})
	if err != nil {
		t.Fatal(err)
	}
	all := edit.Selection{}
	for _, m := range l.Modules {
		all = append(all, m.ID)
	}
	out, names, err := edit.Renumber(rev, all, edit.Numbering{From: 1, Order: edit.AlongString})
	if err != nil || fmt.Sprint(names) != "map[M01:M12 M12:M01]" || written(t, out) != written(t, l) {
		t.Errorf("%v %v", names, err)
	}
	out, names, err = edit.Renumber(rev, all, edit.Numbering{From: 1, Order: edit.Serpentine})
	if err != nil || len(names) != 2 || written(t, out) != written(t, l) {
		t.Errorf("%v %v", names, err)
	}
	_, names, err = edit.Renumber(l, all, edit.Numbering{Stem: "N", From: 7, Order: edit.RowByRow})
	if err != nil || names["M12"] != "N13" || names["M07"] != "N18" {
		t.Errorf("%v %v", names, err)
	}
	if _, _, err = edit.Renumber(l, all[:3], edit.Numbering{From: 3, Order: edit.AlongString}); err == nil || !strings.Contains(err.Error(), "M04 is the id of a module already") {
		t.Errorf("%v", err)
	}
}

func TestDuplicate_takesWhatIsInside(t *testing.T) {
	l := pack(t, 12)
	out, names, err := edit.Duplicate(l, edit.Selection{"M01", "M02"}, 0, 800)
	if err != nil {
		t.Fatal(err)
	}
	legal(t, out)
	if fmt.Sprint(names) != "map[B1:B2 L01:L06 M01:M13 M02:M14 cover:cover2]" {
		t.Error(names)
	}
	m, k, b, p := out.Modules[12], out.Links[len(out.Links)-1], out.Boards[1], out.Parts[1]
	if m.Stack != "A" || m.Y != l.Modules[0].Y+800 || m.Label != "" || m.MonitorIndex != nil || m.Extra["colour"] == nil {
		t.Errorf("%+v", m)
	}
	if k.From != "M13+" || k.To != "M14-" || b.Taps[1] != "M13.5" || p.Over[1] != "M14" || b.Minutes == l.Boards[0].Minutes {
		t.Errorf("%+v %+v %+v", k, b, p)
	}
}

func TestPaste_intoAnother(t *testing.T) {
	f, err := edit.Copy(pack(t, 12), edit.Selection{"A", "cover"})
	if err != nil {
		t.Fatal(err)
	}
	legal(t, f)
	l, names, err := edit.Paste(pack(t, 2), f, 10, 10)
	if err != nil {
		t.Fatal(err)
	}
	legal(t, l)
	if names["A"] != "A2" || names["M01"] != "M13" || names["M02"] != "M14" || names["M05"] != "M05" || l.Stacks[1].X != 10 || l.Modules[2].Stack != "A2" {
		t.Errorf("%v %+v", names, l.Stacks)
	}
	big := edit.Selection{}
	for _, m := range l.Modules {
		big = append(big, m.ID)
	}
	for range 9 {
		if l, _, err = edit.Duplicate(l, big, 1, 1); err != nil {
			break
		}
		big = big[:0]
		for _, m := range l.Modules {
			big = append(big, m.ID)
		}
	}
	if err == nil || !strings.Contains(err.Error(), "more than 1000 are not drawn here") {
		t.Errorf("%d modules, %v", len(l.Modules), err)
	}
}
