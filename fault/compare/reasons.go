package compare

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
)

// What two sets may differ in and still be compared.
const (
	mostKelvin = 3.0   // K: insulation changes several-fold over 10 to 20 K
	mostShift  = 0.005 // of the groups' volts together: another charge
)

// A Reason why two sets are not comparable.
type Reason struct {
	Kind   string // state, temperature, instrument, layout, charge, nothing in common
	Text   string // a sentence
	Untold bool   // something is not recorded: whether they are comparable cannot be told
	of     touches
}

// touches is what a reason says something about. Only that is not comparable by it; what
// it says of the sets as a whole stands beside them in words.
type touches uint8

const (
	theSets    touches = iota // the sets as a whole, no one value
	toChassis                 // values that a path to chassis takes part in: circuit, warmth and meter load it
	everyValue                // all of them: a place may be another thing
)

// Against is the reason that speaks against comparing this one value, as a sentence; ""
// where none does. Volts inside a module do not depend on what is open elsewhere, nor on
// the meter's load, and what another meter errs by is in their error already.
func (c Comparison) Against(r Row) string {
	for _, why := range c.Reasons {
		switch {
		case why.of == everyValue,
			why.of == toChassis && r.toChassis() && (why.Kind != "instrument" || r.Before.instrument != r.After.instrument):
			return why.Text
		}
	}
	return ""
}

// toChassis says that a path to chassis takes part in a value.
func (r Row) toChassis() bool {
	on := func(lead string) bool { return lead == "chassis" || strings.HasPrefix(lead, "chassis:") }
	return on(r.Red) || on(r.Black) || r.Quantity == fault.Insulation
}

// Untold says that nothing is known to differ: what is not recorded alone keeps one from
// saying that the two are comparable.
func (c Comparison) Untold() bool {
	return len(c.Reasons) > 0 && !slices.ContainsFunc(c.Reasons, func(r Reason) bool { return !r.Untold })
}

// reasons are all of them, in the order in which a person would ask.
func (c *Comparison) reasons() []Reason {
	var out []Reason
	add := func(kind string, of touches, text string, args ...any) {
		out = append(out, Reason{Kind: kind, Text: fmt.Sprintf(text, args...), of: of})
	}
	untold := func() { out[len(out)-1].Untold = true }
	if len(c.Rows) == 0 {
		add("nothing in common", theSets, "The two sets have no point in common.")
	}
	if !c.Before.Known || !c.After.Known {
		add("state", toChassis, "The state of at least one set is not recorded.")
		untold()
	} else if d := differ(c.Before.State, c.After.State); len(d) > 0 {
		add("state", toChassis, "Another state: %s.", strings.Join(d, "; "))
	}
	a, okA := c.Before.celsius()
	b, okB := c.After.celsius()
	switch {
	case !okA || !okB:
		add("temperature", theSets, "The temperature of %s is not recorded: resistances change several-fold over 10 to 20 K.", which(!okA, !okB))
		untold()
	case math.Abs(a-b) > mostKelvin:
		add("temperature", toChassis, "Another temperature: %.3g °C before and %.3g °C after; up to %g K are taken as the same.", a, b, mostKelvin)
	}
	if was, is := c.instruments(); !slices.Equal(was, is) {
		add("instrument", toChassis, "Another instrument: %s before, %s after.", named(was), named(is))
	}
	if c.Before.Layout != c.After.Layout {
		add("layout", everyValue, "Another version of the layout: %s before, %s after.", named([]string{c.Before.Layout}), named([]string{c.After.Layout}))
	}
	if math.Abs(c.Shift) > mostShift {
		add("charge", theSets, "All groups moved together by %+.2g %%: another charge or temperature. What one group did beside the others can be seen, not what the volts did.", 100*c.Shift)
	}
	return out
}

func which(first, second bool) string {
	switch {
	case first && second:
		return "both sets"
	case first:
		return "the set before"
	}
	return "the set after"
}

func named(ids []string) string {
	out := slices.Clone(ids)
	for i := range out {
		if out[i] == "" {
			out[i] = "not recorded"
		}
	}
	if len(out) == 0 {
		return "none"
	}
	return strings.Join(out, ", ")
}

// instruments are those that took the points in common.
func (c *Comparison) instruments() (before, after []string) {
	for _, r := range c.Rows {
		for _, s := range []struct {
			list *[]string
			id   string
		}{{&before, r.Before.instrument}, {&after, r.After.instrument}} {
			if !slices.Contains(*s.list, s.id) {
				*s.list = append(*s.list, s.id)
			}
		}
	}
	slices.Sort(before)
	slices.Sort(after)
	return before, after
}

// celsius is the temperature of a set: the state's, or the mean of what was read.
func (s Set) celsius() (float64, bool) {
	sum, n := 0.0, 0
	for _, r := range s.Readings {
		if r.Quantity == fault.Celsius && (r.Relation == "" || r.Relation == fault.Equal) {
			sum, n = sum+r.Value, n+1
		}
	}
	switch {
	case n > 0:
		return sum / float64(n), true
	case s.State.Celsius != nil:
		return *s.State.Celsius, true
	}
	return 0, false
}

// differ says in words what two states differ in, whatever they are called.
func differ(a, b fault.State) []string {
	var out []string
	lists := func(what string, a, b []string) {
		for _, id := range without(a, b) {
			out = append(out, fmt.Sprintf("%s recorded %s before and not after", id, what))
		}
		for _, id := range without(b, a) {
			out = append(out, fmt.Sprintf("%s recorded %s after and not before", id, what))
		}
	}
	lists("open", a.Open, b.Open)
	lists("unplugged", a.Unplugged, b.Unplugged)
	lists("removed", a.Removed, b.Removed)
	lists("connected", a.Connected, b.Connected)
	word := func(what, a, b string) {
		if a != b {
			out = append(out, fmt.Sprintf("%s %s before and %s after", what, named([]string{a}), named([]string{b})))
		}
	}
	word("contactors", a.Contactors, b.Contactors)
	word("monitor", a.Monitor, b.Monitor)
	word("boards", a.Boards, b.Boards)
	word("coolant", a.Coolant, b.Coolant)
	flag := func(what, yes, no string, a, b *bool) {
		say := func(v *bool) string {
			switch {
			case v == nil:
				return "not recorded"
			case *v:
				return yes
			}
			return no
		}
		if say(a) != say(b) {
			out = append(out, fmt.Sprintf("%s: %s before and %s after", what, say(a), say(b)))
		}
	}
	flag("moisture", "wet", "dry", a.Wet, b.Wet)
	flag("torque", "torqued", "not torqued", a.Torqued, b.Torqued)
	return out
}

func without(a, b []string) []string {
	var out []string
	for _, id := range a {
		if !slices.Contains(b, id) {
			out = append(out, id)
		}
	}
	return out
}

// Comparable says that nothing speaks against comparing the two.
func (c Comparison) Comparable() bool { return len(c.Reasons) == 0 }

// Say is the comparison in sentences. It says what differs, never whether that is
// good.
func (c Comparison) Say() string {
	switch {
	case len(c.Rows) == 0:
		return "Not comparable. " + c.reasonsText()
	case c.Comparable():
		return c.Found()
	}
	return "Not comparable. " + c.reasonsText() + " Side by side: " + c.Found() + " Nothing here says that the pack itself changed."
}

// Found is how many values differ, and how many would by chance.
func (c Comparison) Found() string {
	if c.Judged == 0 {
		return "Of no value in common is the error of its difference known."
	}
	what := fmt.Sprintf("%d of %d values differ by more than their measurement error", c.Changed, c.Judged)
	if c.Changed == 1 {
		what = fmt.Sprintf("1 of %d values differs by more than its measurement error", c.Judged)
	}
	what += fmt.Sprintf(" (%g %%); where nothing changed, %s.", 100*Level, byChance((1-Level)*float64(c.Judged)))
	switch {
	case c.Surely == 1:
		what += " 1 of them differs by so much that chance among all values does not explain it."
	case c.Surely > 1:
		what += fmt.Sprintf(" %d of them differ by so much that chance among all values does not explain it.", c.Surely)
	}
	return what
}

// byChance says how many values would differ where nothing changed.
func byChance(n float64) string {
	if n < 1 {
		return fmt.Sprintf("one would in about 1 of %.0f such tables", 1/n)
	}
	return fmt.Sprintf("about %.0f would", n)
}

func (c Comparison) reasonsText() string {
	var out []string
	for _, r := range c.Reasons {
		out = append(out, r.Text)
	}
	return strings.Join(out, " ")
}
