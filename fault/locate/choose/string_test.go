package choose

import (
	"fmt"
	"math/rand/v2"
)

// A chainOf is a string of modules that can be parted and read: the smallest world
// in which everything that matters happens. Explanations are one leak in a module,
// a pair of equal ones, a board that leaks while it is plugged. Actions are, in
// this order, the links to open, the boards to unplug, and for every module to
// read the section that begins there. A section shows the module at the mean
// position of its leaks, or nothing.
type chainOf struct {
	n        int
	explain  []leaks
	priors   []float64
	minutes  []float64 // of every action by itself
	cover    []int     // of every module
	covers   []float64 // minutes to take each off, once
	wrong    float64
	noise    float64 // probability of showing a neighbour instead
	unusable Set     // actions that cannot be done
}

// leaks are the modules at which there is one; of a board its module.
type leaks struct {
	at    [2]int8
	n     int8
	board bool
}

func (c *chainOf) links() int      { return c.n - 1 }
func (c *chainOf) board(i int) int { return c.n - 1 + i }
func (c *chainOf) read(i int) int  { return 2*c.n - 1 + i }
func (c *chainOf) actions() int    { return 3*c.n - 1 }

// newChain draws priors and minutes.
func newChain(n int, r *rand.Rand) *chainOf {
	c := &chainOf{n: n, wrong: 30 + 210*r.Float64()}
	kinds := [3]float64{r.ExpFloat64(), r.ExpFloat64(), r.ExpFloat64()}
	spread := r.ExpFloat64
	switch r.IntN(4) {
	case 0, 1: // as such packs fail
		kinds = [3]float64{0.75, 0.15, 0.10}
	case 2: // nothing known, and much at stake
		spread = func() float64 { return 1 }
		c.wrong *= 4
	}
	for i := range n {
		c.add(leaks{at: [2]int8{int8(i)}, n: 1}, kinds[0]*spread()/float64(n))
		c.add(leaks{at: [2]int8{int8(i)}, n: 1, board: true}, kinds[2]*spread()/float64(n))
		for j := range i {
			c.add(leaks{at: [2]int8{int8(j), int8(i)}, n: 2}, kinds[1]*spread()*2/float64(n*(n-1)))
		}
	}
	for range n - 1 {
		c.minutes = append(c.minutes, 2+18*r.Float64()*r.Float64())
	}
	for range n {
		c.minutes = append(c.minutes, 1+9*r.Float64())
	}
	for range n {
		c.minutes = append(c.minutes, 1+2*r.Float64())
	}
	k := 1 + r.IntN(4)
	for range k {
		c.covers = append(c.covers, 12*r.Float64())
	}
	for i := range n {
		c.cover = append(c.cover, i*k/n)
	}
	return c
}

func (c *chainOf) add(l leaks, w float64) {
	c.explain = append(c.explain, l)
	c.priors = append(c.priors, w)
}

func (c *chainOf) label(l leaks) string {
	switch {
	case l.board:
		return fmt.Sprintf("board %02d", l.at[0]+1)
	case l.n == 2:
		return fmt.Sprintf("M%02d+M%02d", l.at[0]+1, l.at[1]+1)
	}
	return fmt.Sprintf("M%02d", l.at[0]+1)
}

// behind is the module whose cover must be off for a change.
func (c *chainOf) behind(action int) int {
	if action < c.links() {
		return action
	}
	return action - c.links()
}

// cost is the minutes of an action once others are done.
func (c *chainOf) cost(done Set, a int) (float64, bool) {
	if c.unusable.Has(a) {
		return 0, false
	}
	if i := a - c.read(0); i >= 0 {
		return c.minutes[a], i == 0 || done.Has(i-1)
	}
	k := c.cover[c.behind(a)]
	for b := range c.read(0) {
		if done.Has(b) && c.cover[c.behind(b)] == k {
			return c.minutes[a], true
		}
	}
	return c.minutes[a] + c.covers[k], true
}

func (c *chainOf) sight(done Set, a int) Sight {
	lo := a - c.read(0)
	if lo < 0 {
		return nil
	}
	hi := lo
	for hi < c.n-1 && !done.Has(hi) {
		hi++
	}
	return func(h int, into []Chance) []Chance {
		key := c.shown(c.explain[h], lo, hi, done)
		if c.noise == 0 || key == c.n {
			return append(into, Chance{key, 1})
		}
		if lo == hi {
			return append(into, Chance{key, 1})
		}
		side := key + 1
		if side > hi {
			side = key - 1
		}
		return append(into, Chance{key, 1 - c.noise}, Chance{side, c.noise})
	}
}

// shown is the module at the mean position of the leaks between two modules; c.n
// where there are none.
func (c *chainOf) shown(l leaks, lo, hi int, done Set) int {
	if l.board && done.Has(c.board(int(l.at[0]))) {
		return c.n
	}
	sum, n := 0, 0
	for _, at := range l.at[:l.n] {
		if int(at) >= lo && int(at) <= hi {
			sum += int(at)
			n++
		}
	}
	if n == 0 {
		return c.n
	}
	return (2*sum + n) / (2 * n)
}

func (c *chainOf) question() Question {
	q := Question{Wrong: c.wrong, Minutes: c.cost, Sight: c.sight}
	for i, l := range c.explain {
		q.Explanations = append(q.Explanations, Explanation{Label: c.label(l), Weight: c.priors[i]})
	}
	for a := range c.actions() {
		q.Actions = append(q.Actions, Action{ID: c.name(a), Reading: a >= c.read(0)})
	}
	return q
}

func (c *chainOf) name(a int) string {
	switch {
	case a < c.links():
		return fmt.Sprintf("open %02d", a+1)
	case a < c.read(0):
		return fmt.Sprintf("unplug %02d", a-c.links()+1)
	}
	return fmt.Sprintf("read %02d", a-c.read(0)+1)
}
