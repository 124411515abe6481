package choose

import (
	"context"
	"flag"
	"math"
	"math/rand/v2"
	"testing"
)

var full = flag.Bool("full", false, "compare 500 instances of up to 12 modules with the exact optimum")

// A policy says what to do, or -1 to stop.
type policy struct {
	do func(q Question) int
	// hindsight stops wherever stopping is not dearer than what the policy would do.
	hindsight bool
}

// planned asks the planner anew every time.
func planned(t *testing.T) policy {
	return policy{do: func(q Question) int {
		a, err := Next(context.Background(), q)
		if err != nil {
			t.Fatal(err)
		}
		if a.Stop {
			return -1
		}
		return a.Steps[0].Action
	}}
}

// follow is the expected minutes of a policy over everything that can be true,
// times the mass of it. Nothing of it is the planner's own arithmetic.
func (c *chainOf) follow(q Question, p policy) float64 {
	sum, lead := 0.0, 0.0
	for _, e := range q.Explanations {
		sum += e.Weight
		lead = max(lead, e.Weight) // every explanation has a label of its own
	}
	stop := c.wrong * (sum - lead)
	if sum == 0 || lead >= enough*sum {
		return stop
	}
	a := p.do(q)
	if a < 0 {
		return stop
	}
	minutes, ok := c.cost(q.Done, a)
	if !ok || q.Done.Has(a) {
		return math.Inf(1)
	}
	total := minutes * sum
	for _, next := range c.outcomes(q, a) {
		total += c.follow(next, p)
	}
	if p.hindsight {
		return min(total, stop)
	}
	return total
}

// outcomes are the questions that are left after an action.
func (c *chainOf) outcomes(q Question, a int) []Question {
	next := q
	next.Done = q.After(a)
	if !q.Actions[a].Reading {
		return []Question{next}
	}
	see := c.sight(q.Done, a)
	parts := make([]Question, c.n+1)
	for i, e := range q.Explanations {
		if e.Weight > 0 {
			p := &parts[see(i, nil)[0].Key]
			if p.Actions == nil {
				*p = next
				p.Explanations = make([]Explanation, len(q.Explanations))
			}
			p.Explanations[i] = e
		}
	}
	var left []Question
	for _, p := range parts {
		if p.Actions != nil {
			left = append(left, p)
		}
	}
	return left
}

// minutesOf is the expected minutes of a policy.
func (c *chainOf) minutesOf(p policy) float64 {
	sum := 0.0
	for _, w := range c.priors {
		sum += w
	}
	return c.follow(c.question(), p) / sum
}

// A tallyOf gathers a policy's minutes and their ratios to the optimum.
type tallyOf struct {
	name             string
	minutes          float64
	sum, worst, less float64
	n, same          int
}

func (y *tallyOf) add(got, best float64) {
	ratio := got / best
	y.minutes += got
	y.sum += ratio
	y.worst = max(y.worst, ratio)
	y.less = min(y.less, ratio-1)
	y.n++
	if ratio < 1+1e-6 {
		y.same++
	}
}

func (y *tallyOf) log(t *testing.T) {
	t.Logf("%-28s %.1f minutes; times the optimum: mean %.4f, worst %.3f, at it in %d of %d", y.name, y.minutes/float64(y.n), y.sum/float64(y.n), y.worst, y.same, y.n)
}

// instances calls with chains of random priors and minutes, the sizes in turn.
func instances(from, to, count int, f func(c *chainOf)) {
	for i := range count {
		f(newChain(from+i%(to-from+1), rand.New(rand.NewPCG(2026, uint64(i)))))
	}
}

func TestOracle_PolicyIsNearTheExactOptimum(t *testing.T) {
	from, to, count := 5, 8, 40
	if *full {
		from, to, count = 6, 12, 500
	}
	us, one, half := &tallyOf{name: "planned"}, &tallyOf{name: "one by one from the cheapest"}, &tallyOf{name: "halving by index"}
	ideal := &tallyOf{name: "optimum"}
	instances(from, to, count, func(c *chainOf) {
		best := newOptimum(c).solve()
		ideal.add(best, best)
		us.add(c.minutesOf(planned(t)), best)
		one.add(c.minutesOf(policy{c.oneByOne, true}), best)
		half.add(c.minutesOf(policy{c.halving, true}), best)
	})
	t.Logf("%d strings of %d to %d modules, minutes with the price of a wrong part", count, from, to)
	for _, y := range []*tallyOf{us, ideal, half, one} {
		y.log(t)
		if y.less < -1e-6 {
			t.Errorf("%s is below the optimum by %.2g: the optimum is none", y.name, -y.less)
		}
	}
	if mean := us.sum / float64(us.n); !(mean <= 1.05) || !(us.worst <= 1.30) {
		t.Errorf("planned: mean %.4f, worst %.3f; want at most 1.05 and 1.30", mean, us.worst)
	}
	if us.sum >= one.sum || us.sum >= half.sum {
		t.Error("a habit does as well")
	}
}

// With two thousand minutes at stake everything is followed to the end, and long
// strings have more ways there than the planner's work lasts for: it is further
// from the optimum than otherwise, and this is how far.
func TestOracle_MuchAtStake(t *testing.T) {
	from, to, count := 5, 7, 20
	if *full {
		from, to, count = 11, 12, 80
	}
	us, half := &tallyOf{name: "planned"}, &tallyOf{name: "halving by index"}
	instances(from, to, count, func(c *chainOf) {
		c.wrong = 2000
		best := newOptimum(c).solve()
		us.add(c.minutesOf(planned(t)), best)
		half.add(c.minutesOf(policy{c.halving, true}), best)
	})
	us.log(t)
	half.log(t)
	if mean := us.sum / float64(us.n); !(mean <= 1.10) || !(us.worst <= 2.00) || us.sum >= half.sum {
		t.Errorf("planned: mean %.4f, worst %.3f; want at most 1.10 and 2.00", mean, us.worst)
	}
}

// The optimum goes from reading to reading; with one action at a time it must be
// the same.
func TestOracle_OptimumIsThatOfSingleActions(t *testing.T) {
	to, count := 4, 30
	if *full {
		to, count = 5, 100
	}
	instances(3, to, count, func(c *chainOf) {
		moves, single := newOptimum(c), newOptimum(c)
		single.single = true
		if a, b := moves.solve(), single.solve(); math.Abs(a-b) > 1e-6 {
			t.Errorf("%d modules: %.6f from reading to reading, %.6f action by action", c.n, a, b)
		}
	})
}
