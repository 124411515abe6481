package entry

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"halfsplit/fault"
	"halfsplit/ui/facts"
)

// Quantity is what is measured.
func (f Form) Quantity() string {
	if f.Kind == Insulation {
		return fault.Insulation
	}
	return fault.Volts
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
	e, err := fault.ParseEntry(f.Raw, o)
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
	r := fault.Reading{State: p.Case.Now, Quantity: f.Quantity(), Red: f.Red, Black: f.Black, Value: e.Value, Raw: f.Raw, Instrument: f.Instrument, Range: f.Range}
	if e.Relation != fault.Equal {
		r.Relation = e.Relation
	}
	if old, ok := p.Case.Reading(f.Corrects); ok {
		r.State = old.State
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
	if known && f.Range > 0 && math.Abs(r.Value) > f.Range && f.Kind != Insulation {
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
	if most := widest(in); known && most > 0 && math.Abs(r.Value) > most && f.Kind != Insulation {
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
	if f.Millivolts && f.runs() && bare(f.Raw) {
		return e.Echo + " (read as mV)"
	}
	return e.Echo
}

func bare(raw string) bool {
	for _, r := range raw {
		if r >= 'A' && r != '−' {
			return false
		}
	}
	return true
}
