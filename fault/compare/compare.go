package compare

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"halfsplit/fault"
)

// Level is the share of values that stay within their error where nothing changed.
const Level = 0.95

// A Verdict on one value.
type Verdict uint8

// The verdicts.
const (
	Within  Verdict = iota // the difference is within the measurement error
	Beyond                 // it is beyond it at Level, one value taken by itself
	Surely                 // it is beyond it at Level for all values of the table together
	Bounds                 // at least one is a bound, and both can be the same value
	Unknown                // what an instrument errs by is not given
)

// A Row is one point that both sets have.
type Row struct {
	Place, What   string
	Before, After Value
	Difference    float64 // after less before, in the value's unit
	Error         float64 // ± at Level of the difference; NaN = not known
	Verdict       Verdict
	Group         int    // of a list, from 1; 0 = a reading
	Quantity      string // as of a reading; fault.Volts of a list
	Red, Black    string // of a reading

	unit string
	sd   float64
	half float64 // half a step of the coarser display
}

// A Comparison is two sets held against each other.
type Comparison struct {
	Before, After Set
	Reasons       []Reason // why they are not comparable; none = they are
	Rows          []Row    // changes first, the largest against its error first
	OnlyBefore    []string // points of one set alone
	OnlyAfter     []string
	Judged        int     // rows with a known error
	Changed       int     // of them Beyond or Surely
	Surely        int     // of them Surely
	Shift         float64 // relative, by which all groups moved together; NaN = fewer than minGroups in both
}

// Compare holds two sets against each other, whether they are comparable or not.
func Compare(before, after Set) Comparison {
	c := Comparison{Before: before, After: after, Shift: math.NaN()}
	if before.kase == nil || after.kase == nil {
		return c
	}
	a, order := before.values()
	b, others := after.values()
	for _, p := range order {
		if v, both := b[p.key]; both {
			c.Rows = append(c.Rows, row(p, a[p.key], v))
		} else {
			c.OnlyBefore = append(c.OnlyBefore, p.what)
		}
	}
	for _, p := range others {
		if _, both := a[p.key]; !both {
			c.OnlyAfter = append(c.OnlyAfter, p.what)
		}
	}
	c.judge()
	c.Shift = shift(a, b)
	c.Reasons = c.reasons()
	slices.SortStableFunc(c.Rows, func(x, y Row) int {
		switch kx, ky := x.strength(), y.strength(); {
		case kx > ky:
			return -1
		case kx < ky:
			return 1
		}
		return 0
	})
	return c
}

// row is the difference at one point with its error. With the same instrument on the
// same range the gain is the same in both and errs by its share of the difference
// alone; otherwise each gain errs by its own share of its own value.
func row(p point, a, b Value) Row {
	r := Row{Place: p.place, What: p.what, Before: a, After: b, Difference: b.X - a.X, Error: math.NaN(), Group: p.group, Quantity: p.quantity, Red: p.red, Black: p.black, unit: p.quantity}
	if p.group > 0 {
		r.Quantity = fault.Volts
	}
	if a.Relation != fault.Equal || b.Relation != fault.Equal {
		r.Verdict = Bounds
		if disjoint(a, b) {
			r.Verdict = Surely
		}
		return r
	}
	if !a.known || !b.known {
		r.Verdict = Unknown
		return r
	}
	v := a.sd*a.sd + b.sd*b.sd
	if a.source == b.source {
		v += math.Pow(a.gain*r.Difference, 2)
	} else {
		v += math.Pow(a.gain*a.X, 2) + math.Pow(b.gain*b.X, 2)
	}
	r.sd, r.half = math.Sqrt(v), math.Max(a.step, b.step)/2
	r.Error = r.within(1)
	return r
}

// disjoint says that two values of which at least one is a bound cannot be the same,
// their own errors at Level allowed for.
func disjoint(a, b Value) bool {
	span := func(v Value) (low, high float64) {
		e := 0.0
		if v.known {
			e = factor(1) * math.Hypot(v.sd, v.gain*v.X)
		}
		low, high = v.X-e, v.X+e
		switch v.Relation {
		case fault.Greater:
			high = math.Inf(1)
		case fault.Less:
			low = math.Inf(-1)
		}
		return low, high
	}
	al, ah := span(a)
	bl, bh := span(b)
	return ah < bl || bh < al
}

// within is how far two values of one thing lie apart at most, at Level for n of them
// together. What is shown moves by whole steps, and the next one up from a bound is
// still within it as often as not: half a step is added.
func (r Row) within(n int) float64 { return factor(n)*r.sd + r.half }

// factor is how many standard uncertainties hold n independent differences together
// at Level (Šidák). Counts are uniform and the normal tail lies above theirs, so that
// Level is kept rather too well.
func factor(n int) float64 {
	each := 1 - math.Pow(Level, 1/float64(max(1, n)))
	return distuv.UnitNormal.Quantile(1 - each/2)
}

// judge says of every row with a known error whether it is beyond it.
func (c *Comparison) judge() {
	for _, r := range c.Rows {
		if !math.IsNaN(r.Error) {
			c.Judged++
		}
	}
	for i := range c.Rows {
		r := &c.Rows[i]
		if !math.IsNaN(r.Error) {
			switch d := math.Abs(r.Difference); {
			case d > r.within(c.Judged):
				r.Verdict = Surely
			case d > r.Error:
				r.Verdict = Beyond
			}
		}
		if r.Verdict == Beyond || r.Verdict == Surely {
			c.Changed++
		}
		if r.Verdict == Surely {
			c.Surely++
		}
	}
}

// strength orders the rows: changes by their size against their error, then the rest.
func (r Row) strength() float64 {
	switch {
	case r.Verdict == Surely && math.IsNaN(r.Error):
		return 1e9
	case r.Verdict == Surely || r.Verdict == Beyond:
		return math.Abs(r.Difference) / r.sd
	}
	return 0
}

// minGroups is how many groups say together that all moved.
const minGroups = 4

// shift is by how much the groups of both sets moved together: the median of their
// ratios less one.
func shift(a, b map[string]Value) float64 {
	var ratios []float64
	for k, v := range a {
		if w, both := b[k]; both && len(k) > 6 && k[:6] == "group|" && v.X > 0 {
			ratios = append(ratios, w.X/v.X)
		}
	}
	if len(ratios) < minGroups {
		return math.NaN()
	}
	slices.Sort(ratios)
	return ratios[len(ratios)/2] - 1
}

// DifferenceText is the difference with its sign and its error at Level.
func (r Row) DifferenceText() string {
	if r.Verdict == Bounds || math.IsNaN(r.Error) && r.Verdict == Surely {
		return "a bound"
	}
	u, isUnit := units[r.unit]
	write := func(x, like float64) string {
		if isUnit {
			digits := 3
			if like != 0 {
				digits = max(0, min(6, 1-int(math.Floor(math.Log10(math.Abs(like))))))
			}
			return fmt.Sprintf("%.*f", digits, x)
		}
		return fault.FormatOhms(math.Abs(x))
	}
	sign := ""
	if !isUnit {
		sign = "+"
		if r.Difference < 0 {
			sign = "−"
		}
	} else if r.Difference > 0 {
		sign = "+"
	}
	if math.IsNaN(r.Error) {
		out := sign + write(r.Difference, r.Difference)
		if isUnit {
			out += fault.ThinSpace + u
		}
		return out + ", error not known"
	}
	out := sign + write(r.Difference, r.Error) + " ± " + write(r.Error, r.Error)
	if isUnit {
		out += fault.ThinSpace + u
	}
	return out
}
