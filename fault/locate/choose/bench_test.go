package choose

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
)

// A fine chain is read to the group: 2,000 explanations at the groups of 14
// modules, 40 actions.
type fine struct {
	*chainOf
	per  int
	soft bool
	at   [][2]int // groups; -1 where there is no second leak
	off  []int    // the board that takes the leak away, or -1
}

func newFine(soft bool) (*fine, Question) {
	r := rand.New(rand.NewPCG(7, 7))
	f := &fine{chainOf: newChain(14, r), per: 8, soft: soft}
	q := Question{Wrong: 120, Minutes: f.cost, Sight: f.sight}
	add := func(label string, w float64, board, a, b int) {
		q.Explanations = append(q.Explanations, Explanation{label, w * r.ExpFloat64()})
		f.at = append(f.at, [2]int{a, b})
		f.off = append(f.off, board)
	}
	groups := f.n * f.per
	for g := range groups {
		add(fmt.Sprintf("M%02d", g/f.per+1), 0.7/float64(groups), -1, g, -1)
	}
	for i := range f.n {
		add(fmt.Sprintf("board %02d", i+1), 0.05/float64(f.n), i, i*f.per+f.per/2, -1)
	}
	for len(q.Explanations) < 2000 {
		a, b := r.IntN(groups), r.IntN(groups)
		a, b = min(a, b), max(a, b)
		label := fmt.Sprintf("M%02d+M%02d", a/f.per+1, b/f.per+1)
		if a/f.per == b/f.per {
			label = fmt.Sprintf("M%02d", a/f.per+1)
		}
		add(label, 0.2/2000, -1, a, b)
	}
	for a := range 40 {
		q.Actions = append(q.Actions, Action{ID: f.name(a), Reading: a >= f.read(0)})
	}
	return f, q
}

func (f *fine) sight(done Set, a int) Sight {
	lo := a - f.read(0)
	if lo < 0 {
		return nil
	}
	hi := lo
	for hi < f.n-1 && !done.Has(hi) {
		hi++
	}
	low, high, none := lo*f.per, (hi+1)*f.per, f.n*f.per
	return func(h int, into []Chance) []Chance {
		sum, n := 0, 0
		for _, g := range f.at[h] {
			if g >= low && g < high {
				sum, n = sum+g, n+1
			}
		}
		if n == 0 || (f.off[h] >= 0 && done.Has(f.board(f.off[h]))) {
			return append(into, Chance{none, 1})
		}
		key := sum / n
		if !f.soft {
			return append(into, Chance{key, 1})
		}
		return append(into, Chance{max(key-1, low), 0.2}, Chance{key, 0.6}, Chance{min(key+1, high-1), 0.2})
	}
}

func bench(b *testing.B, soft bool) {
	_, q := newFine(soft)
	b.ReportAllocs()
	for b.Loop() {
		a, err := Next(context.Background(), q)
		if err != nil || len(a.Steps) == 0 {
			b.Fatal(err, a)
		}
	}
}

func BenchmarkNext40Actions2000Explanations(b *testing.B)      { bench(b, false) }
func BenchmarkNext40Actions2000ExplanationsNoisy(b *testing.B) { bench(b, true) }
