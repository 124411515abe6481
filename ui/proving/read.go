package proving

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
	"time"

	"halfsplit/fault"
)

// A reader takes the fields of a draft one by one and keeps the first error.
type reader struct {
	d   *Draft
	now time.Time
	err error
}

// fail names a field and puts the keyboard on it.
func (r *reader) fail(i int, why string) {
	if r.err == nil {
		r.d.At = i
		r.err = errors.New(r.d.Fields[i].Name + ": " + why)
	}
}

func (r *reader) text(i int, needed bool) string {
	t := strings.TrimSpace(r.d.Fields[i].Text)
	if t == "" && needed {
		r.fail(i, "nothing was typed")
	}
	return t
}

func (r *reader) date(i int) string {
	t := r.text(i, false)
	if t == "" {
		return ""
	}
	if _, err := time.Parse(time.DateOnly, t); err != nil {
		r.fail(i, fmt.Sprintf("a date is written like 2026-03-02, and %q is none", t))
	}
	return t
}

// hour reads a time of today, or of a day that is given with it; empty is now.
func (r *reader) hour(i int) string {
	t := r.text(i, false)
	if t == "" {
		if r.now.IsZero() {
			return ""
		}
		return r.now.Format(time.RFC3339)
	}
	at, err := time.ParseInLocation("2006-01-02 15:04", t, r.now.Location())
	if err != nil {
		var clock time.Time
		if clock, err = time.Parse("15:04", t); err != nil {
			r.fail(i, fmt.Sprintf("a time is written like 10:42, or with its day like 2026-03-02 10:42, and %q is none", t))
			return ""
		}
		if r.now.IsZero() {
			r.fail(i, "there is no clock here: write the day too, like 2026-03-02 10:42")
			return ""
		}
		at = time.Date(r.now.Year(), r.now.Month(), r.now.Day(), clock.Hour(), clock.Minute(), 0, 0, r.now.Location())
	}
	if !r.now.IsZero() && at.After(r.now) {
		r.fail(i, "this time lies ahead of the clock, which shows "+r.now.Format("2006-01-02 15:04"))
	}
	return at.Format(time.RFC3339)
}

// volts reads what a meter showed: volts, and never millivolts, so that a prefix
// cannot be overlooked where it counts.
func (r *reader) volts(i int) *float64 {
	t := r.text(i, true)
	if t == "" {
		return nil
	}
	e, err := Volts(t)
	if err != nil {
		r.fail(i, err.Error())
		return nil
	}
	return &e.Value
}

// Volts reads keystrokes in a proving field. A bare number is volts; millivolts,
// bounds and an overflow are no number here, and it says what to write instead.
func Volts(raw string) (fault.Entry, error) {
	e, err := fault.ParseEntry(raw, fault.EntryOptions{Quantity: fault.Volts})
	number := strings.TrimRight(strings.TrimSpace(raw), "Vv ")
	switch last := strings.TrimRight(fault.EntryUnit(strings.TrimSpace(raw)), "Vv "); {
	case strings.HasPrefix(strings.ToUpper(strings.TrimLeft(number, "-+<>= ")), "O"):
		return e, errors.New("an overflow is no number: choose a higher range, and type what is shown")
	case err != nil:
		return e, err
	case e.Relation != fault.Equal:
		return e, errors.New("a bound is no reading: type what the meter shows")
	case last != "":
		return e, fmt.Errorf("this field takes volts, without %q: write %s", last, strconv.FormatFloat(e.Value, 'f', -1, 64))
	}
	return e, nil
}

// amount is a number from 0 on.
func (r *reader) amount(i int) *float64 {
	t := r.text(i, true)
	if t == "" {
		return nil
	}
	v, err := fault.ParseNumber(strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(t, "min"), "%")), false)
	switch {
	case err != nil:
		r.fail(i, err.Error())
	case v > 1e6:
		r.fail(i, fmt.Sprintf("%s is too large for it", t))
	case v < 0:
		r.fail(i, "it cannot be below zero")
	default:
		v += 0
		return &v
	}
	return nil
}

// positive is a number above 0; empty is not recorded where it is not needed.
func (r *reader) positive(i int, needed bool) *float64 {
	if r.text(i, needed) == "" {
		return nil
	}
	v := r.amount(i)
	if v != nil && *v == 0 {
		r.fail(i, "zero is no value for it")
		return nil
	}
	if v != nil && r.d.Fields[i].Unit == "%" && *v > 99 {
		r.fail(i, "more than 99 % is no tolerance")
		return nil
	}
	return v
}

// above is volts above 0, or from 0 on where zero has a meaning.
func (r *reader) above(i int, zero bool) *float64 {
	v := r.volts(i)
	switch {
	case v == nil:
	case *v < 0:
		r.fail(i, "it cannot be below zero")
	case *v == 0 && !zero:
		r.fail(i, "zero is no value for it")
	}
	return v
}

func (r *reader) micro(i int) *float64 {
	v := r.positive(i, true)
	if v == nil {
		return nil
	}
	f := *v * 1e-6
	return &f
}

func (r *reader) ohms(i int) *float64 {
	t := r.text(i, true)
	if t == "" {
		return nil
	}
	e, err := fault.ParseEntry(t, fault.EntryOptions{Quantity: fault.Ohms})
	switch {
	case err != nil:
		r.fail(i, err.Error())
	case e.Relation != fault.Equal || e.Value <= 0:
		r.fail(i, "a resistance above zero is needed")
	default:
		return &e.Value
	}
	return nil
}
