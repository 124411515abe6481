package insulation

import (
	"math"
	"sort"
)

// What an error comes from.
const (
	Counts            = "counts"           // a meter's last digits; independent from reading to reading
	Gain              = "gain"             // a meter's scale; one error for all readings on one range
	InputTolerance    = "input resistance" // of a meter
	ResistorTolerance = "test resistor"    // how well the test resistor is known
	SectionVolts      = "section volts"    // the section's own volts behind an insulation tester
)

// A Value is a number and the errors that it inherited, in the unit that its
// maker names. Errors are kept apart by cause, so that what two values share, one
// meter's gain or one resistor's tolerance, cancels or adds where they meet.
type Value struct {
	X      float64
	shifts []shift
}

// A cause is one error of unknown size; two values share it when they hold the
// same pointer.
type cause struct{ kind string }

// A shift is by how much a value moves when a cause moves by its own standard
// uncertainty.
type shift struct {
	of *cause
	by float64
}

// Exact is a value without error.
func Exact(x float64) Value { return Value{X: x} }

// WithSD is a value with an error of its own: its standard uncertainty, in the
// value's unit, and what it comes from.
func WithSD(x, sd float64, kind string) Value {
	if !(sd > 0) {
		return Exact(x)
	}
	return Value{X: x, shifts: []shift{{&cause{kind}, sd}}}
}

// Within is a value known to ± half and no better: u = half/√3, the standard
// uncertainty of a rectangle (JCGM 100:2008, 4.3.7).
func Within(x, half float64, kind string) Value { return WithSD(x, half/math.Sqrt(3), kind) }

// Tolerance is a value known to ± pct per cent, rectangular.
func Tolerance(x, pct float64, kind string) Value {
	return Within(x, math.Abs(x)*pct/100, kind)
}

// U is the standard uncertainty.
func (v Value) U() float64 {
	var sum float64
	for _, s := range v.shifts {
		sum += s.by * s.by
	}
	return math.Sqrt(sum)
}

// Expanded is the expanded uncertainty with k = 2, about 95 %.
func (v Value) Expanded() float64 { return 2 * v.U() }

// A Part is what one kind of error contributes to a value's standard uncertainty.
type Part struct {
	Kind string
	U    float64
}

// Budget lists what the uncertainty consists of, the largest part first.
func (v Value) Budget() []Part {
	var parts []Part
	for _, s := range v.shifts {
		i := 0
		for i < len(parts) && parts[i].Kind != s.of.kind {
			i++
		}
		if i == len(parts) {
			parts = append(parts, Part{Kind: s.of.kind})
		}
		parts[i].U = math.Hypot(parts[i].U, s.by)
	}
	sort.SliceStable(parts, func(i, j int) bool { return parts[i].U > parts[j].U })
	return parts
}

// LimitedBy names the largest part of the uncertainty; "" where there is none.
func (v Value) LimitedBy() string {
	if b := v.Budget(); len(b) > 0 {
		return b[0].Kind
	}
	return ""
}

// times is the value scaled by an exact factor.
func (v Value) times(k float64) Value {
	out := Value{X: v.X * k, shifts: make([]shift, len(v.shifts))}
	for i, s := range v.shifts {
		out.shifts[i] = shift{s.of, s.by * k}
	}
	return out
}

// shifted is by how much the value moves with a cause.
func (v Value) shifted(c *cause) float64 {
	for _, s := range v.shifts {
		if s.of == c {
			return s.by
		}
	}
	return 0
}
