package order

import (
	"math"
	"slices"
)

// A scorer holds a list against what was seen.
type scorer struct {
	v      *view
	list   []float64 // by index; an index without a value has the middle of the others
	spread []float64 // V, variance of each value of the list
	gain   []float64 // by channel: as the last whole order fitted it
}

func newScorer(v *view, list []float64) *scorer {
	s := &scorer{v: v, list: slices.Clone(list), spread: make([]float64, len(list)), gain: make([]float64, len(v.channels))}
	var known []float64
	for _, x := range list {
		if !math.IsNaN(x) {
			known = append(known, x)
		}
	}
	mid := middle(known)
	off := make([]float64, len(known))
	for i, x := range known {
		off[i] = math.Abs(x - mid)
	}
	for i := range s.list {
		s.spread[i] = listEach * listEach / 3
		if math.IsNaN(s.list[i]) {
			s.list[i] = mid
			s.spread[i] += math.Pow(math.Max(0.03, 1.4826*middle(off)), 2)
		}
	}
	return s
}

func middle(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = slices.Clone(v)
	slices.Sort(v)
	return v[len(v)/2]
}

// likely is ln of how likely a difference z standard deviations off is, by Student's t.
func likely(d, variance float64) float64 {
	return -(freedom+1)/2*math.Log1p(d*d/(freedom*variance)) - 0.5*math.Log(variance)
}

// whole is ln of the likelihood of everything that was seen under one order, the gain
// of every channel integrated by Laplace's formula. It keeps the gains that fit best.
func (s *scorer) whole(to []int) float64 {
	at := make([]int, len(to)) // index by place
	for i, p := range to {
		at[p] = i
	}
	sum := 0.0
	for ch := range s.v.channels {
		var read, list, variance []float64
		for _, x := range s.v.all {
			if x.channel != ch {
				continue
			}
			l, v := 0.0, x.sd*x.sd
			for p := x.lo; p < x.hi; p++ {
				l += s.list[at[p]]
				v += s.spread[at[p]]
			}
			read, list, variance = append(read, x.volts), append(list, l), append(variance, v)
		}
		sum += s.integrated(ch, read, list, variance)
	}
	return sum
}

// integrated is one channel's part.
func (s *scorer) integrated(ch int, read, list, variance []float64) float64 {
	sd := s.v.channels[ch].sd
	at := func(g float64) float64 {
		sum := -g * g / (2 * sd * sd)
		for i := range read {
			sum += likely(read[i]-(1+g)*list[i], variance[i])
		}
		return sum
	}
	const steps = 80
	best, top := 0.0, math.Inf(-1)
	for i := -steps; i <= steps; i++ {
		if g := 4 * sd * float64(i) / steps; at(g) > top {
			best, top = g, at(g)
		}
	}
	for w := 4 * sd / steps; w > 1e-7; w /= 2 {
		for _, g := range []float64{best - w, best + w} {
			if y := at(g); y > top {
				best, top = g, y
			}
		}
	}
	const h = 1e-5
	curve := (2*top - at(best-h) - at(best+h)) / (h * h)
	s.gain[ch] = best
	return top - 0.5*math.Log(math.Max(curve, 1/(sd*sd))) - math.Log(sd)
}

// inBlock is the likelihood of what was seen within a block when the list's values
// from index start fill it, turned or not, with the gains as they are.
func (s *scorer) inBlock(b block, start int, turned bool) float64 {
	sum := 0.0
	for _, x := range s.v.all {
		if x.lo < b.lo || x.hi > b.hi {
			continue
		}
		l, v := 0.0, x.sd*x.sd
		for p := x.lo; p < x.hi; p++ {
			i := start + p - b.lo
			if turned {
				i = start + b.hi - 1 - p
			}
			l += s.list[i]
			v += s.spread[i]
		}
		sum += likely(x.volts-(1+s.gain[x.channel])*l, v)
	}
	return sum
}
