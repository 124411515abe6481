package path

import (
	"fmt"
	"math"
	"strconv"
)

// unlike is by which share a module's volts a group may lie from the middle of all
// before its values are doubted: far more than cells of one pack differ at rest.
const unlike = 0.12

// modules holds each module's volts against its count of groups and the others.
// It returns those that cannot be right, with both ends doubted.
func (t *table) modules() (wrong []int) {
	for i, mod := range t.l.Modules {
		v, ok := t.over(i)
		if !ok {
			continue
		}
		lo, hi := &t.ends[t.negative(i)], &t.ends[t.positive(i)]
		w := t.within(lo, hi)
		switch {
		case v <= w && !plausible(v, mod.Series, w):
			t.doubt(mod.ID, "%s has %s V between its ends, no more than the meter can err by. A lead may not have touched, or both values are of one end; it is not known to be empty.", mod.ID, num(v))
		case !plausible(v, mod.Series, w):
			t.doubt(mod.ID, "%s has %s V between its ends, which %d groups cannot have: %s to %s V is plausible.%s%s", mod.ID, num(v), mod.Series,
				num(float64(mod.Series)*lowestCell), num(float64(mod.Series)*highestCell), t.counts(v, w), t.open(lo, hi))
		case t.typical > 0 && mod.Series > 0 && math.Abs(v/float64(mod.Series)/t.typical-1) > unlike:
			t.doubt(mod.ID, "%s has %s V a group, where the middle of all is %s V.%s", mod.ID, num(v/float64(mod.Series)), num(t.typical), t.counts(v, w))
		default:
			continue
		}
		lo.suspect, hi.suspect = true, true
		t.turned[i] = false // a doubted value turns nothing about
		wrong = append(wrong, i)
	}
	return wrong
}

// counts offers another count of groups, in case that is what is wrong.
func (t *table) counts(v, w float64) string {
	if all := SeriesOf(v, w); len(all) > 0 {
		return fmt.Sprintf(" By its volts it would have %s.", all[0].Text)
	}
	return ""
}

// open is said of an end that reads nothing while its module cannot have such volts.
func (t *table) open(lo, hi *end) string {
	for _, e := range []*end{lo, hi} {
		if math.Abs(e.volts) <= e.within {
			return fmt.Sprintf(" %s reads %s V: it may have been open, or not touched.", e.name, num(e.volts))
		}
	}
	return ""
}

// A guess is another value that was perhaps meant.
type guess struct {
	volts float64
	how   string
}

// coarse lists slips of the sign and of the point.
func coarse(v float64) []guess {
	return []guess{{-v, "its sign is wrong"}, {v / 1000, "it was typed in mV"}, {v * 1000, "it was typed in thousands of V"},
		{v * 10, "its point is one place off"}, {v / 10, "its point is one place off"}, {v * 100, "its point is two places off"}, {v / 100, "its point is two places off"}}
}

// guesses lists what a typed value could have been meant as: another sign, another
// place of the point, mV for V, two digits exchanged, one digit wrong.
func guesses(v float64) []guess {
	out := coarse(v)
	s := []byte(strconv.FormatFloat(v, 'f', -1, 64))
	digit := func(c byte) bool { return c >= '0' && c <= '9' }
	add := func(b []byte, how string) {
		if g, err := strconv.ParseFloat(string(b), 64); err == nil && g != v {
			out = append(out, guess{g, how})
		}
	}
	for i := range s {
		if !digit(s[i]) {
			continue
		}
		for j := i + 1; j < len(s); j++ {
			if digit(s[j]) {
				b := append([]byte{}, s...)
				b[i], b[j] = b[j], b[i]
				add(b, "two of its digits are exchanged")
				break
			}
		}
	}
	for i := range s {
		for d := byte('0'); digit(s[i]) && d <= '9'; d++ {
			b := append([]byte{}, s...)
			b[i] = d
			add(b, "one of its digits is wrong")
		}
	}
	return out
}

// mend looks for one slip of one value of each doubted module that would put it
// right and onto a terminal that it could be joined to. It is only said.
func (t *table) mend(wrong []int) {
	for _, i := range wrong {
		for _, at := range []int{2 * i, 2*i + 1} {
			t.mendEnd(i, at)
		}
	}
}

func (t *table) mendEnd(i, at int) {
	e, other, mod := t.ends[at], t.ends[at^1], t.l.Modules[i]
	if _, held := t.occupied[at]; held {
		return
	}
	for _, g := range guesses(e.volts) {
		over := g.volts - other.volts
		if at == 2*i {
			over = -over
		}
		if !plausible(over, mod.Series, e.within+other.within) || t.typical > 0 && mod.Series > 0 && math.Abs(over/float64(mod.Series)/t.typical-1) > unlike {
			continue
		}
		for j := range t.ends {
			to := &t.ends[j]
			if _, held := t.occupied[j]; held || to.module == i || !to.known || to.suspect || (j == t.positive(to.module)) == (at == 2*i+1) {
				continue
			}
			meant := e
			meant.volts = g.volts
			if math.Abs(meant.volts-to.volts) > t.within(&meant, to) {
				continue
			}
			from, onto := e.name, to.name
			if at == 2*i {
				from, onto = onto, from
			}
			t.out.Links = append(t.out.Links, Link{From: from, To: onto, Grade: Contradictory,
				Reason: fmt.Sprintf("%s %s V would agree with %s %s V if %s: %s V. Read it again.", e.name, num(e.volts), to.name, num(to.volts), g.how, num(g.volts))})
			t.doubt(e.name, "%s: %s V is perhaps a slip of typing; if %s, it is %s V and agrees with %s.", e.name, num(e.volts), g.how, num(g.volts), to.name)
			return
		}
	}
}
