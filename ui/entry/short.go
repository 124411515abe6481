package entry

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"halfsplit/fault"
	"halfsplit/fault/series"
	"halfsplit/ui/facts"
	"halfsplit/ui/words"
)

// nearby is how many values on either side of a point are its neighbours.
const nearby = 4

// Doubt is what stands out about the value that is typed, in few words that ask; ""
// for nothing. Nothing waits for an answer.
func (r *Run) Doubt(p *facts.Pack, f Form) string {
	e, err := f.Parse(p)
	if err != nil || e.Relation != fault.Equal || f.elsewhere(p) {
		return ""
	}
	if f.Range > 0 && math.Abs(e.Value) > f.Range && !f.inOhms() {
		return fmt.Sprintf("More than the %g V range shows.", f.Range)
	}
	if x, have := r.standing(p, r.At); have && f.Again {
		if off := math.Abs(e.Value - x.Value); off > 0.005*math.Max(math.Abs(x.Value), math.Abs(e.Value)) {
			return "The first reading was " + r.say(x.Value) + "."
		}
		return ""
	}
	switch r.Kind {
	case series.ToChassis:
		return r.doubtToChassis(p, f, e.Value)
	case series.Insulation:
		return r.doubtInsulation(p, e.Value)
	}
	m, ok := r.neighbours(p)
	if !ok {
		return f.Doubt(p)
	}
	return r.beside(e.Value, m)
}

// neighbours is the median of the values around a point of a run of like values.
func (r *Run) neighbours(p *facts.Pack) (m float64, ok bool) {
	values := r.values(p)
	var near []float64
	for _, by := range []int{-1, 1} {
		for i, n := r.At+by, 0; i >= 0 && i < len(r.points) && n < nearby; i += by {
			if v, have := values[r.points[i].Key()]; have && r.Taken.Has(i) {
				near = append(near, v*r.share(p, r.At)/r.share(p, i))
				n++
			}
		}
	}
	if len(near) == 0 {
		return 0, false
	}
	slices.Sort(near)
	return (near[(len(near)-1)/2] + near[len(near)/2]) / 2, true
}

// share is what makes values of two points comparable: a module's groups.
func (r *Run) share(p *facts.Pack, i int) float64 {
	if m, ok := p.Net.Module(r.points[i].Module); ok && r.Kind == series.ModuleVolts {
		return float64(max(1, p.Net.Layout.Modules[m].Series))
	}
	return 1
}

// values are what the case has for the points of this run, by their keys.
func (r *Run) values(p *facts.Pack) map[string]float64 {
	out := map[string]float64{}
	replaced := p.Case.Superseded()
	for _, x := range p.Case.Readings {
		if _, old := replaced[x.ID]; old || x.State != r.State || (x.Resistor != nil) != (r.Resistor != "") {
			continue
		}
		pt := series.Point{Red: x.Red, Black: x.Black}
		if r.Kind == series.Insulation && x.AfterTouchS != nil {
			pt.AfterS = *x.AfterTouchS
		}
		if r.quantity() == x.Quantity {
			out[pt.Key()] = x.Value
		}
	}
	for _, pt := range r.points {
		if pt.Group > 0 {
			if v, ok := listed(p, pt, r.State); ok {
				out[pt.Key()] = v
			}
		}
	}
	return out
}

func (r *Run) quantity() string {
	if len(r.points) == 0 {
		return ""
	}
	return r.points[0].Quantity
}

// beside compares a value with its neighbours.
func (r *Run) beside(v, m float64) string {
	ohms := r.quantity() != fault.Volts
	off, size := math.Abs(v-m), math.Abs(m)
	near := math.Max(0.05, 0.1*size)
	if ohms { // joints differ more
		near = 2 * size
	}
	if off <= near || size == 0 {
		return ""
	}
	if math.Abs(v+m) <= near && !ohms {
		return "The other sign than its neighbours. " + r.say(-v) + "?"
	}
	ask := ""
	for _, k := range []float64{1e-6, 1e-3, 0.01, 0.1, 10, 100, 1000, 1e6} {
		if math.Abs(math.Abs(v)*k-size) <= 0.1*size {
			ask = " " + r.say(math.Copysign(v*k, m)) + "?"
		}
	}
	switch ratio := math.Abs(v / m); {
	case ratio >= 1.5:
		return times(ratio) + " times its neighbours." + ask
	case ratio <= 1/1.5 && ratio > 0:
		return "1/" + times(1/ratio) + " of its neighbours." + ask
	case v > m:
		return r.say(off) + " above its neighbours."
	}
	return r.say(off) + " below its neighbours."
}

// times is a ratio to two digits.
func times(x float64) string {
	if x >= 100 {
		p := math.Pow(10, math.Floor(math.Log10(x))-1)
		return strconv.FormatFloat(math.Round(x/p)*p, 'f', 0, 64)
	}
	return words.Digits(x, 2)
}

// say writes a value of this run to a few digits.
func (r *Run) say(v float64) string {
	if r.quantity() == fault.Volts {
		return words.Digits(v, 4) + words.Thin + "V"
	}
	return words.Ohms(v)
}

// doubtToChassis compares a terminal with the one that a closed link ties it to, and
// with what is expected of it.
func (r *Run) doubtToChassis(p *facts.Pack, f Form, v float64) string {
	red, ok := p.Net.Node(f.Red)
	if !ok {
		return f.Doubt(p)
	}
	values := r.values(p)
	for i, pt := range r.points {
		other, known := p.Net.Node(pt.Red)
		if !known || i == r.At || p.Joined.Conductor(red) != p.Joined.Conductor(other) {
			continue
		}
		u, have := values[pt.Key()]
		if !have {
			continue
		}
		if off := math.Abs(u - v); off > math.Max(0.5, 0.02*math.Max(math.Abs(u), math.Abs(v))) {
			ask := ""
			if math.Abs(u+v) < off/4 {
				ask = " The other sign?"
			}
			return pt.Red + ", tied to it, shows " + r.say(u) + "." + ask
		}
		return ""
	}
	if x, err := f.Reading(p); err == nil {
		if e, ok := p.Expect(x); ok && math.Abs(v-e.Volts) <= someVolts {
			return "" // near the leak the finding's own interval is as wide as the value
		}
	}
	return f.Doubt(p)
}

// someVolts to chassis are not worth a doubt, whatever is expected.
const someVolts = 3.0

// doubtInsulation compares the later value of a point with the earlier one.
func (r *Run) doubtInsulation(p *facts.Pack, v float64) string {
	pt, _ := r.Point()
	values := r.values(p)
	for _, s := range series.Times {
		early := pt
		if early.AfterS = s; s >= pt.AfterS {
			continue
		}
		if u, have := values[early.Key()]; have && v < 0.9*u {
			return fmt.Sprintf("Less than at %g s, %s.", s, r.say(u))
		}
	}
	if m, ok := r.neighbours(p); ok && (v < m/100 || v > 100*m) {
		return r.beside(v, m)
	}
	return ""
}
