package choose

import (
	"cmp"
	"math"
	"slices"
)

// budget bounds the search of one answer, in looks at what one action shows under
// one explanation, and questions after minutes.
const budget = 40_000

// whole bounds one list of moves where there is no answer without it.
const whole = 100 * budget

// efforts are the searches that are made while the budget lasts: of how many of
// the first actions that look best, and the probability below which a branch is
// estimated instead of followed. Totals of the first are rough.
var efforts = []struct {
	first  int
	slight float64
	effort
}{
	{first: 8, slight: 3e-3},
	{first: math.MaxInt, slight: 1e-5},
	{first: 12, slight: 1e-5, effort: effort{3, 2}},
	{first: 8, slight: 1e-5, effort: effort{4, 3, 2}},
	{first: 6, slight: 1e-5, effort: effort{6, 4, 3, 2}},
}

// A candidate is a first action with its best move and the expected minutes.
type candidate struct {
	act   int // position
	move  move
	total float64
	trust trust
}

// trust is where a total comes from; totals of different trust do not compare.
type trust int

const (
	guessed  trust = iota // from bits per minute
	sketched              // slight branches from bits per minute
	followed
)

// rank weighs all first actions, more deeply those that look best. A search that
// the budget cuts short is thrown away, except the first, so that all compared
// are searched alike.
func (p *planner) rank(b belief, budget int) []candidate {
	list := p.candidates(b)
	p.budget = p.spent + budget
	for i, e := range efforts {
		p.slight = e.slight
		next := slices.Clone(list)
		for k := range next[:min(len(next), e.first)] {
			c := &next[k]
			v := p.first(b, *c, e.effort, i > 0)
			switch {
			case p.over && i == 0: // those before it are worth having
				slices.SortStableFunc(next, inOrder)
				return next
			case p.over:
				return list
			case i == 0:
				c.total, c.trust = v, sketched
			case c.trust < followed || v < c.total:
				c.total, c.trust = v, followed
			}
		}
		slices.SortStableFunc(next, inOrder)
		list = next
	}
	return list
}

// inOrder puts what was followed before what was sketched, and what was guessed
// last, in the order of bits per minute.
func inOrder(a, b candidate) int {
	if a.trust != b.trust || a.trust == guessed {
		return cmp.Compare(b.trust, a.trust)
	}
	return cmp.Or(cmp.Compare(rounded(a.total), rounded(b.total)), cmp.Compare(a.act, b.act))
}

// candidates are the first actions of all moves, each with the move of most bits
// per minute, in that order; totals are estimates.
func (p *planner) candidates(b belief) []candidate {
	list := p.allMoves(b, p.q.Done)
	p.setPace(list)
	price, _ := p.stopping(b)
	doubt := p.doubt(b)
	var out []candidate
	seen := map[int]bool{}
	for _, m := range list {
		if !seen[m.first()] {
			seen[m.first()] = true
			rest := math.Min(price, (doubt-m.gain.bits)/p.pace)
			out = append(out, candidate{act: m.first(), move: m, total: m.minutes + math.Max(rest, 0)})
		}
	}
	return out
}

// first is the value of a belief when a candidate's action is done first: its best
// move, or, if that is asked for, the action alone and then whatever is best.
func (p *planner) first(b belief, c candidate, e effort, alone bool) float64 {
	v := p.try(b, c.move, e, math.Inf(1))
	if c.move.n == 1 || !alone {
		return v
	}
	a := p.acts[c.act]
	minutes, _ := p.minutes(p.q.Done, a)
	return math.Min(v, minutes+p.value(b, p.after(p.q.Done, a), e, v-minutes))
}
