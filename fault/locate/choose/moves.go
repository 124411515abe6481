package choose

import (
	"cmp"
	"math"
	"slices"
)

// chain is how many changes in a row may be needed before something can be seen.
const chain = 3

// A move is an action that shows something, after the changes that it needs.
type move struct {
	acts    [chain + 1]int16 // positions in the planner's order
	n       int              // how many of them
	minutes float64          // all together
	gain    gain
	before  Set // what is done when the last action is
}

func (m move) first() int { return int(m.acts[0]) }
func (m move) last() int  { return int(m.acts[m.n-1]) }

// rate is bits per minute. What costs nothing comes first.
func (m move) rate() float64 {
	if m.minutes <= 0 {
		return math.Inf(1)
	}
	return m.gain.bits / m.minutes
}

// A site is a belief in a state, with what can be done and what the readings show.
type site struct {
	b     belief
	can   []bool // by position
	shows []gain // of readings that are possible
	list  []move
}

// A place is what a list of moves depends on.
type place struct {
	print uint64
	done  Set
}

// kept is how many moves of a place are remembered.
const kept = 6

// moves lists the best of what can be done next, the most bits per minute first. A
// change is in it only with a reading that it makes possible or makes differ: what
// cannot tell labels apart is never in it. Searches come by the same places again
// and again, so that they are remembered.
func (p *planner) moves(b belief, done Set) []move {
	at := place{b.print, done}
	list, known := p.known[at]
	if !known {
		list = p.allMoves(b, done)
		list = slices.Clone(list[:min(len(list), kept)])
		if !p.over {
			p.known[at] = list
		}
	}
	return list
}

// allMoves lists everything that can be done next. The list is good until the next.
func (p *planner) allMoves(b belief, done Set) []move {
	s := &p.site
	s.b, s.list = b, s.list[:0]
	for i, a := range p.acts {
		minutes, ok := p.minutes(done, a)
		s.can[i], s.shows[i] = ok, gain{}
		if !ok || !a.reading {
			continue
		}
		if see := p.q.Sight(done, a.index); see != nil {
			s.shows[i] = p.gain(b, see)
			if s.shows[i].bits > 0 && !done.Has(a.index) {
				s.list = append(s.list, move{acts: [chain + 1]int16{int16(i)}, n: 1, minutes: minutes, gain: s.shows[i], before: done})
			}
		}
	}
	p.changes(s, move{before: done}, s.can)
	slices.SortFunc(s.list, func(m, o move) int {
		if c := cmp.Compare(rounded(o.rate()), rounded(m.rate())); c != 0 {
			return c
		}
		return slices.Compare(m.acts[:m.n], o.acts[:o.n])
	})
	return s.list
}

// changes adds every change among those given that is possible after those of a
// move, with the readings after it. What a change makes possible is followed.
func (p *planner) changes(s *site, so move, given []bool) {
	for i, a := range p.acts {
		if a.reading || !given[i] || p.over {
			continue
		}
		minutes, ok := p.minutes(so.before, a)
		if !ok {
			continue
		}
		m := so
		m.acts[m.n], m.n, m.minutes = int16(i), m.n+1, m.minutes+minutes
		if see := p.q.Sight(so.before, a.index); see != nil {
			if m.gain = p.gain(s.b, see); m.gain.bits > 0 {
				s.list = append(s.list, m)
				continue
			}
		}
		m.before = p.after(so.before, a)
		p.spend(0)
		p.readings(s, m)
		if m.n < chain {
			if next := p.newly(s, so.before, m.before); next != nil {
				p.changes(s, m, next)
			}
		}
	}
}

// readings adds the readings that the changes of a move make possible or differ.
func (p *planner) readings(s *site, m move) {
	for i, a := range p.acts {
		if !a.reading {
			continue
		}
		minutes, ok := p.minutes(m.before, a)
		if !ok {
			continue
		}
		see := p.q.Sight(m.before, a.index)
		if see == nil {
			continue
		}
		g := p.gain(s.b, see)
		if g.bits <= 0 || (s.can[i] && s.shows[i].print == g.print) {
			continue
		}
		n := m
		n.acts[n.n], n.n, n.minutes, n.gain = int16(i), n.n+1, n.minutes+minutes, g
		s.list = append(s.list, n)
	}
}

// newly marks the changes that are possible after but were not before, nor to begin
// with; nil if there are none.
func (p *planner) newly(s *site, before, after Set) (opened []bool) {
	for i, a := range p.acts {
		if a.reading || s.can[i] {
			continue
		}
		if _, is := p.minutes(after, a); !is {
			continue
		}
		if _, was := p.minutes(before, a); was {
			continue
		}
		if opened == nil {
			opened = make([]bool, len(p.acts))
		}
		opened[i] = true
	}
	return opened
}

// minutes asks what an action costs. A time that is no number is no possibility.
func (p *planner) minutes(done Set, a act) (float64, bool) {
	if !a.reading && done.Has(a.index) {
		return 0, false
	}
	p.spent++
	m, ok := p.q.Minutes(done, a.index)
	if !ok || math.IsNaN(m) || math.IsInf(m, 0) || m < 0 {
		return 0, false
	}
	return m, true
}

// after is what is done once an action is.
func (p *planner) after(done Set, a act) Set {
	if !a.reading {
		done = done.Without(p.readingsSet)
	}
	return done.With(a.index)
}

// rounded takes off the digits that the order of a sum may change.
func rounded(x float64) float64 {
	if x == 0 || math.IsInf(x, 0) {
		return x
	}
	return float64(float32(x))
}
