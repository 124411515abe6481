package choose

import (
	"errors"
	"fmt"
	"math"
)

// An Explanation is one way in which the readings so far can have come about. Its
// label says what must come out if it is true; explanations that share a label
// need not be told apart.
type Explanation struct {
	Label  string
	Weight float64 // any scale; what is not positive cannot be
}

// An Action is something that a person can do next.
type Action struct {
	ID string // orders what is otherwise equal, so that it must be the only one of its name
	// Reading marks an action that leaves the pack as it is. It may be done once in
	// every state; what is not a reading changes the state and is done once.
	Reading bool
}

// A Chance is one thing that may be seen, with its probability under one
// explanation. Keys are the caller's; small ones, from 0, are the quickest.
type Chance struct {
	Key int
	P   float64
}

// A Sight appends to a list what an action shows if the explanation with this
// index is true: one chance of 1 without noise, several that sum to 1 with it.
type Sight func(explanation int, into []Chance) []Chance

// A Question is what is known and what can be done. The two functions must give
// the same answer to the same arguments.
type Question struct {
	Explanations []Explanation
	Actions      []Action

	// Done holds the changes made so far and the readings taken since the last one.
	Done Set

	// Minutes is what an action costs once others are done, and whether it is then
	// possible at all. It is not asked about changes that are done.
	Minutes func(done Set, action int) (minutes float64, possible bool)

	// Sight is what an action shows once others are done, or nil if it shows nothing.
	Sight func(done Set, action int) Sight

	// Wrong is what it costs to take out the wrong thing, in minutes. Stopping costs
	// this times the weight that is not on the leading label.
	Wrong float64

	// Enough is the share of one label that ends the search; 0 stands for 0.95.
	Enough float64
}

// After is what is done once an action is: a change ends the state in which
// readings were taken, so that they may be taken again.
func (q Question) After(action int) Set {
	done := q.Done
	if !q.Actions[action].Reading {
		for i, a := range q.Actions {
			if a.Reading {
				done = done.Without(Set{}.With(i))
			}
		}
	}
	return done.With(action)
}

// enough is the share of one label at which nothing more needs to be known.
const enough = 0.95

func (q *Question) check() error {
	switch {
	case len(q.Actions) > MaxActions:
		return fmt.Errorf("%d actions are more than %d", len(q.Actions), MaxActions)
	case !(q.Wrong >= 0) || math.IsInf(q.Wrong, 0):
		return errors.New("the price of taking out the wrong thing must be known, and not negative")
	case !(q.Enough >= 0 && q.Enough <= 1):
		return errors.New("the share that is enough must lie between 0 and 1")
	case len(q.Actions) > 0 && (q.Minutes == nil || q.Sight == nil):
		return errors.New("actions need their minutes and what they show")
	}
	names := map[string]bool{}
	for _, a := range q.Actions {
		if names[a.ID] {
			return fmt.Errorf("two actions are called %q", a.ID)
		}
		names[a.ID] = true
	}
	for i, e := range q.Explanations {
		if math.IsNaN(e.Weight) || math.IsInf(e.Weight, 0) {
			return fmt.Errorf("the weight of explanation %d is not a number", i)
		}
	}
	return nil
}
