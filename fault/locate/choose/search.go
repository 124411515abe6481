package choose

import (
	"cmp"
	"math"
	"slices"
)

// An effort says how many moves are tried at each ply of the search; beyond its
// end one is, the one with the most bits per minute.
type effort []int

func (e effort) width() int {
	if len(e) == 0 {
		return 1
	}
	return e[0]
}

func (e effort) rest() effort {
	if len(e) == 0 {
		return nil
	}
	return e[1:]
}

// spend counts work, and notices when it is used up or no longer wanted.
func (p *planner) spend(entries int) {
	p.spent += entries + overhead
	if p.spent-p.looked > 10_000 {
		p.looked = p.spent
		if p.err == nil {
			p.err = p.ctx.Err()
		}
	}
	p.over = p.err != nil || p.spent > p.budget
}

// overhead is what asking for one sight costs, in entries.
const overhead = 8

// stopping is the price of stopping with a belief, times its mass, and whether
// nothing more need be known.
func (p *planner) stopping(b belief) (price float64, resolved bool) {
	lead := p.lead(b)
	return p.q.Wrong * math.Max(b.mass-lead, 0), lead >= p.enough*b.mass
}

// value is the expected minutes from a belief in a state to the end, times the
// belief's mass, under the policy that the effort describes; anything not less
// than the limit stands for all that is. Where it is not followed to the end, the
// rest is estimated by the pace.
func (p *planner) value(b belief, done Set, e effort, limit float64) float64 {
	best, resolved := p.stopping(b)
	if resolved || best <= 0 {
		return best
	}
	if p.over || b.mass < p.slight {
		return math.Min(best, p.doubt(b)/p.pace)
	}
	list := p.moves(b, done)
	for _, mv := range list[:min(len(list), e.width())] {
		best = math.Min(best, p.try(b, mv, e.rest(), math.Min(best, limit)))
	}
	return best
}

// try is the value of a belief when a move is made first.
func (p *planner) try(b belief, mv move, e effort, limit float64) float64 {
	total := mv.minutes * b.mass
	if total >= limit {
		return total
	}
	m := p.stack.mark()
	defer p.stack.release(m)
	last := p.acts[mv.last()]
	parts := p.split(b, p.q.Sight(mv.before, last.index))
	slices.SortFunc(parts, likelier)
	done := p.after(mv.before, last)
	if len(parts) > 2*many {
		return total + p.sampled(parts, done, e, limit-total)
	}
	return total + p.all(parts, done, e, limit-total)
}

// likelier puts what is more probable first: it soonest shows that a move is too
// dear, and the work does not depend on the order in which outcomes turn up.
func likelier(a, b part) int {
	return cmp.Or(cmp.Compare(rounded(b.mass), rounded(a.mass)), cmp.Compare(a.key, b.key))
}

// all is the value of some outcomes together.
func (p *planner) all(parts []part, done Set, e effort, limit float64) float64 {
	total := 0.0
	for _, part := range parts {
		total += p.value(part.belief, done, e, limit-total)
		if total >= limit {
			break
		}
	}
	return total
}

// many is how many outcomes are followed for their weight, and how many more as a
// sample of the rest.
const many = 12

// sampled follows the heaviest outcomes, and of the lighter ones every so manieth
// for all of them. Without it, a reading that shows one of a hundred groups would
// take all the work there is.
func (p *planner) sampled(parts []part, done Set, e effort, limit float64) float64 {
	total := p.all(parts[:many], done, e, limit)
	rest := parts[many:]
	step := (len(rest) + many - 1) / many
	value, mass, sum := 0.0, 0.0, 0.0
	for i, part := range rest {
		sum += part.mass
		if i%step == step/2 {
			value += p.value(part.belief, done, e, math.Inf(1))
			mass += part.mass
		}
	}
	return total + value*sum/mass
}

// setPace takes the bits per minute of the best move that changes something: the
// readings of a state are soon used up.
func (p *planner) setPace(list []move) {
	for _, m := range list {
		if p.pace = math.Max(m.rate(), 1e-12); !p.acts[m.first()].reading {
			return
		}
	}
}
