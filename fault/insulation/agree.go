package insulation

import (
	"fmt"
	"math"
)

// disagree is the relative difference from which two sizes of one leak are taken
// for two different things.
const disagree = 0.20

// An Agreement compares the leak that two forms found in the same state.
type Agreement struct {
	Ratio  float64 // the first leak ÷ the second
	Agrees bool
	Why    string // what to look for when they do not
}

// Agree compares two forms' leak, as a rule the sum of the two poles and the test
// resistor: the one has high volts and microamperes in the leak, the other lower
// volts. They disagree when their intervals lie apart and the ratio is off by more
// than 20 %. Bounds agree with all that lies within them.
func Agree(a, b Isolation) Agreement {
	ratio := a.Leak.X / b.Leak.X
	overlap := a.Leak.Low <= b.Leak.High && b.Leak.Low <= a.Leak.High
	if overlap || math.Abs(ratio-1) <= disagree {
		return Agreement{Ratio: ratio, Agrees: true}
	}
	return Agreement{Ratio: ratio, Why: fmt.Sprintf("%s gives %s, %s gives %s: a leak that changes with the volts across it, "+
		"another input resistance than recorded, readings that had not settled, or a monitor that is active",
		a.Form, ohms(a.Leak.X), b.Form, ohms(b.Leak.X))}
}
