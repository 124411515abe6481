package order

import (
	"math"
	"testing"

	"halfsplit/topology"
)

// The sum over arrangements and the likeliest of them, against each one by itself:
// blocks of unequal size, each forward and turned, in every order.
func TestShuffle_AgainstEachByItself(t *testing.T) {
	v := &view{net: &topology.Net{}, groups: 9, channels: []channel{{"dmm", 0.003}},
		all: []seen{{lo: 0, hi: 1, volts: 3.61, sd: 0.001}, {lo: 2, hi: 5, volts: 10.95, sd: 0.01}, {lo: 5, hi: 9, volts: 14.61, sd: 0.01}, {lo: 8, hi: 9, volts: 3.7, sd: 0.001}}}
	s := newScorer(v, []float64{3.6, 3.63, 3.7, 3.66, 3.61, 3.64, math.NaN(), 3.65, 3.68})
	s.gain[0] = 0.001
	blocks := []block{{"A", 0, 2}, {"B", 2, 5}, {"C", 5, 9}}
	got := newShuffle(s, blocks).weigh()

	total, best, n := math.Inf(-1), math.Inf(-1), 0
	for _, order := range [][]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}} {
		for ways := range 8 {
			start, sum := 0, 0.0
			for _, k := range order {
				sum += s.inBlock(blocks[k], start, ways>>k&1 == 1)
				start += blocks[k].size()
			}
			total, best, n = addLogs(total, sum), math.Max(best, sum), n+1
		}
	}
	if math.Abs(got.total-total) > 1e-9 || math.Abs(got.best-best) > 1e-9 || math.Abs(got.count-math.Log(float64(n))) > 1e-9 {
		t.Errorf("got %+v, want total %g, best %g, %d arrangements", got, total, best, n)
	}
	sum := 0.0
	for k, b := range blocks {
		sum += s.inBlock(b, got.start[k], got.turned[k])
	}
	if math.Abs(sum-best) > 1e-9 {
		t.Errorf("the likeliest arrangement %v %v has %g, not %g", got.start, got.turned, sum, best)
	}
	seenAt := map[int]bool{}
	for _, p := range arranged(blocks, got.start, got.turned) {
		seenAt[p] = true
	}
	if len(seenAt) != 9 {
		t.Errorf("its order has %d places", len(seenAt))
	}
}
