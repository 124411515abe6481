package cells_test

import (
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/cells"
	"halfsplit/topology"
)

func TestBands_MissingZeroAndWildValues(t *testing.T) {
	for i := range 30 {
		r := rand.New(rand.NewPCG(uint64(i), 31))
		p := newPack(r, 3)
		a, b := p.band(r)
		p.lower(a, b, 30)
		c := p.fault()
		gone := map[int]bool{}
		for range len(p.mv) / 8 {
			at := r.IntN(len(p.mv))
			gone[at] = true
			c.GroupVolts[at/p.series].Volts[at%p.series] = []float64{math.NaN(), 0, -3.6, 3650, math.Inf(1)}[r.IntN(5)]
		}
		found := bandOf(t, c)
		lower, upper := map[string]bool{}, map[string]bool{}
		for _, e := range found.Lower {
			lower[e.Tap] = true
		}
		for _, e := range found.Upper {
			upper[e.Tap] = true
		}
		if !lower[p.tap(a)] || !upper[p.tap(b)] {
			t.Errorf("band %d..%d of taps %s %s, found %+v", a, b, p.tap(a), p.tap(b), found)
		}
		if gone[a] || gone[a-1] { // nothing tells these taps apart: they get the same odds
			if len(found.Lower) < 2 || found.Lower[0].Odds != found.Lower[1].Odds {
				t.Errorf("a value beside the edge is missing: %+v", found.Lower)
			}
		}
	}
}

func TestBands_Sizes(t *testing.T) {
	for n := 1; n <= 400; n += 1 + n/16 {
		p := &pack{series: 1}
		for i := range n {
			p.mv = append(p.mv, 3700+float64(i%3))
		}
		if b := cells.Bands(p.fault()); len(b) > 0 {
			t.Errorf("%d groups alike: %+v", n, b)
		}
		if n < 12 {
			continue
		}
		p.lower(n/4, n-n/4, 50)
		q := &pack{series: n, mv: p.mv} // the same in one module
		if b := cells.Bands(q.fault()); len(b) != 1 || b[0].Groups != n-2*(n/4) {
			t.Errorf("%d groups with a band: %+v", n, b)
		}
	}
}

// Iron phosphate on its level part: the same band counts for less, and it is said.
func TestBands_Plateau(t *testing.T) {
	p := even().lower(19, 61, 10)
	p.lower(0, len(p.mv), 350)
	p.chem = "lfp"
	b := bandOf(t, p.fault())
	if !b.Plateau || b.Weight != cells.PlateauWeight {
		t.Errorf("%+v", b)
	}
	if why := cells.Evidence(p.fault())[0].Why; !strings.Contains(why, "counts for less") {
		t.Error(why)
	}
	p.lower(0, len(p.mv), 400) // below the level part
	if b := bandOf(t, p.fault()); b.Plateau || b.Weight != cells.WeightCap {
		t.Errorf("%+v", b)
	}
}

// Modules of another chemistry or size have a level of their own.
func TestBands_MixedModules(t *testing.T) {
	p := even().lower(32, 56, 400) // three modules are of another kind
	c := p.fault()
	for m := 4; m < 7; m++ {
		c.Layout.Modules[m].Chemistry, c.Layout.Modules[m].Parallel = "lfp", 3
	}
	if b := cells.Bands(c); len(b) > 0 {
		t.Errorf("%+v", b)
	}
	p.lower(19, 61, 25) // and a band across them
	q := p.fault()
	q.Layout = c.Layout
	if b := bandOf(t, q); b.Lower[0].Tap != "M003.3" || b.Upper[0].Tap != "M008.5" || math.Abs(b.Depth-25) > 3 {
		t.Errorf("%+v", b)
	}
}

// Parallel strings are looked at one by one.
func TestBands_ParallelStrings(t *testing.T) {
	p := even().lower(10, 30, 20).lower(50, 53, 12).lower(57, 86, 12)
	c := p.fault()
	c.Layout.Links[5].From, c.Layout.Links[5].To = "M007-", "pack-" // M007 begins a string of its own
	c.Layout.Links = append(c.Layout.Links,
		topology.Link{ID: "P1", Kind: topology.Busbar, From: "M001-", To: "pack-"},
		topology.Link{ID: "P2", Kind: topology.Busbar, From: "M006+", To: "pack+"},
		topology.Link{ID: "P3", Kind: topology.Busbar, From: "M012+", To: "pack+"})
	found := cells.Bands(c)
	if len(found) != 2 || found[0].Lower[0].Tap != "M002.2" || found[0].Upper[0].Tap != "M004.6" ||
		found[1].String != "M007" || found[1].Lower[0].Tap != "M008.1" || found[1].Upper[0].Tap != "M011.6" {
		t.Errorf("%+v", found)
	}
}

// An open joint in a state that was read in is two places for a leak.
func TestBands_OpenJoint(t *testing.T) {
	c := even().lower(24, 61, 20).fault() // from the joint of M003 and M004
	taps := func() (s string) {
		for _, e := range bandOf(t, c).Lower {
			s += e.Tap + " "
		}
		return s
	}
	if got := taps(); got != "M003+ " {
		t.Error(got)
	}
	c.States = append(c.States, fault.State{ID: "split", Open: []string{"L03"}})
	if got := taps(); got != "M003+ " {
		t.Error("nothing was read in that state: ", got)
	}
	c.Readings = []fault.Reading{{ID: "r1", State: "split", Quantity: fault.Volts, Red: "M001-", Black: "chassis"}}
	if got := taps(); got != "M003+ M004- " {
		t.Error(got)
	}
}

// Two whole modules far down say what was done to these modules, not where a leak is.
func TestEvidence_WholeModulesDoNotOverwhelm(t *testing.T) {
	for name, c := range map[string]fault.Case{
		"S1b":                 load(t, "S1b"),
		"two 20 mV low":       even().lower(16, 32, 20).fault(),
		"two 300 mV low":      even().lower(16, 32, 300).fault(),
		"one 20 mV low":       even().lower(16, 24, 20).fault(),
		"six 20 mV low":       even().lower(16, 64, 20).fault(),
		"the first two":       even().lower(0, 16, 20).fault(),
		"one in every second": even().lower(16, 24, 20).lower(32, 40, 20).lower(48, 56, 20).fault(),
	} {
		t.Run(name, func(t *testing.T) {
			for _, b := range cells.Bands(c) {
				if b.Odds > cells.JointsCap || !b.Joints {
					t.Errorf("%+v", b)
				}
				if why := cells.Evidence(c)[0].Why; !strings.Contains(why, "stored or loaded together") {
					t.Error(why)
				}
			}
		})
	}
	if b := cells.Bands(even().lower(16, 24, 20).fault()); len(b) > 0 {
		t.Errorf("one module: %+v", b)
	}
	if b := cells.Bands(load(t, "S1b")); len(b) > 0 {
		t.Errorf("S1b: %+v", b)
	}
}

// Lists of several states: the latest of every module, but none from a state whose
// volts are elsewhere.
func TestPick_States(t *testing.T) {
	list := func(module, state, at string, mv float64) fault.GroupVolts {
		g := fault.GroupVolts{Module: module, State: state, At: at}
		for range 8 {
			g.Volts = append(g.Volts, mv/1000)
		}
		return g
	}
	tests := map[string]struct {
		more []fault.GroupVolts
		want []string
	}{
		"a newer list of one module":       {[]fault.GroupVolts{list("M004", "later", "", 3620)}, []string{"not-compared  0"}},
		"two of which one agrees":          {[]fault.GroupVolts{list("M004", "later", "", 3620), list("M005", "later", "", 3650), list("M006", "later", "", 3650)}, []string{"module-low M004 30"}},
		"a discharged pack":                {[]fault.GroupVolts{list("M004", "later", "", 3500), list("M005", "later", "", 3500)}, []string{"not-compared  0"}},
		"an older time entered afterwards": {[]fault.GroupVolts{list("M004", "closed", "2026-03-01T08:00:00Z", 3600)}, nil},
		"a newer time in the same state":   {[]fault.GroupVolts{list("M004", "closed", "2026-03-03T08:00:00+02:00", 3620)}, []string{"module-low M004 30"}},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			c := even().fault()
			for i := range c.GroupVolts {
				c.GroupVolts[i].At = "2026-03-02T08:00:00Z"
			}
			c.States = append(c.States, fault.State{ID: "later"})
			c.GroupVolts = append(c.GroupVolts, tt.more...)
			told(t, cells.Signatures(c), tt.want)
		})
	}
}

// Whatever a case holds, evidence is finite, above 1, capped and in place.
func FuzzEvidence(f *testing.F) {
	f.Add([]byte{8, 1, 2, 3}, uint8(8), uint8(0))
	f.Add([]byte(strings.Repeat("\x10\x10\x40\x40\x40", 20)), uint8(5), uint8(3))
	f.Add([]byte(strings.Repeat("\x10", 30)+strings.Repeat("\x40", 40)+strings.Repeat("\x10", 26)), uint8(8), uint8(1))
	f.Fuzz(func(t *testing.T, data []byte, series, odd uint8) {
		if len(data) > 400 {
			data = data[:400]
		}
		p := &pack{series: 1 + int(series)%16, chem: []string{"", "lfp", "nmc"}[odd%3]}
		for _, d := range data {
			p.mv = append(p.mv, 3300+float64(d))
		}
		c := p.fault()
		for i := range c.GroupVolts { // what no list should hold, at places that the bytes choose
			for k := range c.GroupVolts[i].Volts {
				if odd > 200 && data[(i+k)%len(data)] == 255 {
					c.GroupVolts[i].Volts[k] = math.Float64frombits(binary.LittleEndian.Uint64([]byte(fmt.Sprintf("%-8s", data[:min(8, len(data))]))))
				}
			}
			if odd%7 == 1 {
				c.GroupVolts[i].Volts = c.GroupVolts[i].Volts[:int(odd)%(len(c.GroupVolts[i].Volts)+1)]
			}
		}
		net, _ := topology.Compile(c.Layout)
		for _, e := range cells.Evidence(c) {
			_, ok := net.Node(e.Place)
			_, with := net.Node(e.With)
			if !ok || !with || !(e.Odds > 1) || e.Odds > cells.PairCap*(1+1e-9) || e.Kind != fault.Two {
				t.Errorf("%+v", e)
			}
		}
		for _, s := range cells.Signatures(c) {
			if math.IsNaN(s.Millivolts) || math.IsInf(s.Millivolts, 0) || strings.Contains(s.Text, "NaN") || strings.Contains(s.Text, "Inf") {
				t.Errorf("%+v", s)
			}
		}
	})
}
