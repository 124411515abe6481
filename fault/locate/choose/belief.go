package choose

import "math"

// A belief is what is still possible: explanations with their weights, not scaled
// to one, so that a part of a belief carries its probability with it. Entries of
// one label stand together.
type belief struct {
	who   []int32
	w     []float64
	mass  float64
	print uint64 // of entries and weights
}

// negligible is the weight below which an entry is dropped.
const negligible = 1e-6

// lead is the weight of the heaviest label.
func (p *planner) lead(b belief) float64 {
	best, _ := p.heaviest(b)
	return best
}

// heaviest returns the weight of the heaviest label, and that label; of several
// alike the first by name.
func (p *planner) heaviest(b belief) (best float64, label int32) {
	label = -1
	p.perLabel(b, func(l int32, w float64) {
		if w > best*(1+1e-12) {
			best, label = w, l
		}
	})
	return best, label
}

// doubt is the entropy of the label times the mass.
func (p *planner) doubt(b belief) float64 {
	sum := xlog(b.mass)
	p.perLabel(b, func(_ int32, w float64) { sum -= xlog(w) })
	return math.Max(sum, 0)
}

func (p *planner) perLabel(b belief, each func(label int32, w float64)) {
	for i := 0; i < len(b.who); {
		l, w := p.label[b.who[i]], 0.0
		for ; i < len(b.who) && p.label[b.who[i]] == l; i++ {
			w += b.w[i]
		}
		each(l, w)
	}
}

// A stack gives out room for the beliefs of one branch of the search, and takes it
// back when the branch is done.
type stack struct {
	who   []int32
	w     []float64
	parts []part
}

// A part of a belief is what is left of it after one outcome.
type part struct {
	key int
	belief
}

type mark struct{ entries, parts int }

func (s *stack) mark() mark { return mark{len(s.who), len(s.parts)} }

func (s *stack) release(m mark) {
	s.who, s.w = s.who[:m.entries], s.w[:m.entries]
	s.parts = s.parts[:m.parts]
}

// split divides a belief by what is seen. Parts come in the order in which their
// keys turn up.
func (p *planner) split(b belief, see Sight) []part {
	p.cells.reset()
	at, count, buf := p.found[:0], p.count[:0], p.buf
	for i, who := range b.who {
		buf = see(p.orig[who], buf[:0])
		for _, ch := range buf {
			w := b.w[i] * ch.P
			if !(w > 0) {
				continue
			}
			c, fresh := p.cells.number(ch.Key)
			if fresh {
				count = append(count, 0)
			}
			count[c]++
			at = append(at, found{cell: int32(c), who: who, w: w, key: ch.Key})
		}
	}
	p.found, p.count, p.buf = at, count, buf
	p.spend(len(at))
	return p.deal(at, count)
}

// found is one entry on its way to a part.
type found struct {
	cell, who int32
	w         float64
	key       int
}

// deal puts what was found into parts that lie one after the other.
func (p *planner) deal(at []found, count []int32) []part {
	s := &p.stack
	base, first := len(s.who), len(s.parts)
	s.who = grow(s.who, len(at))
	s.w = grow(s.w, len(at))
	from := base
	for _, n := range count {
		s.parts = append(s.parts, part{belief: belief{who: s.who[from : from : from+int(n)], w: s.w[from : from : from+int(n)]}})
		from += int(n)
	}
	parts := s.parts[first:]
	for _, f := range at {
		q := &parts[f.cell]
		q.key = f.key
		q.who = append(q.who, f.who)
		q.w = append(q.w, f.w)
		q.mass += f.w
		q.print = mix(q.print, uint64(f.who), math.Float64bits(f.w))
	}
	return parts
}

func grow[T any](s []T, n int) []T {
	var zero T
	for range n {
		s = append(s, zero)
	}
	return s
}
