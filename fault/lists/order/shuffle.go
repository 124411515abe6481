package order

import (
	"math"
	"math/bits"
)

// A shuffle sums over every arrangement of blocks, each forward or turned: a subset of
// the blocks fills the list from its beginning, whatever their order was, so that the
// work is n 2ⁿ and not n! 2ⁿ.
type shuffle struct {
	s      *scorer
	blocks []block
	fill   [][][2]float64 // by block, start: forward and turned
}

func newShuffle(s *scorer, blocks []block) *shuffle {
	x := &shuffle{s: s, blocks: blocks}
	for _, b := range blocks {
		row := make([][2]float64, len(s.list)-b.size()+1)
		for start := range row {
			row[start] = [2]float64{s.inBlock(b, start, false), s.inBlock(b, start, true)}
		}
		x.fill = append(x.fill, row)
	}
	return x
}

// An arrangement is the likeliest of all, and what all are together.
type arrangement struct {
	start  []int   // by block: the index of the list at which it begins
	turned []bool  // by block
	best   float64 // ln of its likelihood
	total  float64 // ln of the sum over all arrangements
	count  float64 // ln of how many there are
}

func (x *shuffle) weigh() (a arrangement) {
	n := len(x.blocks)
	full := 1<<n - 1
	total, best := make([]float64, full+1), make([]float64, full+1)
	last := make([]uint8, full+1) // the block that was placed last, and 128 where it is turned
	filled := make([]int, full+1)
	for set := 1; set <= full; set++ {
		low := bits.TrailingZeros(uint(set))
		filled[set] = filled[set&(set-1)] + x.blocks[low].size()
		total[set], best[set] = math.Inf(-1), math.Inf(-1)
		for rest := set; rest != 0; rest &= rest - 1 {
			b := bits.TrailingZeros(uint(rest))
			before := set &^ (1 << b)
			f := x.fill[b][filled[set]-x.blocks[b].size()]
			for way, l := range f {
				if y := best[before] + l; y > best[set] {
					best[set] = y
					last[set] = uint8(b) | uint8(way)<<7
				}
				total[set] = addLogs(total[set], total[before]+l)
			}
		}
	}
	a = arrangement{start: make([]int, n), turned: make([]bool, n), best: best[full], total: total[full], count: float64(n) * math.Ln2}
	for i := 2; i <= n; i++ {
		a.count += math.Log(float64(i))
	}
	for set := full; set != 0; {
		b := int(last[set] & 127)
		before := set &^ (1 << b)
		a.start[b], a.turned[b] = filled[before], last[set]>>7 == 1
		set = before
	}
	return a
}

func addLogs(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	if math.IsInf(b, -1) {
		return a
	}
	return a + math.Log1p(math.Exp(b-a))
}

// arranged is the order in which blocks begin at indices of the list.
func arranged(blocks []block, start []int, turned []bool) []int {
	n := 0
	for _, b := range blocks {
		n += b.size()
	}
	to := make([]int, n)
	for k, b := range blocks {
		for j := range b.size() {
			p := b.lo + j
			if turned[k] {
				p = b.hi - 1 - j
			}
			to[start[k]+j] = p
		}
	}
	return to
}
