package entry

import (
	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
)

// Restore is a form that was kept while the program was not running, as it fits
// the case now; ok is false for one that does not fit. Where the reading was
// recorded before the program ended, it is not proposed again: the form goes on
// from it.
func (f Form) Restore(p *facts.Pack) (g Form, ok bool) {
	if f.Kind >= kinds || f.Red == "" || !place(p, f.Red) || !place(p, f.Black) {
		return Form{}, false
	}
	if f.Module != "" {
		if _, ok := p.Net.Module(f.Module); !ok {
			return Form{}, false
		}
	}
	if _, ok := p.Net.Link(f.Link); !ok && (f.Kind == Across || f.Kind == JointOhms) {
		return Form{}, false
	}
	if _, ok := p.Case.Reading(f.Corrects); !ok && f.Corrects != "" {
		return Form{}, false
	}
	f.At, f.Failed = Field, ""
	if f.Instrument != "" || f.Resistor != "" { // described meanwhile, or undone
		f = f.furnish(p)
	}
	if n := len(p.Case.Readings); n > 0 && f.Raw != "" {
		if r, err := f.Reading(p); err == nil && same(r, p.Case.Readings[n-1]) {
			return f.Saved(p, f.Last), true
		}
	}
	return f, true
}

func place(p *facts.Pack, ref string) bool {
	if _, ok := p.Net.Node(ref); ok {
		return true
	}
	_, ok := topology.ChassisRef(ref)
	return ok
}

// same says that two readings are one: the same keystrokes at the same place.
func same(a, b fault.Reading) bool {
	return a.Raw == b.Raw && a.State == b.State && a.Quantity == b.Quantity && a.Red == b.Red && a.Black == b.Black && (a.Resistor == nil) == (b.Resistor == nil)
}
