package path

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"halfsplit/topology"
)

// A Value is what a meter showed on one terminal against the reference.
type Value struct {
	Terminal string  // such as "M03+", as the layout draws it
	Volts    float64 // above the reference
	Within   float64 // V, half-width of what is this value's own: counts, drift, another range
}

// Measured is everything that was measured for an order, against one reference.
type Measured struct {
	Reference    string  // in words, such as "B-"; only for the sentences
	Gain         float64 // half-width of the gain error that all Values have in common, as a share: 0.005 for 0.5 %
	Values       []Value
	ModuleVolts  map[string]float64 // V of a module by id, known otherwise than by Values
	ModuleWithin float64            // V, half-width of each of those
}

// An end is one terminal of a module, as drawn and as measured.
type end struct {
	name     string
	module   int
	drawn    int // 0 = drawn as -, 1 = drawn as +
	volts    float64
	within   float64
	known    bool
	inferred bool // by the module's volts from its other end
	suspect  bool // the value contradicts something
	x, y     float64
}

// table holds the ends of all modules and what was found wrong with the values.
type table struct {
	l        topology.Layout
	m        Measured
	ends     []end // 2·module is -, 2·module+1 is +
	turned   []bool
	out      *Proposal
	swapped  bool
	typical  float64 // V of a group, the median; 0 = not known
	byName   map[string]int
	occupied map[int]string // end -> link that joins it
	against  map[int]string // end -> link of the drawing that the volts speak against
}

// within is the half-width of the difference of two values of one meter. With v =
// (1+g)·t + e for each, the common gain g leaves a share g of the difference only,
// and each value's own error adds: |Δ error| ≤ Gain·|Δ| + w1 + w2.
func (t *table) within(a, b *end) float64 {
	return t.m.Gain*math.Abs(a.volts-b.volts) + a.within + b.within
}

func newTable(l topology.Layout, m Measured, out *Proposal) *table {
	t := &table{l: l, m: m, out: out, byName: map[string]int{}, occupied: map[int]string{}, against: map[int]string{}, turned: make([]bool, len(l.Modules))}
	if g := m.Gain; math.IsNaN(g) || g < 0 || g > 1 {
		t.m.Gain = 1
		t.doubt("", "The meter's gain error is no share between 0 and 1, so it is not known: its values cannot be told from each other by it.")
	}
	for i, mod := range l.Modules {
		for drawn, sign := range []string{"-", "+"} {
			e := end{name: mod.ID + sign, module: i, drawn: drawn}
			e.x, e.y = terminal(l, mod, drawn)
			t.byName[e.name] = len(t.ends)
			t.ends = append(t.ends, e)
		}
	}
	t.take()
	t.leads()
	t.infer()
	for i := range l.Modules {
		t.turned[i] = t.reversed(i)
	}
	t.typical = t.median()
	return t
}

// take puts the values on their terminals. What cannot be put is said.
func (t *table) take() {
	for _, v := range t.m.Values {
		i, ok := t.byName[strings.TrimSpace(v.Terminal)]
		switch {
		case !ok:
			t.doubt(v.Terminal, "%q is no terminal of a module here; its %s V are left out.", v.Terminal, num(v.Volts))
			continue
		case math.IsNaN(v.Volts) || math.IsInf(v.Volts, 0) || math.IsNaN(v.Within) || v.Within < 0 || math.IsInf(v.Within, 0):
			t.doubt(v.Terminal, "%s has a value that is no number of volts; it is left out.", v.Terminal)
			continue
		}
		e := &t.ends[i]
		if !e.known {
			e.volts, e.within, e.known = v.Volts, v.Within, true
			continue
		}
		again := end{volts: v.Volts, within: v.Within}
		if d := math.Abs(e.volts - v.Volts); d > t.within(e, &again) {
			e.suspect = true
			t.doubt(e.name, "%s has two values, %s V and %s V, that differ by %s V, more than ± %s V. The first is used, and nothing is certain by it.",
				e.name, num(e.volts), num(v.Volts), num(d), num(t.within(e, &again)))
		}
	}
}

// leads turns every sign about when all modules read the wrong way round: one pair
// of leads is likelier than every module drawn wrongly.
func (t *table) leads() {
	both, wrong := 0, 0
	for i := range t.l.Modules {
		if t.ends[2*i].known && t.ends[2*i+1].known {
			both++
			if t.reversed(i) {
				wrong++
			}
		}
	}
	if both < 2 || wrong < both {
		return
	}
	t.swapped = true
	for i := range t.ends {
		t.ends[i].volts = -t.ends[i].volts
	}
	t.doubt(t.ends[0].name, "All %d modules with two values read the wrong way round. Red and black were probably swapped; every sign is turned about here.", both)
}

// reversed tells whether a module's end that is drawn as + lies below its other end
// by more than the meter can err.
func (t *table) reversed(i int) bool {
	lo, hi := &t.ends[2*i], &t.ends[2*i+1]
	return lo.known && hi.known && !lo.inferred && !hi.inferred && lo.volts-hi.volts > t.within(lo, hi)
}

// infer gives a module's other end where the module's own volts are known.
func (t *table) infer() {
	for i, mod := range t.l.Modules {
		own, ok := t.m.ModuleVolts[mod.ID]
		if !ok || math.IsNaN(own) || math.IsInf(own, 0) {
			continue
		}
		lo, hi := &t.ends[2*i], &t.ends[2*i+1]
		switch {
		case lo.known && !hi.known:
			*hi = inferred(*hi, lo.volts+own, lo.within+t.m.ModuleWithin+t.m.Gain*math.Abs(own))
		case hi.known && !lo.known:
			*lo = inferred(*lo, hi.volts-own, hi.within+t.m.ModuleWithin+t.m.Gain*math.Abs(own))
		case lo.known && hi.known:
			d := math.Abs(math.Abs(hi.volts-lo.volts) - math.Abs(own))
			if w := t.within(lo, hi) + t.m.ModuleWithin; d > w {
				lo.suspect, hi.suspect = true, true
				t.doubt(mod.ID, "%s has %s V by its own value, but %s V between its two ends: %s V apart, more than ± %s V.",
					mod.ID, num(own), num(hi.volts-lo.volts), num(d), num(w))
			}
		}
	}
}

func inferred(e end, volts, within float64) end {
	e.volts, e.within, e.known, e.inferred = volts, within, true, true
	return e
}

// negative and positive are a module's ends by its volts, or as drawn.
func (t *table) negative(i int) int { return 2*i + bit(t.turned[i]) }
func (t *table) positive(i int) int { return 2*i + 1 - bit(t.turned[i]) }

func bit(b bool) int {
	if b {
		return 1
	}
	return 0
}

// median is the middle of the volts of a group over the modules with two values; 0
// with fewer than three of them, since two cannot say which of them is odd.
func (t *table) median() float64 {
	var all []float64
	for i, mod := range t.l.Modules {
		if v, ok := t.over(i); ok && mod.Series > 0 {
			all = append(all, v/float64(mod.Series))
		}
	}
	if len(all) < 3 {
		return 0
	}
	slices.Sort(all)
	return all[len(all)/2]
}

// over is a module's volts, positive, where both its ends were measured.
func (t *table) over(i int) (float64, bool) {
	lo, hi := &t.ends[t.negative(i)], &t.ends[t.positive(i)]
	return hi.volts - lo.volts, lo.known && hi.known && !lo.inferred && !hi.inferred
}

func (t *table) doubt(at, format string, args ...any) {
	t.out.Contradictions = append(t.out.Contradictions, Note{GoTo: at, Text: fmt.Sprintf(format, args...)})
}

// num writes volts with as many decimals as help, at most three.
func num(v float64) string {
	s := fmt.Sprintf("%.3f", v)
	s = strings.TrimSuffix(s, "0")
	if strings.Trim(s, "-0.") == "" {
		return "0.00"
	}
	return s
}
