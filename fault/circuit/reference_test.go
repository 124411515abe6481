package circuit_test

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"

	"halfsplit/topology"
)

// reference solves a situation by modified nodal analysis, one unknown for
// every conductor and one for the current of every group, by LU with partial
// pivoting. It finds conductors by itself and shares nothing with the package.
type reference struct {
	situation
	index    map[string]int // conductor of every reference, −1 = removed
	n        int            // conductors and pieces; 0 is the first piece
	branches []refBranch
}

type refBranch struct {
	a, b   int
	g, emf float64 // current a → b = g (va − vb + emf)
}

func newReference(s situation) *reference {
	r := &reference{situation: s, index: map[string]int{}}
	parent := map[string]string{}
	var find func(string) string
	find = func(x string) string {
		if p, ok := parent[x]; ok && p != x {
			return find(p)
		}
		return x
	}
	unite := func(a, b string) { parent[find(a)] = find(b) }
	gone := func(tap string) bool {
		return slices.Contains(s.set.Removed, strings.FieldsFunc(tap, func(c rune) bool { return c == '.' })[0])
	}
	unite("pack+", "load+")
	unite("pack-", "load-")
	for _, l := range s.layout.Links {
		from, to := r.canonical(l.From), r.canonical(l.To)
		if slices.Contains(s.set.Open, l.ID) || (l.Kind == topology.Contactor && !s.set.ContactorsClosed) || gone(from) || gone(to) {
			continue
		}
		unite(from, to)
	}
	first := "chassis"
	if len(s.layout.Chassis) > 0 {
		first = "chassis:c0"
		unite("chassis", first)
	}
	for _, b := range s.pack.Bonds {
		if b.Ohms == 0 {
			unite("chassis:"+b.From, "chassis:"+b.To)
		}
	}
	number := map[string]int{find(first): 0}
	for _, ref := range references(s.layout, s.set, false) {
		if gone(ref) {
			r.index[ref] = -1
			continue
		}
		c, ok := number[find(ref)]
		if !ok {
			c = len(number)
			number[find(ref)] = c
		}
		r.index[ref] = c
	}
	r.n = len(number)
	r.connect()
	return r
}

// canonical writes M01- and M01+ as M01.0 and M01.last.
func (r *reference) canonical(ref string) string {
	for _, m := range r.layout.Modules {
		if ref == m.ID+"-" {
			return m.ID + ".0"
		}
		if ref == m.ID+"+" {
			return fmt.Sprintf("%s.%d", m.ID, m.Series)
		}
	}
	return ref
}

func (r *reference) connect() {
	add := func(from, to string, ohms, emf float64) {
		a, b := r.index[from], r.index[to]
		if a >= 0 && b >= 0 && !math.IsInf(ohms, 1) {
			r.branches = append(r.branches, refBranch{a, b, 1 / ohms, emf})
		}
	}
	piece := func(id string) string {
		if id == "" {
			return "chassis"
		}
		return "chassis:" + id
	}
	there := func(board string) bool { return board == "" || !slices.Contains(r.unplugged, board) }
	for _, e := range r.els { // first, so that their indexes agree
		r.branches = append(r.branches, refBranch{r.index[e.From], r.index[e.To], 1 / e.Ohms, -e.EMF})
	}
	for _, l := range r.pack.Leaks {
		if there(l.OnlyWithBoard) {
			add(l.At, piece(l.To), l.Ohms, l.Shift)
		}
	}
	for _, b := range r.pack.Bridges {
		if there(b.OnlyWithBoard) {
			add(b.From, b.To, b.Ohms, 0)
		}
	}
	for _, b := range r.pack.Bonds {
		if b.Ohms != 0 {
			add(piece(b.From), piece(b.To), b.Ohms, 0)
		}
	}
	for _, m := range r.layout.Modules {
		tap := func(k int) string { return fmt.Sprintf("%s.%d", m.ID, k) }
		if bg := r.pack.BackgroundPerModule; bg > 0 {
			add(tap(m.Series/2), "chassis", 2*bg, 0)
			add(tap((m.Series+1)/2), "chassis", 2*bg, 0)
		}
		for k := range m.Series {
			if bg := r.pack.BackgroundPerGroup; bg > 0 {
				add(tap(k), "chassis", 2*bg, 0)
				add(tap(k+1), "chassis", 2*bg, 0)
			}
		}
	}
}

// source is a group between two conductors.
type source struct {
	lo, hi     int
	volts, ohm float64
}

func (r *reference) sources() (list []source) {
	net := r.pack.Net
	for g, grp := range net.Groups {
		m := net.Layout.Modules[grp.Module]
		lo := r.index[fmt.Sprintf("%s.%d", m.ID, grp.K-1)]
		if lo < 0 {
			continue
		}
		s := source{lo: lo, hi: r.index[fmt.Sprintf("%s.%d", m.ID, grp.K)], volts: r.pack.GroupVolts[g]}
		if r.pack.GroupOhms != nil {
			s.ohm = r.pack.GroupOhms[g]
		}
		list = append(list, s)
	}
	return list
}

// parts numbers what cells join, or with resistors too what anything joins.
func (r *reference) parts(resistors bool) []int {
	part := make([]int, r.n)
	for i := range part {
		part[i] = i
	}
	merge := func(a, b int) {
		from, to := part[a], part[b]
		for i := range part {
			if part[i] == from {
				part[i] = to
			}
		}
	}
	for _, s := range r.sources() {
		merge(s.lo, s.hi)
	}
	if resistors {
		for _, b := range r.branches {
			merge(b.a, b.b)
		}
	}
	return part
}

// rings says whether cells close a ring.
func (r *reference) rings() bool {
	kinds := map[int]bool{}
	for _, p := range r.parts(false) {
		kinds[p] = true
	}
	return len(r.sources()) != r.n-len(kinds)
}

// looped says whether cells without resistance close a ring, which one nodal
// system cannot hold.
func (r *reference) looped() bool { return r.pack.GroupOhms == nil && r.rings() }

// name is some reference of a conductor.
func (r *reference) name(c int) string {
	for ref, i := range r.index {
		if i == c {
			return ref
		}
	}
	return ""
}

// solve gives every conductor's potential. A part without a path to the first
// piece is solved with one conductor at zero, then moved until the mean of its
// taps, or where it has none of its conductors, is zero.
func (r *reference) solve() []float64 {
	src := r.sources()
	size := r.n + len(src)
	a, b := mat.NewDense(size, size, nil), mat.NewVecDense(size, nil)
	part := r.parts(true)
	pinned := func(c int) bool { return part[c] == c } // one of every part
	put := func(i, j int, v float64) {
		if !pinned(i) {
			a.Set(i, j, a.At(i, j)+v)
		}
	}
	for c := range r.n {
		if pinned(c) {
			a.Set(c, c, 1)
		}
	}
	for _, br := range r.branches {
		put(br.a, br.a, br.g)
		put(br.a, br.b, -br.g)
		put(br.b, br.b, br.g)
		put(br.b, br.a, -br.g)
		if !pinned(br.a) {
			b.SetVec(br.a, b.AtVec(br.a)-br.g*br.emf)
		}
		if !pinned(br.b) {
			b.SetVec(br.b, b.AtVec(br.b)+br.g*br.emf)
		}
	}
	for i, s := range src {
		row := r.n + i
		put(s.lo, row, 1) // the current goes in at lo and out at hi
		put(s.hi, row, -1)
		a.Set(row, s.hi, a.At(row, s.hi)+1)
		a.Set(row, s.lo, a.At(row, s.lo)-1)
		a.Set(row, row, s.ohm)
		b.SetVec(row, s.volts)
	}
	var x mat.VecDense
	_ = x.SolveVec(a, b) // a bad condition is no surprise: milliohms beside gigaohms
	v := x.RawVector().Data[:r.n]
	r.centre(v, part)
	return v
}

func (r *reference) centre(v []float64, part []int) {
	sum, taps := make([]float64, r.n), make([]float64, r.n)
	all, count := make([]float64, r.n), make([]float64, r.n)
	for c, p := range part {
		all[p] += v[c]
		count[p]++
	}
	for ref, c := range r.index {
		if c >= 0 && strings.Contains(ref, ".") {
			sum[part[c]] += v[c]
			taps[part[c]]++
		}
	}
	zero := v[0] // where part 0 is named after another conductor
	for c := range v {
		switch p := part[c]; {
		case p == part[0]:
			v[c] -= zero
		case taps[p] > 0:
			v[c] -= sum[p] / taps[p]
		default:
			v[c] -= all[p] / count[p]
		}
	}
}
