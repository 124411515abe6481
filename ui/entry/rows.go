package entry

import (
	"fmt"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
)

// A Row is a part of the sheet that the keyboard can be on.
type Row uint8

// The rows. Typing goes to the field wherever the keyboard is.
const (
	Field Row = iota
	What
	RedLead
	BlackLead
	Meter
	Lock
	Fitted
	Forced
	Unit
	Reason
)

// Rows are the rows that the form has now, in the order of the sheet.
func (f Form) Rows() []Row {
	rows := []Row{RedLead, BlackLead, What, Meter, Lock}
	switch f.Kind {
	case WithResistor:
		rows = append(rows, Fitted)
	case Insulation:
		rows = append(rows, Forced, Unit)
	case JointOhms:
		rows = append(rows, Unit)
	case ModuleVolts, GroupVolts:
		rows = append(rows, Unit)
	}
	if f.corrects() {
		rows = append(rows, Reason)
	}
	return append(rows, Field)
}

// Move puts the keyboard on the next or the previous row.
func (f Form) Move(by int) Form {
	rows := f.Rows()
	i := slices.Index(rows, f.At)
	f.At = rows[((max(i, 0)+by)%len(rows)+len(rows))%len(rows)]
	return f
}

// Change chooses the next or the previous option of a row.
func (f Form) Change(p *facts.Pack, row Row, by int) Form {
	f.Failed = ""
	switch row {
	case What:
		return f.changeKind(p, by)
	case RedLead:
		return f.changeRed(p, by)
	case BlackLead:
		f.Black = next(f.blacks(p), f.Black, by)
	case Meter:
		f.Instrument, f.Range = next(f.instruments(p), f.Instrument, by), 0
	case Lock:
		f.Range = next(f.ranges(p), f.Range, by)
	case Fitted:
		f.Resistor = next(resistors(p), f.Resistor, by)
	case Forced:
		f.Force = next(testVolts, f.Force, by)
	case Unit:
		if f.inOhms() {
			f.Prefix = next(Prefixes(f.Kind), f.Prefix, by)
		} else {
			f.Millivolts = !f.Millivolts
		}
	case Reason:
		f.Why = next(whys, f.Why, by)
	}
	return f
}

// Prefixes are those of the unit that a bare number of ohms can have.
func Prefixes(k Kind) []string {
	if k == JointOhms {
		return []string{"", "m", "u"}
	}
	return []string{"", "k", "M", "G"}
}

// corrects says that the value replaces one that was recorded before.
func (f Form) corrects() bool { return f.Corrects != "" || f.Anew }

// next is the option so many places on, round the end.
func next[T comparable](options []T, now T, by int) T {
	if len(options) == 0 {
		return now
	}
	i := slices.Index(options, now)
	if i < 0 {
		return options[0]
	}
	return options[((i+by)%len(options)+len(options))%len(options)]
}

func (f Form) changeKind(p *facts.Pack, by int) Form {
	options := []Kind{ModuleVolts, GroupVolts, ToChassis, WithResistor, Insulation}
	if f.Link != "" {
		options = append(options, Across, JointOhms)
	}
	if f.Module == "" { // a terminal that belongs to no module
		options = slices.DeleteFunc(options, func(k Kind) bool { return k == ModuleVolts || k == GroupVolts })
	}
	was := f.Kind
	f.Kind = next(options, f.Kind, by)
	if was == Between {
		f.Black = "chassis"
	}
	if f.Kind == Across || f.Kind == JointOhms {
		l, _ := p.Net.Link(f.Link)
		f.Red, f.Black = p.Net.Layout.Links[l].To, p.Net.Layout.Links[l].From
		return f
	}
	if was == Insulation != (f.Kind == Insulation) || was == JointOhms != (f.Kind == JointOhms) { // another instrument belongs to it
		f.Instrument, f.Range = "", 0
		if all := f.instruments(p); len(all) > 0 {
			f.Instrument = all[0]
		}
	}
	if f.Module == "" {
		return f
	}
	if was == ModuleVolts || was == GroupVolts {
		f.Red = "" // the run's lead was wherever the run had come to
		if f.Kind == ToChassis || f.Kind == WithResistor {
			f.Red = endOf(p, f.Module)
		}
	}
	return f.lead(p)
}

// endOf is the end of a section that lies on a module, "" for none: a leak is
// looked for from the ends.
func endOf(p *facts.Pack, module string) string {
	for _, end := range sectionEnds(p) {
		if moduleOf(p, end) == module {
			return end
		}
	}
	return ""
}

// changeRed moves the red lead: from module to module where the kind has its
// leads on one, else from tap to tap along the string.
func (f Form) changeRed(p *facts.Pack, by int) Form {
	switch f.Kind {
	case ModuleVolts:
		return f.at(p, next(Order(p), f.Module, by))
	case GroupVolts, Across, JointOhms:
		g, _ := f.step(p, by)
		return g
	}
	f.Red = next(places(p), f.Red, by)
	f.Module = moduleOf(p, f.Red)
	return f
}

// places are every tap in string order, and the named terminals.
func places(p *facts.Pack) []string {
	var out []string
	for _, s := range p.Net.Strings {
		for _, m := range s.Modules {
			for k := 0; k <= p.Net.Layout.Modules[m].Series; k++ {
				out = append(out, p.Net.Name(p.Net.Tap(m, k)))
			}
		}
	}
	for n := range p.Net.Len() {
		if _, _, ok := p.Net.ModuleAt(topology.NodeID(n)); !ok {
			out = append(out, p.Net.Name(topology.NodeID(n)))
		}
	}
	return out
}

// blacks are where the black lead can be.
func (f Form) blacks(p *facts.Pack) []string {
	if f.Kind == ModuleVolts || f.Kind == GroupVolts || f.Kind == Across || f.Kind == Between || f.Kind == JointOhms {
		return []string{f.Black}
	}
	out := []string{"chassis"}
	for _, c := range p.Case.Layout.Chassis {
		out = append(out, "chassis:"+c.ID)
	}
	return out
}

// instruments are those that can measure what is measured; all, where none says
// what it is.
func (f Form) instruments(p *facts.Pack) []string {
	var fit, all []string
	for _, in := range p.Case.Instruments {
		all = append(all, in.ID)
		kind := strings.ToLower(in.Kind)
		switch tester, ohms := strings.Contains(kind, "insulation"), strings.Contains(kind, "ohm") || strings.Contains(kind, "resistance"); {
		case f.Kind == Insulation && tester, f.Kind == JointOhms && ohms && !tester, !f.inOhms() && !tester && !ohms:
			fit = append(fit, in.ID)
		}
	}
	if len(fit) == 0 && !f.inOhms() {
		fit = all
	}
	return append(fit, "")
}

// ranges are those of the instrument; 0 = it chooses.
func (f Form) ranges(p *facts.Pack) []float64 {
	out := []float64{0}
	if in, ok := p.Case.Instrument(f.Instrument); ok && !f.inOhms() {
		for _, r := range in.Ranges {
			out = append(out, r.Max)
		}
	}
	return out
}

func resistors(p *facts.Pack) []string {
	var out []string
	for _, r := range p.Case.Resistors {
		out = append(out, r.ID)
	}
	return out
}

// Step goes to the next or the previous place of the run without saving; ok is
// false at its end, and the form stays.
func (f Form) Step(p *facts.Pack, by int) (Form, bool) {
	g, ok := f.step(p, by)
	if !ok {
		return f, false
	}
	g.Raw, g.Failed, g.At = "", "", Field
	return g, true
}

func (f Form) step(p *facts.Pack, by int) (Form, bool) {
	order := Order(p)
	i := slices.Index(order, f.Module)
	switch f.Kind {
	case ModuleVolts:
		if i < 0 || i+by < 0 || i+by >= len(order) {
			return f, false
		}
		return f.at(p, order[i+by]), true
	case GroupVolts:
		m, ok := p.Net.Module(f.Module)
		if !ok {
			return f, false
		}
		f.Group += by
		switch {
		case f.Group > p.Net.Layout.Modules[m].Series && i+1 < len(order):
			return f.at(p, order[i+1]), true
		case f.Group < 1 && i > 0:
			f = f.at(p, order[i-1])
			m, _ = p.Net.Module(f.Module)
			f.Group = p.Net.Layout.Modules[m].Series
		case f.Group < 1 || f.Group > p.Net.Layout.Modules[m].Series:
			return f, false
		}
		return f.lead(p), true
	case ToChassis, WithResistor:
		ends := sectionEnds(p)
		if slices.Index(ends, f.Red) < 0 {
			return f, false
		}
		f.Red = next(ends, f.Red, by)
		f.Module = moduleOf(p, f.Red)
		return f, len(ends) > 1
	case Insulation:
		if i < 0 || i+by < 0 || i+by >= len(order) {
			return f, false
		}
		f.Module = order[i+by]
		f.Red = f.Module + "+"
		return f, true
	}
	return f, false
}

// sectionEnds are the outer taps of each section of the present state, the
// places that a leak is located from: positive end first.
func sectionEnds(p *facts.Pack) []string {
	var out []string
	for i := range p.Sections {
		out = append(out, p.Sections[i].To, p.Sections[i].From)
	}
	return out
}

// Saved is the form after its reading was saved: on the next place, its field
// empty.
func (f Form) Saved(p *facts.Pack, words string) Form {
	f.Last, f.Corrects, f.Why, f.Anew, f.Again, f.Suspect = words, "", "", false, false, false
	if f.Kind == Across && f.Link == f.For.Gap && f.For.State == p.Case.Now { // on to what the gap was opened for
		return f.ToProposed(p)
	}
	if strings.Contains(f.Raw, ",") { // it was understood as a decimal mark
		f.Comma = true
	}
	if g, ok := f.Step(p, 1); ok {
		return g
	}
	f.Raw, f.Failed, f.At = "", "", Field
	if f.Kind == ModuleVolts { // the whole string is read: on to chassis, from its end
		f.Kind, f.Red = ToChassis, endOf(p, f.Module)
		f = f.lead(p)
	}
	return f
}

// SwitchResistor puts the test resistor across the probes, or takes it away; ok is
// false where the kind has none.
func (f Form) SwitchResistor() (g Form, ok bool) {
	switch f.Kind {
	case ToChassis:
		f.Kind = WithResistor
	case WithResistor:
		f.Kind = ToChassis
	default:
		return f, false
	}
	f.Failed = ""
	return f, true
}

// NewState is the form after the state has changed: what is typed belonged to the
// state before, the test resistor is put away, and a run to chassis begins at the
// first end of the sections as they are now.
func (f Form) NewState(p *facts.Pack) Form {
	f.Raw, f.Failed, f.Corrects, f.Why = "", "", "", ""
	if f.Kind == WithResistor {
		f.Kind = ToChassis
	}
	if ends := sectionEnds(p); f.Kind == ToChassis && len(ends) > 0 {
		f.Red, f.Black = ends[0], "chassis"
		f.Module = moduleOf(p, f.Red)
	}
	return f
}

// Next says what can come next, where the form does not go there by itself; "" for
// nothing.
func (f Form) Next(p *facts.Pack) string {
	if f.Kind != ToChassis || f.Corrects != "" {
		return ""
	}
	plain, with := map[string]bool{}, false
	for _, r := range p.Case.Readings {
		if r.State == p.Case.Now && r.Quantity == fault.Volts && r.Black == "chassis" {
			plain[r.Red] = plain[r.Red] || r.Resistor == nil
			with = with || r.Resistor != nil
		}
	}
	ends := sectionEnds(p)
	for _, end := range ends {
		if !plain[end] {
			return ""
		}
	}
	if len(ends) == 0 || with {
		return ""
	}
	return "Every end is read to chassis in this state. R puts the test resistor across the probes: with it, one end of each section gives its resistance."
}

// Of says where in its run the form is, "" for a single reading.
func (f Form) Of(p *facts.Pack) string {
	order := Order(p)
	i := slices.Index(order, f.Module)
	switch {
	case i < 0:
		return ""
	case f.Kind == ModuleVolts:
		return fmt.Sprintf(" (%d of %d)", i+1, len(order))
	case f.Kind == GroupVolts:
		m, _ := p.Net.Module(f.Module)
		return fmt.Sprintf(" of %d", p.Net.Layout.Modules[m].Series)
	}
	return ""
}
