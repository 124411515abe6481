package entry

import (
	"slices"

	"halfsplit/fault/series"
	"halfsplit/ui/facts"
)

// kindOf is the kind of a run's forms.
func (r *Run) kindOf() Kind {
	switch r.Kind {
	case series.GroupVolts:
		return GroupVolts
	case series.ToChassis:
		if r.Resistor != "" {
			return WithResistor
		}
		return ToChassis
	case series.Insulation:
		return Insulation
	case series.Joint:
		return JointOhms
	}
	return ModuleVolts
}

// Form is the form of the point where the run stands. Instrument, range and test
// volts stay as they were. Where the point has a value, what is typed replaces it,
// with a reason; it comes back with what was typed of it where again is false.
func (r *Run) Form(p *facts.Pack, was Form) Form {
	f := Form{Instrument: was.Instrument, Range: was.Range, Resistor: was.Resistor, Force: was.Force, Comma: was.Comma, Last: was.Last, For: was.For}
	f.Kind = r.kindOf()
	if r.Resistor != "" {
		f.Resistor = r.Resistor
	}
	f.Millivolts = r.Prefix == "m" && f.runs()
	if f.inOhms() {
		f.Prefix = r.Prefix
	}
	if fit := f.instruments(p); !slices.Contains(fit, f.Instrument) || f.Instrument == "" {
		f.Instrument, f.Range = fit[0], 0
	}
	f = f.furnishOhms(p)
	pt, ok := r.Point()
	if !ok {
		return f
	}
	f.Module, f.Group, f.Link, f.Red, f.Black, f.AfterS = pt.Module, pt.Group, pt.Link, pt.Red, pt.Black, pt.AfterS
	f.Suspect = r.Suspect.Has(r.At)
	if r.Sheet != "" {
		f.State = r.State
	}
	if !r.Taken.Has(r.At) {
		f.Raw = r.Raw
		return f
	}
	if x, have := r.standing(p, r.At); have {
		f.Why, f.Corrects, f.Anew = whys[0], x.ID, x.ID == ""
	}
	return f
}

// furnishOhms is furnish for a form whose instrument may be none of the voltmeters.
func (f Form) furnishOhms(p *facts.Pack) Form {
	in := f.Instrument
	f = f.furnish(p)
	if f.inOhms() {
		f.Instrument = in
	}
	return f
}

// FormAgain is the form for a second reading of the point that the run stands at.
func (r *Run) FormAgain(p *facts.Pack, was Form) Form {
	f := r.Form(p, was)
	f.Raw, f.Corrects, f.Why, f.Anew, f.Suspect, f.Again = "", "", "", false, false, true
	return f
}

// FormOfLast is the form that edits the value that was accepted last, with what was
// typed of it; ok is false where there is none.
func (r *Run) FormOfLast(p *facts.Pack, was Form) (f Form, ok bool) {
	if r.Last < 0 || !r.Go(r.Last) {
		return was, false
	}
	f = r.Form(p, was)
	f.Raw = r.LastRaw
	return f, true
}

// ToList says that the value goes into the module's list of group volts; a second
// reading of a group stands beside the list, as a reading between two taps.
func (f Form) ToList() bool { return f.Kind == GroupVolts && !f.Again && f.Corrects == "" }

// Sign puts a minus in front of what is typed, or takes it away. Ohms have no sign:
// there it is "more than", the bound that an over-range display gives.
func (f Form) Sign() Form {
	front := "-"
	if f.inOhms() {
		front = ">"
	}
	if rest := f.Raw; len(rest) > 0 && rest[:1] == front {
		f.Raw = rest[1:]
	} else {
		f.Raw = front + rest
	}
	f.At, f.Failed = Field, ""
	return f
}

// Trust marks the value that is typed as suspect, or takes the mark away.
func (f Form) Trust() Form { f.Suspect = !f.Suspect; return f }

// Typed is what the log of a list says of a value: the keystrokes, how they were
// read, and the mark.
func (f Form) Typed(p *facts.Pack) string {
	text := "typed " + f.Raw
	if e, err := f.Parse(p); err == nil {
		if _, how := f.EchoParts(e); how != "" {
			text += " " + how
		}
	}
	if f.Suspect {
		text += ", marked as suspect"
	}
	if f.Anew {
		text += ", " + f.Why
	}
	return text
}
