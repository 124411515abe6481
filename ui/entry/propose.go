package entry

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/words"
)

// A Proposal is the reading that a form was opened for, and what is expected of it
// and of the gap that was opened for it. It stays with the form; it counts for that
// reading only, in the state for which it was worked out.
type Proposal struct {
	State, Red, Black, Resistor string
	ResistorFrom, ResistorTo    string // where it goes; both "" = across the probes
	Instrument                  string
	Range                       float64
	Told                        bool    // Low and High say what is expected
	Low, High                   float64 // V, 95 %
	Gap                         string  // id of the link that was opened; "" = none with a prediction
	GapLow, GapHigh             float64 // V, across it
}

// Propose is the form of a proposed test, in the state that it asks for: leads, test
// resistor, meter and range are set.
func Propose(p *facts.Pack, n fault.NextTest, was Form) Form {
	o := Proposal{State: p.Case.Now, Red: n.Red, Black: n.Black, Resistor: n.Resistor, ResistorFrom: n.ResistorFrom, ResistorTo: n.ResistorTo, Instrument: n.Instrument}
	if in, ok := p.Case.Instrument(n.Instrument); ok && slices.ContainsFunc(in.Ranges, func(r fault.Range) bool { return r.Max == float64(n.Range) }) {
		o.Range = float64(n.Range)
	}
	if n.Expected.Known() {
		o.Told, o.Low, o.High = true, float64(n.Expected.Low), float64(n.Expected.High)
	}
	if n.GapVolts.Known() && len(n.State.Open) > 0 {
		o.Gap, o.GapLow, o.GapHigh = n.State.Open[0], float64(n.GapVolts.Low), float64(n.GapVolts.High)
	}
	return Form{Instrument: was.Instrument, Resistor: was.Resistor, Force: was.Force, Millivolts: was.Millivolts, Comma: was.Comma, Last: was.Last, For: o}.ToProposed(p)
}

// ToProposed puts the form on the reading that it was opened for.
func (f Form) ToProposed(p *facts.Pack) Form {
	o := f.For
	f.Red, f.Black, f.Range = o.Red, o.Black, o.Range
	f.Raw, f.Failed, f.Corrects, f.Why, f.Link, f.At = "", "", "", "", "", Field
	f.Module = moduleOf(p, f.Red)
	if _, ok := p.Case.Instrument(o.Instrument); ok {
		f.Instrument = o.Instrument
	}
	f = f.furnish(p)
	_, chassis := topology.ChassisRef(o.Black)
	link, across := linkBetween(p, o.Red, o.Black)
	switch {
	case o.Resistor != "":
		f.Kind, f.Resistor = WithResistor, o.Resistor
	case chassis:
		f.Kind = ToChassis
	case across:
		f.Kind, f.Link = Across, link
	case f.Module != "" && o.Red == f.Module+"+" && o.Black == f.Module+"-":
		f.Kind = ModuleVolts
	default:
		f.Kind = Between
	}
	return f
}

// linkBetween is the link whose two ends are these places.
func linkBetween(p *facts.Pack, a, b string) (id string, ok bool) {
	for _, l := range p.Case.Layout.Links {
		if l.From == a && l.To == b || l.From == b && l.To == a {
			return l.ID, true
		}
	}
	return "", false
}

// IsProposed says that the form is on the reading that it was opened for.
func (f Form) IsProposed(p *facts.Pack) bool {
	o := f.For
	with := ""
	if f.Kind == WithResistor {
		with = f.Resistor
	}
	return o.Red != "" && o.State == p.Case.Now && o.Red == f.Red && o.Black == f.Black && o.Resistor == with && f.Corrects == "" && f.Kind != Insulation
}

// fitted is where the test resistor of this reading goes; apart says that this is not
// across the probes.
func (f Form) fitted(p *facts.Pack) (r fault.Fitted, apart bool) {
	r = fault.Fitted{ID: f.Resistor, From: f.Red, To: f.Black}
	if f.For.ResistorFrom == "" && f.For.ResistorTo == "" || !f.IsProposed(p) {
		return r, false
	}
	if f.For.ResistorFrom != "" {
		r.From = f.For.ResistorFrom
	}
	if f.For.ResistorTo != "" {
		r.To = f.For.ResistorTo
	}
	return r, r.From != f.Red || r.To != f.Black
}

// GapFirst is the link that was opened for this reading and was not read across yet
// in this state; ok is false for none.
func (f Form) GapFirst(p *facts.Pack) (link string, ok bool) {
	if f.For.Gap == "" || f.Kind == Across || !f.IsProposed(p) {
		return "", false
	}
	for _, r := range p.Case.Readings {
		if l, across := linkBetween(p, r.Red, r.Black); across && l == f.For.Gap && r.State == p.Case.Now {
			return "", false
		}
	}
	return f.For.Gap, true
}

// AcrossGap is the form of the gap that was opened for this reading; once that is
// saved the form comes back to it.
func (f Form) AcrossGap(p *facts.Pack) Form {
	link, ok := f.GapFirst(p)
	l, have := p.Net.Link(link)
	if !ok || !have {
		return f
	}
	f.Kind, f.Link = Across, link
	f.Red, f.Black = p.Net.Layout.Links[l].To, p.Net.Layout.Links[l].From
	f.Module = moduleOf(p, f.Red)
	f.Raw, f.Failed, f.At = "", "", Field
	if f.Range > 0 && f.Range < f.For.GapHigh {
		f.Range = 0
	}
	return f
}

// An expected interval of the reading in the making, V; of a gap without its sign.
type expected struct {
	low, high float64
	link      string // the open link that it is across; "" = any other reading
}

// expected is what the proposal or the finding says of this reading; ok is false
// where neither does.
func (f Form) expected(p *facts.Pack) (e expected, ok bool) {
	if f.elsewhere(p) {
		return e, false
	}
	if l, is := p.Net.Link(f.Link); is && f.Kind == Across && p.IsOpen(l) {
		e.link = f.Link
		switch g := p.GapOf(l); {
		case g.Known:
			e.low, e.high = onMeter(g)
		case f.IsProposed(p) && f.For.Told:
			e.low, e.high = unsigned(f.For.Low, f.For.High)
		case f.For.Gap == f.Link && f.For.State == p.Case.Now:
			e.low, e.high = unsigned(f.For.GapLow, f.For.GapHigh)
		default:
			return e, false
		}
		return e, true
	}
	return expected{low: f.For.Low, high: f.For.High}, f.For.Told && f.IsProposed(p)
}

// onMeter is a gap's interval as the meter shows it, where that is known.
func onMeter(g facts.Gap) (low, high float64) {
	if mid := (g.Low + g.High) / 2; !math.IsNaN(g.OnMeter) && mid > 0 {
		return g.Low * g.OnMeter / mid, g.High * g.OnMeter / mid
	}
	return g.Low, g.High
}

// unsigned is an interval of magnitudes.
func unsigned(a, b float64) (low, high float64) {
	low, high = math.Min(math.Abs(a), math.Abs(b)), math.Max(math.Abs(a), math.Abs(b))
	if a < 0 && b > 0 || a > 0 && b < 0 {
		low = 0
	}
	return low, high
}

func (e expected) words() string {
	if e.link != "" {
		return words.Gap(e.low, e.high)
	}
	return words.Range(e.low, e.high, "V")
}

// in says that a value lies in the interval. A gap has some room beside it, since what
// bridges one moves it far; down to zero it has none, for that is where it moves.
func (e expected) in(v float64) bool {
	if e.link == "" {
		return v >= e.low && v <= e.high
	}
	room := math.Max(0.5, math.Min((e.high-e.low)/2, 0.15*e.high))
	return math.Abs(v) >= e.low-math.Min(room, e.low/2) && math.Abs(v) <= e.high+room
}

// copied says that a value is one of the interval's own, digit by digit.
func (e expected) copied(v float64) bool {
	said := strings.Fields(strings.ReplaceAll(e.words(), words.Thin, " "))
	typed := math.Abs(v)
	for _, s := range append(said, fmt.Sprint((e.low+e.high)/2)) {
		var x float64
		if _, err := fmt.Sscan(s, &x); err == nil && math.Abs(math.Abs(x)-typed) < 1e-9 {
			return true
		}
	}
	return false
}

// doubt is what stands out against the interval, "" for nothing.
func (e expected) doubt(v float64) string {
	switch {
	case e.link != "" && e.copied(v):
		return "The same as what is expected, to the last digit. Is it what the meter shows?"
	case e.in(v):
		return ""
	case e.link != "":
		return "Expected " + e.words() + ", not measured; this is far from it: something bridges the gap at " + e.link + ". Stop."
	}
	hint := facts.Expectation{Volts: (e.low + e.high) / 2, By: "the proposal"}.Doubt(v)
	if hint != "" && !strings.HasPrefix(hint, "Far from") {
		return hint
	}
	return "Outside of what was expected, " + e.words() + ", not measured."
}
