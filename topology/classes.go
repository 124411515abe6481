package topology

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
