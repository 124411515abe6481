package report

import (
	"fmt"
	"math"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/series"
)

// siteFirst stands on every page.
const siteFirst = "Local codes, the maker's instructions and your site rules come first; work on open packs is for people authorised for it."

// mostSections is how many sections are named one by one.
const mostSections = 4

// cautions are the sentences that belong to this run, with this job's numbers. The
// first says what stays live.
func (s *Sheet) cautions() []string {
	if len(s.net.Layout.Modules) == 0 {
		return nil
	}
	out := []string{s.live()}
	most := s.working()
	switch s.Kind {
	case series.Insulation:
		out = append(out, "An insulation tester puts its own volts on what it touches, and may damage boards: on isolated modules, with boards unplugged, unless the maker says otherwise; not on a section whose volts to chassis are above a tenth of the test volts. Nobody touches the pack meanwhile; discharge afterwards and read the volts again.")
	case series.Joint:
		out = append(out, "A joint is read with its link closed and no current through the pack. A probe that bridges two terminals is a short circuit through the cells; one that slips to chassis may be.")
	default:
		if !math.IsNaN(most) {
			out = append(out, fmt.Sprintf("Meter and leads: a measurement category and rating for at least %s, fused leads, shrouded probes; one hand where it can be.", voltsText(most)))
		} else {
			out = append(out, "Meter and leads: a measurement category and rating for at least the pack's highest volts, which are not given; fused leads, shrouded probes; one hand where it can be.")
		}
	}
	if s.Kind == series.ToChassis {
		out = append(out, "The chassis clip goes on first and comes off last. A tool between chassis and a terminal is a short circuit through the fault where there is one.")
	}
	meets := fault.Meets(s.c.Layout.WorkingVolts, most)
	if in, ok := s.c.Instrument(s.Instrument); ok {
		if text := in.RatingCaution(meets); text != "" {
			out = append(out, text)
		}
	}
	if r, ok := s.c.Resistor(s.Resistor); ok {
		if text := r.RatingCaution(meets); text != "" {
			out = append(out, text)
		}
	}
	if in, ok := s.c.Instrument(s.Instrument); ok && s.overdue(in) {
		out = append(out, in.ID+": calibration overdue on the day of printing, it was due "+in.CalDue+". Its readings are kept and marked.")
	}
	if s.Resistor != "" {
		out = append(out, s.resistorCaution(most))
	}
	return out
}

// live names the sections of the state with their volts, in the words of the strip.
func (s *Sheet) live() string {
	const cannot = " Modules cannot be switched off."
	if !s.known || len(s.seen.Sections) == 0 {
		return "Live: not known, since the state is not recorded; treat every module and link as live." + cannot
	}
	about := ""
	if s.cells.nominal {
		about = "about "
	}
	var parts []string
	low, high := math.Inf(1), math.Inf(-1)
	for _, sec := range s.seen.Sections {
		v := s.above[sec.To]
		low, high = math.Min(low, v), math.Max(high, v)
		if math.IsNaN(v) {
			low, high = v, v
		}
		text := voltsText(v)
		if !math.IsNaN(v) {
			text = about + text
		}
		parts = append(parts, fmt.Sprintf("%s to %s %s", s.net.Name(sec.From), s.net.Name(sec.To), text))
	}
	list := strings.Join(parts, "; ")
	if len(parts) > mostSections {
		list = fmt.Sprintf("%d sections of %s%s to %s", len(parts), about, voltsText(low), voltsText(high))
		if math.IsNaN(low) {
			list = fmt.Sprintf("%d sections, volts not known", len(parts))
		}
	}
	text := "The inside stays live in state " + s.state.ID + " (expected, not measured): " + list + "." + cannot
	if len(parts) > 1 {
		text += " Between two sections there can be more volts than in either."
	}
	if s.state.Contactors == "" {
		text += " Contactors are not recorded: treat the outer terminals as live."
	}
	return text
}

// working is the highest volts that a lead can meet: in service, or the sum of a
// string; NaN = not known.
func (s *Sheet) working() float64 {
	most := s.c.Layout.WorkingVolts
	for _, sec := range s.seen.Sections {
		if v := s.above[sec.To]; v > most {
			most = v
		}
	}
	if most <= 0 {
		return math.NaN()
	}
	return most
}

// resistorCaution has the current and the watts at the highest volts.
func (s *Sheet) resistorCaution(most float64) string {
	r, _ := s.c.Resistor(s.Resistor)
	text := fmt.Sprintf("%s is a deliberate connection from a live terminal to chassis: fit and remove it with the probe end, chassis end on first and off last; do not leave it connected.", r.ID)
	if math.IsNaN(most) || r.Ohms <= 0 {
		return text + " Its current at the pack's volts is not known."
	}
	watts := most * most / r.Ohms
	text += fmt.Sprintf(" At %s it carries %.3g mA and %.3g W", voltsText(most), 1e3*most/r.Ohms, watts)
	switch {
	case r.Watts == 0:
		text += "; its own watts are not given."
	case watts > r.Watts:
		text += fmt.Sprintf(", more than its %.3g W.", r.Watts)
	default:
		text += fmt.Sprintf(" of its %.3g W.", r.Watts)
	}
	return text
}

// leads are the lines of the lead set-up.
func (s *Sheet) leads() []string {
	chassis := "chassis; write which point: ____________________"
	if s.Chassis != "" {
		chassis = s.Chassis + ", at ________________, the same point for every box"
	}
	var out []string
	switch s.Kind {
	case series.ToChassis, series.Insulation:
		out = []string{"RED on the terminal that each box names.", "BLACK on " + chassis + "."}
	case series.Joint:
		out = []string{"RED and BLACK on the two ends that each box names, on the conductors and not on the bolt."}
	default:
		out = []string{"RED on the positive and BLACK on the negative end that each box names: no value needs a sign."}
	}
	switch r, ok := s.c.Resistor(s.Resistor); {
	case ok:
		out = append(out, fmt.Sprintf("Test resistor: yes, %s from the RED terminal to the BLACK point: %s.", r.ID, ratings(r)))
	default:
		out = append(out, "Test resistor: no.")
	}
	return append(out, s.rangeLine())
}

// ratings are a resistor's ohms, watts and volts; what is not given says so.
func ratings(r fault.Resistor) string {
	or := func(v float64, unit string) string {
		if v == 0 {
			return unit + " not given"
		}
		return fmt.Sprintf("%.4g %s", v, unit)
	}
	return fault.FormatOhms(r.Ohms) + ", " + or(r.Watts, "W") + ", " + or(r.MaxVolts, "V")
}

// rangeLine is which range to lock: the smallest of the instrument that holds the
// most that a lead can meet in this run.
func (s *Sheet) rangeLine() string {
	const blank = "Range to lock: ____________, the same for every box."
	in, ok := s.c.Instrument(s.Instrument)
	if !ok || s.Kind == series.Insulation || s.Kind == series.Joint {
		return blank
	}
	most := 0.0
	switch s.Kind {
	case series.ToChassis:
		most = s.working()
	default:
		for _, b := range s.Boxes {
			most = math.Max(most, math.Abs(s.at(b.Red)-s.at(b.Black)))
		}
	}
	rg, _, ok := in.For(fault.Volts).RangeFor(most*1.05, 0)
	if math.IsNaN(most) || most == 0 || !ok {
		return blank
	}
	return fmt.Sprintf("Range to lock: %.4g V (one count is %.4g V), the same for every box.", rg.Max, rg.Count)
}
