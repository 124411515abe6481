package cells

import (
	"fmt"
	"math"

	"halfsplit/fault"
	"halfsplit/topology"
)

// How far a band is trusted. Weight is by how much it may raise two leaks, wherever
// they sit, over everything else. However clearly groups are low together,
// something that is not weighed here may have made them so, as one in about ten
// such bands; and of two leaks only some have been there for long enough to show.
const (
	WeightCap     = 30.0
	PlateauWeight = 1.0       // the same on the level part of the iron phosphate curve
	shows         = 1.0 / 3.0 // of the pairs of leaks, those that leave a band
)

// Caps on the odds of one pair of taps. Where both edges may be module terminals,
// modules that were stored or loaded together look the same.
const (
	PairCap   = 1e6
	JointsCap = 4.0
)

// A band is told of where the volts are that much likelier with it than without;
// a tap, where its odds come to edgeOdds.
const (
	bandRatio   = 10.0
	jointsRatio = 3.0
	edgeOdds    = 1.5
	edgeTaps    = 5 // at each edge, at most
)

// An Edge is a tap that a drain band may end at.
type Edge struct {
	Tap  string
	Odds float64 // its part in the odds of a pair: those are the product of both edges'
}

// A Band is a run of groups that two leaks at its ends would drain.
type Band struct {
	String   string
	From, To string // its first and last group, by the likeliest edges
	Groups   int
	Depth    float64 // mV below the groups on both sides
	Error    float64 // mV, two standard deviations
	Weight   float64 // by how much it raises two leaks over all else, capped
	Odds     float64 // of the pair of its likeliest taps over any other pair, capped
	LogRatio float64 // ln of how much likelier the volts are with the band than without one, not capped
	Plateau  bool    // iron phosphate on the level part of its curve: volts say little there
	Joints   bool    // both edges may be module terminals: whole modules may be low for reasons of their own
	Lower    []Edge  // likeliest first
	Upper    []Edge
}

// Bands lists the drain bands of a case, at most one for each string. A list that
// other volts contradict in its order has none.
func Bands(c fault.Case) []Band {
	net, _ := topology.Compile(c.Layout)
	var out []Band
	for _, l := range lines(&c, net, pick(&c, net)) {
		if w, ok := weigh(l); ok {
			if b, ok := w.drainBand(distinct(&c, net)); ok {
				out = append(out, b)
			}
		}
	}
	return out
}

// Evidence turns the drain bands of a case into odds for a leak at their edge
// taps, as one of two.
//
// Odds are those of the pair over any other, so that the weight of a band, divided
// among as many pairs of taps as there are, comes to large odds for the one pair
// that fits. Every lower edge is told with every upper one: the volts speak for
// both places together, and for neither by itself. A neighbouring tap gets less
// than the edge, by as much as the volts speak against it.
//
// A band that one module or one board explains, or a run of whole modules as well,
// is no evidence, or next to none: two whole modules deep down tell of something
// that was done to those modules.
func Evidence(c fault.Case) []fault.Evidence {
	var out []fault.Evidence
	for _, b := range Bands(c) {
		why := b.sentence()
		for _, lo := range b.Lower {
			for _, up := range b.Upper {
				if odds := lo.Odds * up.Odds; odds > edgeOdds {
					out = append(out, fault.Evidence{Place: lo.Tap, With: up.Tap, Kind: fault.Two, Odds: odds, Why: why})
				}
			}
		}
	}
	return out
}

func (w *weighed) drainBand(apart func(a, b topology.NodeID) bool) (Band, bool) {
	h := w.band
	lower, upper := w.likeliest(0), w.likeliest(1)
	if h.j == 0 || lower < 1 || upper <= lower || w.l.back != nil {
		return Band{}, false
	}
	ratio := math.Exp(math.Min(w.ratio, 50))
	joints := w.mayBeJoint(0) && w.mayBeJoint(1)
	if ratio < jointsRatio || !joints && ratio < bandRatio {
		return Band{}, false
	}
	weight := math.Min(WeightCap, shows*ratio)
	if w.l.flat {
		weight = math.Min(weight, PlateauWeight)
	}
	limit := PairCap
	if joints {
		limit = JointsCap
	}
	odds := weight * w.pairs()
	if odds > limit {
		odds, weight = limit, weight*limit/odds
	}
	return Band{
		String: w.l.id(), From: w.l.group(w.m.at[h.i]), To: w.l.group(w.m.at[h.j-1]), Groups: w.m.at[h.j-1] - w.m.at[h.i] + 1,
		Depth: h.depth, Error: 2 * h.sd, Weight: weight, Odds: odds, LogRatio: w.ratio, Plateau: w.l.flat, Joints: joints,
		Lower: w.edges(0, odds, apart), Upper: w.edges(1, odds, apart),
	}, true
}

// pairs is how many pairs of taps there are for every one that the volts allow.
func (w *weighed) pairs() float64 {
	prior := w.weights()
	return pairTotal(prior) / (dot(prior, w.edge[0]) * dot(prior, w.edge[1]))
}

// likeliest is the kept index of the best edge of a side.
func (w *weighed) likeliest(side int) (best int) {
	for i, e := range w.edge[side] {
		if e > w.edge[side][best] {
			best = i
		}
	}
	return best
}

// nearEdge is how well an edge must do against the best one to be reckoned with.
const nearEdge = 0.02

// mayBeJoint says that the band may end at a module's terminal on that side.
func (w *weighed) mayBeJoint(side int) bool {
	for i := 1; i < len(w.edge[side]); i++ {
		if w.edge[side][i] < nearEdge {
			continue
		}
		for tap, last := w.gap(i); tap <= last; tap++ {
			if w.l.joint(tap) {
				return true
			}
		}
	}
	return false
}

// edges are the taps of a side with their odds, likeliest first, then upwards.
func (w *weighed) edges(side int, odds float64, apart func(a, b topology.NodeID) bool) (out []Edge) {
	root := math.Sqrt(odds)
	for n := 0; n < edgeTaps; {
		best := -1
		for i := 1; i < len(w.edge[side]); i++ {
			if w.edge[side][i]*root >= edgeOdds && (best < 0 || w.edge[side][i] > w.edge[side][best]) {
				best = i
			}
		}
		if best < 0 {
			break
		}
		o := root * w.edge[side][best]
		w.edge[side][best] = 0
		for tap, last := w.gap(best); tap <= last; tap++ {
			n++
			out = append(out, Edge{w.l.tap(tap), o})
			below, above := w.l.net.TapAt(w.l.str, tap), w.l.net.TapAbove(w.l.str, tap)
			if below != above && apart(below, above) {
				out = append(out, Edge{w.l.net.Name(above), o})
			}
		}
	}
	return out
}

// distinct says whether two taps are more than one conductor in a state that was
// read in: a leak at the one is then not a leak at the other.
func distinct(c *fault.Case, net *topology.Net) func(a, b topology.NodeID) bool {
	var in []*topology.Joined
	return func(a, b topology.NodeID) bool {
		if in == nil {
			read := map[string]bool{}
			for _, r := range c.Readings {
				read[r.State] = true
			}
			for _, s := range c.States {
				if read[s.ID] {
					in = append(in, net.In(s.Setting()))
				}
			}
		}
		for _, j := range in {
			if j.Conductor(a) != j.Conductor(b) {
				return true
			}
		}
		return false
	}
}

func (b Band) sentence() string {
	s := fmt.Sprintf("Groups %s to %s are %s mV (± %s mV) low: two leaks at their ends would drain exactly these",
		b.From, b.To, figure(b.Depth), figure(b.Error))
	if b.Joints {
		s += ", and whole modules that were stored or loaded together would look alike"
	}
	if b.Plateau {
		s += "; on the level part of the iron phosphate curve volts say little of charge, so this counts for less"
	}
	return s + "."
}
