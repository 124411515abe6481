package topology

// findStrings walks the modules with every link closed. A walk goes on through
// a joint of exactly two module terminals. Where the joined part has a loop,
// two terminals of like sign are the ends of parallel strings and stop it; in a
// part without loops they are a module wired the wrong way round.
func (n *Net) findStrings() {
	w := n.newWalk()
	n.stringOf = make([]int, len(n.Layout.Modules))
	n.placeIn = make([]int, len(n.Layout.Modules))
	done := make([]bool, len(n.Layout.Modules))
	for m := range n.Layout.Modules {
		if !done[m] {
			n.addString(w.through(m), done)
		}
	}
}

// addString takes a walk as (module, entered at its negative end) steps and
// turns it so that most of its modules run from − to +.
func (n *Net) addString(steps []step, done []bool) {
	forward := 0
	for _, s := range steps {
		if s.forward {
			forward++
		}
	}
	turn := forward*2 < len(steps) || (forward*2 == len(steps) && !steps[0].forward)
	if turn {
		for i, j := 0, len(steps)-1; i < j; i, j = i+1, j-1 {
			steps[i], steps[j] = steps[j], steps[i]
		}
	}
	str := String{ID: n.Layout.Modules[steps[0].module].ID}
	for i, s := range steps {
		done[s.module] = true
		n.stringOf[s.module], n.placeIn[s.module] = len(n.Strings), i
		str.Modules = append(str.Modules, s.module)
		str.Offset = append(str.Offset, str.Groups)
		str.Flipped = append(str.Flipped, s.forward == turn)
		str.Groups += n.Layout.Modules[s.module].Series
	}
	n.Strings = append(n.Strings, str)
}

type step struct {
	module  int
	forward bool // entered at its negative end
}

// walk holds the joints of the fully closed pack.
type walk struct {
	n      *Net
	joint  *classes
	ends   [][]NodeID // module terminals at each joint
	looped []bool     // by joint: its part of the pack has a loop
}

func (n *Net) newWalk() *walk {
	w := &walk{n: n, joint: n.classesOf(nil, nil, true)}
	w.ends = make([][]NodeID, n.Len())
	part := newClasses(n.Len())
	w.looped = make([]bool, n.Len())
	for m := range n.Layout.Modules {
		lo, hi := w.terminals(m)
		a, b := w.joint.find(int(lo)), w.joint.find(int(hi))
		w.ends[a] = append(w.ends[a], lo)
		w.ends[b] = append(w.ends[b], hi)
		loop := w.looped[part.find(a)] || w.looped[part.find(b)] || part.find(a) == part.find(b)
		part.union(a, b)
		w.looped[part.find(a)] = loop
	}
	byRoot := w.looped
	w.looped = make([]bool, n.Len())
	for i := range w.looped {
		w.looped[i] = byRoot[part.find(w.joint.find(i))]
	}
	return w
}

func (w *walk) terminals(m int) (lo, hi NodeID) {
	return w.n.Tap(m, 0), w.n.Tap(m, w.n.Layout.Modules[m].Series)
}

// through is the whole run that module m lies in.
func (w *walk) through(m int) []step {
	first := step{m, true}
	for cur, ok := w.next(step{m, false}); ok && cur.module != m; cur, ok = w.next(cur) {
		first = step{cur.module, !cur.forward}
	}
	run := []step{first}
	for cur, ok := w.next(first); ok && cur.module != first.module; cur, ok = w.next(cur) {
		run = append(run, cur)
	}
	return run
}

// next is the step after leaving a module at the end it was not entered by.
func (w *walk) next(s step) (step, bool) {
	lo, hi := w.terminals(s.module)
	exit := lo
	if s.forward {
		exit = hi
	}
	j := w.joint.find(int(exit))
	if len(w.ends[j]) != 2 {
		return step{}, false
	}
	other := w.ends[j][0]
	if other == exit {
		other = w.ends[j][1]
	}
	m := w.n.moduleOf[other]
	oLo, _ := w.terminals(m)
	enteredLow := other == oLo
	if w.looped[j] && enteredLow != s.forward {
		return step{}, false
	}
	return step{m, enteredLow}, m != s.module
}

// classes is a union-find over small integers.
type classes struct{ parent []int }

func newClasses(n int) *classes {
	c := &classes{parent: make([]int, n)}
	for i := range c.parent {
		c.parent[i] = i
	}
	return c
}

func (c *classes) find(i int) int {
	for c.parent[i] != i {
		c.parent[i] = c.parent[c.parent[i]]
		i = c.parent[i]
	}
	return i
}

// union keeps the smaller root, so that the result does not depend on order.
func (c *classes) union(a, b int) {
	a, b = c.find(a), c.find(b)
	if a > b {
		a, b = b, a
	}
	c.parent[b] = a
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
