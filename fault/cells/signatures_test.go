package cells_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/cells"
	"halfsplit/topology"
)

// told compares signatures, each as its kind, place and mV, these to ± 2.
func told(t *testing.T, got []cells.Signature, want []string) {
	t.Helper()
	var is []string
	for i, s := range got {
		mv := s.Millivolts
		if i < len(want) {
			var near float64
			if _, err := fmt.Sscan(want[i][strings.LastIndex(want[i], " "):], &near); err == nil && math.Abs(mv-near) <= 2 {
				mv = near
			}
		}
		is = append(is, fmt.Sprintf("%s %s %g", s.Kind, s.Place, mv))
		if !strings.HasSuffix(s.Text, ".") || strings.Contains(s.Text, "NaN") {
			t.Errorf("%s: %q", s.Kind, s.Text)
		}
		if s.Kind != cells.Plateau && s.Kind != cells.NotCompared && s.Kind != cells.Turned && (s.From == "" || s.To == "" || s.Error <= 0) {
			t.Errorf("%+v", s)
		}
	}
	if !slices.Equal(is, want) {
		t.Errorf("got  %q\nwant %q", is, want)
	}
}

// even is a pack without noise to speak of: twelve modules of eight, ± 1 mV.
func even() *pack {
	r := rand.New(rand.NewPCG(3, 3))
	p := &pack{series: 8}
	for range 96 {
		p.mv = append(p.mv, 3650+float64(r.IntN(3)-1))
	}
	return p
}

func TestSignatures(t *testing.T) {
	board := func(c fault.Case, id string, from, to string) fault.Case {
		c.Layout.Boards = append(c.Layout.Boards, topology.Board{ID: id, Taps: []string{from, to}})
		return c
	}
	boards := func(c fault.Case) fault.Case {
		for m := 0; m < 12; m += 2 {
			c = board(c, fmt.Sprintf("B%d", m/2+1), moduleID(m)+"-", moduleID(m+1)+"+")
		}
		return c
	}
	pair := even()
	pair.mv[20] += 30
	pair.mv[21] -= 30
	joint := even()
	joint.mv[23] -= 25
	joint.mv[24] += 25
	high := even()
	high.mv[50] += 40
	short := even().lower(32, 48, 15)
	tests := map[string]struct {
		c    fault.Case
		want []string
		text string
	}{
		"nothing":                  {even().fault(), nil, ""},
		"a sense tap":              {pair.fault(), []string{"neighbour-pair M003.5 30"}, "the sense lead of tap M003.5, between them"},
		"a joint":                  {joint.fault(), []string{"neighbour-pair M003+ 24"}, "the joint between the modules"},
		"one low":                  {even().lower(40, 41, 60).fault(), []string{"group-low M006.1 60"}, "discharges itself"},
		"one high":                 {high.fault(), []string{"group-high M007.3 -40"}, "its channel"},
		"a module":                 {even().lower(16, 24, 30).fault(), []string{"module-low M003 30"}, "All 8 groups of module M003 are about 30 mV"},
		"a board of two modules":   {boards(short.fault()), []string{"board-low B3 15"}, "what hangs on this board drains them"},
		"a module with its board":  {board(even().lower(16, 24, 30).fault(), "B1", "M003-", "M003+"), []string{"module-low M003 30"}, "or its board B1 drains it"},
		"a band":                   {even().lower(19, 61, 20).fault(), []string{"drain-band  20"}, "Groups M003.4 to M008.5 are "},
		"a band and a low group":   {even().lower(19, 61, 20).lower(40, 41, 50).fault(), []string{"drain-band  20", "group-low M006.1 50"}, ""},
		"a low group beside a gap": {missing(even().lower(40, 41, 60).fault(), "M006", 2), []string{"group-low M006.1 60"}, ""},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			got := cells.Signatures(tt.c)
			told(t, got, tt.want)
			if !slices.ContainsFunc(got, func(s cells.Signature) bool { return strings.Contains(s.Text, tt.text) }) && tt.text != "" {
				t.Errorf("%q is not said in %+v", tt.text, got)
			}
			if band := len(tt.want) > 0 && strings.HasPrefix(tt.want[0], "drain"); (len(cells.Evidence(tt.c)) > 0) != band {
				t.Errorf("evidence %+v", cells.Evidence(tt.c))
			}
		})
	}
}

// missing takes the volts of a module's group k out.
func missing(c fault.Case, module string, k int) fault.Case {
	for i, g := range c.GroupVolts {
		if g.Module == module {
			c.GroupVolts[i].Volts[k-1] = math.NaN()
		}
	}
	return c
}
