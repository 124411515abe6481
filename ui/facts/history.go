package facts

import (
	"math"
	"time"

	"halfsplit/fault"
	"halfsplit/topology"
)

// readHistory gives every module its last insulation reading to chassis, and
// the age of its newest record, counted back from the newest of the case: a case
// that is opened again next year has not grown old by that.
func (p *Pack) readHistory() {
	newest := make([]time.Time, len(p.Modules))
	var last time.Time
	note := func(m int, at string) {
		if t, err := time.Parse(time.RFC3339, at); err == nil {
			if t.After(newest[m]) {
				newest[m] = t
			}
			if t.After(last) {
				last = t
			}
		}
	}
	superseded := p.Case.Superseded()
	for i := range p.Case.Readings {
		r := &p.Case.Readings[i]
		if _, old := superseded[r.ID]; old {
			continue
		}
		for _, ref := range []string{r.Red, r.Black} {
			n, ok := p.Net.Node(ref)
			if !ok {
				continue
			}
			m, _, ok := p.Net.ModuleAt(n)
			if !ok {
				continue
			}
			note(m, r.At)
			p.Modules[m].Readings++
			_, toChassis := topology.ChassisRef(r.Black)
			_, fromChassis := topology.ChassisRef(r.Red)
			if r.Quantity == fault.Insulation && (toChassis || fromChassis) {
				p.Modules[m].Insulation = r
			}
		}
	}
	for _, g := range p.Case.GroupVolts {
		if m, ok := p.Net.Module(g.Module); ok {
			note(m, g.At)
		}
	}
	for m := range p.Modules {
		p.Modules[m].Age = math.NaN()
		if !newest[m].IsZero() {
			p.Modules[m].Age = last.Sub(newest[m]).Hours()
		}
	}
}
