package advice

import (
	"fmt"
	"math"

	"halfsplit/fault"
	"halfsplit/fault/probing"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// A Range is the page on which one range is locked for both ends of a section.
type Range struct{}

// An end of a section, with what it has to chassis.
type end struct {
	name  string
	volts float64 // NaN = not known
	most  float64 // V, where volts is not known: what the section leaves for it
	read  string  // id of the reading; "" = expected, not measured
}

func (e end) words() string {
	switch {
	case math.IsNaN(e.volts) && e.most > 0:
		return "not known yet; up to " + words.Volts(e.most) + ", expected, not measured"
	case math.IsNaN(e.volts):
		return "not known yet"
	case e.read == "":
		return volts(e.volts) + ", expected, not measured"
	}
	return volts(e.volts) + ", read as " + e.read
}

// ends are both ends of the section that the reading in the making lies in.
func ends(w World) (s *facts.Section, a, b end, ok bool) {
	n, ok := w.Pack.Net.Node(w.Form.Red)
	if !ok {
		return nil, a, b, false
	}
	if s = w.Pack.SectionOf(n); s == nil {
		return nil, a, b, false
	}
	a, b = endOf(w, s.Section.From, s.From), endOf(w, s.Section.To, s.To)
	// Chassis lies between the ends: together they have the section's volts at most.
	left := func(other float64) float64 {
		if math.IsNaN(other) {
			return s.Volts
		}
		return math.Max(0, s.Volts-math.Abs(other))
	}
	a.most, b.most = left(b.volts), left(a.volts)
	return s, a, b, true
}

// magnitude is the most that the end can show.
func (e end) magnitude() float64 {
	if math.IsNaN(e.volts) {
		return e.most
	}
	return math.Abs(e.volts)
}

// known says that both ends are read, or expected.
func known(a, b end) bool { return !math.IsNaN(a.volts) && !math.IsNaN(b.volts) }

// endOf is what the newest plain reading of the present state gives, else what is
// expected.
func endOf(w World, node topology.NodeID, name string) end {
	e := end{name: name, volts: w.Pack.Chassis[node]}
	old := w.Pack.Case.Superseded()
	for _, r := range w.Pack.Case.Readings {
		at, ok := w.Pack.Net.Node(r.Red)
		_, chassis := topology.ChassisRef(r.Black)
		if _, gone := old[r.ID]; !ok || gone || !chassis || r.State != w.Pack.Case.Now || r.Quantity != fault.Volts || r.Resistor != nil {
			continue
		}
		if at == node || w.Pack.Joined.Conductor(at) == w.Pack.Joined.Conductor(node) {
			e.volts, e.read = r.Value, r.ID
		}
	}
	return e
}

// Mixed says that the two ends of the section would fall on two ranges while the
// meter chooses for itself, and which range holds both.
func Mixed(w World) (r fault.Range, mixed bool) {
	in, ok := w.Pack.Case.Instrument(w.Form.Instrument)
	if !ok || w.Form.Range != 0 {
		return r, false
	}
	_, a, b, ok := ends(w)
	if !ok || !known(a, b) {
		return r, false
	}
	e, ok := probing.RangesOf(in, a.volts, b.volts)
	return e.Both, ok && e.Mixed
}

// ranges are those of the page; ok is false where they cannot be told, with why.
func (Range) ranges(w World) (e probing.Ends, why string) {
	in, ok := w.Pack.Case.Instrument(w.Form.Instrument)
	if !ok || len(in.Ranges) == 0 {
		return e, "The instrument is not described with its ranges: describe it first, then this page says which range holds both ends."
	}
	s, a, b, ok := ends(w)
	if !ok {
		return e, "Choose a place on a section first: press a module or a terminal, then enter a reading to chassis."
	}
	if e, ok = probing.RangesOf(in, a.magnitude(), b.magnitude()); !ok {
		return e, in.ID + " has no range that holds both ends of " + s.From + " to " + s.To + "."
	}
	return e, ""
}

// Blocks are the page.
func (r Range) Blocks(w World) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Lock the meter's range", Bold: true}}
	e, why := r.ranges(w)
	if why != "" {
		return append(b, sheet.Block{Kind: sheet.Para, Text: why})
	}
	in, _ := w.Pack.Case.Instrument(w.Form.Instrument)
	s, lo, hi, _ := ends(w)
	b = append(b, sheet.Block{Kind: sheet.Big, Value: rangeWords(e.Both)},
		sheet.Block{Kind: sheet.Soft, Text: fmt.Sprintf("The smallest range of %s that holds both ends of the section.", in.ID)},
		sheet.Block{Kind: sheet.Row, Text: hi.name, Value: hi.words()},
		sheet.Block{Kind: sheet.Row, Text: lo.name, Value: lo.words()})
	b = append(b, r.worth(w, e, s, lo, hi)...)
	b = append(b, r.mixing(w, in, e, s, lo, hi)...)
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Lock it on the meter, then here: the reading keeps which range it was read on. Enter does it, Esc leaves."})
}

// worth is what one count is worth on the range.
func (Range) worth(w World, e probing.Ends, s *facts.Section, lo, hi end) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "What one count is worth there"}, {Kind: sheet.Row, Text: "In volts", Value: number(e.Both.Count) + " V"}}
	group := groupVolts(w, s)
	if !known(lo, hi) || math.IsNaN(group) {
		return append(b, sheet.Block{Kind: sheet.Row, Text: "In groups", Value: "not known before both ends are read"})
	}
	v := math.Max(probing.PlaceCounts(lo.volts, hi.volts, s.Volts, e.Both.Count), probing.PlaceCounts(hi.volts, lo.volts, s.Volts, e.Both.Count))
	return append(b, sheet.Block{Kind: sheet.Row, Text: "The place moves by", Value: number(v) + " V, " + number(v/group) + " groups"})
}

// mixing is what two ranges would cost.
func (Range) mixing(w World, in fault.Instrument, e probing.Ends, s *facts.Section, lo, hi end) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Why one range"}}
	if !known(lo, hi) {
		return append(b, sheet.Block{Kind: sheet.Para, Text: fmt.Sprintf("The gain error of %s is the same for all that is read on one range, and the quotient that gives the place cancels it. Each range has one of its own, up to ± %s %%: with the ends on two ranges they no longer cancel.", in.ID, number(in.GainPct))})
	}
	if !e.Mixed {
		return append(b, sheet.Block{Kind: sheet.Para, Text: fmt.Sprintf("Both ends fall on the %s range as they are. The gain error of %s is the same in both readings there, and the quotient that gives the place cancels it. A locked range keeps it so.", rangeWords(e.Both), in.ID)})
	}
	gain := math.Max(in.Gain(e.A), in.Gain(e.B))
	d := probing.GainShift(lo.volts, hi.volts, s.Volts, gain)
	text := fmt.Sprintf("Left to itself, %s reads %s on its %s range and %s on its %s range. Each range has a gain error of its own, up to ± %s %%: they no longer cancel, and the place can move by up to %s V",
		in.ID, lo.name, rangeWords(e.A), hi.name, rangeWords(e.B), number(gain), number(d))
	if g := groupVolts(w, s); !math.IsNaN(g) {
		text += ", " + number(d/g) + " groups"
	}
	return append(b, sheet.Block{Kind: sheet.Caution, Text: text + ". On one range the error is one and the same, and cancels."})
}

// groupVolts is what a group of the section has.
func groupVolts(w World, s *facts.Section) float64 {
	if len(s.Groups) == 0 {
		return math.NaN()
	}
	return w.Pack.Median[w.Pack.Net.StringOf(w.Pack.Net.Groups[s.Groups[0]].Module)]
}

func rangeWords(r fault.Range) string { return number(r.Max) + " V" }

// Move stays: the page has one action.
func (r Range) Move(World, int) Guide { return r }

// Turn stays.
func (r Range) Turn(World, int) Guide { return r }

// Type takes nothing.
func (r Range) Type(rune) (Guide, bool) { return r, false }

// Back takes nothing away.
func (r Range) Back() Guide { return r }

// Pick finds nothing to press.
func (r Range) Pick(World, string) (Guide, Act) { return r, Act{} }

// Primary locks the range, or leaves it to the meter where it is locked.
func (r Range) Primary(w World) (string, Act) {
	e, why := r.ranges(w)
	switch {
	case why != "":
		return "Back", Act{Kind: Open, Guide: ListAt(r)}
	case w.Form.Range == e.Both.Max:
		return "Leave the range to the meter", Act{Kind: LockRange}
	}
	return "Lock the " + rangeWords(e.Both) + " range", Act{Kind: LockRange, Range: e.Both.Max}
}

func at(i int) cursor { return cursor{i} }
