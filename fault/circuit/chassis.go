package circuit

import "slices"

// chassis gives every piece its node. Pieces joined by 0 ohms share one; the
// first piece is the reference, and what "chassis" alone means.
func (c *Circuit) chassis(p Pack) error {
	names, joined := p.metal()
	c.pieces = map[string]int{"": ref}
	nodes := map[int]int{joined[0]: ref}
	for i, id := range names {
		node, ok := nodes[joined[i]]
		if !ok {
			node = c.net.n
			c.net.n++
			nodes[joined[i]] = node
		}
		c.pieces[id] = node
	}
	for _, b := range p.Bonds {
		if b.Ohms == 0 {
			continue
		}
		g, err := conductance("bond "+b.From+"–"+b.To, b.Ohms)
		if err != nil {
			return err
		}
		c.net.branches = append(c.net.branches, branch{a: c.pieces[b.From], b: c.pieces[b.To], g: g})
	}
	return nil
}

// metal lists the chassis pieces of layout and bonds, and for each a number
// that pieces of one metal share.
func (p Pack) metal() (names []string, joined []int) {
	for _, piece := range p.Net.Layout.Chassis {
		names = append(names, piece.ID)
	}
	named := map[string]bool{}
	for _, b := range p.Bonds {
		for _, id := range []string{b.From, b.To} {
			if named[id] = true; id != "" && !slices.Contains(names, id) {
				names = append(names, id)
			}
		}
	}
	if len(names) == 0 {
		names = []string{""}
	}
	joined = make([]int, len(names))
	for i, id := range names {
		if joined[i] = i; !named[id] {
			joined[i] = 0
		}
	}
	at := func(id string) int { return max(0, slices.Index(names, id)) } // "" is the first
	for _, b := range p.Bonds {
		if b.Ohms != 0 {
			continue
		}
		from, to := joined[at(b.From)], joined[at(b.To)]
		for i := range joined {
			if joined[i] == to {
				joined[i] = from
			}
		}
	}
	return names, joined
}
