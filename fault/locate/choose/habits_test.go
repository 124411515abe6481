package choose

// What people do without a plan. Both read whatever can still tell something
// before they change anything, look only at what is left, and are given the best
// moment to stop.

// telling is the first reading that can tell what is left apart, or -1.
func (c *chainOf) telling(q Question) int {
	for i := range c.n {
		a := c.read(i)
		if _, ok := c.cost(q.Done, a); !ok || q.Done.Has(a) {
			continue
		}
		see, shown := c.sight(q.Done, a), -1
		for h, e := range q.Explanations {
			if e.Weight <= 0 {
				continue
			}
			key := see(h, nil)[0].Key
			if shown >= 0 && key != shown {
				return a
			}
			shown = key
		}
	}
	return -1
}

// oneByOne changes whatever is cheapest next.
func (c *chainOf) oneByOne(q Question) int {
	if a := c.telling(q); a >= 0 {
		return a
	}
	best, least := -1, 0.0
	for a := range c.read(0) {
		if m, ok := c.cost(q.Done, a); ok && !q.Done.Has(a) && (best < 0 || m < least) {
			best, least = a, m
		}
	}
	return best
}

// halving parts the longest section that may leak at its middle, and unplugs
// boards when no section is left to part.
func (c *chainOf) halving(q Question) int {
	if a := c.telling(q); a >= 0 {
		return a
	}
	var suspect, boards [32]bool
	for h, e := range q.Explanations {
		if e.Weight <= 0 {
			continue
		}
		l := c.explain[h]
		for _, at := range l.at[:l.n] {
			suspect[at] = true
			boards[at] = boards[at] || l.board
		}
	}
	best, longest := -1, 1
	for lo := 0; lo < c.n; {
		hi, leaks := lo, suspect[lo]
		for hi < c.n-1 && !q.Done.Has(hi) {
			hi++
			leaks = leaks || suspect[hi]
		}
		if leaks && hi-lo+1 > longest {
			best, longest = (lo+hi)/2, hi-lo+1
		}
		lo = hi + 1
	}
	for i := 0; i < c.n && best < 0; i++ {
		if boards[i] && !q.Done.Has(c.board(i)) {
			best = c.board(i)
		}
	}
	return best
}
