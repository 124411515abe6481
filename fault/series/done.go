package series

import (
	"math"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A Done knows which points a case has a standing value of in its present state.
type Done struct{ have map[string]bool }

// NewDone looks a case through once. A reading with a test resistor, of another
// state, or replaced by a correction is not the value of a point; a link that was
// read the other way round is the same joint.
func NewDone(n *topology.Net, c *fault.Case) Done {
	d := Done{map[string]bool{}}
	replaced := c.Superseded()
	for _, r := range c.Readings {
		if _, old := replaced[r.ID]; old || r.State != c.Now || r.Resistor != nil {
			continue
		}
		d.have[key(r.Quantity, r.Red, r.Black, after(r))] = true
		if r.Quantity == fault.Joint {
			d.have[key(r.Quantity, r.Black, r.Red, 0)] = true
		}
	}
	for _, g := range c.GroupVolts {
		m, ok := n.Module(g.Module)
		if !ok || g.State != c.Now {
			continue
		}
		for k := 1; k <= min(len(g.Volts), n.Layout.Modules[m].Series); k++ {
			if !math.IsNaN(g.Volts[k-1]) {
				d.have[groupKey(g.Module, k)] = true
			}
		}
	}
	return d
}

// Has says that a point has a value.
func (d Done) Has(p Point) bool {
	if p.Group > 0 && d.have[groupKey(p.Module, p.Group)] {
		return true
	}
	return d.have[key(p.Quantity, p.Red, p.Black, p.AfterS)]
}

// after is the time that tells two values of a point apart: of insulation alone,
// since volts are read at any time.
func after(r fault.Reading) float64 {
	if r.Quantity == fault.Insulation && r.AfterTouchS != nil {
		return *r.AfterTouchS
	}
	return 0
}

func key(quantity, red, black string, after float64) string {
	return quantity + "|" + Point{Red: red, Black: black, AfterS: after}.Key()
}

func groupKey(module string, k int) string { return Point{Module: module, Group: k}.Name() }
