package choose

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"
)

func ask(t *testing.T, q Question) Answer {
	t.Helper()
	a, err := Next(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// A line is a step as it must be however the question is written down.
type line struct {
	id, then    string
	bits, total float64
	rough       bool
}

func lines(q Question, a Answer) []line {
	var out []line
	for _, s := range a.Steps {
		l := line{id: q.Actions[s.Action].ID, bits: s.Bits, total: s.Total, rough: s.Rough}
		for _, at := range s.Then {
			l.then += q.Actions[at].ID + " "
		}
		out = append(out, l)
	}
	return out
}

func sameLines(t *testing.T, what string, got, want []line) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("%s: %d steps, want %d", what, len(got), len(want))
	}
	for i, g := range got {
		w := want[i]
		if g.id != w.id || g.then != w.then || g.rough != w.rough ||
			math.Abs(g.bits-w.bits) > 1e-9 || math.Abs(g.total-w.total) > 1e-9*w.total {
			t.Errorf("%s: step %d is %+v, want %+v", what, i, g, w)
		}
	}
}

// shuffled writes a question down in another order, with other labels.
func shuffled(q Question, r *rand.Rand) Question {
	es, as := r.Perm(len(q.Explanations)), r.Perm(len(q.Actions))
	names := map[string]string{}
	out := Question{Wrong: q.Wrong, Enough: q.Enough}
	for _, i := range es {
		e := q.Explanations[i]
		if names[e.Label] == "" {
			names[e.Label] = fmt.Sprintf("%08x", r.Uint32())
		}
		out.Explanations = append(out.Explanations, Explanation{names[e.Label], e.Weight})
	}
	for n, i := range as {
		out.Actions = append(out.Actions, q.Actions[i])
		if q.Done.Has(i) {
			out.Done = out.Done.With(n)
		}
	}
	back := func(s Set) (b Set) {
		for n, i := range as {
			if s.Has(n) {
				b = b.With(i)
			}
		}
		return b
	}
	out.Minutes = func(done Set, a int) (float64, bool) { return q.Minutes(back(done), as[a]) }
	out.Sight = func(done Set, a int) Sight {
		see := q.Sight(back(done), as[a])
		if see == nil {
			return nil
		}
		return func(h int, into []Chance) []Chance { return see(es[h], into) }
	}
	return out
}

func TestNext_OrderAndLabelsDoNotMatter(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for i := range 40 {
		c := newChain(4+i%4, r)
		c.noise = 0.2 * float64(i%2)
		q := c.question()
		s := shuffled(q, r)
		sameLines(t, fmt.Sprint("chain ", i), lines(s, ask(t, s)), lines(q, ask(t, q)))
	}
}

func TestNext_SameQuestionSameAnswer(t *testing.T) {
	_, q := newFine(true)
	if a, b := ask(t, q), ask(t, q); !reflect.DeepEqual(a, b) {
		t.Error("two answers to one question differ")
	}
}

// useless adds actions that cannot tell labels apart: one that shows everybody the
// same, one that changes nothing, one that tells explanations of one label apart.
func useless(q Question) Question {
	out, n := q, len(q.Actions)
	out.Actions = append(slices.Clone(q.Actions),
		Action{ID: "a look that shows the same", Reading: true}, Action{ID: "a change of nothing"}, Action{ID: "tells twins apart", Reading: true})
	out.Minutes = func(done Set, a int) (float64, bool) {
		if a >= n {
			return 0.01, true
		}
		return q.Minutes(done, a)
	}
	out.Sight = func(done Set, a int) Sight {
		switch a {
		case n:
			return func(_ int, into []Chance) []Chance { return append(into, Chance{5, 1}) }
		case n + 1:
			return nil
		case n + 2:
			return func(h int, into []Chance) []Chance { return append(into, Chance{h % 2, 1}) }
		}
		return q.Sight(done, a)
	}
	return out
}

// twins doubles every explanation: 2h and 2h+1 are alike.
func twins(q Question) Question {
	out := q
	out.Explanations = nil
	for _, e := range q.Explanations {
		e.Weight /= 2
		out.Explanations = append(out.Explanations, e, e)
	}
	out.Sight = func(done Set, a int) Sight {
		see := q.Sight(done, a)
		if see == nil {
			return nil
		}
		return func(h int, into []Chance) []Chance { return see(h/2, into) }
	}
	return out
}

// They do cost work, so that this holds where there is work enough.
func TestNext_UselessActionsChangeNothing(t *testing.T) {
	ask := func(t *testing.T, q Question) Answer {
		a, err := answer(context.Background(), q, 1<<40)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	r := rand.New(rand.NewPCG(4, 4))
	for i := range 40 {
		c := newChain(3+i%2, r)
		q := c.question()
		plain, more := ask(t, q), twins(q)
		more = useless(more)
		a := ask(t, more)
		sameLines(t, fmt.Sprint("chain ", i), lines(more, a), lines(q, plain))
		if a.Stop != plain.Stop || a.Label != plain.Label {
			t.Errorf("chain %d: stop %v at %s, want %v at %s", i, a.Stop, a.Label, plain.Stop, plain.Label)
		}
		for _, s := range a.Steps {
			for _, o := range s.Outcomes {
				if o.Next >= len(q.Actions) {
					t.Errorf("chain %d: %q comes next", i, more.Actions[o.Next].ID)
				}
			}
		}
	}
}

func rankOf(a Answer, action int) int {
	return slices.IndexFunc(a.Steps, func(s Step) bool { return s.Action == action })
}

// What is done at most once costs its additional minutes in full if it comes
// first, and in part if it comes later.
func TestNext_DearerActionsRankNoHigher(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for i := range 40 {
		c := newChain(3+i%4, r)
		q := c.question()
		before := ask(t, q)
		for _, s := range before.Steps {
			d := *c
			d.minutes = slices.Clone(c.minutes)
			d.minutes[s.Action] += 0.1 + 10*r.Float64()
			after := ask(t, d.question())
			if was, is := rankOf(before, s.Action), rankOf(after, s.Action); is < was {
				t.Errorf("chain %d: %q rises from %d to %d (%+v, %+v)", i, c.name(s.Action), was, is, lines(q, before), lines(q, after))
			}
		}
	}
}

// doubtOf is the entropy of the label, by itself.
func doubtOf(q Question) float64 {
	w, sum, h := map[string]float64{}, 0.0, 0.0
	for _, e := range q.Explanations {
		w[e.Label] += e.Weight
		sum += e.Weight
	}
	for _, x := range w {
		h -= x / sum * math.Log2(x/sum)
	}
	return h
}

func TestNext_FiguresAreSound(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	for i := range 60 {
		c := newChain(3+i%6, r)
		c.noise = 0.1 * float64(i%4)
		q := c.question()
		a := ask(t, q)
		for n, s := range a.Steps {
			if s.Bits <= 0 || s.Bits > doubtOf(q)+1e-9 || s.Total < s.Minutes || (n < detailed) != (len(s.Outcomes) > 0) {
				t.Errorf("chain %d: step %+v of a doubt of %.3f bits", i, s, doubtOf(q))
			}
			sum := 0.0
			for _, o := range s.Outcomes {
				sum += o.P
			}
			if len(s.Outcomes) > 0 && math.Abs(sum-1) > 1e-9 {
				t.Errorf("chain %d: probabilities sum to %.12f", i, sum)
			}
			if n > 0 && s.Rough == a.Steps[n-1].Rough && !s.Rough && float32(s.Total) < float32(a.Steps[n-1].Total) {
				t.Errorf("chain %d: steps are out of order", i)
			}
		}
		if len(a.Steps) > 0 && a.Stop != (float32(a.Steps[0].Total) >= float32(a.Unresolved)) {
			t.Errorf("chain %d: stop %v at %.3f against %.3f", i, a.Stop, a.Steps[0].Total, a.Unresolved)
		}
	}
}

func TestNext_NoiseTellsLess(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	for range 20 {
		c := newChain(6, r)
		clear, noisy := ask(t, c.question()), Answer{}
		c.noise = 0.3
		noisy = ask(t, c.question())
		read := c.read(0)
		k, n := rankOf(clear, read), rankOf(noisy, read)
		if k < 0 || n < 0 || noisy.Steps[n].Bits >= clear.Steps[k].Bits {
			t.Errorf("a noisy reading of the whole tells no less")
		}
	}
}
