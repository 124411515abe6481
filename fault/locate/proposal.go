package locate

import (
	"context"

	"halfsplit/fault"
	"halfsplit/fault/locate/choose"
	"halfsplit/topology"
)

// proposals is how many tests a finding proposes: the best and two in its place.
const proposals = 3

// worthBits is what a test must tell to stand beside the best one.
const worthBits = 0.01

// A proposer asks the planner what to do next: it turns moves into actions, and
// says what each would show.
type proposer struct {
	*foreteller
	state    fault.State
	meter    usedMeter
	list     []move
	at       map[choose.Set]*prospect // by changes done
	changes  choose.Set               // all moves that change the pack
	question choose.Question
	two      float64 // share of two leaks
}

// propose fills in the next tests of a finding that has a posterior.
func (a *analysis) propose(ctx context.Context, si int, f *fault.Finding) error {
	o := a.foretell(ctx, si)
	p := &proposer{foreteller: o, state: a.c.States[si], meter: a.meter(), at: map[choose.Set]*prospect{{}: o.now}}
	for _, h := range a.po.hypotheses() {
		if h.Kind == fault.Two {
			p.two = float64(h.Share)
		}
	}
	p.list, f.HeldBack = o.moves()
	p.addRepeats()
	p.ask()
	answer, err := choose.Next(ctx, p.question)
	if err != nil {
		return err
	}
	for _, s := range answer.Steps {
		if answer.Stop || len(f.Next) == proposals {
			break
		}
		if s.Bits >= worthBits || len(f.Next) == 0 {
			f.Next = append(f.Next, p.test(answer, s))
		}
	}
	if size, ok := p.sizing(f); ok && len(f.Next) < proposals {
		f.Next = append(f.Next, size)
	}
	if len(f.Next) == 0 || answer.Stop {
		f.Stop = p.stop(answer, f)
	}
	return nil
}

// ask puts the moves as a question to the planner.
func (p *proposer) ask() {
	q := &p.question
	q.Wrong, q.Enough = wrongMinutes, sure
	for i := range p.list {
		m := &p.list[i]
		q.Actions = append(q.Actions, choose.Action{ID: m.kind + " " + m.verb(p.a), Reading: m.reading()})
		if !m.reading() {
			p.changes = p.changes.With(i)
		} else if m.kind == fault.TestRead && p.taken(m.node) {
			q.Done = q.Done.With(i)
		}
	}
	for _, acc := range p.accounts {
		q.Explanations = append(q.Explanations, choose.Explanation{Label: acc.label, Weight: acc.weight})
	}
	q.Minutes, q.Sight = p.minutes, p.sight
}

// taken says that a plain reading of a terminal counts already, in this state.
func (p *proposer) taken(node topology.NodeID) bool {
	return p.a.readAt(p.si, p.now.joined, node, func(o *observation) bool {
		return o.reading.Quantity == fault.Volts && !o.allowed.set && len(o.elements) == 1
	})
}

// prospect is the pack once some moves are done.
func (p *proposer) prospect(done choose.Set) *prospect {
	only := choose.Set{}
	var open, unplugged []string
	for i := range p.list {
		if !done.Has(i) || !p.changes.Has(i) {
			continue
		}
		only = only.With(i)
		for _, l := range p.list[i].links {
			open = append(open, p.a.net.Layout.Links[l].ID)
		}
		unplugged = append(unplugged, p.list[i].boards...)
	}
	if known := p.at[only]; known != nil {
		return known
	}
	out := p.after(open, unplugged)
	p.at[only] = out
	return out
}

func (p *proposer) minutes(done choose.Set, action int) (float64, bool) {
	m := &p.list[action]
	for _, need := range m.needs {
		if !done.Has(need) {
			return 0, false
		}
	}
	at := p.prospect(done)
	if m.reading() {
		if m.kind == fault.TestRepeat {
			return m.minutes, done == p.question.Done // in the present state alone
		}
		return m.minutes, p.isEnd(at, m.node)
	}
	for _, l := range m.links {
		if at.open[p.a.net.Layout.Links[l].ID] {
			return 0, false
		}
	}
	return m.minutes, true
}

// isEnd says that a node is an end of its section: what another point of it would
// show follows from the ends.
func (p *proposer) isEnd(at *prospect, node topology.NodeID) bool {
	sec := at.joined.SectionOf(node)
	if sec < 0 {
		return false
	}
	s := &at.joined.Sections[sec]
	c := at.joined.Conductor(node)
	return c == at.joined.Conductor(s.From) || c == at.joined.Conductor(s.To)
}

func (p *proposer) sight(done choose.Set, action int) choose.Sight {
	m := &p.list[action]
	if !m.reading() {
		return nil
	}
	seen := p.foresee(p.prospect(done), m)
	if seen == nil {
		return nil
	}
	return func(h int, into []choose.Chance) []choose.Chance { return append(into, seen.chances[h]...) }
}

// foresee is what a reading would show in a prospect; nil off the string.
func (p *proposer) foresee(at *prospect, m *move) *sight {
	sec := at.joined.SectionOf(m.node)
	if sec < 0 {
		return nil
	}
	s := p.section(at, sec)
	meter := p.meter.on(s.volts)
	v := view{node: m.node, siemens: meter.siemens()}
	if m.fitted != nil {
		v.siemens += 1 / m.fitted.Ohms
	}
	return p.look(s, v, &meter)
}

// addRepeats adds taking a reading of this state again where it drifts.
func (p *proposer) addRepeats() {
	if len(p.a.d.drifts) == 0 {
		return
	}
	for _, id := range p.ends() {
		if p.taken(id) {
			p.list = append(p.list, move{kind: fault.TestRepeat, node: id, minutes: readMinutes})
		}
	}
}
