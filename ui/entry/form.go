// Package entry is what a person does to enter a reading: what is measured and
// between which places, the keystrokes and what they mean, what stands out, and
// which place comes next. It gives the sheet its blocks and the store its
// readings.
//
// It knows no widget, no clock and no file. Keystrokes are read by package fault;
// what is expected comes from package facts, and is not shown before a value is
// typed.
package entry

import (
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
)

// A Kind of entry.
type Kind uint8

// The kinds.
const (
	ModuleVolts  Kind = iota // across a module's own ends
	GroupVolts               // one group after another
	ToChassis                // a place to chassis
	WithResistor             // the same with the test resistor across the probes
	Insulation               // an insulation tester from a place to chassis
	Across                   // between the two ends of a link
	Between                  // between two other places
	JointOhms                // the resistance of a link's joint
	kinds
)

// KindNames are the kinds in words.
var KindNames = [kinds]string{"Module volts", "Group volts", "To chassis", "To chassis, with resistor", "Insulation", "Across a link", "Between two places", "Joint of a link"}

// testVolts are the forced volts that can be chosen, red above black.
var testVolts = []float64{500, -500, 250, -250, 100, -100, 50, -50, 1000, -1000}

// whys are the reasons that a correction can be given.
var whys = []string{"typed wrong", "leads were swapped", "wrong place noted", "wrong range noted", "wrong resistor noted", "meter had not settled"}

// A Form is one reading in the making. It is a value: every change gives a new
// one.
type Form struct {
	Kind       Kind
	Module     string // of ModuleVolts and GroupVolts
	Group      int    // of GroupVolts, from 1
	Link       string // of Across and JointOhms
	Red, Black string
	Instrument string
	Range      float64 // locked; 0 = the meter chooses
	Resistor   string  // of WithResistor
	Force      float64 // V, of Insulation
	Millivolts bool    // a bare number is millivolts
	Prefix     string  // of the unit that a bare number of ohms has: "", "u", "m", "k", "M", "G"
	AfterS     float64 // s after touching, of a value that belongs to a time; 0 = any
	Comma      bool    // this person writes a decimal comma
	Raw        string
	State      string // id of the state that it was read in; "" = the present one
	At         Row    // where the keyboard is
	Last       string // what was saved last, in words
	Corrects   string // id of the reading that this one replaces
	Why        string
	Anew       bool     // of GroupVolts: the group has a value, and this one replaces it
	Again      bool     // a second reading of a place that was read
	Suspect    bool     // whoever types it does not trust it
	Failed     string   // why the last try to save did not work
	For        Proposal // the proposed reading that it was opened for; the zero Proposal = none
}

// Begin starts a form for what is selected. Instrument, range, resistor and unit
// stay as they were.
func Begin(p *facts.Pack, selected string, was Form) Form {
	f := Form{Instrument: was.Instrument, Range: was.Range, Resistor: was.Resistor, Force: was.Force, Millivolts: was.Millivolts, Comma: was.Comma, Last: was.Last, Kind: was.Kind, For: was.For}
	f = f.furnish(p)
	kind, name, _ := strings.Cut(selected, ":")
	switch kind {
	case "module":
		if f.Kind != GroupVolts && f.Kind != Insulation {
			f.Kind = ModuleVolts
		}
		return f.at(p, name)
	case "node":
		if f.Kind != WithResistor && f.Kind != Insulation {
			f.Kind = ToChassis
		}
		f.Red, f.Black = name, "chassis"
		f.Module = moduleOf(p, name)
		return f
	case "link":
		if l, ok := p.Net.Link(name); ok {
			f.Kind, f.Link = Across, name
			f.Red, f.Black = p.Net.Layout.Links[l].To, p.Net.Layout.Links[l].From
			f.Module = moduleOf(p, f.Red)
			return f
		}
	case "reading":
		if r, ok := p.Case.Reading(name); ok {
			return f.correct(p, r)
		}
	case "section":
		f.Kind, f.Red, f.Black = ToChassis, name, "chassis"
		f.Module = moduleOf(p, name)
		return f
	}
	if f.Kind == Across || f.Kind == Between {
		f.Kind = ModuleVolts
	}
	if order := Order(p); len(order) > 0 {
		return f.at(p, order[0])
	}
	return f
}

// furnish chooses the case's first voltmeter and test resistor where none is
// chosen yet.
func (f Form) furnish(p *facts.Pack) Form {
	if _, ok := p.Case.Instrument(f.Instrument); !ok {
		f.Instrument, f.Range = "", 0
		if all := f.instruments(p); len(all) > 0 {
			f.Instrument = all[0]
		}
	}
	if _, ok := p.Case.Resistor(f.Resistor); !ok {
		f.Resistor = ""
		if len(p.Case.Resistors) > 0 {
			f.Resistor = p.Case.Resistors[0].ID
		}
	}
	if f.Force == 0 {
		f.Force = testVolts[0]
	}
	return f
}

// correct is the form of a reading that replaces an earlier one.
func (f Form) correct(p *facts.Pack, r fault.Reading) Form {
	f.Corrects, f.Why = r.ID, whys[0]
	f.Red, f.Black, f.Instrument, f.Range = r.Red, r.Black, r.Instrument, r.Range
	f.Kind = ToChassis
	f.Module = moduleOf(p, r.Red)
	switch link, across := linkBetween(p, r.Red, r.Black); {
	case r.Quantity == fault.Joint && across:
		f.Kind, f.Link = JointOhms, link
	case r.Quantity == fault.Insulation:
		f.Kind, f.Force = Insulation, r.TestVolts
	case r.Resistor != nil:
		f.Kind, f.Resistor = WithResistor, r.Resistor.ID
	case f.Module != "" && r.Red == f.Module+"+" && r.Black == f.Module+"-":
		f.Kind = ModuleVolts
	}
	return f
}

// at puts the form on a module, at the end or group where its kind begins.
func (f Form) at(p *facts.Pack, module string) Form {
	f.Module, f.Group = module, 1
	return f.lead(p)
}

// lead puts the leads where the kind has them.
func (f Form) lead(p *facts.Pack) Form {
	switch f.Kind {
	case ModuleVolts:
		f.Red, f.Black = f.Module+"+", f.Module+"-"
	case GroupVolts:
		if m, ok := p.Net.Module(f.Module); ok {
			f.Group = max(1, min(f.Group, p.Net.Layout.Modules[m].Series))
			f.Red, f.Black = p.Net.Name(p.Net.Tap(m, f.Group)), p.Net.Name(p.Net.Tap(m, f.Group-1))
		}
	case ToChassis, WithResistor, Insulation:
		if f.Red == "" || moduleOf(p, f.Red) != f.Module {
			f.Red = f.Module + "+"
		}
		if _, ok := topology.ChassisRef(f.Black); !ok {
			f.Black = "chassis"
		}
	}
	return f
}

// moduleOf is the module that a tap belongs to, "" for none.
func moduleOf(p *facts.Pack, ref string) string {
	if n, ok := p.Net.Node(ref); ok {
		if m, _, ok := p.Net.ModuleAt(n); ok {
			return p.Net.Layout.Modules[m].ID
		}
	}
	return ""
}

// Selected is the target on the drawings that the form is about.
func (f Form) Selected() string {
	switch f.Kind {
	case ModuleVolts, GroupVolts:
		return "module:" + f.Module
	case Across, JointOhms:
		return "link:" + f.Link
	}
	return "node:" + f.Red
}

// Order is every module in string order.
func Order(p *facts.Pack) []string {
	var out []string
	for _, s := range p.Net.Strings {
		for _, m := range s.Modules {
			out = append(out, p.Net.Layout.Modules[m].ID)
		}
	}
	return out
}
