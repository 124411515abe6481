package locate

import (
	"fmt"
	"math"
	"slices"

	"halfsplit/fault"
)

// sizing proposes the reading with the test resistor where a leak has only a bound,
// or nothing better to do: it sizes the leak, and seldom moves its place.
func (p *proposer) sizing(f *fault.Finding) (t fault.NextTest, ok bool) {
	now := p.now
	at := slices.IndexFunc(f.Leaks, func(l fault.Leak) bool { return l.Ohms.Relation == fault.Less && p.there(now, l) })
	if at < 0 {
		return t, false
	}
	leak, sec := f.Leaks[at], -1
	if node, known := p.a.net.Node(leak.Tap.Mid); known {
		sec = now.joined.SectionOf(node)
	}
	if sec < 0 {
		return t, false
	}
	s := p.section(now, sec)
	r := p.a.resistorFor(s.volts, math.Max(1, float64(leak.Ohms.High)))
	if r == nil {
		f.HeldBack = append(f.HeldBack, fault.HeldBack{Action: "A reading with a test resistor, for the leak's size",
			Why: fmt.Sprintf("No test resistor is recorded for %s with twice the watts that it would take.", voltsText(s.volts))})
		return t, false
	}
	m := move{kind: fault.TestRead, node: p.a.terminal(now.joined, s.to), fitted: r, minutes: resistorMinutes}
	if v := p.interval(p.foresee(now, &move{node: m.node})); math.Abs(float64(v.Low+v.High))/2 < s.volts/2 {
		m.node = p.a.terminal(now.joined, s.from)
	}
	t = emptyTest(m.kind)
	t.Action, t.Minutes, t.Bits = upperFirst(m.verb(p.a))+".", fault.Number(m.minutes), 0
	t.Why = "It gives the leak's size, of which there is only a bound; it tells next to nothing about what must come out."
	p.lead(&t, now, &m)
	return t, true
}

// there says that a leak's best place is joined to the string in a prospect: not a
// board off its taps, nor an open link.
func (p *proposer) there(at *prospect, l fault.Leak) bool {
	if len(l.Places) == 0 {
		return false
	}
	switch id := l.Places[0].ID; l.Places[0].Kind {
	case fault.PlaceBoard:
		return at.plugged(id)
	case fault.PlaceLink:
		return !at.open[id]
	}
	return true
}
