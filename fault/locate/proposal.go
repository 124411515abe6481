package locate

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/locate/choose"
	"halfsplit/topology"
)

// proposals is how many tests a finding proposes: the best and two in its place.
const proposals = 3

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
}

// propose fills in the next tests of a finding that has a posterior.
func (a *analysis) propose(ctx context.Context, si int, f *fault.Finding) error {
	o := a.foretell(si)
	p := &proposer{foreteller: o, state: a.c.States[si], meter: a.meter(), at: map[choose.Set]*prospect{}}
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
		if !s.Rough && s.Total < answer.Unresolved || len(f.Next) == 0 {
			f.Next = append(f.Next, p.test(answer, s))
		}
	}
	if size, ok := p.sizing(f); ok && len(f.Next) < proposals {
		f.Next = append(f.Next, size)
	}
	if len(f.Next) == 0 || answer.Stop {
		f.Stop = p.stop(answer)
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
		} else if m.kind == fault.TestRead && p.taken(m) {
			q.Done = q.Done.With(i)
		}
	}
	for _, acc := range p.accounts {
		q.Explanations = append(q.Explanations, choose.Explanation{Label: acc.label, Weight: acc.weight})
	}
	q.Minutes, q.Sight = p.minutes, p.sight
}

// taken says that a plain reading of the terminal counts already, in this state.
func (p *proposer) taken(m *move) bool {
	now := p.prospect(choose.Set{})
	for i := range p.a.d.obs {
		o := &p.a.d.obs[i]
		if o.reading.State != p.state.ID || o.reading.Quantity != fault.Volts || o.allowed.set || len(o.elements) != 1 {
			continue
		}
		e := o.red
		if e.chassis() {
			e = o.black
		} else if !o.black.chassis() {
			continue
		}
		if !e.chassis() && now.joined.Conductor(e.node) == now.joined.Conductor(m.node) {
			return true
		}
	}
	return false
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
		if m.kind == fault.TestRepeat || m.fitted != nil {
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
		m := move{kind: fault.TestRepeat, node: id, minutes: readMinutes}
		if p.taken(&m) {
			p.list = append(p.list, m)
		}
	}
}

// test tells one step of the planner as a proposed test.
func (p *proposer) test(answer choose.Answer, s choose.Step) fault.NextTest {
	chain := append([]int{s.Action}, s.Then...)
	done := p.question.Done
	t := fault.NextTest{Bits: fault.Number(s.Bits), Total: fault.Number(s.Total), NotChecked: []string{}, Cautions: []string{}, Then: []fault.ThenTest{}, GapVolts: noRange, Expected: noRange,
		Watts: fault.NoNumber, Across: fault.NoNumber, Range: fault.NoNumber}
	var words []string
	var minutes float64
	for _, i := range chain {
		m := &p.list[i]
		if t.Kind == "" {
			t.Kind = m.kind
		}
		words = append(words, m.verb(p.a))
		minutes += m.minutes
		if !m.reading() {
			p.change(&t, m, p.prospect(done))
			done = choose.Question{Actions: p.question.Actions, Done: done}.After(i)
		}
	}
	t.Minutes = fault.Number(minutes)
	t.Action = upperFirst(strings.Join(words, ", then ")) + "."
	last := &p.list[chain[len(chain)-1]]
	p.lead(&t, p.prospect(done), last)
	p.live(&t, p.prospect(done))
	t.Then = p.after2(s, p.prospect(done), last)
	t.Why = p.why(answer, s, &t)
	return t
}

// change notes what a move changes, its gap, and its cautions.
func (p *proposer) change(t *fault.NextTest, m *move, before *prospect) {
	for _, l := range m.links {
		t.State.Open = append(t.State.Open, p.a.net.Layout.Links[l].ID)
	}
	t.State.Unplugged = append(t.State.Unplugged, m.boards...)
	t.NotChecked = appendNew(t.NotChecked, p.a.notChecked(p.state, m)...)
	if len(m.boards) > 0 {
		t.Cautions = appendNew(t.Cautions, fmt.Sprintf("Unplug %s in the maker's order, and change nothing else with it.", join(m.boards, "and")))
	}
	if len(m.links) == 1 {
		p.gap(t, m.links[0], before)
	}
}

func appendNew(list []string, more ...string) []string {
	for _, s := range more {
		if !slices.Contains(list, s) {
			list = append(list, s)
		}
	}
	return list
}

var noRange = fault.Range2{Low: fault.NoNumber, High: fault.NoNumber}

// gap foretells the volts across a link once it is open and before anything else is
// done: both sides float by their own leaks.
func (p *proposer) gap(t *fault.NextTest, link int, before *prospect) {
	id := p.a.net.Layout.Links[link].ID
	var open []string
	for o := range before.open {
		open = append(open, o)
	}
	var off []string
	for _, b := range p.a.net.Layout.Boards {
		if !before.plugged(b.ID) {
			off = append(off, b.ID)
		}
	}
	slices.Sort(open)
	then := p.after(append(open, id), off)
	for _, b := range p.a.net.Links {
		if b.Link != link {
			continue
		}
		bare, ok := p.across(then, b, 0)
		if !ok {
			return
		}
		shown, _ := p.across(then, b, p.meter.siemens())
		t.GapVolts = magnitude(p.spanOf(shown.mean, shown.sd))
		t.Cautions = appendNew(t.Cautions, fmt.Sprintf("Once %s is open, read across its gap before anything there is touched: %s on the meter, %s with nothing joined there, expected, not measured. A reading far from it says that something joins the two sides: stop.",
			id, rangeText(t.GapVolts), rangeText(magnitude(p.spanOf(bare.mean, bare.sd)))))
	}
}

// across is the volts between the two sides of an open link, with so much conductance
// across it. The two sides are joined through chassis by all that they leak, so that a
// meter of resistance R reads the open-circuit volts times R/(R + 1/G + 1/G′).
func (p *proposer) across(at *prospect, b topology.Branch, siemens float64) (out sight, ok bool) {
	x, y := at.joined.SectionOf(b.A), at.joined.SectionOf(b.B)
	if x < 0 || y < 0 {
		return out, false
	}
	low, high := p.section(at, x), p.section(at, y)
	for i := range p.weights {
		v, s := low.sums[i].at(low.phi[b.A], 0)
		w, r := high.sums[i].at(high.phi[b.B], 0)
		part := 1 / (1 + siemens/low.sums[i].g + siemens/high.sums[i].g)
		if x == y { // strings in parallel: cells hold both sides
			s, r, part = 0, 0, 1
		}
		cell := math.Hypot(low.cellSD, high.cellSD) / 2
		out.mean, out.sd = append(out.mean, (v-w)*part), append(out.sd, math.Sqrt(s*s+r*r+cell*cell+1e-6)*part+0.01)
	}
	return out, true
}

// magnitude of an interval of volts.
func magnitude(r fault.Range2) fault.Range2 {
	lo, hi := float64(r.Low), float64(r.High)
	switch {
	case lo >= 0:
		return r
	case hi <= 0:
		return fault.Range2{Low: fault.Number(-hi), High: fault.Number(-lo)}
	}
	return fault.Range2{Low: 0, High: fault.Number(math.Max(-lo, hi))}
}

// rangeText writes an interval of volts with as many digits as it deserves.
func rangeText(r fault.Range2) string {
	lo, hi := float64(r.Low), float64(r.High)
	if lo == 0 {
		return "up to " + voltsRounded(hi, hi)
	}
	return fmt.Sprintf("%s to %s", strings.TrimSuffix(voltsRounded(lo, hi-lo), " V"), voltsRounded(hi, hi-lo))
}

// voltsRounded writes volts to two digits of a spread.
func voltsRounded(v, spread float64) string {
	n := 0
	for s := math.Abs(spread); s < 10 && n < 3; s *= 10 {
		n++
	}
	return fmt.Sprintf("%.*f V", n, v+0)
}

// lead fills in the reading: where the leads go, what is fitted, what is expected.
func (p *proposer) lead(t *fault.NextTest, at *prospect, m *move) {
	t.Red, t.Black = p.a.net.Name(m.node), "chassis"
	sec := at.joined.SectionOf(m.node)
	if sec < 0 {
		return
	}
	s := p.section(at, sec)
	seen := p.foresee(at, m)
	expected := p.interval(seen)
	if !p.meter.known {
		t.NotChecked = appendNew(t.NotChecked, "No meter is recorded: what it would show hangs on its input resistance.")
	} else {
		t.Instrument = p.meter.in.ID
		if t.Expected = expected; math.IsInf(p.meter.in.Input(p.meter.rg), 1) {
			t.Expected = noRange
			t.NotChecked = appendNew(t.NotChecked, fmt.Sprintf("The input resistance of %s is not recorded: what it would show hangs on it.", p.meter.in.ID))
		}
		t.Range = p.lock(at, s)
	}
	if m.fitted != nil {
		worst := math.Max(math.Abs(float64(expected.Low)), math.Abs(float64(expected.High)))
		t.Resistor, t.Across, t.Watts = m.fitted.ID, fault.Number(worst), fault.Number(worst*worst/m.fitted.Ohms)
		t.Cautions = appendNew(t.Cautions, fmt.Sprintf("%s joins a live pole to chassis: up to %s and %.2g W in it, expected, not measured. Fused lead, no bare ends, and off again after the reading.",
			m.fitted.ID, voltsText(worst), float64(t.Watts)))
	}
}

// lock is the range that holds both ends of the section, so that one gain serves
// both readings.
func (p *proposer) lock(at *prospect, s *stretch) fault.Number {
	worst := 0.0
	for _, id := range []topology.NodeID{p.terminal(at.joined, s.from), p.terminal(at.joined, s.to)} {
		r := p.interval(p.foresee(at, &move{node: id}))
		worst = math.Max(worst, math.Max(math.Abs(float64(r.Low)), math.Abs(float64(r.High))))
	}
	for _, r := range p.meter.in.Ranges {
		if r.Max >= worst {
			return fault.Number(r.Max)
		}
	}
	return fault.NoNumber
}

// live says what stays live once a link is open.
func (p *proposer) live(t *fault.NextTest, at *prospect) {
	if len(t.State.Open) == 0 {
		return
	}
	var parts []string
	for i := range at.joined.Sections {
		x := &at.joined.Sections[i]
		if len(x.Groups) > 0 {
			parts = append(parts, fmt.Sprintf("%s to %s %s", p.a.net.Name(x.From), p.a.net.Name(x.To), voltsText(p.section(at, i).volts)))
		}
	}
	t.Cautions = appendNew(t.Cautions, fmt.Sprintf("With %s open the inside stays live, expected, not measured: %s. Open it by the maker's procedure; for a person authorised for this work.", join(t.State.Open, "and"), join(parts, "and")))
	if two := p.byKind(fault.Two); two >= 0.1 {
		t.Cautions = appendNew(t.Cautions, fmt.Sprintf("Two leaks have a share of %s: they would make a loop through the cells between them, and the current in it stops where the link opens.", percent(two)))
	}
}

func (p *proposer) byKind(kind string) float64 {
	for _, h := range p.a.po.hypotheses() {
		if h.Kind == kind {
			return float64(h.Share)
		}
	}
	return 0
}

// after2 tells what would come after the likeliest outcomes of a step.
func (p *proposer) after2(s choose.Step, at *prospect, m *move) (out []fault.ThenTest) {
	out = []fault.ThenTest{}
	seen := p.foresee(at, m)
	if seen == nil {
		return out
	}
	type piece struct {
		key    int
		action string
		share  float64
	}
	var pieces []piece
	for _, o := range s.Outcomes {
		action := ""
		if o.Next >= 0 {
			action = p.list[o.Next].verb(p.a)
		} else {
			action = fmt.Sprintf("stop: %s, %s", labelWords(o.Label), percent(o.Share))
		}
		pieces = append(pieces, piece{o.Key, action, o.P})
	}
	slices.SortFunc(pieces, func(x, y piece) int { return x.key - y.key })
	type merged struct {
		piece
		to int
	}
	var list []merged
	same := func(x, y string) bool { return strings.SplitN(x, ",", 2)[0] == strings.SplitN(y, ",", 2)[0] }
	for _, x := range pieces {
		if n := len(list); n > 0 && list[n-1].to+1 >= x.key && same(list[n-1].action, x.action) {
			if x.share > list[n-1].share {
				list[n-1].action = x.action
			}
			list[n-1].to, list[n-1].share = x.key, list[n-1].share+x.share
			continue
		}
		list = append(list, merged{x, x.key})
	}
	slices.SortStableFunc(list, func(x, y merged) int {
		switch {
		case x.share > y.share:
			return -1
		case x.share < y.share:
			return 1
		}
		return 0
	})
	for _, x := range list[:min(3, len(list))] {
		out = append(out, fault.ThenTest{If: "it reads " + seen.binText(x.key, x.to), Share: fault.Number(x.share), Action: x.action})
	}
	return out
}

// binText is the volts of bins from one to another.
func (s *sight) binText(from, to int) string {
	lo, hi := math.Inf(-1), math.Inf(1)
	if from > 0 {
		lo = s.edges[from-1]
	}
	if to < len(s.edges) {
		hi = s.edges[to]
	}
	switch {
	case math.IsInf(lo, -1) && math.IsInf(hi, 1):
		return "anything"
	case math.IsInf(lo, -1):
		return "below " + voltsRounded(hi, 5)
	case math.IsInf(hi, 1):
		return "above " + voltsRounded(lo, 5)
	}
	return rangeText(fault.Range2{Low: fault.Number(lo), High: fault.Number(hi)})
}

// labelWords names a label in a sentence.
func labelWords(label string) string {
	switch label {
	case labelNone, labelWet, labelUnread, labelOutside:
		return label
	}
	return join(partsOf(label), "and")
}

func (p *proposer) why(answer choose.Answer, s choose.Step, t *fault.NextTest) string {
	text := fmt.Sprintf("%.2f bits about what must come out in %g min", s.Bits, math.Round(float64(t.Minutes)*10)/10)
	if t.Minutes > 0 {
		text += fmt.Sprintf(", %.3f a minute", s.Bits/float64(t.Minutes))
	}
	text += fmt.Sprintf(". Begun with this it takes some %.0f min until it is known, the risk of taking out the wrong part included; stopping now would cost %.0f min on average (%.0f min for a wrong part, of which %s is the chance).",
		s.Total, answer.Unresolved, wrongMinutes, percent(1-answer.Share))
	return text
}

// stop says why no test is proposed.
func (p *proposer) stop(answer choose.Answer) string {
	who := labelWords(answer.Label)
	if answer.Share >= sure {
		return fmt.Sprintf("Enough is known: %s has %s.", who, percent(answer.Share))
	}
	return fmt.Sprintf("No test that can be proposed is worth its minutes: %s has %s, and taking out the wrong part would cost %.0f min on average.", who, percent(answer.Share), answer.Unresolved)
}

// sizing proposes the reading with the test resistor where a leak has only a bound,
// or nothing better to do: it sizes the leak, and seldom moves its place.
func (p *proposer) sizing(f *fault.Finding) (t fault.NextTest, ok bool) {
	bound := slices.ContainsFunc(f.Leaks, func(l fault.Leak) bool { return l.Ohms.Relation == fault.Less })
	if !bound {
		return t, false
	}
	now := p.prospect(choose.Set{})
	sec := now.joined.SectionOf(p.a.leakNode(f.Leaks[0]))
	if sec < 0 {
		return t, false
	}
	s := p.section(now, sec)
	r := p.a.resistorFor(s.volts, math.Max(1, float64(f.Leaks[0].Ohms.High)))
	if r == nil {
		f.HeldBack = append(f.HeldBack, fault.HeldBack{Action: "A reading with a test resistor, for the leak's size",
			Why: fmt.Sprintf("No test resistor is recorded for %s with twice the watts that it would take.", voltsText(s.volts))})
		return t, false
	}
	m := move{kind: fault.TestRead, node: p.terminal(now.joined, s.to), fitted: r, minutes: resistorMinutes}
	if v := p.interval(p.foresee(now, &move{node: m.node})); math.Abs(float64(v.Low+v.High))/2 < s.volts/2 {
		m.node = p.terminal(now.joined, s.from)
	}
	t = fault.NextTest{Kind: m.kind, Action: upperFirst(m.verb(p.a)) + ".", Minutes: fault.Number(m.minutes), Total: fault.NoNumber, Bits: 0,
		NotChecked: []string{}, Cautions: []string{}, Then: []fault.ThenTest{}, GapVolts: noRange, Expected: noRange, Watts: fault.NoNumber, Across: fault.NoNumber, Range: fault.NoNumber,
		Why: "It gives the leak's size, of which there is only a bound; it tells next to nothing about what must come out."}
	p.lead(&t, now, &m)
	return t, true
}

// leakNode is a node of a leak's best place.
func (a *analysis) leakNode(l fault.Leak) topology.NodeID {
	if id, ok := a.net.Node(l.Tap.Mid); ok {
		return id
	}
	return topology.NoNode
}
