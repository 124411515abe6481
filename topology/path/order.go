package path

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

func sortBy[T any](s []T, key func(T) float64) {
	slices.SortStableFunc(s, func(a, b T) int { return cmp.Compare(key(a), key(b)) })
}

// next says to which negative end a positive end is joined, by the layout's links
// that the volts allow and by the proposed ones.
func (t *table) next() map[int]int {
	at := map[int]int{}
	join := func(from, to string, ok bool) {
		a, okA := t.byName[from]
		b, okB := t.byName[to]
		if !ok || !okA || !okB {
			return
		}
		if t.positive(t.ends[b].module) == b {
			a, b = b, a
		}
		if t.positive(t.ends[a].module) == a && t.negative(t.ends[b].module) == b {
			at[a] = b
		}
	}
	for _, k := range t.l.Links {
		a, okA := t.byName[k.From]
		join(k.From, k.To, okA && t.occupied[a] == k.ID)
	}
	for _, k := range t.out.Links {
		join(k.From, k.To, k.Grade != Contradictory)
	}
	return at
}

// order strings the modules together, and says which chains are alike and where
// nothing joins them.
func (t *table) order() {
	at := t.next()
	entered := map[int]bool{}
	for _, to := range at {
		entered[t.ends[to].module] = true
	}
	seen := make([]bool, len(t.l.Modules))
	run := func(m int) {
		c := Chain{Low: t.at(t.negative(m))}
		for !seen[m] {
			seen[m] = true
			c.Modules = append(c.Modules, t.l.Modules[m].ID)
			c.High = t.at(t.positive(m))
			to, ok := at[t.positive(m)]
			if !ok {
				break
			}
			m = t.ends[to].module
		}
		t.out.Chains = append(t.out.Chains, c)
	}
	for m := range t.l.Modules {
		if !entered[m] {
			run(m)
		}
	}
	for m := range t.l.Modules { // rings that the drawing has
		if !seen[m] {
			run(m)
		}
	}
	sortBy(t.out.Chains, func(c Chain) float64 {
		if math.IsNaN(c.Low) {
			return math.Inf(1)
		}
		return c.Low
	})
	t.between()
}

// at is an end's volts, NaN where they are not known or doubted.
func (t *table) at(i int) float64 {
	if e := &t.ends[i]; e.known && !e.suspect {
		return e.volts
	}
	return math.NaN()
}

// between compares each chain with the one before it.
func (t *table) between() {
	all := t.out.Chains
	for i := 1; i < len(all); i++ {
		a, b := all[i-1], all[i]
		top, foot := a.Modules[len(a.Modules)-1], b.Modules[0]
		w := t.width(a, b)
		switch {
		case math.IsNaN(a.High) || math.IsNaN(b.Low):
			t.gap(foot, "Nothing joins %s to %s: volts are missing or doubted at one of them.", foot, top)
		case math.Abs(a.Low-b.Low) <= w && math.Abs(a.High-b.High) <= w:
			t.out.Parallel = append(t.out.Parallel, Note{foot, fmt.Sprintf("%s … %s and %s … %s have the same volts at both ends, %s V to %s V: strings in parallel, as far as volts tell. Order between equal potentials cannot be told by volts.",
				a.Modules[0], top, foot, b.Modules[len(b.Modules)-1], num(b.Low), num(b.High))})
		case b.Low < a.High-w:
			t.gap(foot, "Nothing joins %s to %s, and their volts overlap: %s begins at %s V, below %s V. One of the two may float, without a common reference; then their volts cannot be compared.", foot, top, foot, num(b.Low), num(a.High))
		default:
			t.gap(foot, "Nothing joins %s to %s: the one ends at %s V, the other begins at %s V. If a disconnect or a fuse between them is out, the two sections float and their volts do not tell how they follow each other.", foot, top, num(a.High), num(b.Low))
		}
	}
}

// width is what two ends of chains may differ by and still be alike: the widest
// value's error on both sides, and half a per cent of what lies between for groups
// that are charged a little differently.
func (t *table) width(a, b Chain) float64 {
	w := 0.0
	for i := range t.ends {
		if t.ends[i].known {
			w = max(w, t.ends[i].within)
		}
	}
	return maybe*2*w + 0.005*max(math.Abs(a.High-a.Low), math.Abs(b.High-b.Low))
}

func (t *table) gap(at, format string, args ...any) {
	t.out.Gaps = append(t.out.Gaps, Note{at, fmt.Sprintf(format, args...)})
}
