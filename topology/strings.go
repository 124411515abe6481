package topology

import (
	"cmp"
	"slices"
)

// findStrings walks the modules with every link closed. A walk goes on through
// a joint of exactly two module terminals, unless it is a pole of parallel
// strings. Modules joined at terminals of like sign, where that is no pole, are
// wired one against the other.
func (n *Net) findStrings() {
	w := n.newWalk()
	n.stringOf = make([]int, len(n.Layout.Modules))
	n.placeIn = make([]int, len(n.Layout.Modules))
	done := make([]bool, len(n.Layout.Modules))
	for m := range n.Layout.Modules {
		if !done[m] {
			run, ring := w.through(m)
			if run = w.turned(run); ring {
				run = n.startAtFirst(run)
			}
			n.addString(run, done)
		}
	}
}

// turned puts a walk in the string's direction: most of its modules run from −
// to +; where as many run either way, most of its groups; then the way that the
// outer terminals at its ends say; then the module whose id sorts first.
func (w *walk) turned(steps []step) []step {
	forward, groups, first := 0, 0, steps[0]
	id := func(s step) string { return w.n.Layout.Modules[s.module].ID }
	for _, s := range steps {
		sign := -1
		if s.forward {
			sign = 1
		}
		forward += sign
		groups += sign * w.n.Layout.Modules[s.module].Series
		if id(s) < id(first) {
			first = s
		}
	}
	_, bottom := w.passed(steps[0])
	top, _ := w.passed(steps[len(steps)-1])
	byID := -1
	if first.forward {
		byID = 1
	}
	if cmp.Or(forward, groups, w.sign[w.joint.find(int(top))]-w.sign[w.joint.find(int(bottom))], byID) > 0 {
		return steps
	}
	slices.Reverse(steps)
	for i := range steps {
		steps[i].forward = !steps[i].forward
	}
	return steps
}

// passed is where a step leaves its module, and where it entered it.
func (w *walk) passed(s step) (exit, entry NodeID) {
	lo, hi := w.terminals(s.module)
	if s.forward {
		return hi, lo
	}
	return lo, hi
}

// startAtFirst turns a ring until it starts at the module whose id sorts first.
func (n *Net) startAtFirst(ring []step) []step {
	at := 0
	for i, s := range ring {
		if n.Layout.Modules[s.module].ID < n.Layout.Modules[ring[at].module].ID {
			at = i
		}
	}
	return slices.Concat(ring[at:], ring[:at])
}

// addString takes the steps of a string from its negative end.
func (n *Net) addString(steps []step, done []bool) {
	str := String{ID: n.Layout.Modules[steps[0].module].ID}
	for i, s := range steps {
		done[s.module] = true
		n.stringOf[s.module], n.placeIn[s.module] = len(n.Strings), i
		str.Modules = append(str.Modules, s.module)
		str.Offset = append(str.Offset, str.Groups)
		str.Flipped = append(str.Flipped, !s.forward)
		series := n.Layout.Modules[s.module].Series
		if str.Groups += series; series > 0 {
			str.filled++
		}
	}
	n.Strings = append(n.Strings, str)
}

type step struct {
	module  int
	forward bool // entered at its negative end
}

// walk holds the joints of the fully closed pack.
type walk struct {
	n     *Net
	joint *classes
	ends  [][]NodeID // module terminals at each joint
	sign  []int      // by joint: +1 or −1 where an outer terminal of that sign belongs to it
	pole  []bool     // by joint: of two terminals that are the ends of parallel strings
}

func (n *Net) newWalk() *walk {
	w := &walk{n: n, joint: n.classesOf(nil, nil, true), ends: make([][]NodeID, n.Len()), sign: make([]int, n.Len()), pole: make([]bool, n.Len())}
	for _, t := range terminals {
		j := w.joint.find(int(n.byName[t]))
		if t[4:] == "+" {
			w.sign[j]++
		} else {
			w.sign[j]--
		}
	}
	for j, s := range w.sign {
		w.sign[j] = max(-1, min(s, 1))
	}
	part := newClasses(n.Len())
	looped := make([]bool, n.Len())
	for m, mod := range n.Layout.Modules {
		if mod.Series == 0 {
			continue // a piece of metal, part of the joint that it lies in
		}
		lo, hi := w.terminals(m)
		a, b := w.joint.find(int(lo)), w.joint.find(int(hi))
		w.ends[a] = append(w.ends[a], lo)
		w.ends[b] = append(w.ends[b], hi)
		loop := looped[part.find(a)] || looped[part.find(b)] || part.find(a) == part.find(b)
		part.union(a, b)
		looped[part.find(a)] = loop
	}
	w.findPoles(part, looped)
	return w
}

// findPoles looks, in parts that have a loop, at the joints of two terminals of
// like sign. Where some joint of each sign leads to an outer terminal those are
// the poles, and any other such joint is a module wired the wrong way round.
// Where nothing is named all of them are taken as poles.
func (w *walk) findPoles(part *classes, looped []bool) {
	named := make([]bool, w.n.Len())
	for _, t := range terminals {
		named[w.joint.find(int(w.n.byName[t]))] = true
	}
	type poles struct{ minus, plus bool }
	found := map[int]poles{}
	var like []int
	for j, ends := range w.ends {
		if len(ends) != 2 || w.positive(ends[0]) != w.positive(ends[1]) || !looped[part.find(j)] {
			continue
		}
		like = append(like, j)
		if p := found[part.find(j)]; named[j] {
			p.plus = p.plus || w.positive(ends[0])
			p.minus = p.minus || !w.positive(ends[0])
			found[part.find(j)] = p
		}
	}
	for _, j := range like {
		p := found[part.find(j)]
		w.pole[j] = named[j] || !p.plus || !p.minus
	}
}

// positive says whether a module terminal is its positive one.
func (w *walk) positive(id NodeID) bool { return id != w.n.tap0[w.n.moduleOf[id]] }

func (w *walk) terminals(m int) (lo, hi NodeID) {
	return w.n.Tap(m, 0), w.n.Tap(m, w.n.Layout.Modules[m].Series)
}

// through is the whole run that module m lies in, and whether it closes on
// itself.
func (w *walk) through(m int) (run []step, ring bool) {
	first := step{m, true}
	if w.n.Layout.Modules[m].Series == 0 {
		return []step{first}, false
	}
	for cur, ok := w.next(step{m, false}); ok; cur, ok = w.next(cur) {
		if ring = cur.module == m; ring {
			break
		}
		first = step{cur.module, !cur.forward}
	}
	run = []step{first}
	for cur, ok := w.next(first); ok && cur.module != first.module; cur, ok = w.next(cur) {
		run = append(run, cur)
	}
	return run, ring
}

// next is the step after leaving a module at the end it was not entered by.
func (w *walk) next(s step) (step, bool) {
	exit, _ := w.passed(s)
	j := w.joint.find(int(exit))
	if len(w.ends[j]) != 2 || w.pole[j] {
		return step{}, false
	}
	other := w.ends[j][0]
	if other == exit {
		other = w.ends[j][1]
	}
	m := w.n.moduleOf[other]
	return step{m, !w.positive(other)}, m != s.module
}

// classesOf joins nodes through every link that is closed.
func (n *Net) classesOf(open, removed map[string]bool, contactorsClosed bool) *classes {
	c := newClasses(n.Len())
	for _, p := range n.permanent {
		c.union(int(p[0]), int(p[1]))
	}
	for _, b := range n.Links {
		l := n.Layout.Links[b.Link]
		if open[l.ID] || (l.Kind == Contactor && !contactorsClosed) || n.touches(b, removed) {
			continue
		}
		c.union(int(b.A), int(b.B))
	}
	return c
}

func (n *Net) touches(b Branch, removed map[string]bool) bool {
	for _, id := range []NodeID{b.A, b.B} {
		if m := n.moduleOf[id]; m >= 0 && removed[n.Layout.Modules[m].ID] {
			return true
		}
	}
	return false
}
