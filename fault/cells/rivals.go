package cells

import (
	"math"
	"slices"
)

// How likely each explanation of group volts without two leaks is taken to be
// before the volts are seen. What is left is a string without any run.
const (
	priorPart    = 0.10 // one whole module or board is off by itself
	priorParts   = 0.10 // a run of whole modules is off: fitted, stored or loaded together
	priorStep    = 0.03 // everything from some tap to the string's end is off
	priorFew     = 0.05 // one group or two neighbours are off
	priorNothing = 1 - priorPart - priorParts - priorStep - priorFew
)

// Depths in mV. A drain band's is as likely in every octave from the least that
// shows up to a depth that takes leaks of a few kΩ, and rarer beyond it; a
// mismatch may be of either sign and far larger.
const (
	leastDepth    = 2.0
	commonDepth   = 100.0
	largestChange = 2000.0
)

// jointWeight is how much likelier a leak sits at a module's terminal than at one
// of its inner taps: that is where bars, covers and coolant meet metal.
const jointWeight = 3.0

// strayNats is what it costs, per group, to call a group low by itself: one in a
// hundred is, by anything up to a hundred times the noise.
var strayNats = math.Log(100) + math.Log(100/math.Sqrt(2*math.Pi))

// A band holds at least insideLeast kept groups and has outsideLeast on each side.
const (
	insideLeast  = 3
	outsideLeast = 2
)

// A step is one way in which groups i up to, not with, j differ from the others.
type step struct {
	i, j      int
	drain     bool
	few       bool    // one or two groups by themselves
	log       float64 // ln of its likelihood, depth integrated, over that without it
	gain      float64 // the same at the best depth, without its prior
	depth, sd float64 // mV below the others
}

// drained weighs kept groups i to j as drained by two leaks; ok is false where
// they are not lower at all.
func (m *model) drained(i, j int) (h step, ok bool) {
	s, n := m.sums(i, j)
	depth := -s / n
	if depth < leastDepth {
		return h, false
	}
	density := 1 / depth
	if depth > commonDepth {
		density = commonDepth / (depth * depth)
	}
	density /= math.Log(commonDepth/leastDepth) + 1
	return m.step(i, j, s, n, density), true
}

// changed weighs kept groups i to j as off by some amount, either way.
func (m *model) changed(i, j int) step {
	s, n := m.sums(i, j)
	depth := math.Max(math.Abs(s/n), leastDepth)
	return m.step(i, j, s, n, 1/(2*depth*math.Log(largestChange/leastDepth)))
}

// step integrates over the depth with its density taken as level over the width of
// the likelihood.
func (m *model) step(i, j int, s, n, density float64) step {
	gain := s * s / (2 * n)
	return step{i: i, j: j, gain: gain, depth: -s / n, sd: 1 / math.Sqrt(n),
		log: math.Log(density) + 0.5*math.Log(2*math.Pi/n) + gain}
}

// rivals are the explanations without two leaks.
type rivals struct {
	log  float64 // ln of their likelihood together, over that of no run at all
	best step    // the likeliest of them; i = j where that is no run
	top  float64 // ln(prior × likelihood) of it
}

func (m *model) rivals(l *line) rivals {
	r := rivals{top: math.Log(priorNothing)}
	terms := []float64{r.top}
	add := func(prior float64, all []step) {
		for _, h := range all {
			at := math.Log(prior/float64(len(all))) + h.log
			terms = append(terms, at)
			if at > r.top {
				r.top, r.best = at, h
			}
		}
	}
	add(priorPart, m.parts(l))
	add(priorParts, m.partRuns(l))
	add(priorStep, m.stepsToEnd())
	add(priorFew, m.few())
	r.log = logSum(terms)
	return r
}

// between gives the kept groups that lie above tap from and up to tap to.
func (m *model) between(from, to int) (i, j int) {
	i, _ = slices.BinarySearch(m.at, from)
	j, _ = slices.BinarySearch(m.at, to)
	return i, j
}

func (m *model) some(i, j int) bool { return i < j && j-i < len(m.at) }

func (m *model) parts(l *line) (out []step) {
	for _, r := range l.whole {
		if i, j := m.between(r.from, r.to); m.some(i, j) {
			out = append(out, m.changed(i, j))
		}
	}
	return out
}

func (m *model) partRuns(l *line) (out []step) {
	for a := range l.ends {
		for b := a + 2; b < len(l.ends); b++ {
			if i, j := m.between(l.ends[a], l.ends[b]); m.some(i, j) {
				out = append(out, m.changed(i, j))
			}
		}
	}
	return out
}

func (m *model) stepsToEnd() (out []step) {
	for j := 1; j < len(m.at); j++ {
		out = append(out, m.changed(0, j))
	}
	return out
}

func (m *model) few() (out []step) {
	for i := range m.at {
		for j := i + 1; j <= min(i+2, len(m.at)); j++ {
			h := m.changed(i, j)
			h.few = true
			out = append(out, h)
		}
	}
	return out
}

func logSum(v []float64) float64 {
	top := slices.Max(v)
	if math.IsInf(top, -1) {
		return top
	}
	sum := 0.0
	for _, x := range v {
		sum += math.Exp(x - top)
	}
	return top + math.Log(sum)
}
