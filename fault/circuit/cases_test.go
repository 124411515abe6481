package circuit_test

import (
	"math"
	"testing"

	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// S11: a sound string of 350.39 V whose insulation is 10 MΩ in all, a meter at
// its negative pole, and 1 MΩ from its positive pole to another piece of metal.
func TestBonds_ProofOfTheReference(t *testing.T) {
	var healthy scenario
	for _, s := range scenarios(t) {
		if s.Name == "S11" {
			healthy = s
		}
	}
	l := oneString(healthy.Modules, 0)
	l.Chassis = append(l.Chassis, topology.ChassisPiece{ID: "lid"})
	p := healthy.pack(t)
	p.Net = net(t, l)
	clip := circuit.Bond{From: "tray", To: "clip", Ohms: math.Inf(1)} // a clip on paint
	for name, tc := range map[string]struct {
		bonds        []circuit.Bond
		black, resTo string
		want         float64
	}{
		"lid bonded, as drawn":              {nil, "chassis:tray", "chassis:lid", -306.6},
		"lid bonded by a milliohm strap":    {[]circuit.Bond{{From: "tray", To: "lid", Ohms: 1e-3}}, "chassis:tray", "chassis:lid", -306.6},
		"lid on an isolating bracket":       {[]circuit.Bond{{From: "tray", To: "lid", Ohms: math.Inf(1)}}, "chassis:tray", "chassis:lid", -87.6},
		"resistor and lead on one bad clip": {[]circuit.Bond{clip}, "chassis:clip", "chassis:clip", -318.5},
		"black lead on a bad clip":          {[]circuit.Bond{clip}, "chassis:clip", "chassis:lid", 0},
	} {
		t.Run(name, func(t *testing.T) {
			p.Bonds = tc.bonds
			r0 := circuit.Element{From: "M12+", To: tc.resTo, Ohms: 1e6}
			near(t, "M01-", read(t, p, topology.Setting{}, "M01-", tc.black, 1e7, r0), tc.want, 0.05)
		})
	}
}

// Half a bond: a lid of 1 MΩ to the tray, a hard leak to the lid.
func TestBonds_ResistanceAddsToTheLeak(t *testing.T) {
	l := oneString([]int{10}, 0)
	l.Chassis = append(l.Chassis, topology.ChassisPiece{ID: "lid"})
	p := circuit.Pack{Net: net(t, l), GroupVolts: same(10, 4)}
	p.Bonds = []circuit.Bond{{From: "lid", To: "tray", Ohms: 1e6}}
	p.Leaks = []circuit.Leak{{At: "M01.3", To: "lid", Ohms: 1}}
	// 28 V above the leak, divided by 10 MΩ over 11 MΩ.
	near(t, "to tray", read(t, p, topology.Setting{}, "M01+", "chassis:tray", 1e7), 28*1e7/(1.1e7+1), 1e-9)
	near(t, "to lid", read(t, p, topology.Setting{}, "M01+", "chassis:lid", 1e7), 28*1e7/(1e7+1), 1e-9)
}

func TestLeaks_FollowBoardsLinksAndModules(t *testing.T) {
	l := oneString([]int{4, 4}, 1)
	l.Boards = []topology.Board{{ID: "B1", Taps: []string{"M01.2"}}}
	n := net(t, l)
	open := topology.Setting{Open: []string{"SD"}}
	for name, tc := range map[string]struct {
		leak      circuit.Leak
		set       topology.Setting
		unplugged []string
		at        string
		want      float64
	}{
		"board plugged":             {circuit.Leak{At: "M01.2", OnlyWithBoard: "B1"}, topology.Setting{}, nil, "M01-", -8},
		"board unplugged":           {circuit.Leak{At: "M01.2", OnlyWithBoard: "B1"}, topology.Setting{}, []string{"B1"}, "M01-", 0},
		"in the plug, closed":       {circuit.Leak{At: "SD"}, topology.Setting{}, nil, "M01-", -16},
		"in the plug, lower half":   {circuit.Leak{At: "SD"}, open, nil, "M01-", 0},
		"in the plug, upper half":   {circuit.Leak{At: "SD"}, open, nil, "M02-", 0},
		"lower socket, closed":      {circuit.Leak{At: "SD@M01+"}, topology.Setting{}, nil, "M02+", 16},
		"lower socket, lower half":  {circuit.Leak{At: "SD@M01+"}, open, nil, "M01-", -16},
		"lower socket, upper half":  {circuit.Leak{At: "SD@M01+"}, open, nil, "M02-", 0},
		"module there":              {circuit.Leak{At: "M02.1"}, topology.Setting{}, nil, "M01-", -20},
		"module removed":            {circuit.Leak{At: "M02.1"}, topology.Setting{Removed: []string{"M02"}}, nil, "M01-", 0},
		"leak path of its own volt": {circuit.Leak{At: "M01.2", Shift: 1}, topology.Setting{}, nil, "M01-", -9},
		"load side, open":           {circuit.Leak{At: "load+"}, topology.Setting{}, nil, "M02+", 0},
		"load side, closed":         {circuit.Leak{At: "load+"}, topology.Setting{ContactorsClosed: true}, nil, "M01-", -32},
	} {
		t.Run(name, func(t *testing.T) {
			tc.leak.Ohms = 1000
			p := circuit.Pack{Net: n, GroupVolts: same(8, 4), Leaks: []circuit.Leak{tc.leak}}
			s, err := p.Solve(tc.set, tc.unplugged, []circuit.Element{{From: tc.at, To: "chassis", Ohms: 1e9}})
			if err != nil {
				t.Fatal(err)
			}
			v, err := s.Volts(tc.at, "chassis")
			if err != nil {
				t.Fatal(err)
			}
			near(t, tc.at, v, tc.want, 1e-4)
		})
	}
}

// A board that bridges an open link ties the halves: each reads with the
// other's leak behind the bridge.
func TestBridge_TiesTheHalves(t *testing.T) {
	l := oneString([]int{10, 10}, 1)
	l.Boards = []topology.Board{{ID: "B1"}}
	p := circuit.Pack{Net: net(t, l), GroupVolts: same(20, 4)}
	p.Bridges = []circuit.Bridge{{From: "SD@M01+", To: "SD@M02-", Ohms: 1e6, OnlyWithBoard: "B1"}}
	p.Leaks = []circuit.Leak{{At: "M02.5", Ohms: 1e5}}
	open := topology.Setting{Open: []string{"SD"}}
	// M01+ lies 20 V below the leak behind 1.1 MΩ, read with 10 MΩ.
	near(t, "plugged", read(t, p, open, "M01+", "chassis", 1e7), -20*1e7/1.11e7, 1e-9)
	s, err := p.Solve(open, []string{"B1"}, []circuit.Element{{From: "M01+", To: "chassis", Ohms: 1e7}})
	if err != nil {
		t.Fatal(err)
	}
	v, _ := s.Volts("M01+", "chassis")
	near(t, "unplugged", v, 0, 1e-9)
}

// tied is two strings M and N of groups of 1s with T- and T+ joining their ends.
func tied(t *testing.T, m, n int, parallelN int) *topology.Net {
	l := oneString([]int{m}, 0)
	l.Modules = append(l.Modules, topology.Module{ID: "N01", Series: n, Parallel: parallelN})
	l.Links = append(l.Links,
		topology.Link{ID: "T-", Kind: topology.Busbar, From: "M01-", To: "N01-"},
		topology.Link{ID: "T+", Kind: topology.Busbar, From: "M01+", To: "N01+"})
	return net(t, l)
}

func TestStrings_TiedAtBothEnds(t *testing.T) {
	n := tied(t, 2, 2, 3)
	volts := []float64{4, 4, 2, 2} // 8 V against 4 V
	p := circuit.Pack{Net: n, GroupVolts: volts, Leaks: []circuit.Leak{{At: "M01-", Ohms: 1}}}
	// The usual scaling gives N a third of M's resistance: the top settles at
	// (8/3 + 4)/(1/3 + 1) = 5 V.
	near(t, "ideal", read(t, p, topology.Setting{}, "M01+", "chassis", math.Inf(1)), 5, 1e-12)
	near(t, "inside", read(t, p, topology.Setting{}, "M01.1", "chassis", math.Inf(1)), 2.5, 1e-12)
	// Equal resistances of one milliohm: half way, 1 kA around.
	p.GroupOhms = same(4, 1e-3)
	near(t, "milliohms", read(t, p, topology.Setting{}, "M01+", "chassis", math.Inf(1)), 6, 1e-9)
	s, err := p.Solve(topology.Setting{}, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	for g, want := range []float64{3, 3, 3, 3} {
		near(t, "group", s.GroupVolts()[g], want, 1e-9)
	}
	// Open at one end nothing circulates, and both are one section still.
	open := topology.Setting{Open: []string{"T+"}}
	near(t, "one end", read(t, p, open, "N01+", "chassis", math.Inf(1)), 4, 1e-9)
	near(t, "one end", read(t, p, open, "M01+", "chassis", math.Inf(1)), 8, 1e-9)
}

// Two strings tied at both ends, a leak in one: the same from either.
func TestStrings_LeakSeenFromBoth(t *testing.T) {
	n := tied(t, 10, 10, 1)
	p := circuit.Pack{Net: n, GroupVolts: same(20, 4), Leaks: []circuit.Leak{{At: "N01.3", Ohms: 1e5}}}
	for _, at := range []string{"M01.7", "N01.7"} {
		near(t, at, read(t, p, topology.Setting{}, at, "chassis", 1e7), 16*1e7/1.01e7, 1e-9)
	}
	off := topology.Setting{Open: []string{"T-", "T+"}}
	near(t, "M alone", read(t, p, off, "M01+", "chassis", 1e7), 0, 1e-9)
	near(t, "N alone", read(t, p, off, "N01+", "chassis", 1e7), 28*1e7/1.01e7, 1e-9)
}

// A section without any path to chassis sits where equal minute leaks at every
// tap would put it; a meter of any finite input reads nothing there.
func TestFloating(t *testing.T) {
	p := circuit.Pack{Net: net(t, oneString([]int{3, 4}, 1)), GroupVolts: []float64{3, 4, 5, 4, 4, 4, 4}}
	open := topology.Setting{Open: []string{"SD"}}
	// Taps of M01 at 0 3 7 12 V: their mean is 5.5 V.
	near(t, "ideal meter", read(t, p, open, "M01-", "chassis", math.Inf(1)), -5.5, 1e-12)
	near(t, "upper half", read(t, p, open, "M02+", "chassis", math.Inf(1)), 8, 1e-12)
	near(t, "real meter", read(t, p, open, "M01-", "chassis", 1e7), 0, 1e-12)
	near(t, "across the gap", read(t, p, open, "SD@M01+", "SD@M02-", 1e7), 0, 1e-12)
	near(t, "within a half", read(t, p, open, "M01+", "M01-", 1e7), 12, 1e-12)
}

func TestSolve_RefusesWhatIsNoCircuit(t *testing.T) {
	n := net(t, oneString([]int{2, 2}, 1))
	good := circuit.Pack{Net: n, GroupVolts: same(4, 4)}
	meter := circuit.Element{From: "M01-", To: "chassis", Ohms: 1e7}
	for name, tc := range map[string]struct {
		change func(p *circuit.Pack, set *topology.Setting, e *circuit.Element)
	}{
		"volts missing":       {func(p *circuit.Pack, _ *topology.Setting, _ *circuit.Element) { p.GroupVolts = nil }},
		"no layout":           {func(p *circuit.Pack, _ *topology.Setting, _ *circuit.Element) { p.Net = nil }},
		"volts not a number":  {func(p *circuit.Pack, _ *topology.Setting, _ *circuit.Element) { p.GroupVolts = same(4, math.NaN()) }},
		"negative resistance": {func(p *circuit.Pack, _ *topology.Setting, _ *circuit.Element) { p.GroupOhms = same(4, -1) }},
		"leak nowhere": {func(p *circuit.Pack, _ *topology.Setting, _ *circuit.Element) {
			p.Leaks = []circuit.Leak{{At: "M09.1", Ohms: 1}}
		}},
		"leak of no ohms": {func(p *circuit.Pack, _ *topology.Setting, _ *circuit.Element) {
			p.Leaks = []circuit.Leak{{At: "M01.1"}}
		}},
		"leak to nothing": {func(p *circuit.Pack, _ *topology.Setting, _ *circuit.Element) {
			p.Leaks = []circuit.Leak{{At: "M01.1", To: "lid", Ohms: 1}}
		}},
		"leak with no board": {func(p *circuit.Pack, _ *topology.Setting, _ *circuit.Element) {
			p.Leaks = []circuit.Leak{{At: "M01.1", Ohms: 1, OnlyWithBoard: "B9"}}
		}},
		"element nowhere":      {func(_ *circuit.Pack, _ *topology.Setting, e *circuit.Element) { e.From = "M09-" }},
		"element at a removed": {func(_ *circuit.Pack, s *topology.Setting, _ *circuit.Element) { s.Removed = []string{"M01"} }},
		"element of no ohms":   {func(_ *circuit.Pack, _ *topology.Setting, e *circuit.Element) { e.Ohms = 0 }},
	} {
		t.Run(name, func(t *testing.T) {
			p, set, e := good, topology.Setting{}, meter
			tc.change(&p, &set, &e)
			if _, err := p.Solve(set, nil, []circuit.Element{e}); err == nil {
				t.Error("no error")
			}
		})
	}
}
