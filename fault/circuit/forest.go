package circuit

import (
	"errors"

	"gonum.org/v1/gonum/mat"
)

// A forest spans every part of a graph by a tree of branches. What is left over
// closes loops.
type forest struct {
	root  []int      // by node: the node its tree starts from
	steps []step     // outward from the roots
	loops [][]signed // one for every branch outside the trees, that branch first
}

// a step reaches a node from one nearer to the root over a branch.
type step struct {
	node, parent int
	signed
}

// signed is a branch with its direction: +1 = passed from its from to its to.
type signed struct {
	branch int
	sign   float64
}

// grow spans n nodes with the branches that use accepts. Branches with an end
// at -1 do not exist. Time and memory are linear in nodes and branches, save
// the loops, which are as long as they are.
func grow(n int, branches []edge, use func(int) bool) forest {
	at := make([][]signed, n)
	for b, e := range branches {
		if e.from < 0 || e.to < 0 || !use(b) {
			continue
		}
		at[e.from] = append(at[e.from], signed{b, 1})
		at[e.to] = append(at[e.to], signed{b, -1})
	}
	f := forest{root: make([]int, n)}
	for i := range f.root {
		f.root[i] = -1
	}
	inTree := make([]bool, len(branches))
	back := make([]step, n) // how each node was reached
	depth := make([]int, n)
	for start := range n {
		if f.root[start] >= 0 {
			continue
		}
		f.root[start] = start
		back[start] = step{node: start, parent: -1}
		for queue := []int{start}; len(queue) > 0; queue = queue[1:] {
			a := queue[0]
			for _, s := range at[a] {
				b := branches[s.branch].to
				if s.sign < 0 {
					b = branches[s.branch].from
				}
				if f.root[b] >= 0 {
					continue
				}
				f.root[b], depth[b], inTree[s.branch] = start, depth[a]+1, true
				back[b] = step{node: b, parent: a, signed: s}
				f.steps = append(f.steps, back[b])
				queue = append(queue, b)
			}
		}
	}
	for b, e := range branches {
		if e.from >= 0 && e.to >= 0 && use(b) && !inTree[b] {
			f.loops = append(f.loops, loopOf(b, e, back, depth))
		}
	}
	return f
}

// loopOf walks a branch from its from to its to, and back through the tree.
func loopOf(branch int, e edge, back []step, depth []int) []signed {
	loop := []signed{{branch, 1}}
	for u, v := e.to, e.from; u != v; {
		if depth[u] >= depth[v] { // from the far end: toward the root
			loop = append(loop, signed{back[u].branch, -back[u].sign})
			u = back[u].parent
		} else { // toward the near end: away from the root
			loop = append(loop, back[v].signed)
			v = back[v].parent
		}
	}
	return loop
}

// closeLoops gives the volts of every branch with the current that circulates
// in the loops taken into account, in the limit of small resistances with the
// given ratios: mesh analysis, R·i = e. Outside loops the volts stay as given.
// ohms must be above zero.
func (f forest) closeLoops(volts []float64, ohms func(int) float64) ([]float64, error) {
	k := len(f.loops)
	if k == 0 {
		return volts, nil
	}
	r, e := mat.NewSymDense(k, nil), mat.NewVecDense(k, nil)
	for i, loop := range f.loops {
		place := make(map[int]float64, len(loop))
		for _, s := range loop {
			place[s.branch] = s.sign
			e.SetVec(i, e.AtVec(i)+s.sign*volts[s.branch])
		}
		for j := i; j < k; j++ {
			sum := 0.0
			for _, s := range f.loops[j] {
				sum += s.sign * place[s.branch] * ohms(s.branch)
			}
			r.SetSym(i, j, sum)
		}
	}
	var c mat.Cholesky
	var amps mat.VecDense
	if !c.Factorize(r) {
		return nil, errors.New("the resistances of the groups in a loop differ too much to say how the loop settles")
	}
	// An error here only warns that the resistances differ a lot.
	_ = c.SolveVecTo(&amps, e)
	out := append([]float64(nil), volts...)
	for i, loop := range f.loops {
		for _, s := range loop {
			out[s.branch] -= s.sign * amps.AtVec(i) * ohms(s.branch)
		}
	}
	return out, nil
}
