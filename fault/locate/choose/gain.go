package choose

import "math"

// A gain is what a sight does to a belief.
type gain struct {
	bits  float64 // mutual information of label and outcome
	print uint64  // the same for two sights that divide the belief in the same way
}

// gain weighs a sight. The information of label and outcome is
//
//	(f(mass) − Σ_l f(w_l) − Σ_c f(w_c) + Σ_cl f(w_cl)) / mass,  f(x) = x·log2 x,
//
// over labels l and outcomes c. Entries of one label stand together, so that one
// pass suffices, and what it costs is counted in entries.
func (p *planner) gain(b belief, see Sight) gain {
	p.cells.reset()
	g := gain{bits: xlog(b.mass), print: 1469598103934665603}
	t, touched, buf, chances := p.tally[:0], p.touched[:0], p.buf, 0
	for i := 0; i < len(b.who); {
		l, sum := p.label[b.who[i]], 0.0
		touched = touched[:0]
		for ; i < len(b.who) && p.label[b.who[i]] == l; i++ {
			sum += b.w[i]
			buf = see(p.orig[b.who[i]], buf[:0])
			chances += len(buf)
			for _, ch := range buf {
				c, fresh := p.cells.number(ch.Key)
				if fresh {
					t = append(t, tally{})
				}
				if t[c].now == 0 {
					touched = append(touched, int32(c))
				}
				t[c].now += b.w[i] * ch.P
				g.print = mix(g.print, uint64(c), math.Float64bits(ch.P))
			}
		}
		g.bits -= xlog(sum)
		for _, c := range touched {
			g.bits += t[c].flush()
		}
	}
	for i := range t {
		g.bits -= xlog(t[i].sum)
	}
	p.tally, p.touched, p.buf = t, touched, buf
	p.spend(chances)
	if g.bits /= b.mass; !(g.bits > 1e-9) {
		g.bits = 0
	}
	return g
}

// mix folds two words into a fingerprint.
func mix(h, a, b uint64) uint64 {
	h = (h ^ a) * 1099511628211
	h = (h ^ b) * 0x9e3779b97f4a7c15
	return h ^ h>>29
}

// A tally gathers one outcome's weight: of the label at hand, and of all labels.
type tally struct{ now, sum float64 }

// flush ends a label and returns its part in the information.
func (t *tally) flush() float64 {
	w := t.now
	t.now = 0
	t.sum += w
	return xlog(w)
}

// cells numbers outcome keys from 0 as they turn up.
type cells struct {
	small [1024]int32 // number, valid where the stamp is of this round
	stamp [1024]uint32
	round uint32
	large map[int]int
	n     int
}

func (c *cells) reset() {
	c.round++
	if c.round == 0 {
		clear(c.stamp[:])
		c.round = 1
	}
	c.n = 0
	if len(c.large) > 0 {
		clear(c.large)
	}
}

func (c *cells) number(key int) (n int, fresh bool) {
	if uint(key) < uint(len(c.small)) {
		if c.stamp[key] == c.round {
			return int(c.small[key]), false
		}
		c.stamp[key], c.small[key] = c.round, int32(c.n)
	} else {
		if n, known := c.large[key]; known {
			return n, false
		}
		if c.large == nil {
			c.large = map[int]int{}
		}
		c.large[key] = c.n
	}
	c.n++
	return c.n - 1, true
}
