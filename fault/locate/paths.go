package locate

import "sync"

// A groupPath says how a potential moves with every group's volts: 1 for the
// groups below a tap, a part for the one that a leak's potential lies in.
type groupPath struct {
	state    int
	w        []float64 // by group
	lo, hi   int       // the groups outside lo ≤ g < hi have none
	bySource []float64 // Σ w·mean, V, by the set of values that a group's volts are from
	fixed    int       // into pathMemo.list; -1 = a leak's
	key      [2]int    // slot and node, of one in that list
}

// pathMemo keeps the paths of a case's taps and what they have in common: the
// same for every fit to its readings.
type pathMemo struct {
	at   map[[2]int]int // slot, node -> list
	list []*groupPath
	k    [][]float64 // Σ over groups of both paths times the group's variance, lower half

	mu sync.RWMutex // fits run beside each other
}

// path is the one kept at a place, nil where another end's path or none is there.
func (m *pathMemo) path(i int, key [2]int) *groupPath {
	m.mu.RLock()
	defer m.mu.RUnlock()
	if i < len(m.list) && m.list[i].key == key {
		return m.list[i]
	}
	return nil
}

// newPath completes a path within a slot's state.
func (d *data) newPath(state int, w []float64) *groupPath {
	p := &groupPath{state: state, w: w, fixed: -1}
	cv := d.cells[state]
	p.bySource = make([]float64, len(cv.common))
	for g, v := range w {
		if v == 0 {
			continue
		}
		if p.hi == 0 {
			p.lo = g
		}
		p.hi = g + 1
		p.bySource[cv.source[g]] += v * cv.mean[g]
	}
	return p
}

// tapPath is the path up to an end, kept. An end may come from a case that was made
// ready with paths of its own: what it keeps counts only where it is the same here.
func (d *data) tapPath(e *end) *groupPath {
	key := [2]int{e.slot, int(e.node)}
	if e.path > 0 {
		if p := d.laid.path(e.path-1, key); p != nil {
			return p
		}
	}
	d.laid.mu.Lock()
	defer d.laid.mu.Unlock()
	i, ok := d.laid.at[key]
	if !ok {
		i = len(d.laid.list)
		p := d.newPath(d.slots[e.slot].state, d.path(&d.slots[e.slot], e.node))
		p.fixed, p.key = i, key
		row := make([]float64, i+1)
		for j, o := range d.laid.list {
			row[j] = d.kernel(p, o)
		}
		row[i] = d.kernel(p, p)
		d.laid.at[key], d.laid.list, d.laid.k = i, append(d.laid.list, p), append(d.laid.k, row)
	}
	return d.laid.list[i]
}

// kernel is Σ over groups of two paths times the variance of the group's volts,
// where both states have it from the same list: to the last bit the same whichever
// comes first.
func (d *data) kernel(a, b *groupPath) float64 {
	x, y := d.cells[a.state], d.cells[b.state]
	lo, hi := max(a.lo, b.lo), min(a.hi, b.hi)
	if hi <= lo {
		return 0
	}
	sum := 0.0
	wa, wb, sa, sb := a.w[lo:hi], b.w[lo:hi], x.sd[lo:hi], y.sd[lo:hi]
	for i, w := range wa {
		if v := (w * wb[i]) * (sa[i] * sb[i]); v != 0 && (x == y || x.list[x.source[lo+i]] == y.list[y.source[lo+i]]) {
			sum += v
		}
	}
	return sum
}

// kernels is kernel of every two of some paths, a square by rows.
func (d *data) kernels(paths []*groupPath) []float64 {
	n := len(paths)
	k := make([]float64, n*n)
	d.laid.mu.RLock()
	defer d.laid.mu.RUnlock()
	for i, a := range paths {
		for j, b := range paths[:i+1] {
			var v float64
			switch {
			case a.fixed < 0 || b.fixed < 0:
				v = d.kernel(a, b)
			case a.fixed > b.fixed:
				v = d.laid.k[a.fixed][b.fixed]
			default:
				v = d.laid.k[b.fixed][a.fixed]
			}
			k[i*n+j], k[j*n+i] = v, v
		}
	}
	return k
}

// layEnds keeps with every end where its path is.
func (d *data) layEnds(obs []observation) {
	lay := func(e *end) {
		if !e.chassis() && d.slots[e.slot].sec != nil {
			e.path = d.tapPath(e).fixed + 1
		}
	}
	for i := range obs {
		o := &obs[i]
		lay(&o.red)
		lay(&o.black)
		for k := range o.elements {
			lay(&o.elements[k].a)
			lay(&o.elements[k].b)
		}
	}
}

// A pathIndex finds paths among those of a model.
type pathIndex struct {
	d    *data
	taps []int // by pathMemo.list: into errorRows.paths, one up; 0 = not there
	leak []int // by slot: the path up to the leak's potential
}

func (x *pathIndex) end(e *end) int { return x.taps[x.d.tapPath(e).fixed] - 1 }

func (x *pathIndex) add(rows *errorRows, e *end) {
	if e.chassis() || x.d.slots[e.slot].sec == nil {
		return
	}
	p := x.d.tapPath(e)
	for len(x.taps) <= p.fixed {
		x.taps = append(x.taps, 0)
	}
	if x.taps[p.fixed] == 0 {
		rows.paths = append(rows.paths, p)
		x.taps[p.fixed] = len(rows.paths)
	}
}

// layPaths gathers the paths that a model's observations take: to every probe
// and element, and to the potential of each section's leak.
func (m *model) layPaths(e *errorRows, g, q []float64) pathIndex {
	d := m.d
	x := pathIndex{d: d, leak: make([]int, len(d.slots))}
	for i := range x.leak {
		x.leak[i] = -1
	}
	for i, oi := range m.order {
		o := &d.obs[oi]
		x.add(e, &o.red)
		x.add(e, &o.black)
		for k := range o.elements {
			x.add(e, &o.elements[k].a)
			x.add(e, &o.elements[k].b)
		}
		if i < m.nWith {
			continue
		}
		for _, s := range m.probes[i-m.nWith].slots {
			if sl := &d.slots[s]; sl.sec != nil && x.leak[s] < 0 {
				x.leak[s] = len(e.paths)
				e.paths = append(e.paths, d.newPath(sl.state, d.pathTo(sl, q[s]/g[s])))
			}
		}
	}
	return x
}
