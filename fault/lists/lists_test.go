package lists_test

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf16"

	"halfsplit/fault"
	"halfsplit/fault/lists"
	"halfsplit/topology"
)

// pack is an invented string of modules of so many groups, with a meter and a state.
func pack(series ...int) fault.Case {
	c := fault.Case{Now: "closed", States: []fault.State{{ID: "closed"}, {ID: "split"}},
		Instruments: []fault.Instrument{{ID: "dmm", Kind: "voltmeter", GainPct: 0.5, Counts: 2, Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 600, Count: 0.1}}}}}
	c.Layout.Stacks = []topology.Stack{{ID: "A"}}
	c.Layout.Chassis = []topology.ChassisPiece{{ID: "tray"}}
	for i, n := range series {
		id := fmt.Sprintf("M%02d", i+1)
		c.Layout.Modules = append(c.Layout.Modules, topology.Module{ID: id, Stack: "A", Series: n, Label: fmt.Sprintf("K%d", 700+i)})
		if i > 0 {
			c.Layout.Links = append(c.Layout.Links, topology.Link{ID: fmt.Sprintf("L%02d", i), Kind: topology.Busbar, From: fmt.Sprintf("M%02d+", i), To: id + "-"})
		}
	}
	return c
}

// forward is the order from the negative end.
func forward(n int) *lists.Order {
	o := &lists.Order{Name: "forward from the negative end"}
	for i := range n {
		o.To = append(o.To, i)
	}
	return o
}

func decode(t testing.TB, data string) lists.Text {
	t.Helper()
	x, err := lists.Decode([]byte(data))
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// read proposes a mapping, lets edit change it, and builds.
func read(t testing.TB, c fault.Case, data string, edit func(*lists.Mapping)) lists.Preview {
	t.Helper()
	x := decode(t, data)
	m := lists.Propose(x, c)
	m.Stamp = true
	if edit != nil {
		edit(&m)
	}
	p := lists.Build(x, m, c, lists.Options{Name: "cells.csv", Now: "2026-03-02T10:00:00Z"})
	accounted(t, x, p)
	return p
}

// accounted holds a preview to every line of its text, once and in order.
func accounted(t testing.TB, x lists.Text, p lists.Preview) {
	t.Helper()
	next, sum := 1, 0
	for _, r := range p.Rows {
		if r.Line != next || r.Last < r.Line {
			t.Fatalf("a row of lines %d to %d where line %d is next", r.Line, r.Last, next)
		}
		if (r.Status == lists.Listed || r.Status == lists.Partly || r.Status == lists.Waiting) != (r.Why != "") {
			t.Fatalf("line %d has status %d and reason %q", r.Line, r.Status, r.Why)
		}
		if r.Status == lists.Taken && r.Says == "" {
			t.Fatalf("line %d is taken and nothing is said of it", r.Line)
		}
		next = r.Last + 1
	}
	for _, n := range p.Count {
		sum += n
	}
	if next != len(x.Lines)+1 || sum != len(x.Lines) || p.Lines != len(x.Lines) {
		t.Fatalf("%d lines, %d in rows, %d counted", len(x.Lines), next-1, sum)
	}
}

func asked(p lists.Preview) string {
	var out []string
	for _, a := range p.Asks {
		out = append(out, a.Key)
	}
	return strings.Join(out, " ")
}

func TestDecode(t *testing.T) {
	utf := func(s string, little bool) string {
		out := []byte{0xFE, 0xFF}
		if little {
			out = []byte{0xFF, 0xFE}
		}
		for _, u := range utf16.Encode([]rune(s)) {
			if little {
				out = binary.LittleEndian.AppendUint16(out, u)
			} else {
				out = binary.BigEndian.AppendUint16(out, u)
			}
		}
		return string(out)
	}
	const text = "R/kΩ\r\n210 µΩ\n\nlast"
	for name, c := range map[string]struct{ data, encoding, want string }{
		"plain":        {text, lists.UTF8, text},
		"with mark":    {"\xEF\xBB\xBF" + text, lists.UTF8, text},
		"low first":    {utf(text, true), lists.UTF16LE, text},
		"high first":   {utf(text, false), lists.UTF16BE, text},
		"windows-1252": {"50 \xB5V\r\n21 \xB0C", lists.Western, "50 µV\n21 °C"},
		"old ends":     {"a\rb\r", lists.UTF8, "a\nb"},
		"nothing":      {"", lists.UTF8, ""},
	} {
		x := decode(t, c.data)
		var got []string
		for i, l := range x.Lines {
			if l.Bad != "" || l.N != i+1 {
				t.Errorf("%s: line %d is %+v", name, i+1, l)
			}
			got = append(got, l.Text)
		}
		if want := strings.ReplaceAll(c.want, "\r\n", "\n"); x.Encoding != c.encoding || strings.Join(got, "\n") != want {
			t.Errorf("%s: %s, %q", name, x.Encoding, got)
		}
	}
}

func TestDecode_BadBytesAreNamedByLine(t *testing.T) {
	for name, c := range map[string]struct {
		data string
		line int
		says string
	}{
		"no UTF-8":        {"µ\nΩ\n3.6\xFF2\n", 3, "byte 4 is 0xFF"},
		"no Windows-1252": {"\xB0\xB5\n3.6\x81\n", 2, "byte 4 is 0x81"},
		"zero":            {"3.6\n3\x00\n", 2, "byte 2 is 0x00"},
		"half a pair":     {"\xFF\xFEa\x00\n\x00\x00\xD8", 2, "character 1 is 0xD800"},
		"odd":             {"\xFF\xFEa\x00\n\x00b", 1, "middle of a character"},
	} {
		x := decode(t, c.data)
		for _, l := range x.Lines {
			if (l.Bad != "") != (l.N == c.line) || l.N == c.line && !strings.Contains(l.Bad, c.says) {
				t.Errorf("%s: line %d: %q", name, l.N, l.Bad)
			}
		}
	}
	if _, err := lists.Decode(make([]byte, lists.MostBytes+1)); err == nil || !strings.Contains(err.Error(), "16 MB") {
		t.Errorf("too large: %v", err)
	}
}

// Every way in which the same three groups of one module may be written.
func TestBuild_GroupsOfAModule(t *testing.T) {
	for name, data := range map[string]string{
		"comma":             "module,group,V\nM02,1,3.611\nM02,2,3.622\nM02,3,3.633\n",
		"semicolon":         "Module;Group;U [V]\nM02;1;3,611\nM02;2;3,622\nM02;3;3,633\n",
		"tab, millivolts":   "Module\tCell\tU [mV]\nM02\t1\t3611\nM02\t2\t3622\nM02\t3\t3633\n",
		"blanks":            "module group volts\nM02   1   3.611 V\n2 2 3622 mV\nm02   3   3.633V\n",
		"quoted":            "\"module\",\"group\",\"cell volts\"\n\"M02\",\"1\",\"3.611\"\n\"K701\",\"G2\",\"3.622\"\n\"Module 2\",\"3\",\"3.633\"\n",
		"place in one":      "group;value;unit\nM02.1;3611;mV\nM02 group 2;3622;mV\nM02/3;3.633;V\n",
		"table":             "module;1;2;3\nM02;3.611;3.622;3.633\n",
		"table, headings":   "Module;Cell 1 (V);Cell 2 (V);Cell 3 (V)\nM02;3.611;3.622;3.633\n",
		"above":             "Cell report\nmade by hand\n\nmodule;group;mV\nM02;1;3611\nM02;2;3622\nM02;3;3633\n",
		"without headings":  "M02;1;3.611\nM02;2;3.622\nM02;3;3.633\n",
		"empty columns":     "module\tgroup\tmV\nM02\t1\t3611\t\t\nM02\t2\t3622\nM02\t3\t3633\t\n",
		"unit in its cells": "module;group;reading\nM02;1;3611 mV\nM02;2;3.622 V\nM02;3;3633mV\n",
	} {
		t.Run(name, func(t *testing.T) {
			p := read(t, pack(3, 3, 3), data, func(m *lists.Mapping) {
				if name == "semicolon" {
					m.Mark = lists.CommaMark
				}
			})
			if len(p.Groups) != 1 || len(p.Readings) != 0 || len(p.Asks) != 0 {
				t.Fatalf("%d lists, %d readings, asked %q: %+v", len(p.Groups), len(p.Readings), asked(p), p.Rows)
			}
			g := p.Groups[0]
			if g.Module != "M02" || g.State != "closed" || g.At != "2026-03-02T10:00:00Z" || !near(g.Volts, 3.611, 3.622, 3.633) || !strings.HasPrefix(g.Source, "cells.csv") {
				t.Errorf("%+v", g)
			}
		})
	}
}

func near(got []float64, want ...float64) bool {
	if len(got) != len(want) {
		return false
	}
	for i := range got {
		if !(math.Abs(got[i]-want[i]) < 1e-9) && !(math.IsNaN(got[i]) && math.IsNaN(want[i])) {
			return false
		}
	}
	return true
}

func TestBuild_Readings(t *testing.T) {
	data := "red;black;value;quantity;instrument;state;time;note\n" +
		"M03+;chassis;103.6;volts;dmm;split;2026-03-02 11:04;first\n" +
		"m01-;tray;-237,5 V;volts;DMM;;2026-03-02T10:04:00Z;\n" +
		"M02+;chassis;.21M;insulation;;;;\n" +
		"M02+;chassis;>2G;insulation;;;;\n" +
		"L01;;0.3 mV;volts;;;;\n" +
		"M02;;21.5;temperature;;;;\n" +
		"M02+;chassis;OL;volts;dmm;;;\n" +
		"M01+;chassis;1.0360E+02;volts;dmm;split;2026-03-02 11:14;\n"
	c := pack(3, 3, 3)
	p := read(t, c, strings.Replace(data, "tray", "chassis:tray", 1), nil)
	want := []string{"M03+ chassis 103.6  split 2026-03-02T11:04:00Z dmm", "M01- chassis:tray -237.5  closed 2026-03-02T10:04:00Z dmm", "M02+ chassis 210000  closed 2026-03-02T10:00:00Z ",
		"M02+ chassis 2e+09 > closed 2026-03-02T10:00:00Z ", "M01+ M02- 0.0003  closed 2026-03-02T10:00:00Z ", "M02  21.5  closed 2026-03-02T10:00:00Z ", "M02+ chassis 600 > closed 2026-03-02T10:00:00Z dmm",
		"M01+ chassis 103.6  split 2026-03-02T11:14:00Z dmm"}
	for i, r := range p.Readings {
		if got := fmt.Sprintf("%s %s %g %s %s %s %s", r.Red, r.Black, r.Value, r.Relation, r.State, r.At, r.Instrument); i >= len(want) || got != want[i] {
			t.Errorf("reading %d: %q", i, got)
		}
	}
	if len(p.Readings) != len(want) || len(p.Asks) != 0 || p.Readings[0].Note != "first; cells.csv, line 2" || p.Readings[2].Raw != ".21M" {
		t.Errorf("%d readings, asked %q, %+v", len(p.Readings), asked(p), p.Rows)
	}
	if !strings.Contains(p.Rows[4].Twice, "line 4") || p.Twice != 1 {
		t.Errorf("the same place twice: %+v", p.Rows[4])
	}
}

// A list without headings whose values have exponents is a list of values all the same.
func TestBuild_Exponents(t *testing.T) {
	p := read(t, pack(3, 3, 3), "M01+;chassis;3.6218E+00\nM02+;chassis;-2.1e1 V\n", nil)
	if len(p.Readings) != 2 || p.Readings[0].Value != 3.6218 || p.Readings[0].Raw != "3.6218E+00" || p.Readings[1].Value != -21 {
		t.Errorf("%d readings, %+v, asked %q", len(p.Readings), p.Rows, asked(p))
	}
}

// What is not said is asked, and nothing that hangs on it is stored before.
func TestBuild_Asks(t *testing.T) {
	bare := "3622\n3618\n3630\n3611\n3640\n3602\n"
	for name, c := range map[string]struct {
		data, asks string
		edit       func(*lists.Mapping)
		stored     int
	}{
		"bare column":            {"3.622\n3.618\n3.630\n3.611\n3.640\n3.602\n", "order", nil, 0},
		"bare millivolts":        {bare, "bare order", func(m *lists.Mapping) { m.Order = nil }, 0},
		"ordered":                {bare, "bare", func(m *lists.Mapping) { m.Order = forward(6) }, 2},
		"ordered, in mV":         {bare, "", func(m *lists.Mapping) { m.Order, m.Bare = forward(6), "mV" }, 2},
		"V is what is meant":     {bare, "", func(m *lists.Mapping) { m.Order, m.Bare = forward(6), "V" }, 2},
		"decimal commas, if any": {"module;volts\nM01;10,622\nM02;10,618\n", "mark", nil, 0},
		"they are decimals":      {"module;volts\nM01;10,622\nM02;10,618\n", "", func(m *lists.Mapping) { m.Mark = lists.CommaMark }, 2},
		"they are evident":       {"module;volts\nM01;10,622\nM02;10,61\n", "", nil, 2},
		"one comma in each line": {"3,622\n3,618\n3,630\n3,611\n3,640\n3,602\n", "separator mark order", nil, 0},
		"whose ohms":             {"red;black;R/kΩ\nM01+;chassis;210\n", "quantity", nil, 1},
		"ohms, bare":             {"red;black;resistance\nM01+;chassis;210k\n", "quantity", nil, 1},
		"no black lead":          {"point;V\nM01+;11.2\nM02+;22.1\n", "black", nil, 0},
		"black on chassis":       {"point;V\nM01+;11.2\nM02+;22.1\n", "", func(m *lists.Mapping) { m.Black = "chassis" }, 2},
		"day or month":           {"time;module;V\n03/04/2026 10:00;M01;11.2\n", "dates", nil, 1},
		"day is evident":         {"time;module;V\n23/04/2026 10:00;M01;11.2\n", "", nil, 1},
		"no state":               {"module;V\nM01;11.2\n", "state", func(m *lists.Mapping) { m.State = "" }, 0},
		"one too few":            {"3.622\n3.618\n3.630\n3.611\n3.640\n", "", func(m *lists.Mapping) { m.Order = forward(6) }, 0},
	} {
		t.Run(name, func(t *testing.T) {
			p := read(t, pack(3, 3), c.data, c.edit)
			if waits := strings.Contains(c.asks, "order") && !strings.Contains(c.asks, "mark"); waits != (p.Count[lists.Waiting] == 6) {
				t.Errorf("%d rows wait for the order", p.Count[lists.Waiting])
			}
			if asked(p) != c.asks || p.Stored() != c.stored || p.Ready() != (c.asks == "" && c.stored > 0) {
				t.Errorf("asked %q, %d would be stored: %+v", asked(p), p.Stored(), p.Rows)
			}
		})
	}
}

func TestBuild_MonitorOrder(t *testing.T) {
	c := pack(2, 3)
	back := &lists.Order{Name: "mirrored", To: []int{4, 3, 2, 1, 0}}
	for name, data := range map[string]string{
		"bare":       "3.601\n3.602\n3.603\n3.604\n3.605\n",
		"indexed":    "index;V\n5;3.605\n3;3.603\n1;3.601\n2;3.602\n4;3.604\n",
		"from zero":  "cell,volts\n0,3.601\n1,3.602\n2,3.603\n3,3.604\n4,3.605\n",
		"one row":    "time;Cell 1 (V);Cell 2 (V);Cell 3 (V);Cell 4 (V);Cell 5 (V)\n2026-03-02 10:00;3.601;3.602;3.603;3.604;3.605\n",
		"with a row": "Cells\n3.601\n3.602\n3.603\n3.604\n3.605\n",
	} {
		t.Run(name, func(t *testing.T) {
			p := read(t, c, data, func(m *lists.Mapping) { m.Order = back })
			if len(p.Groups) != 2 || len(p.Asks) != 0 {
				t.Fatalf("%d lists, asked %q: %+v", len(p.Groups), asked(p), p.Rows)
			}
			for _, g := range p.Groups {
				want := []float64{3.605, 3.604}
				if g.Module == "M02" {
					want = []float64{3.603, 3.602, 3.601}
				}
				if !near(g.Volts, want...) || !strings.Contains(g.Source, "mirrored") {
					t.Errorf("%+v", g)
				}
			}
		})
	}
}

// A module beside an index is a check of the order.
func TestBuild_ModuleBesideAnIndex(t *testing.T) {
	p := read(t, pack(2, 3), "module;cell;V\nM01;1;3.6\nM02;2;3.6\nM02;3;3.6\n", func(m *lists.Mapping) {
		*m = m.WithRole(1, lists.Index)
		m.Order = forward(5)
	})
	if p.Count[lists.Taken] != 2 || !strings.Contains(p.Rows[2].Why, `lies in M01, and the row says "M02"`) {
		t.Errorf("%+v", p.Rows)
	}
}

func TestBuild_WhatIsNotReadIsListed(t *testing.T) {
	data := "module;group;V\n" +
		"M09;1;3.6\n" + "M01;7;3.6\n" + "M01;1;three\n" + "M01;2;\n" + "M01;2;>3.6\n" + "M01;2;3.6;what\n" + "M01;\"2;3.6\n" + "M01;3;1e400\n" + "M01;1;3.6\xFF\xFF\n" + "\n" + "M01;2;3.601\n" + "M01;2;3.602\n"
	p := read(t, pack(3, 3), data, nil)
	for i, says := range map[int]string{1: "no module \"M09\"", 2: "has 3 groups", 3: "not a number", 4: "no value", 5: "bound", 6: "4 columns where 3", 7: "not closed", 8: "not a number", 9: "ÿ"} {
		r := p.Rows[i]
		if r.Status != lists.Listed || !strings.Contains(r.Why, says) && !(i == 9 && strings.Contains(r.Text, says)) {
			t.Errorf("line %d: %+v, want %q", i+1, r, says)
		}
	}
	if p.Count != [6]int{lists.Taken: 2, lists.Listed: 9, lists.Heading: 1, lists.Empty: 1} || len(p.Listing()) != 9 {
		t.Errorf("%v", p.Count)
	}
	if len(p.Readings) != 1 || p.Readings[0].Red != "M01.2" || p.Readings[0].Black != "M01.1" || p.Readings[0].Value != 3.602 {
		t.Errorf("read twice: %+v", p.Readings)
	}
}

func TestBuild_TableKeepsWhatCanBeRead(t *testing.T) {
	p := read(t, pack(3, 2), "module;1;2;3\nM01;3.6;x;3.61\nM02;3.62;3.63;\nM02;;;\nM02;3.62;3.63;3.64\n", nil)
	if p.Rows[1].Status != lists.Partly || !strings.Contains(p.Rows[1].Why, `2: "x" is not a number`) || p.Rows[2].Status != lists.Taken || p.Rows[3].Status != lists.Listed || p.Rows[4].Status != lists.Partly {
		t.Errorf("%+v", p.Rows)
	}
	if len(p.Groups) != 3 || p.Blanks != 1 || !near(p.Groups[0].Volts, 3.6, math.NaN(), 3.61) || p.Twice != 1 || p.Values != 6 {
		t.Errorf("%+v, %d values, %d blanks", p.Groups, p.Values, p.Blanks)
	}
}

func TestBuild_LocalTimes(t *testing.T) {
	x := decode(t, "date;clock;module;V\n02.03.2026;10:04;M01;11.2\n")
	c := pack(3)
	m := lists.Propose(x, c).WithRole(1, lists.Time)
	p := lists.Build(x, m, c, lists.Options{Zone: time.FixedZone("shop", 3600)})
	if len(p.Readings) != 1 || p.Readings[0].At != "2026-03-02T09:04:00Z" {
		t.Errorf("%+v %+v", p.Readings, p.Rows)
	}
}

// When a list was read is not known unless it says so, or a person does.
func TestBuild_TimeIsNotGuessed(t *testing.T) {
	for _, stamp := range []bool{false, true} {
		p := read(t, pack(3), "time;module;V\n;M01;11.2\n2026-03-02T10:04:00Z;M01;11.2\n", func(m *lists.Mapping) { m.Stamp = stamp })
		if want := map[bool]string{true: "2026-03-02T10:00:00Z"}[stamp]; len(p.Readings) != 2 || p.Readings[0].At != want || p.Readings[1].At != "2026-03-02T10:04:00Z" {
			t.Errorf("%v: %+v", stamp, p.Readings)
		}
	}
}

func TestMapping_RoleIsHadOnce(t *testing.T) {
	c := pack(3, 3)
	x := decode(t, "a;b;c\nM01;M02;11.2\n")
	m := lists.Propose(x, c).WithRole(0, lists.Module).WithRole(1, lists.Module)
	if m.Columns[0].Role != lists.Unused || m.Columns[1].Role != lists.Module || m.Columns[2].Role != lists.Value {
		t.Errorf("%+v", m.Columns)
	}
	if p := lists.Build(x, m, c, lists.Options{}); len(p.Readings) != 1 || strings.Contains(strings.Join(p.Notes, " "), "whole modules") || p.Readings[0].Red != "M02+" {
		t.Errorf("%+v", p.Rows)
	}
}
