package compare

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// What a list of group volts without a named instrument errs by: a gain that is
// common to the list, and so much each (both ±, as in the file format's words).
const (
	listGainPct  = 0.2
	listEachVolt = 0.005
)

// A Value is one value of a set, with what its instrument can err by.
type Value struct {
	X        float64 // V, Ω, A, °C or kPa
	Relation string
	Text     string // with its unit
	Reading  string // id; "" = of a list

	sd         float64 // standard uncertainty of the counts, new with each reading
	gain       float64 // relative standard uncertainty of the gain, common to source
	step       float64 // what the display moves by
	source     string  // instrument and range
	instrument string
	known      bool // what it errs by is given
}

// A point is what a value is of: the same in both sets.
type point struct {
	key         string
	place, what string
	quantity    string
	group       int    // of a list, from 1; 0 = a reading
	red, black  string // of a reading
}

// values are the newest value of each point of a set, and the points in their order.
func (s Set) values() (map[string]Value, []point) {
	out := map[string]Value{}
	var order []point
	put := func(p point, v Value) {
		if _, have := out[p.key]; !have {
			order = append(order, p)
		}
		out[p.key] = v
	}
	for _, g := range s.Groups {
		for k, x := range g.Volts {
			if !math.IsNaN(x) {
				put(point{fmt.Sprintf("group|%s|%d", g.Module, k+1), g.Module, fmt.Sprintf("%s group %d", g.Module, k+1), "group", k + 1, "", ""}, s.ofList(g, x))
			}
		}
	}
	for _, r := range s.Readings {
		put(pointOf(r), s.ofReading(r))
	}
	return out, order
}

// pointOf is a reading's two leads with everything that makes it another reading.
func pointOf(r fault.Reading) point {
	p := point{quantity: r.Quantity, place: place(r.Red), what: r.Red + " to " + r.Black}
	p.red, p.black = r.Red, r.Black
	parts := []string{r.Quantity, r.Red, r.Black}
	if f := r.Resistor; f != nil {
		parts = append(parts, f.ID, f.From, f.To)
		p.what += ", with " + f.ID
		if !r.AcrossProbes() {
			p.what += " from " + f.From + " to " + f.To
		}
	}
	if r.TestVolts != 0 {
		parts = append(parts, strconv.FormatFloat(r.TestVolts, 'g', -1, 64))
		p.what += fmt.Sprintf(", at %g V", r.TestVolts)
	}
	if r.Quantity == fault.Insulation && r.AfterTouchS != nil {
		parts = append(parts, fmt.Sprintf("after %g", *r.AfterTouchS))
		p.what += fmt.Sprintf(", after %g s", *r.AfterTouchS)
	}
	if r.TogetherWith != "" {
		parts = append(parts, "two meters")
		p.what += ", with a second meter"
	}
	p.key = strings.Join(parts, "|")
	return p
}

// place is the module that a reference lies on, or the reference itself.
func place(ref string) string {
	if i := strings.LastIndexByte(ref, '.'); i > 0 {
		return ref[:i]
	}
	return strings.TrimRight(ref, "+-")
}

// ofReading gives a reading its errors: u = counts·count/√3 and the display's own
// step of count/√12 for what is new with each reading, u = gain/√3 for what is common
// (JCGM 100, 4.3.7).
func (s Set) ofReading(r fault.Reading) Value {
	v := Value{X: r.Value, Relation: r.Relation, Reading: r.ID, instrument: r.Instrument}
	if v.Relation == "" {
		v.Relation = fault.Equal
	}
	count := 0.0
	if in, ok := s.kase.Instrument(r.Instrument); ok {
		if rg, _, ok := in.RangeOf(r); ok && rg.Count > 0 {
			in = in.For(r.Quantity) // errs as it does for this quantity
			count = rg.Count
			v.known, v.gain = true, in.GainSDOn(rg)
			v.sd, v.step = math.Hypot(in.CountSD(rg), rg.Count/math.Sqrt(12)), rg.Count
			v.source = fmt.Sprintf("%s on %g", in.ID, rg.Max)
		}
	}
	v.Text = text(r.Quantity, v, count)
	return v
}

// ofList gives a group of a list its errors: by its instrument, or the usual ones of a
// monitor's list.
func (s Set) ofList(g fault.GroupVolts, x float64) Value {
	if _, ok := s.kase.Instrument(g.Instrument); ok {
		v := s.ofReading(fault.Reading{Quantity: fault.Volts, Value: x, Instrument: g.Instrument})
		if v.known {
			return v
		}
	}
	v := Value{X: x, Relation: fault.Equal, instrument: g.Instrument, known: true, gain: listGainPct / 100 / math.Sqrt(3), sd: listEachVolt / math.Sqrt(3), source: "list " + g.Instrument + " " + g.Source}
	if v.instrument == "" {
		v.instrument = "list"
		if g.Source != "" {
			v.instrument = g.Source
		}
	}
	v.Text = text(fault.Volts, v, 0.001)
	return v
}

// units of what is not written as ohms.
var units = map[string]string{fault.Volts: "V", "group": "V", fault.Amps: "A", fault.Celsius: "°C", fault.Kilopascal: "kPa"}

// text writes a value as finely as its instrument shows it.
func text(quantity string, v Value, count float64) string {
	s := ""
	if u, ok := units[quantity]; ok {
		s = number(v.X, count) + fault.ThinSpace + u
	} else {
		s = fault.FormatOhms(v.X)
	}
	switch v.Relation {
	case fault.Greater:
		return "more than " + s
	case fault.Less:
		return "less than " + s
	}
	return s
}

// number has as many decimals as steps of count need; four digits where that is not
// known.
func number(x, count float64) string {
	if count <= 0 {
		return strconv.FormatFloat(x, 'g', 4, 64)
	}
	return strconv.FormatFloat(x, 'f', max(0, int(math.Ceil(-math.Log10(count)-1e-9))), 64)
}
