package topology

import (
	"fmt"
	"math"
)

// A MakeSpec says what Make is to draw: one string of equal modules, in rows
// that turn back at their ends like a snake.
type MakeSpec struct {
	Name         string
	Modules      int     // in series
	Series       int     // groups of a module
	Parallel     int     // cells of a group
	PerRow       int     // modules of a row; 0 = all in one row
	W, H         float64 // mm, of a module's outline across and along the drawing
	Gap          float64 // mm, between outlines
	Alternate    bool    // terminals lie across the row and neighbours are turned about; else head to tail
	Disconnect   int     // a service disconnect after this module, counted from the negative end; 0 = none
	NominalVolts float64 // V, of the pack; 0 = not given
	WorkingVolts float64 // V, highest in service; 0 = not given
}

// What Make takes at most: more is a slip of the finger, or needs drawing by hand.
const (
	MostModules  = 400
	MostSeries   = 200
	MostParallel = 400
	MostGroups   = 5000
)

// Make draws a layout: modules M01 … in string order, busbars L01 … between
// neighbours, the disconnect SD in place of one of them, and the contactors K-
// and K+ to the pack's terminals. What is not asked for, such as minutes, stays
// unknown. Compile has no problem with what it makes. An error
// says which number makes no sense and why.
func Make(s MakeSpec) (Layout, error) {
	if err := s.check(); err != nil {
		return Layout{}, err
	}
	l := Layout{Name: s.Name, SeenFrom: "above", NominalVolts: s.NominalVolts, WorkingVolts: s.WorkingVolts, Stacks: []Stack{{ID: "A"}}}
	for i := range s.Modules {
		l.Modules = append(l.Modules, s.module(i))
	}
	end := l.Modules[s.Modules-1].ID
	l.Links = append(l.Links, Link{ID: "K-", Kind: Contactor, From: "pack-", To: l.Modules[0].ID + "-"})
	for i := 1; i < s.Modules; i++ {
		k := Link{ID: s.id("L", i), Kind: Busbar, From: l.Modules[i-1].ID + "+", To: l.Modules[i].ID + "-"}
		if i == s.Disconnect {
			k.ID, k.Kind = "SD", Disconnect
		}
		l.Links = append(l.Links, k)
	}
	l.Links = append(l.Links, Link{ID: "K+", Kind: Contactor, From: end + "+", To: "pack+"})
	return l, nil
}

// id numbers things with as many digits as the last one needs, at least two, so
// that they sort.
func (s MakeSpec) id(letter string, n int) string {
	return fmt.Sprintf("%s%0*d", letter, max(2, len(fmt.Sprint(s.Modules))), n)
}

func (s MakeSpec) perRow() int {
	if s.PerRow == 0 {
		return s.Modules
	}
	return min(s.PerRow, s.Modules)
}

// module is the one at place i of the string, from 0.
func (s MakeSpec) module(i int) Module {
	k := s.perRow()
	row, at := i/k, i%k
	back := row%2 == 1 // this row runs from right to left
	col := at
	if back {
		col = k - 1 - at
	}
	minus := "left"
	if back {
		minus = "right"
	}
	if s.Alternate {
		minus = s.across(row, at)
	}
	return Module{ID: s.id("M", i+1), Stack: "A", Series: s.Series, Parallel: s.Parallel,
		X: float64(col) * (s.W + s.Gap), Y: float64(row) * (s.H + s.Gap), W: s.W, H: s.H, Minus: minus}
}

// across is the minus end where neighbours are turned about. A later row begins
// with it next to the row before; the first row is begun so that it ends with its
// plus next to the second.
func (s MakeSpec) across(row, at int) string {
	top := at%2 == 0
	if k := s.perRow(); row == 0 && k%2 == 0 {
		top = !top
	}
	if top {
		return "top"
	}
	return "bottom"
}

// check refuses numbers that make no sense.
func (s MakeSpec) check() error {
	for _, c := range []struct {
		what      string
		n         int
		low, high int
	}{
		{"the number of modules", s.Modules, 1, MostModules},
		{"the groups in series in a module", s.Series, 1, MostSeries},
		{"the cells in parallel in a group", s.Parallel, 1, MostParallel},
		{"the modules in a row", s.PerRow, 0, MostModules},
	} {
		if c.n < c.low || c.n > c.high {
			return fmt.Errorf("%s must be from %d to %d, and is %d", c.what, c.low, c.high, c.n)
		}
	}
	groups := s.Modules * s.Series
	if groups > MostGroups {
		return fmt.Errorf("%d modules of %d groups are %d groups in series; more than %d are not drawn here", s.Modules, s.Series, groups, MostGroups)
	}
	if s.Disconnect < 0 || s.Disconnect >= s.Modules {
		if s.Modules == 1 {
			return fmt.Errorf("a disconnect needs a module on either side, and there is one module; 0 is for none")
		}
		return fmt.Errorf("the disconnect comes after a module from 1 to %d, or 0 for none, and not after %d", s.Modules-1, s.Disconnect)
	}
	if err := s.checkSizes(); err != nil {
		return err
	}
	return s.checkVolts(groups)
}

// checkSizes wants millimetres that a module can have. NaN is in no range.
func (s MakeSpec) checkSizes() error {
	for _, c := range []struct {
		what          string
		mm, low, high float64
	}{
		{"a module's width", s.W, 10, 5000}, {"a module's depth", s.H, 10, 5000}, {"the gap between modules", s.Gap, 0, 2000},
	} {
		if !(c.mm >= c.low && c.mm <= c.high) {
			return fmt.Errorf("%s must be from %g to %g mm, and is %g mm", c.what, c.low, c.high, c.mm)
		}
	}
	return nil
}

// checkVolts compares the volts with what groups can have: no cell in use is
// nominally outside 1.2 to 4 V, nor charged above 4.6 V.
func (s MakeSpec) checkVolts(groups int) error {
	for _, c := range []struct {
		what           string
		volts, low, hi float64
	}{{"nominal", s.NominalVolts, 1.2, 4}, {"highest working", s.WorkingVolts, 1.2, 4.6}} {
		if c.volts == 0 {
			continue
		}
		each := c.volts / float64(groups)
		if !(each >= c.low && each <= c.hi) {
			return fmt.Errorf("%g V %s over %d groups are %s V a group; a group has from %g to %g V; leave it out if it is not known", c.volts, c.what, groups, short(each), c.low, c.hi)
		}
	}
	if s.NominalVolts > 0 && s.WorkingVolts > 0 && s.WorkingVolts < s.NominalVolts {
		return fmt.Errorf("the highest working volts, %g V, are below the nominal volts, %g V", s.WorkingVolts, s.NominalVolts)
	}
	return nil
}

// short is a figure with three digits.
func short(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "no number of"
	}
	return fmt.Sprintf("%.3g", v)
}
