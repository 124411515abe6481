package topology

// levels is a union-find whose members lie known volts above each other.
type levels struct {
	parent []int
	above  []float64 // V above parent
}

func newLevels(n int) *levels {
	l := &levels{parent: make([]int, n), above: make([]float64, n)}
	for i := range l.parent {
		l.parent[i] = i
	}
	return l
}

// root is the representative of a member, and how far the member lies above it.
func (l *levels) root(i int) (int, float64) {
	top, volts := i, 0.0
	for l.parent[top] != top {
		volts += l.above[top]
		top = l.parent[top]
	}
	for rest := volts; l.parent[i] != top && i != top; { // later searches are short
		next, step := l.parent[i], l.above[i]
		l.parent[i], l.above[i] = top, rest
		i, rest = next, rest-step
	}
	return top, volts
}

// join puts b volts above a. Where their distance is known already it stays,
// and the difference from volts is returned.
func (l *levels) join(a, b int, volts float64) float64 {
	ra, va := l.root(a)
	rb, vb := l.root(b)
	if ra == rb {
		return vb - va - volts
	}
	l.parent[rb], l.above[rb] = ra, va+volts-vb
	return 0
}
