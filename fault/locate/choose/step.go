package choose

import (
	"math"
	"slices"
)

// detailed is how many steps are told with their outcomes.
const detailed = 3

// step tells a candidate as an answer does; where it is far down the list, without
// its outcomes.
func (p *planner) step(b belief, c candidate, follow bool) Step {
	a := p.acts[c.act]
	minutes, _ := p.minutes(p.q.Done, a)
	s := Step{Action: a.index, Minutes: minutes, Bits: c.move.gain.bits, Total: c.total, Rough: c.trust < followed}
	for _, at := range c.move.acts[1:c.move.n] {
		s.Then = append(s.Then, p.acts[at].index)
	}
	if !follow {
		return s
	}
	last := p.acts[c.move.last()]
	done := p.after(c.move.before, last)
	m := p.stack.mark()
	defer p.stack.release(m)
	parts := p.split(b, p.q.Sight(c.move.before, last.index))
	slices.SortFunc(parts, likelier)
	for i, part := range parts {
		width := 2
		if i >= many {
			width = 0
		}
		lead, label := p.heaviest(part.belief)
		s.Outcomes = append(s.Outcomes, Outcome{Key: part.key, P: part.mass, Label: p.names[label], Share: lead / part.mass,
			Next: p.next(part.belief, done, width)})
	}
	return s
}

// glance is the work for the moves tried after one outcome.
const glance = budget / 100

// next is the index of the action to begin with in a belief, or -1 to stop. Its
// search is shallow: of so many moves the best, or the one with most bits per
// minute. With the reading taken, the question is better asked anew.
func (p *planner) next(b belief, done Set, width int) int {
	best, resolved := p.stopping(b)
	if resolved {
		return -1
	}
	act := -1
	p.budget = p.spent + whole
	list := p.moves(b, done)
	p.budget = p.spent + glance
	if width == 0 && len(list) > 0 {
		m := list[0]
		rest := math.Max(p.doubt(b)-m.gain.bits*b.mass, 0) / p.pace
		if rounded(m.minutes*b.mass+rest) < rounded(best) {
			act = p.acts[m.first()].index
		}
		return act
	}
	for _, m := range list[:min(len(list), width)] {
		if v := p.try(b, m, nil, best); rounded(v) < rounded(best) {
			best, act = v, p.acts[m.first()].index
		}
	}
	return act
}
