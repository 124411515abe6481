package choose

import (
	"context"
	"slices"
	"strings"
)

// An act is an action in the planner's own order, which is that of the ids.
type act struct {
	index   int
	reading bool
}

type planner struct {
	q           *Question
	ctx         context.Context
	enough      float64
	acts        []act
	readingsSet Set
	names       []string // labels in order
	label       []int32  // of an entry
	orig        []int    // the explanation that stands for an entry

	slight float64 // probability below which a branch is not followed
	pace   float64 // bits per minute by which what is not followed is estimated

	spent, looked, budget int
	over                  bool
	err                   error

	stack   stack
	site    site
	known   map[place][]move
	cells   cells
	tally   []tally
	touched []int32
	found   []found
	count   []int32
	buf     []Chance
}

// Next ranks what can be done next. It returns an error if the question makes no
// sense or the context ends; the same question gets the same answer.
func Next(ctx context.Context, q Question) (Answer, error) {
	return answer(ctx, q, budget)
}

func answer(ctx context.Context, q Question, budget int) (Answer, error) {
	if err := q.check(); err != nil {
		return Answer{}, err
	}
	if err := ctx.Err(); err != nil {
		return Answer{}, err
	}
	p := newPlanner(ctx, &q)
	b := p.start()
	if b.mass == 0 {
		return Answer{Stop: true}, nil
	}
	price, resolved := p.stopping(b)
	lead, label := p.heaviest(b)
	a := Answer{Label: p.names[label], Share: lead, Stop: true, Unresolved: price}
	if resolved {
		return a, nil
	}
	b = p.merge(b)
	list := p.rank(b, budget)
	if p.err != nil {
		return Answer{}, p.err
	}
	p.slight = efforts[0].slight
	for i, c := range list {
		a.Steps = append(a.Steps, p.step(b, c, i < detailed))
	}
	a.Stop = len(list) == 0 || rounded(list[0].total) >= rounded(price)
	return a, p.err
}

func newPlanner(ctx context.Context, q *Question) *planner {
	p := &planner{q: q, ctx: ctx, enough: q.Enough, budget: whole}
	if p.enough == 0 {
		p.enough = enough
	}
	for i, a := range q.Actions {
		p.acts = append(p.acts, act{i, a.Reading})
		if a.Reading {
			p.readingsSet = p.readingsSet.With(i)
		}
	}
	slices.SortFunc(p.acts, func(a, b act) int { return strings.Compare(q.Actions[a.index].ID, q.Actions[b.index].ID) })
	p.site = site{can: make([]bool, len(p.acts)), shows: make([]gain, len(p.acts))}
	p.known = map[place][]move{}
	return p
}
