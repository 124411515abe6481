package topology_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"halfsplit/topology"
)

// spec is one that makes sense; edit changes it.
func spec(edit func(*topology.MakeSpec)) topology.MakeSpec {
	s := topology.MakeSpec{Name: "twelve", Modules: 12, Series: 8, Parallel: 2, PerRow: 6, W: 150, H: 330, Gap: 12, Alternate: true, Disconnect: 6}
	if edit != nil {
		edit(&s)
	}
	return s
}

func drawSpec(t *rapid.T) topology.MakeSpec {
	n := rapid.IntRange(1, 60).Draw(t, "modules")
	series := rapid.IntRange(1, 24).Draw(t, "series")
	s := topology.MakeSpec{
		Modules: n, Series: series, Parallel: rapid.IntRange(1, 80).Draw(t, "parallel"),
		PerRow:     rapid.IntRange(0, 70).Draw(t, "per row"),
		W:          rapid.Float64Range(10, 800).Draw(t, "w"),
		H:          rapid.Float64Range(10, 800).Draw(t, "h"),
		Gap:        rapid.Float64Range(0, 100).Draw(t, "gap"),
		Alternate:  rapid.Bool().Draw(t, "alternate"),
		Disconnect: rapid.IntRange(0, n-1).Draw(t, "disconnect"),
	}
	if rapid.Bool().Draw(t, "volts given") {
		s.NominalVolts = float64(n*series) * rapid.Float64Range(1.21, 3.9).Draw(t, "volts a group")
		s.WorkingVolts = s.NominalVolts * 1.1
	}
	return s
}

func TestMake_CompilesWithoutProblems(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		l, err := topology.Make(s)
		if err != nil {
			t.Fatalf("%+v: %v", s, err)
		}
		net, problems := topology.Compile(l)
		if len(problems) > 0 {
			t.Fatalf("%+v: %v", s, problems)
		}
		if len(net.Strings) != 1 || net.Strings[0].Groups != s.Modules*s.Series || len(net.Strings[0].Modules) != s.Modules {
			t.Fatalf("%+v: strings %+v", s, net.Strings)
		}
		for i, m := range net.Strings[0].Modules {
			if m != i || net.Strings[0].Flipped[i] {
				t.Fatalf("%+v: module %d stands at place %d, flipped %v", s, m, i, net.Strings[0].Flipped[i])
			}
		}
	})
}

func TestMake_OutlinesKeepTheirGap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		l, err := topology.Make(s)
		if err != nil {
			t.Fatal(err)
		}
		for i, a := range l.Modules {
			for _, b := range l.Modules[i+1:] {
				dx := math.Abs(a.X-b.X) - s.W
				dy := math.Abs(a.Y-b.Y) - s.H
				if math.Max(dx, dy) < s.Gap-1e-6 {
					t.Fatalf("%+v: %s at %g, %g and %s at %g, %g", s, a.ID, a.X, a.Y, b.ID, b.X, b.Y)
				}
			}
		}
	})
}

// The disconnect splits the string where it was asked for, and nowhere else.
func TestMake_DisconnectSplits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSpec(t)
		l, err := topology.Make(s)
		if err != nil {
			t.Fatal(err)
		}
		net, _ := topology.Compile(l)
		open := topology.Setting{Open: []string{"SD"}}
		if s.Disconnect == 0 {
			open = topology.Setting{}
		}
		sections := net.In(open).Sections
		var want map[string]string // from a section's minus to its plus
		last := l.Modules[s.Modules-1].ID
		if s.Disconnect == 0 {
			want = map[string]string{l.Modules[0].ID + "-": last + "+"}
		} else {
			want = map[string]string{l.Modules[0].ID + "-": l.Modules[s.Disconnect-1].ID + "+", l.Modules[s.Disconnect].ID + "-": last + "+"}
		}
		if len(sections) != len(want) {
			t.Fatalf("%+v: %d sections, want %d", s, len(sections), len(want))
		}
		for _, sec := range sections {
			if want[net.Name(sec.From)] != net.Name(sec.To) {
				t.Fatalf("%+v: a section from %s to %s", s, net.Name(sec.From), net.Name(sec.To))
			}
		}
	})
}

func TestMake_RowsTurnBack(t *testing.T) {
	l, err := topology.Make(spec(nil))
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]topology.Module{}
	for _, m := range l.Modules {
		at[m.ID] = m
	}
	if at["M06"].X != at["M07"].X || at["M06"].Y >= at["M07"].Y || at["M12"].X != at["M01"].X {
		t.Errorf("M06 %+v, M07 %+v, M12 %+v", at["M06"], at["M07"], at["M12"])
	}
	if at["M06"].Minus != "top" || at["M07"].Minus != "top" {
		t.Errorf("at the turn M06's minus is at the %s and M07's at the %s; the plus of one must face the minus of the other", at["M06"].Minus, at["M07"].Minus)
	}
	for i := 1; i < 12; i++ {
		a, b := l.Modules[i-1], l.Modules[i]
		if i != 6 && a.Minus == b.Minus {
			t.Errorf("%s and %s are both minus at the %s", a.ID, b.ID, a.Minus)
		}
	}
}

func TestMake_RefusesInPlainWords(t *testing.T) {
	for name, c := range map[string]struct {
		edit func(*topology.MakeSpec)
		says string
	}{
		"no module":             {func(s *topology.MakeSpec) { s.Modules = 0 }, "modules must be from 1 to 400, and is 0"},
		"minus three modules":   {func(s *topology.MakeSpec) { s.Modules = -3 }, "is -3"},
		"no group":              {func(s *topology.MakeSpec) { s.Series = 0 }, "in series in a module"},
		"no cell":               {func(s *topology.MakeSpec) { s.Parallel = 0 }, "in parallel in a group"},
		"too many groups":       {func(s *topology.MakeSpec) { s.Modules, s.Series = 400, 200 }, "80000 groups"},
		"disconnect at the end": {func(s *topology.MakeSpec) { s.Disconnect = 12 }, "from 1 to 11"},
		"disconnect before":     {func(s *topology.MakeSpec) { s.Disconnect = -1 }, "not after -1"},
		"one module, split":     {func(s *topology.MakeSpec) { s.Modules, s.Disconnect = 1, 1 }, "there is one module"},
		"flat":                  {func(s *topology.MakeSpec) { s.H = 0 }, "depth must be from 10 to 5000 mm"},
		"no number":             {func(s *topology.MakeSpec) { s.W = math.NaN() }, "width must be"},
		"endless gap":           {func(s *topology.MakeSpec) { s.Gap = math.Inf(1) }, "gap"},
		"row of minus one":      {func(s *topology.MakeSpec) { s.PerRow = -1 }, "in a row"},
		"9 V a group":           {func(s *topology.MakeSpec) { s.NominalVolts = 864 }, "9 V a group"},
		"working below nominal": {func(s *topology.MakeSpec) { s.NominalVolts, s.WorkingVolts = 350, 300 }, "are below the nominal"},
		"volts without a value": {func(s *topology.MakeSpec) { s.NominalVolts = math.NaN() }, "no number of V a group"},
	} {
		t.Run(name, func(t *testing.T) {
			l, err := topology.Make(spec(c.edit))
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("says %v, want %q", err, c.says)
			}
			if len(l.Modules) > 0 {
				t.Error("a refused layout has modules")
			}
		})
	}
}
