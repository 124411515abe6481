package locate

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/locate/choose"
	"halfsplit/topology"
)

// test tells one step of the planner as a proposed test.
func (p *proposer) test(answer choose.Answer, s choose.Step) fault.NextTest {
	chain := append([]int{s.Action}, s.Then...)
	done := p.question.Done
	t := emptyTest("")
	if t.Bits = fault.Number(s.Bits); !s.Rough { // what was not followed to the end is no figure for a person
		t.Total = fault.Number(s.Total)
	}
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
			done = choose.Question{Actions: p.question.Actions, Done: done}.After(i)
			p.change(&t, m, p.prospect(done))
		}
	}
	t.Minutes = fault.Number(minutes)
	t.Action = upperFirst(strings.Join(words, ", then ")) + "."
	last := &p.list[chain[len(chain)-1]]
	p.lead(&t, p.prospect(done), last)
	p.live(&t, p.prospect(done))
	t.Then = p.then(s, p.prospect(done), last)
	t.Why = p.why(answer, s, &t)
	return t
}

// change notes what a move changes, its gap, and its cautions.
func (p *proposer) change(t *fault.NextTest, m *move, after *prospect) {
	for _, l := range m.links {
		t.State.Open = append(t.State.Open, p.a.net.Layout.Links[l].ID)
	}
	t.State.Unplugged = append(t.State.Unplugged, m.boards...)
	t.NotChecked = appendNew(t.NotChecked, p.a.notChecked(p.state, m)...)
	if len(m.boards) > 0 {
		t.Cautions = appendNew(t.Cautions, fmt.Sprintf("Unplug %s in the maker's order, and change nothing else with it.", join(m.boards, "and")))
	}
	if len(m.links) == 1 {
		p.gap(t, m.links[0], after)
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
func (p *proposer) gap(t *fault.NextTest, link int, at *prospect) {
	id := p.a.net.Layout.Links[link].ID
	for _, b := range p.a.net.Links {
		if b.Link != link {
			continue
		}
		bare, ok := p.across(at, b, 0)
		if !ok {
			return
		}
		shown, _ := p.across(at, b, p.meter.siemens())
		t.GapVolts = magnitude(p.interval(&shown))
		t.Cautions = appendNew(t.Cautions, fmt.Sprintf("Once %s is open, read across its gap before anything there is touched: %s on the meter, most likely about %s; %s with nothing joined there; expected, not measured. A reading outside says that something joins the two sides: stop.",
			id, rangeText(t.GapVolts), voltsRounded(math.Abs(p.point(&shown, 0.5)), 5), rangeText(magnitude(p.interval(&bare)))))
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
		noteLoad(t, m.fitted, furthest(expected))
	}
}

// furthest is the end of an interval of volts that lies further from zero.
func furthest(r fault.Range2) float64 {
	return math.Max(math.Abs(float64(r.Low)), math.Abs(float64(r.High)))
}

// wattsText writes watts to two digits; what warms nothing is only bounded.
func wattsText(w float64) string {
	if w < 0.01 {
		return "under 0.01 W"
	}
	return digits(w, 2) + " W"
}

// lock is the range that holds both ends of the section, so that one gain serves
// both readings.
func (p *proposer) lock(at *prospect, s *stretch) fault.Number {
	worst := 0.0
	for _, id := range []topology.NodeID{p.a.terminal(at.joined, s.from), p.a.terminal(at.joined, s.to)} {
		worst = math.Max(worst, furthest(p.interval(p.foresee(at, &move{node: id}))))
	}
	return p.meter.lock(worst)
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
	if p.two >= 0.1 {
		t.Cautions = appendNew(t.Cautions, fmt.Sprintf("Two leaks have a share of %s: they would make a loop through the cells between them, and the current in it stops where the link opens.", percent(p.two)))
	}
}

// An outlet is bins side by side after which the same comes next.
type outlet struct {
	from, to int // keys
	next     int // move, -1 = stop
	label    string
	lead     float64 // the label's share
	share    float64 // of the outlet
}

// then tells what would come after the likeliest outcomes of a step.
func (p *proposer) then(s choose.Step, at *prospect, m *move) []fault.ThenTest {
	out := []fault.ThenTest{}
	seen := p.foresee(at, m)
	if seen == nil {
		return out
	}
	for n, x := range outlets(s.Outcomes) {
		if n == proposals {
			break
		}
		action := fmt.Sprintf("stop: %s, %s", labelWords(x.label), percent(x.lead))
		if x.next >= 0 {
			action = p.list[x.next].verb(p.a)
		}
		out = append(out, fault.ThenTest{If: "it reads " + seen.binText(x.from, x.to), Share: fault.Number(math.Min(1, x.share)), Action: action})
	}
	return out
}

// outlets joins neighbouring outcomes after which the same is done, the likeliest
// first.
func outlets(outcomes []choose.Outcome) (list []outlet) {
	byKey := slices.Clone(outcomes)
	slices.SortFunc(byKey, func(x, y choose.Outcome) int { return cmp.Compare(x.Key, y.Key) })
	for _, o := range byKey {
		if n := len(list) - 1; n >= 0 && list[n].to+1 >= o.Key && list[n].next == o.Next && (o.Next >= 0 || list[n].label == o.Label) {
			x := &list[n]
			x.lead = (x.lead*x.share + o.Share*o.P) / (x.share + o.P)
			x.to, x.share = o.Key, x.share+o.P
			continue
		}
		list = append(list, outlet{o.Key, o.Key, o.Next, o.Label, o.Share, o.P})
	}
	slices.SortStableFunc(list, func(x, y outlet) int { return cmp.Compare(y.share, x.share) })
	return list
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
	text += "."
	if !s.Rough {
		text += fmt.Sprintf(" Begun with this it takes some %.0f min until it is known, the risk of taking out the wrong part included.", s.Total)
	}
	return text + fmt.Sprintf(" Stopping now would cost %.0f min on average: %.0f min for a wrong part, of which %s is the chance.",
		answer.Unresolved, wrongMinutes, percent(1-answer.Share))
}

// stop says why no test is proposed.
func (p *proposer) stop(answer choose.Answer, f *fault.Finding) string {
	who := fmt.Sprintf("%s has %s", labelWords(answer.Label), percent(answer.Share))
	if two := partsOf(answer.Label); len(two) > 1 {
		who = fmt.Sprintf("%s together have %s", labelWords(answer.Label), percent(answer.Share))
	}
	switch {
	case answer.Share >= sure:
		return fmt.Sprintf("Enough is known: %s.", who)
	case len(f.HeldBack) > 0:
		return fmt.Sprintf("Nothing more can be proposed before what is held back is recorded: %s so far. Taking out the wrong part would cost %.0f min on average.", who, answer.Unresolved)
	case len(answer.Steps) == 0:
		return fmt.Sprintf("No reading that can be proposed tells more: %s. What is left shares its potential in every state that can be made here, and is told apart by eye or by taking it apart.", who)
	}
	return fmt.Sprintf("No test that can be proposed is worth its minutes: %s, and taking out the wrong part would cost %.0f min on average.", who, answer.Unresolved)
}
