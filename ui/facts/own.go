package facts

import (
	"math"
	"strings"

	"halfsplit/fault"
)

// ownReading says which module a reading is taken across, red on its positive
// end; ok is false for any other reading.
func (p *Pack) ownReading(r fault.Reading) (module int, ok bool) {
	id, plus := strings.CutSuffix(r.Red, "+")
	if !plus || r.Black != id+"-" || r.Quantity != fault.Volts || r.Relation == fault.Less || r.Relation == fault.Greater {
		return 0, false
	}
	return p.Net.Module(id)
}

// readOwnVolts takes each module's volts from the readings across its own ends:
// from the present state if there is one, else from the latest. A group that
// was not measured then has an equal share of them.
func (p *Pack) readOwnVolts() {
	p.own = nans(len(p.Net.Layout.Modules))
	now := make([]bool, len(p.own))
	superseded := p.Case.Superseded()
	for _, r := range p.Case.Readings {
		m, ok := p.ownReading(r)
		if _, old := superseded[r.ID]; !ok || old || now[m] && r.State != p.Case.Now {
			continue
		}
		p.own[m], now[m] = r.Value, r.State == p.Case.Now
	}
	p.Cell = append([]float64(nil), p.Group...)
	known, count := make([]float64, len(p.own)), make([]int, len(p.own))
	for i, g := range p.Net.Groups {
		if v := p.Group[i]; !math.IsNaN(v) {
			known[g.Module] += v
			count[g.Module]++
		}
	}
	for i, g := range p.Net.Groups {
		if left := p.Net.Layout.Modules[g.Module].Series - count[g.Module]; left > 0 && math.IsNaN(p.Cell[i]) {
			p.Cell[i] = (p.own[g.Module] - known[g.Module]) / float64(left)
		}
	}
}
