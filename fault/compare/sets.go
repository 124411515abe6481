package compare

import (
	"fmt"
	"slices"
	"time"

	"halfsplit/fault"
)

// Pause is how long nothing is recorded before what follows is a set of its own,
// though the state is the same.
const Pause = time.Hour

// A Set is what was read in one state without a change between.
type Set struct {
	Name     string // given by a person; "" = none
	State    fault.State
	Known    bool      // the state is recorded
	Layout   string    // version of the layout; "" = not known
	From, To time.Time // of the first and the last; zero = not recorded
	Readings []fault.Reading
	Groups   []fault.GroupVolts

	kase *fault.Case
}

// A taken is a reading or a list of group volts, at its time.
type taken struct {
	at      time.Time
	state   string
	reading int // index; -1 = a list
	list    int
}

// Sets cuts the readings of a case into sets, in the order of time: wherever the
// state changes, and after a Pause. What was replaced by a correction is in none. A
// reading without a time stands where it was recorded; a list without one goes with
// the last set of its state.
func Sets(c fault.Case) []Set {
	all, loose := timeline(&c)
	var out []Set
	for i, k := range all {
		if i == 0 || all[i-1].state != k.state || apart(all[i-1].at, k.at) {
			out = append(out, begin(&c, k.state))
		}
		out[len(out)-1].add(&c, k)
	}
	for _, k := range loose {
		at := -1
		for i := range out {
			if out[i].State.ID == k.state {
				at = i
			}
		}
		if at < 0 {
			out = append(out, begin(&c, k.state))
			at = len(out) - 1
		}
		out[at].add(&c, k)
	}
	return out
}

// Span is a set of a person's own: what was read in a state from one time to another,
// both included, under a name.
func Span(c fault.Case, name, state string, from, to time.Time) (Set, error) {
	s := begin(&c, state)
	s.Name = name
	switch {
	case !s.Known:
		return s, fmt.Errorf("the case has no state %q", state)
	case to.Before(from):
		return s, fmt.Errorf("the span %q ends before it begins", name)
	}
	all, _ := timeline(&c)
	for _, k := range all {
		if k.state == state && !k.at.IsZero() && !k.at.Before(from) && !k.at.After(to) {
			s.add(&c, k)
		}
	}
	if s.Empty() {
		return s, fmt.Errorf("nothing was read in state %s in the span %q", state, name)
	}
	return s, nil
}

// Empty says that nothing is in the set.
func (s Set) Empty() bool { return len(s.Readings)+len(s.Groups) == 0 }

// timeline is everything that stands, by time, and the lists that have none.
func timeline(c *fault.Case) (all, loose []taken) {
	replaced := c.Superseded()
	var last time.Time
	for i, r := range c.Readings {
		if _, old := replaced[r.ID]; old {
			continue
		}
		if t, ok := parse(r.At); ok {
			last = t
		}
		all = append(all, taken{last, r.State, i, -1})
	}
	for i, g := range c.GroupVolts {
		k := taken{state: g.State, reading: -1, list: i}
		if t, ok := parse(g.At); ok {
			k.at = t
			all = append(all, k)
		} else {
			loose = append(loose, k)
		}
	}
	slices.SortStableFunc(all, func(a, b taken) int { return a.at.Compare(b.at) })
	return all, loose
}

func parse(at string) (time.Time, bool) {
	t, err := time.Parse(time.RFC3339, at)
	return t, err == nil
}

func apart(a, b time.Time) bool { return !a.IsZero() && !b.IsZero() && b.Sub(a) > Pause }

func begin(c *fault.Case, state string) Set {
	s := Set{Layout: c.LayoutVersion, kase: c}
	s.State, s.Known = c.State(state)
	s.State.ID = state
	return s
}

func (s *Set) add(c *fault.Case, k taken) {
	if k.reading >= 0 {
		s.Readings = append(s.Readings, c.Readings[k.reading])
	} else {
		s.Groups = append(s.Groups, c.GroupVolts[k.list])
	}
	if k.at.IsZero() {
		return
	}
	if s.From.IsZero() {
		s.From = k.at
	}
	s.To = k.at
}

// Title names a set in few words: its name, its state and its times.
func (s Set) Title() string {
	t := s.Name
	if t != "" {
		t += ", "
	}
	if s.State.ID == "" {
		t += "state not recorded"
	} else {
		t += "state " + s.State.ID
	}
	switch {
	case s.From.IsZero():
		return t + ", time not recorded"
	case s.From.Format("15:04") == s.To.Format("15:04") && s.To.Sub(s.From) < time.Minute:
		return t + ", " + s.From.Format("2006-01-02 15:04")
	case s.From.Format(time.DateOnly) == s.To.Format(time.DateOnly):
		return t + ", " + s.From.Format("2006-01-02 15:04") + " to " + s.To.Format("15:04")
	}
	return t + ", " + s.From.Format("2006-01-02 15:04") + " to " + s.To.Format("2006-01-02 15:04")
}

// Count says how much is in the set.
func (s Set) Count() string {
	n := 0
	for _, g := range s.Groups {
		n += len(g.Volts)
	}
	switch {
	case n == 0 && len(s.Readings) == 1:
		return "1 reading"
	case n == 0:
		return fmt.Sprintf("%d readings", len(s.Readings))
	case len(s.Readings) == 0:
		return fmt.Sprintf("%d group volts", n)
	}
	return fmt.Sprintf("%d readings and %d group volts", len(s.Readings), n)
}

// Case is the case with this set's readings alone, in its state: what the drawings
// show of it.
func (s Set) Case() fault.Case {
	if s.kase == nil {
		return fault.Case{}
	}
	c := *s.kase
	c.Now, c.Readings, c.GroupVolts = s.State.ID, s.Readings, s.Groups
	return c
}
