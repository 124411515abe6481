package insulation

import (
	"fmt"
	"math"
)

// A Kind is why a form refuses to compute.
type Kind string

// The kinds of refusal.
const (
	NotPositive    Kind = "not-positive"    // an input that has to be above zero is not
	ChassisOutside Kind = "chassis-outside" // the chassis does not lie between the poles
	SumTooLarge    Kind = "sum-too-large"   // the two poles' volts to chassis exceed the pack's
	TooClose       Kind = "too-close"       // the test resistor changed too little: the leak is far smaller
	TooSmall       Kind = "too-small"       // a reading is no larger than its own error
	Raised         Kind = "raised"          // the reading rose when the test resistor was fitted
	TwoAtOnce      Kind = "two-at-once"     // the readings are those of two meters connected at once
	OneMoved       Kind = "one-moved"       // the readings are those of one meter that was moved
	InputUnknown   Kind = "input-unknown"   // the form needs the meter's input resistance
	NoRange        Kind = "no-range"        // the instrument cannot show that value
	Biased         Kind = "biased"          // the section's own volts bias an insulation tester
	NoChange       Kind = "no-change"       // no detectable change between two states
	Grown          Kind = "grown"           // the leak grew where it should have shrunk
	NotSettling    Kind = "not-settling"    // three timed readings are not one exponential
	Impossible     Kind = "impossible"      // the readings ask for a resistance below zero
	Unresolved     Kind = "unresolved"      // the errors are larger than the effect
)

// A Refusal says in plain words why nothing was computed, and the bound on the
// leak in ohms that the readings still give, if they give one.
type Refusal struct {
	Kind  Kind
	Why   string
	Bound *Result
}

// Error is the refusal in plain words.
func (r *Refusal) Error() string { return r.Why }

func refuse(k Kind, format string, args ...any) *Refusal {
	return &Refusal{Kind: k, Why: fmt.Sprintf(format, args...)}
}

// bounded adds what the readings still say about the leak.
func (r *Refusal) bounded(bound Result, err error) *Refusal {
	if err == nil {
		r.Bound = &bound
	}
	return r
}

// above0 refuses a number that is not above zero and finite.
func above0(what string, x float64, unit string) error {
	if x > 0 && !math.IsInf(x, 1) {
		return nil
	}
	if math.IsNaN(x) {
		return refuse(NotPositive, "%s must be above zero; it is no number", what)
	}
	return refuse(NotPositive, "%s must be above zero, not %.4g %s", what, x, unit)
}

// first is the first error there is.
func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
