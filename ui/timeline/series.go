// Package timeline is readings over time: every circuit that was read more than
// once, and every section's ohms from one state to the next, drawn against the time
// with their errors, and what they look like in words: level, drying, drift, steps,
// settling.
//
// The series are values made of a case and its finding; the drawing is a scene that
// a test can read as text. Fits come from package probing. It records nothing and
// names no place of a leak.
package timeline

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/probing"
	"halfsplit/ui/facts"
	"halfsplit/ui/words"
)

// A Value is one value of a series.
type Value struct {
	Reading   string    // its id; of a section's ohms, the newest reading that they rest on
	At        time.Time // zero = not recorded
	T         float64   // seconds from the series' zero
	V         float64
	Low, High float64 // of its error; equal where that is not known
	SD        float64
	Relation  string
	State     string
	Circuit   string // what of its state changes the circuit: values of another are another thing
	Use       facts.Use
	Why       string // why it was left out, or what took its place
}

// Struck says that the value was superseded.
func (v Value) Struck() bool { return v.Use == facts.Superseded }

// Counts says that a fit rests on it: a number with a time that stands.
func (v Value) Counts(touch bool) bool {
	return !v.Struck() && v.Relation == fault.Equal && (touch || !v.At.IsZero())
}

// A Series is one thing that was read over time.
type Series struct {
	ID, Name string
	About    string // what it was taken with
	Quantity string
	Section  bool // a section's ohms, from the finding
	Touch    bool // counted from the touch of the leads
	Zero     time.Time
	Values   []Value // by time; those without a time come last
	Like     fault.Reading
}

// Log says that the values are drawn by their logarithms.
func (s Series) Log() bool {
	return s.Quantity == fault.Insulation || s.Quantity == fault.Ohms || s.Quantity == fault.Joint
}

// Timed are the values that have a time.
func (s Series) Timed() (out []Value) {
	for _, v := range s.Values {
		if s.Touch || !v.At.IsZero() {
			out = append(out, v)
		}
	}
	return out
}

// Judged are the values that a fit may rest on: numbers with a time that stand, of
// the circuit that the newest of them was read in. A volt to chassis of the whole
// string and one of a half are no series, alike as they may be.
func (s Series) Judged() (out []Value) {
	for _, v := range slices.Backward(s.Values) {
		if v.Counts(s.Touch) && (len(out) == 0 || v.Circuit == out[0].Circuit) {
			out = append(out, v)
		}
	}
	slices.Reverse(out)
	return out
}

// elsewhere counts the values that stand and were read in another circuit.
func (s Series) elsewhere() (n int) {
	for _, v := range s.Values {
		if v.Counts(s.Touch) {
			n++
		}
	}
	return n - len(s.Judged())
}

// Shape is what the judged values look like; ohms by their logarithms.
func (s Series) Shape() probing.Shape {
	var p []probing.Point
	for _, v := range s.Judged() {
		p = append(p, probing.Point{T: v.T, V: v.V, SD: v.SD})
	}
	if s.Log() {
		p = probing.Logs(p)
	}
	return probing.ShapeOf(p)
}

// Gather is every series of a case: first what was read more than once, by how often;
// then what was read once.
func Gather(p *facts.Pack) []Series {
	out := append(sections(p), circuits(p)...)
	sort.SliceStable(out, func(i, j int) bool { return min(2, len(out[i].Values)) > min(2, len(out[j].Values)) })
	return out
}

// circuitOf names what a reading was taken with, the state apart.
func circuitOf(r fault.Reading) string {
	key := strings.Join([]string{r.Quantity, r.Red, r.Black, r.Instrument, fmt.Sprint(r.TestVolts), r.TogetherWith}, "|")
	if r.Resistor != nil {
		key += fmt.Sprint("|", *r.Resistor)
	}
	return key
}

// circuits are the readings by what they were taken with; those with seconds after
// touching make a series of their own besides.
func circuits(p *facts.Pack) (out []Series) {
	at := map[string]int{}
	use := uses(p)
	add := func(id string, touch bool, r fault.Reading) {
		i, have := at[id]
		if !have {
			i = len(out)
			at[id] = i
			out = append(out, Series{ID: id, Name: name(r), About: about(p, r), Quantity: r.Quantity, Touch: touch, Like: r})
			if touch {
				out[i].Name += ", since touching"
				out[i].About += ", state " + r.State
			}
		}
		out[i].Values = append(out[i].Values, value(p, r, use))
		out[i].Like = r
	}
	for _, r := range p.Case.Readings {
		add("circuit:"+circuitOf(r), false, r)
		if r.AfterTouchS != nil {
			add("touch:"+r.State+"|"+circuitOf(r), true, r)
		}
	}
	out = slices.DeleteFunc(out, func(s Series) bool { return s.Touch && len(s.Values) < 2 })
	for i := range out {
		out[i].order(p)
	}
	return out
}

// order puts values and zero in place.
func (s *Series) order(p *facts.Pack) {
	if s.Touch {
		for i, v := range s.Values {
			if r, ok := p.Case.Reading(v.Reading); ok && r.AfterTouchS != nil {
				s.Values[i].T = *r.AfterTouchS
			}
		}
		sort.SliceStable(s.Values, func(i, j int) bool { return s.Values[i].T < s.Values[j].T })
		return
	}
	sort.SliceStable(s.Values, func(i, j int) bool {
		a, b := s.Values[i].At, s.Values[j].At
		return !a.IsZero() && (b.IsZero() || a.Before(b))
	})
	if len(s.Values) > 0 {
		s.Zero = s.Values[0].At
	}
	for i, v := range s.Values {
		if !v.At.IsZero() {
			s.Values[i].T = v.At.Sub(s.Zero).Seconds()
		}
	}
}

// a used is how the finding uses a reading, and why not.
type used struct {
	use facts.Use
	why string
}

func uses(p *facts.Pack) map[string]used {
	out := map[string]used{}
	if f := p.Result.Finding; f != nil {
		for _, id := range f.Used {
			out[id] = used{use: facts.Used}
		}
		for _, s := range f.Sections { // values of one series are folded into its last
			for _, id := range s.Readings {
				out[id] = used{use: facts.Used}
			}
		}
		for _, l := range f.LeftOut {
			out[l.Reading] = used{facts.LeftOut, l.Why}
		}
	}
	for id, by := range p.Case.Superseded() {
		out[id] = used{facts.Superseded, "replaced by " + by.ID + ": " + by.Why}
	}
	return out
}

// value is a reading as a point, its error that of the counts.
func value(p *facts.Pack, r fault.Reading, use map[string]used) Value {
	u := use[r.ID]
	v := Value{Reading: r.ID, V: r.Value, Low: r.Value, High: r.Value, Relation: r.Relation, State: r.State, Use: u.use, Why: u.why}
	if v.Relation == "" {
		v.Relation = fault.Equal
	}
	v.At, _ = time.Parse(time.RFC3339, r.At) // zero where it is not recorded
	if st, ok := p.Case.State(r.State); ok && r.Quantity == fault.Volts {
		v.Circuit = circuitIn(st)
	}
	in, ok := p.Case.Instrument(r.Instrument)
	if !ok {
		return v
	}
	in = in.For(r.Quantity)
	rg, _, ok := in.RangeOf(r)
	if ok && rg.Count > 0 {
		half := math.Max(in.Off(rg), 0.5) * rg.Count
		v.Low, v.High, v.SD = r.Value-half, r.Value+half, half/math.Sqrt(3)
	}
	if r.Quantity != fault.Volts && in.Gain(rg) > 0 { // an insulation tester's counts are the least of its errors
		v.SD = math.Hypot(v.SD, r.Value*in.GainSDOn(rg))
		v.Low, v.High = r.Value-math.Sqrt(3)*v.SD, r.Value+math.Sqrt(3)*v.SD
	}
	return v
}

// circuitIn is what of a state changes what a voltmeter reads at a tap, the leaks
// apart.
func circuitIn(st fault.State) string {
	set := func(ids []string) string { return strings.Join(slices.Sorted(slices.Values(ids)), " ") }
	return strings.Join([]string{set(st.Open), set(st.Removed), st.Contactors, st.Monitor}, "|")
}

// name is the series in a few words.
func name(r fault.Reading) string {
	switch r.Quantity {
	case fault.Celsius:
		return "Temperature, " + r.Red
	case fault.Insulation:
		return r.Red + " to " + r.Black + ", insulation"
	case fault.Kilopascal:
		return "Pressure, " + r.Red
	}
	s := r.Red + " to " + r.Black
	if r.Resistor != nil {
		s += " with " + r.Resistor.ID
	}
	return s
}

// about is what it was taken with.
func about(p *facts.Pack, r fault.Reading) string {
	s := "with " + r.Instrument
	if r.Instrument == "" {
		s = "instrument not named"
	}
	if r.TestVolts != 0 {
		s += fmt.Sprintf(", %+g V", r.TestVolts)
	}
	if r.Resistor != nil {
		if x, ok := p.Case.Resistor(r.Resistor.ID); ok {
			s += ", " + x.ID + " of " + words.Ohms(x.Ohms)
		}
	}
	return s
}

// sections are the ohms to chassis of each section, by the time of the readings that
// they rest on.
func sections(p *facts.Pack) (out []Series) {
	f := p.Result.Finding
	if f == nil {
		return nil
	}
	at := map[string]int{}
	for _, sec := range f.Sections {
		v, newest, ok := ohms(p, sec)
		if !ok {
			continue
		}
		id := "section:" + sec.From + "|" + sec.To
		i, have := at[id]
		if !have {
			i = len(out)
			at[id] = i
			out = append(out, Series{ID: id, Name: sec.From + " to " + sec.To + ", ohms to chassis", About: "from the finding, state by state", Quantity: fault.Ohms, Section: true})
		}
		out[i].Values = append(out[i].Values, v)
		out[i].Like = newest
	}
	for i := range out {
		out[i].order(p)
	}
	return out
}

// ohms are a section's ohms in one state as a point, at the time of the newest
// reading that they rest on.
func ohms(p *facts.Pack, sec fault.SectionFinding) (v Value, newest fault.Reading, ok bool) {
	b := sec.Ohms
	v = Value{V: float64(b.Mid), Low: float64(b.Low), High: float64(b.High), Relation: b.Relation, State: sec.State, Use: facts.Used}
	switch b.Relation {
	case fault.Less:
		v.V, v.Low = v.High, v.High
	case fault.Greater:
		v.V, v.High = v.Low, v.Low
	default:
		v.Relation = fault.Equal
		const wide = 2 * 1.959964 // standard uncertainties in a 95 % interval
		v.SD = (v.High - v.Low) / wide
	}
	if !(v.V > 0) || math.IsInf(v.V, 1) {
		return v, newest, false
	}
	for _, id := range sec.Readings {
		r, have := p.Case.Reading(id)
		t, err := time.Parse(time.RFC3339, r.At)
		if have && (newest.ID == "" || err == nil && t.After(v.At)) {
			v.Reading, newest = id, r
			if err == nil {
				v.At = t
			}
		}
	}
	return v, newest, newest.ID != "" // without a reading it belongs to no time
}

// Beside are the temperatures of a case, drawn beside any other series on their own
// scale; their seconds count from its zero.
func Beside(all []Series, s Series) (out []Series) {
	if s.Touch || s.Zero.IsZero() || s.Quantity == fault.Celsius {
		return nil
	}
	for _, c := range all {
		if c.Quantity != fault.Celsius || c.Zero.IsZero() {
			continue
		}
		c.Values = slices.Clone(c.Timed())
		last, near := s.last(), false
		room := math.Max(600, 0.3*last)
		for i := range c.Values {
			t := c.Values[i].At.Sub(s.Zero).Seconds()
			c.Values[i].T = t
			near = near || t > -room && t < last+room
		}
		if near {
			out = append(out, c)
		}
	}
	return out
}
