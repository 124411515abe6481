package order_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/lists/order"
	"halfsplit/topology"
)

// pack is an invented string with boards that each hold so many modules; 0 = none
// are drawn.
func pack(modules, series, perBoard int) fault.Case {
	c := fault.Case{Now: "closed", States: []fault.State{{ID: "closed"}},
		Instruments: []fault.Instrument{{ID: "dmm", Kind: "voltmeter", GainPct: 0.5, Counts: 2, Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}}}}}
	c.Layout.Stacks = []topology.Stack{{ID: "A"}}
	for i := range modules {
		id := fmt.Sprintf("M%02d", i+1)
		c.Layout.Modules = append(c.Layout.Modules, topology.Module{ID: id, Stack: "A", Series: series})
		if i > 0 {
			c.Layout.Links = append(c.Layout.Links, topology.Link{ID: fmt.Sprintf("L%02d", i), Kind: topology.Busbar, From: fmt.Sprintf("M%02d+", i), To: id + "-"})
		}
		if perBoard > 0 && i%perBoard == perBoard-1 {
			c.Layout.Boards = append(c.Layout.Boards, topology.Board{ID: fmt.Sprintf("B%d", i/perBoard+1), Taps: []string{fmt.Sprintf("M%02d-", i-perBoard+2), id + "+"}})
		}
	}
	return c
}

// draw is the truth in V along the string.
func draw(r *rand.Rand, n int, spread float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = 3.65 + spread*r.NormFloat64()
	}
	return out
}

// measured adds what a meter with its own gain and counts shows over modules and groups.
func measured(c fault.Case, r *rand.Rand, truth []float64, modules []int, groups [][2]int) fault.Case {
	series := c.Layout.Modules[0].Series
	gain := 1 + 0.005*(2*r.Float64()-1)
	c.Readings = nil
	add := func(red, black string, v, count float64) {
		v = math.Round((v*gain+2*count*(2*r.Float64()-1))/count) * count
		c.Readings = append(c.Readings, fault.Reading{ID: fmt.Sprintf("r%d", len(c.Readings)+1), State: "closed", Quantity: fault.Volts, Red: red, Black: black, Value: v, Instrument: "dmm"})
	}
	for _, m := range modules {
		sum := 0.0
		for _, v := range truth[m*series : (m+1)*series] {
			sum += v
		}
		id := c.Layout.Modules[m].ID
		add(id+"+", id+"-", sum, 0.01)
	}
	for _, g := range groups {
		id := c.Layout.Modules[g[0]].ID
		add(fmt.Sprintf("%s.%d", id, g[1]), fmt.Sprintf("%s.%d", id, g[1]-1), truth[g[0]*series+g[1]-1], 0.001)
	}
	return c
}

// listed is the truth as a monitor shows it, in the order to.
func listed(r *rand.Rand, truth []float64, to []int) []float64 {
	gain := 1 + 0.002*(2*r.Float64()-1)
	out := make([]float64, len(truth))
	for i, p := range to {
		out[i] = math.Round(1000*(truth[p]*gain+0.005*(2*r.Float64()-1))) / 1000
	}
	return out
}

func inOrder(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

func mirror(n int) []int { to := inOrder(n); slices.Reverse(to); return to }

// shuffle permutes blocks of so many groups and turns some of them.
func shuffle(r *rand.Rand, n, size int) []int {
	var to []int
	for _, b := range r.Perm(n / size) {
		block := inOrder(n)[b*size : (b+1)*size]
		if r.IntN(2) == 1 {
			slices.Reverse(block)
		}
		to = append(to, block...)
	}
	return to
}

func all(n int) []int { return inOrder(n) }

// Simulated packs of small and of large spread: where the order is told, it is the
// true one, and it is told nearly always.
func TestWeigh_TrueOrderIsTold(t *testing.T) {
	const packs = 30
	for name, c := range map[string]struct {
		spread float64
		to     func(r *rand.Rand) []int
		groups [][2]int
		least  int // of the packs
	}{
		"forward":                 {0.02, func(*rand.Rand) []int { return inOrder(96) }, [][2]int{{0, 1}, {6, 2}}, packs * 8 / 10},
		"mirrored":                {0.02, func(*rand.Rand) []int { return mirror(96) }, [][2]int{{0, 1}, {6, 2}}, packs * 8 / 10},
		"mirrored, large spread":  {0.15, func(*rand.Rand) []int { return mirror(96) }, [][2]int{{0, 1}, {6, 2}}, packs * 9 / 10},
		"shuffled boards":         {0.03, func(r *rand.Rand) []int { return shuffle(r, 96, 16) }, [][2]int{{1, 1}, {3, 2}, {5, 3}, {7, 8}, {9, 1}, {11, 4}}, packs * 8 / 10},
		"shuffled, large spread":  {0.15, func(r *rand.Rand) []int { return shuffle(r, 96, 16) }, [][2]int{{1, 1}, {3, 2}, {5, 3}, {7, 8}, {9, 1}, {11, 4}}, packs * 9 / 10},
		"each mirrored in itself": {0.03, func(*rand.Rand) []int { return inside(96, 16) }, [][2]int{{0, 1}, {6, 2}}, packs * 8 / 10},
	} {
		t.Run(name, func(t *testing.T) {
			right, wrong := 0, 0
			for i := range packs {
				r := rand.New(rand.NewPCG(uint64(i), 6))
				truth := draw(r, 96, c.spread)
				to := c.to(r)
				got := order.Weigh(measured(pack(12, 8, 2), r, truth, all(12), c.groups), listed(r, truth, to))
				switch {
				case !got.Told:
				case slices.Equal(got.Maps[0].To, to):
					right++
				default:
					wrong++
				}
			}
			if t.Logf("told rightly %d times, wrongly %d times of %d", right, wrong, packs); wrong > 1 || right < c.least {
				t.Error("too often wrong, or too seldom told")
			}
		})
	}
}

func inside(n, size int) (to []int) {
	for b := 0; b < n; b += size {
		block := inOrder(n)[b : b+size]
		slices.Reverse(block)
		to = append(to, block...)
	}
	return to
}

// Shares are shares, whatever is read.
func TestWeigh_SharesSumToOne(t *testing.T) {
	for i := range 20 {
		r := rand.New(rand.NewPCG(uint64(i), 7))
		truth := draw(r, 24, 0.02)
		got := order.Weigh(measured(pack(6, 4, i%3), r, truth, r.Perm(6)[:i%7], nil), listed(r, truth, shuffle(r, 24, 4)))
		sum := 0.0
		for k, m := range got.Maps {
			sum += m.Share
			if k > 0 && m.Share > got.Maps[k-1].Share || math.IsNaN(m.Share) {
				t.Errorf("pack %d: %+v", i, got.Maps)
			}
			if sorted := slices.Sorted(slices.Values(m.To)); m.To != nil && !slices.Equal(sorted, inOrder(24)) {
				t.Errorf("pack %d: %s is no order: %v", i, m.Name, m.To)
			}
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("pack %d: shares sum to %g", i, sum)
		}
	}
}

// What cannot be told is said, with what would tell.
func TestWeigh_CannotTell(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	truth := draw(r, 24, 0.03)
	symmetric := slices.Clone(truth)
	for i := range 12 {
		symmetric[23-i] = symmetric[i]
	}
	level := make([]float64, 24)
	for i := range level {
		level[i] = 3.65
	}
	for name, c := range map[string]struct {
		truth   []float64
		modules []int
		tell    string
	}{
		"nothing read":                       {truth, nil, "Read M0"},
		"forward or each mirrored in itself": {truth, all(6), "Read group "},
		"a level pack":                       {level, all(6), "No reading of volts tells"},
	} {
		t.Run(name, func(t *testing.T) {
			got := order.Weigh(measured(pack(6, 4, 0), r, c.truth, c.modules, nil), listed(r, c.truth, inOrder(24)))
			if got.Told || !strings.Contains(got.Tell, c.tell) || !strings.Contains(strings.Join(got.Says, " "), map[bool]string{true: "Nothing was read", false: "cannot be told apart"}[c.modules == nil]) {
				t.Errorf("%+v", got)
			}
		})
	}
	got := order.Weigh(measured(pack(6, 4, 3), r, symmetric, all(6), [][2]int{{0, 1}, {0, 2}}), listed(r, symmetric, inOrder(24)))
	shares := map[string]float64{}
	for _, m := range got.Maps {
		shares[m.Name[:7]] = m.Share
	}
	if got.Told || shares["forward"] < 0.3 || shares["mirrore"] < 0.15 {
		t.Errorf("a symmetric pack: %+v", got)
	}
}

// One slip among the readings does not turn the order.
func TestWeigh_OneSlip(t *testing.T) {
	for i := range 20 {
		r := rand.New(rand.NewPCG(uint64(i), 10))
		truth := draw(r, 96, 0.03)
		c := measured(pack(12, 8, 2), r, truth, all(12), [][2]int{{0, 1}, {6, 2}})
		c.Readings[r.IntN(12)].Value *= 1.03
		if got := order.Weigh(c, listed(r, truth, mirror(96))); got.Told && !slices.Equal(got.Maps[0].To, mirror(96)) {
			t.Errorf("pack %d: %s", i, got.Maps[0].Name)
		}
	}
}

func TestWeigh_LayoutsOwnIndex(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 11))
	truth := draw(r, 24, 0.03)
	c := measured(pack(6, 4, 0), r, truth, nil, nil)
	for i := range c.Layout.Modules {
		c.Layout.Modules[i].MonitorIndex = []int{24 - 4*i, 21 - 4*i}
	}
	got := order.Weigh(c, listed(r, truth, mirror(24)))
	if !slices.Equal(got.Maps[0].To, mirror(24)) || !strings.Contains(got.Maps[0].Name, "as the layout gives it") || got.Told {
		t.Errorf("%+v", got.Maps[0])
	}
}

func TestWeigh_AnotherLength(t *testing.T) {
	got := order.Weigh(pack(6, 4, 0), make([]float64, 23))
	if len(got.Maps) != 0 || !strings.Contains(got.Says[0], "23 values and the pack 24 groups") {
		t.Errorf("%+v", got)
	}
}

// A pack of 18 modules: with its boards drawn, and by modules.
func BenchmarkWeigh(b *testing.B) {
	for name, perBoard := range map[string]int{"9 boards": 2, "18 modules": 0} {
		b.Run(name, func(b *testing.B) {
			r := rand.New(rand.NewPCG(1, 12))
			truth := draw(r, 216, 0.03)
			c := measured(pack(18, 12, perBoard), r, truth, all(18), [][2]int{{0, 1}})
			list := listed(r, truth, mirror(216))
			for b.Loop() {
				order.Weigh(c, list)
			}
		})
	}
}
