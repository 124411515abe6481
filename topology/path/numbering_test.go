package path_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"halfsplit/topology"
	"halfsplit/topology/path"
)

func ids(l topology.Layout) (out []string) {
	for _, m := range l.Modules {
		out = append(out, m.ID)
	}
	return out
}

func TestReadTable(t *testing.T) {
	l, _ := row(3)
	for name, text := range map[string]string{
		"tab and words":     "Module\tMaker's label\tFirst\tLast\nM01\tX-1\t1\t8\nM02\tX-2\t16\t9\nM03\tX-3\t17\t24\n",
		"semicolon":         "M01;X-1;1;8\nM02;X-2;16;9\nM03;X-3;17;24",
		"comma, one column": "label,id,cells\r\nX-1,m01,1-8\r\nX-2,2,16 to 9\r\nX-3,M03,17..24\r\n",
		"spaces":            "M01  X-1  1   8\nM02  X-2  16  9\nM03  X-3  17  24",
	} {
		t.Run(name, func(t *testing.T) {
			got := path.ReadTable(text, l)
			if len(got.Rows) != 3 || len(got.Notes) > 0 {
				t.Fatalf("%+v", got)
			}
			out := got.Apply(l)
			for i, want := range [][]int{{1, 8}, {16, 9}, {17, 24}} {
				if m := out.Modules[i]; !slices.Equal(m.MonitorIndex, want) || m.Label != "X-"+m.ID[2:] {
					t.Errorf("%+v", m)
				}
			}
			if l.Modules[0].Label != "" {
				t.Error("the layout that was given has changed")
			}
		})
	}
}

func TestReadTable_badLines(t *testing.T) {
	l, _ := row(3)
	for _, c := range []struct{ text, want string }{
		{"M01;X-1;1;8\nM02;X-2;9;16\nM44;X-4;1;8", `"M44" names no module`},
		{"M01;X-1;1;8\nM02;X-2;9;16\nM01;X-4;1;8", "M01 is in an earlier line already"},
		{"M01;X-1;1;8\nM02;X-2;9;16\nM03;X-3;17;", `"17" to "" is no range`},
		{"M01;X-1;1;8\nM02;X-2;9;16\nM03;X-3;17;24;loose", `Not used: "loose"`},
		{"M01;X-1;1;8\nM02;X-2;9;16\nM03", "neither a label nor indices"},
		{"M01;X-1;1;8\n\nM03;X-3;17;24", "Empty."},
		{"M01;X-1;1;8\nM02;X-2;8;15\nM03;X-3;17;24", "M01 and M02 both have the monitor's index 8"},
		{"M01;X-1;1;8\nM02;X-2;9;16\nM03;X-3;20;27", "No module has the monitor's indices 17 to 19"},
		{"M01;X-1;1;8\nM02;X-1;9;16\nM03;X-3;17;24", "M01 and M02 have the same label X-1"},
		{"M01;X-1;1;8\nM02;X-2;9;15\nM03;X-3;16;23", "9 to 15 are 7 cells, and M02 has 8 groups"},
		{"some words that are no table", "No column names a module"},
	} {
		got := path.ReadTable(c.text, l)
		all := texts(got.Notes)
		for _, line := range got.Lines {
			all += "\n" + line.Said
		}
		wants(t, c.text, all, c.want)
	}
}

func TestReadTable_everyLineIsAccountedFor(t *testing.T) {
	l, _ := row(3)
	rapid.Check(t, func(t *rapid.T) {
		lines := rapid.SliceOfN(rapid.StringMatching(`(M0[1-4]|[a-z0-9"]{0,3})[;, \t]?[0-9A-Z-]{0,4}[;, \t]?[0-9]{0,3}[;,\t]?[0-9]{0,3}x?`), 1, 12).Draw(t, "lines")
		got := path.ReadTable(strings.Join(lines, "\n")+"\n", l)
		if len(got.Lines) != len(lines) {
			t.Fatalf("%d lines became %d", len(lines), len(got.Lines))
		}
		used := 0
		for i, line := range got.Lines {
			if line.Number != i+1 || line.Said == "" || line.Text != lines[i] {
				t.Fatalf("%+v is not line %d: %q", line, i+1, lines[i])
			}
			if line.Used {
				used++
			}
		}
		if used != len(got.Rows) {
			t.Fatalf("%d lines are used, and there are %d rows", used, len(got.Rows))
		}
	})
}

func TestForwardAndMirrored(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, _ := row(rapid.IntRange(1, 20).Draw(t, "modules"))
		total := 0
		for i := range l.Modules {
			l.Modules[i].Series = rapid.IntRange(1, 16).Draw(t, "series")
			total += l.Modules[i].Series
		}
		start := rapid.IntRange(0, 1).Draw(t, "start")
		f, notes := path.Forward(l, ids(l), start)
		m, more := path.Mirrored(l, ids(l), start)
		if len(notes)+len(more)+len(path.Check(l, f))+len(path.Check(l, m)) > 0 {
			t.Fatalf("%v %v %v %v", notes, more, path.Check(l, f), path.Check(l, m))
		}
		for i := range f { // index i of the one is the last minus i of the other
			if sum := 2*start + total - 1; f[i].First+m[i].First != sum || f[i].Last+m[i].Last != sum {
				t.Fatalf("%+v and %+v are no mirror images", f[i], m[i])
			}
		}
		if _, problems := topology.Compile(path.Assign(l, m)); slices.ContainsFunc(problems, func(p topology.Problem) bool { return p.Kind == topology.MonitorIndex }) {
			t.Fatalf("%+v", problems)
		}
	})
}

func TestByBoards(t *testing.T) {
	l, _ := row(4)
	got, notes := path.ByBoards(l, []path.Block{{Board: "B2", Modules: []string{"M03", "M04"}, Mirrored: true}, {Board: "B1", Modules: []string{"M01", "M02", "M04", "M09"}}}, 1)
	want := []path.Range{{Module: "M03", First: 16, Last: 9}, {Module: "M04", First: 8, Last: 1}, {Module: "M01", First: 17, Last: 24}, {Module: "M02", First: 25, Last: 32}}
	if !slices.Equal(got, want) {
		t.Errorf("%+v", got)
	}
	wants(t, "notes", texts(notes), "M04 is with board B1 and with one before it", `"M09" is no module`)
	wants(t, "check", texts(path.Check(l, got[:3])), "M02 has no monitor index")
}
