package entry

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"strings"

	"halfsplit/fault"
	"halfsplit/ui/facts"
)

// Quantity is what is measured.
func (f Form) Quantity() string {
	switch f.Kind {
	case Insulation:
		return fault.Insulation
	case JointOhms:
		return fault.Joint
	}
	return fault.Volts
}

// inOhms says that the value is a resistance.
func (f Form) inOhms() bool { return f.Kind == Insulation || f.Kind == JointOhms }

// ownUnit says that a bare number was typed which has the run's unit, not the
// field's.
func (f Form) ownUnit() bool {
	return bare(f.Raw) && (f.Millivolts && f.runs() || f.Prefix != "" && f.inOhms())
}

// Parse reads the keystrokes.
func (f Form) Parse(p *facts.Pack) (fault.Entry, error) {
	o := fault.EntryOptions{Quantity: f.Quantity(), DecimalComma: f.Comma, Millivolts: f.Millivolts && f.runs()}
	if in, ok := p.Case.Instrument(f.Instrument); ok {
		o.Limit = widest(in)
		if f.Range > 0 {
			o.Limit = f.Range
		}
	}
	raw := f.Raw
	if f.inOhms() && f.ownUnit() && strings.Trim(raw, "<>=-+., ") != "" {
		raw += f.Prefix
	}
	e, err := fault.ParseEntry(raw, o)
	e.Raw = f.Raw
	if err != nil && o.Limit > 0 && !o.DecimalComma {
		// A comma that may group thousands is a decimal mark where the instrument
		// shows no thousands.
		if t, bad := fault.ParseEntry(strings.Replace(f.Raw, ",", "", 1), o); bad == nil && math.Abs(t.Value) > o.Limit {
			o.DecimalComma = true
			return fault.ParseEntry(f.Raw, o)
		}
	}
	return e, err
}

// widest is the full scale of an instrument's largest range, 0 where it has none.
func widest(in fault.Instrument) float64 {
	most := 0.0
	for _, r := range in.Ranges {
		most = math.Max(most, r.Max)
	}
	return most
}

// runs says that the kind is a run of like values, in which millivolts may be
// agreed on.
func (f Form) runs() bool { return f.Kind == ModuleVolts || f.Kind == GroupVolts }

// SuspectNote stands in the note of a reading whose value was not trusted when it was
// typed.
const SuspectNote = "suspect: marked so when it was entered"

// Reading is the reading that would be saved, without its time.
func (f Form) Reading(p *facts.Pack) (fault.Reading, error) {
	e, err := f.Parse(p)
	if err != nil {
		return fault.Reading{}, err
	}
	if !p.Known {
		return fault.Reading{}, errors.New("the present state is not known: record it first, every reading belongs to one")
	}
	if f.Red == "" || f.Black == "" {
		return fault.Reading{}, errors.New("choose a place first: press a module, a terminal or a link")
	}
	r := fault.Reading{State: cmp.Or(f.State, p.Case.Now), Quantity: f.Quantity(), Red: f.Red, Black: f.Black, Value: e.Value, Raw: f.Raw, Instrument: f.Instrument, Range: f.Range}
	if e.Relation != fault.Equal {
		r.Relation = e.Relation
	}
	if old, ok := p.Case.Reading(f.Corrects); ok {
		r.State = old.State
	}
	if f.AfterS > 0 {
		s := f.AfterS
		r.AfterTouchS = &s
	}
	if f.Suspect {
		r.Note = SuspectNote
	}
	switch f.Kind {
	case WithResistor:
		if f.Resistor == "" {
			return r, errors.New("this case has no test resistor yet: add one with its measured ohms, watts and volts")
		}
		at, _ := f.fitted(p)
		r.Resistor = &at
	case Insulation:
		r.TestVolts, r.Range = f.Force, 0
	case JointOhms:
		r.Range = 0
	case GroupVolts:
		if e.Relation != fault.Equal {
			return r, errors.New("a group's volts are a number: a bound cannot be kept in the list")
		}
	}
	return r, nil
}

// Doubt is what stands out about the value that is typed, in words that ask; ""
// for nothing. It never keeps the value from being saved.
func (f Form) Doubt(p *facts.Pack) string {
	r, err := f.Reading(p)
	if err != nil || r.Relation != "" {
		return ""
	}
	in, known := p.Case.Instrument(f.Instrument)
	if known && f.Range > 0 && math.Abs(r.Value) > f.Range && !f.inOhms() {
		return fmt.Sprintf("More than the %g V range that is locked on %s shows.", f.Range, in.ID)
	}
	if f.Kind == GroupVolts {
		if m, ok := p.Net.Module(f.Module); ok {
			if e, ok := p.ExpectGroup(m, f.Group); ok {
				return e.Doubt(r.Value)
			}
		}
		return ""
	}
	if e, ok := f.expected(p); ok {
		if d := e.doubt(r.Value); d != "" {
			return d
		}
	} else if e, ok := p.Expect(r); ok {
		if d := e.Doubt(r.Value); d != "" {
			return d
		}
	}
	if most := widest(in); known && most > 0 && math.Abs(r.Value) > most && !f.inOhms() {
		return fmt.Sprintf("More than %s can show: its widest range is %g V.", in.ID, most)
	}
	return copied(p, r)
}

// copied asks about a value that is the same as the reading before at another
// place, to the last digit.
func copied(p *facts.Pack, r fault.Reading) string {
	if n := len(p.Case.Readings); n > 0 && math.Abs(r.Value) > 1 && r.Quantity == fault.Volts {
		last := p.Case.Readings[n-1]
		toChassis := last.Black == r.Black && last.Red != r.Red
		if toChassis && last.Value == r.Value && last.State == r.State && moduleOf(p, r.Red)+"-" != r.Black {
			return "The same as " + last.ID + " at " + last.Red + " to the last digit."
		}
	}
	return ""
}

// Echo is the value in words, large; with what its unit was taken from.
func (f Form) Echo(e fault.Entry) string {
	value, how := f.EchoParts(e)
	if how == "(bound)" { // the words say so
		return e.Echo
	}
	if e.Relation != fault.Equal {
		return strings.TrimSpace(e.Echo + " " + strings.TrimSpace(strings.TrimSuffix(how, "(bound)")))
	}
	return strings.TrimSpace(value + " " + how)
}

// EchoParts are the value in words and, apart, how it was understood where that is
// more than the plain field: "3.622 V", "(read as mV)"; "> 2 GΩ", "(bound)".
func (f Form) EchoParts(e fault.Entry) (value, how string) {
	value = e.Echo
	switch {
	case f.ownUnit() && f.inOhms():
		how = "(read as " + strings.Replace(f.Prefix, "u", "µ", 1) + "Ω)"
	case f.ownUnit():
		how = "(read as mV)"
	}
	if e.Powers != "" {
		how = strings.TrimSpace("(read as " + e.Powers + ") " + how)
	}
	for words, sign := range map[string]string{"more than ": "> ", "less than ": "< "} {
		if rest, ok := strings.CutPrefix(value, words); ok {
			value, how = sign+rest, strings.TrimSpace(how+" (bound)")
		}
	}
	return value, how
}

// bare says that no unit was typed; an exponent is none.
func bare(raw string) bool { return fault.EntryUnit(raw) == "" }
