package choose

import (
	"math"
	"math/bits"
)

// The exact optimum, by dynamic programming over what is left and what is done. It
// shares nothing with the planner but the world that both ask.

// A left is a set of explanations.
type left [2]uint64

type node struct {
	left  left
	links uint32
	board uint32 // unplugged, of those that are still suspected
	cover uint32 // off
}

type optimum struct {
	c       *chainOf
	w       []float64
	memo    map[node]bound
	single  bool // one action at a time, for checking what the moves leave out
	nodes   int
	minRead float64
}

// hair is more than rounding can do to a limit that is passed down and back.
const hair = 1e-9

// bound is the least cost from a node: at least v, and just v where it is exact.
type bound struct {
	v     float64
	exact bool
}

func newOptimum(c *chainOf) *optimum {
	o := &optimum{c: c, memo: map[node]bound{}, minRead: math.Inf(1)}
	sum := 0.0
	for _, w := range c.priors {
		sum += w
	}
	for _, w := range c.priors {
		o.w = append(o.w, w/sum)
	}
	for i := range c.n {
		o.minRead = min(o.minRead, c.minutes[c.read(i)])
	}
	return o
}

func (o *optimum) solve() float64 {
	var all left
	for i := range o.w {
		all[i>>6] |= 1 << (i & 63)
	}
	return o.cost(node{left: all}, math.Inf(1))
}

// stop is the price of stopping, times the mass; whether that is the end; and the mass.
func (o *optimum) stop(l left) (price float64, resolved bool, mass float64) {
	lead := 0.0
	l.each(func(i int) {
		mass += o.w[i]
		lead = max(lead, o.w[i])
	})
	return o.c.wrong * (mass - lead), lead >= enough*mass, mass
}

func (l left) each(f func(i int)) {
	for k, word := range l {
		for ; word != 0; word &= word - 1 {
			f(k<<6 + bits.TrailingZeros64(word))
		}
	}
}

// cost is the least expected minutes from a node, times its mass, if that is below
// the limit; else something at or above the limit that is no more than the least.
func (o *optimum) cost(n node, limit float64) float64 {
	price, resolved, mass := o.stop(n.left)
	if resolved {
		return price
	}
	n = o.reduced(n)
	known, seen := o.memo[n]
	if seen && (known.exact || known.v >= limit) {
		return known.v
	}
	if !seen {
		o.nodes++
		known.v = min(price, o.minRead*mass)
		if known.v >= limit {
			return known.v
		}
	}
	best := price
	if o.single {
		best = o.singles(n, mass, best, limit)
	} else {
		best = o.sections(n, mass, best, limit)
	}
	if best < limit-hair {
		o.memo[n] = bound{best, true}
		return best
	}
	o.memo[n] = bound{max(limit-hair, known.v), false}
	return max(limit, known.v)
}

// reduced forgets the boards that are no longer suspected: their leak is not there.
func (o *optimum) reduced(n node) node {
	var suspects uint32
	n.left.each(func(i int) {
		if l := o.c.explain[i]; l.board {
			suspects |= 1 << l.at[0]
		}
	})
	n.board &= suspects
	return n
}

func (o *optimum) off(n *node, module int) float64 {
	k := o.c.cover[module]
	if n.cover>>k&1 != 0 {
		return 0
	}
	n.cover |= 1 << k
	return o.c.covers[k]
}

func (o *optimum) open(n *node, link int) float64 {
	if link < 0 || link >= o.c.links() || n.links>>link&1 != 0 {
		return 0
	}
	n.links |= 1 << link
	return o.c.minutes[link] + o.off(n, link)
}

func (o *optimum) unplug(n *node, i int) float64 {
	n.board |= 1 << i
	return o.c.minutes[o.c.board(i)] + o.off(n, i)
}

// sections tries every section that can be had by opening links, with every set of
// suspected boards in it unplugged, and reads it. Nothing is lost by that: whatever
// does not change what the next reading shows can be done after it just as well.
func (o *optimum) sections(n node, mass, best, limit float64) float64 {
	var suspects uint32
	n.left.each(func(i int) {
		if l := o.c.explain[i]; l.board {
			suspects |= 1 << l.at[0]
		}
	})
	for lo := range o.c.n {
		for hi := lo; hi < o.c.n; hi++ {
			if hi > lo && n.links>>(hi-1)&1 != 0 {
				break
			}
			to, minutes := n, o.c.minutes[o.c.read(lo)]
			minutes += o.open(&to, lo-1) + o.open(&to, hi)
			inside := (suspects &^ n.board) & (1<<(hi+1) - 1<<lo)
			best = o.boards(to, lo, hi, inside, minutes, mass, best, limit)
		}
	}
	return best
}

// boards reads a section with some of the boards inside unplugged, the rest not.
func (o *optimum) boards(n node, lo, hi int, inside uint32, minutes, mass, best, limit float64) float64 {
	if minutes*mass >= min(best, limit) {
		return best
	}
	best = min(best, o.see(n, lo, hi, minutes*mass, min(best, limit)))
	for rest := inside; rest != 0; rest &= rest - 1 {
		i := bits.TrailingZeros32(rest)
		to := n
		more := o.unplug(&to, i)
		best = o.boards(to, lo, hi, rest&(rest-1), minutes+more, mass, best, limit)
	}
	return best
}

// see is the cost of reading a section, given what has been spent.
func (o *optimum) see(n node, lo, hi int, spent, limit float64) float64 {
	var parts [33]left
	used := uint64(0)
	done := o.done(n)
	n.left.each(func(i int) {
		k := o.c.shown(o.c.explain[i], lo, hi, done)
		parts[k][i>>6] |= 1 << (i & 63)
		used |= 1 << k
	})
	if bits.OnesCount64(used) < 2 {
		return math.Inf(1)
	}
	least := spent
	var low [33]float64
	for u := used; u != 0; u &= u - 1 {
		k := bits.TrailingZeros64(u)
		low[k] = o.least(parts[k])
		least += low[k]
	}
	for u := used; u != 0 && least < limit; u &= u - 1 {
		k := bits.TrailingZeros64(u)
		to := n
		to.left = parts[k]
		least += o.cost(to, limit-least+low[k]) - low[k]
	}
	return least
}

// least is what a part costs at the very least.
func (o *optimum) least(l left) float64 {
	price, resolved, mass := o.stop(l)
	if resolved {
		return price
	}
	return min(price, o.minRead*mass)
}

// done is a node's state as the world understands it.
func (o *optimum) done(n node) Set {
	var s Set
	for i := range o.c.n {
		if n.links>>i&1 != 0 {
			s = s.With(i)
		}
		if n.board>>i&1 != 0 {
			s = s.With(o.c.board(i))
		}
	}
	return s
}

// singles tries every action by itself.
func (o *optimum) singles(n node, mass, best, limit float64) float64 {
	for k := range o.c.links() {
		if n.links>>k&1 == 0 {
			to := n
			m := o.open(&to, k) * mass
			best = min(best, m+o.cost(to, min(best, limit)-m))
		}
	}
	for i := range o.c.n {
		if n.board>>i&1 == 0 {
			to := n
			m := o.unplug(&to, i) * mass
			best = min(best, m+o.cost(to, min(best, limit)-m))
		}
	}
	for lo := range o.c.n {
		if lo > 0 && n.links>>(lo-1)&1 == 0 {
			continue
		}
		hi := lo
		for hi < o.c.n-1 && n.links>>hi&1 == 0 {
			hi++
		}
		best = min(best, o.see(n, lo, hi, o.c.minutes[o.c.read(lo)]*mass, min(best, limit)))
	}
	return best
}
