package order

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
)

// result sorts the orders by their shares and puts them into sentences.
func (w *weighing) result() Result {
	r := Result{Used: len(w.v.all), Maps: w.maps}
	top := math.Inf(-1)
	likeliest := math.Inf(-1)
	for _, m := range r.Maps {
		top = math.Max(top, m.log+math.Log(m.prior))
		if m.To != nil {
			likeliest = math.Max(likeliest, m.log)
		}
	}
	sum := 0.0
	for i := range r.Maps {
		m := &r.Maps[i]
		m.Share = math.Exp(m.log + math.Log(m.prior) - top)
		m.Times = math.Exp(math.Min(likeliest-m.log, 300))
		sum += m.Share
	}
	for i := range r.Maps {
		r.Maps[i].Share /= sum
	}
	slices.SortStableFunc(r.Maps, func(a, b Map) int { return cmp.Compare(b.Share, a.Share) })
	r.Told = r.Used > 0 && r.Maps[0].Share >= told && r.Maps[0].To != nil && w.fits(r.Maps[0].To)
	r.Says, r.Tell = w.say(r)
	r.Head = len(r.Says)
	for _, m := range r.Maps {
		if r.Used > 0 && (m.Share >= 0.0005 || m.To != nil) {
			r.Says = append(r.Says, m.Words())
		}
	}
	return r
}

// fits says that what was seen lies about as far from an order as its errors say.
func (w *weighing) fits(to []int) bool {
	w.s.whole(to)
	at := make([]int, len(to))
	for i, p := range to {
		at[p] = i
	}
	var off []float64
	for _, x := range w.v.all {
		l, v := 0.0, x.sd*x.sd
		for p := x.lo; p < x.hi; p++ {
			l += w.s.list[at[p]]
			v += w.s.spread[at[p]]
		}
		off = append(off, math.Abs(x.volts-(1+w.s.gain[x.channel])*l)/math.Sqrt(v))
	}
	return middle(off) < 4
}

func (w *weighing) say(r Result) (says []string, tell string) {
	if r.Used == 0 {
		tell = w.tell(r.Maps)
		return []string{"Nothing was read on this pack by a meter that could tell the order."}, tell
	}
	first := r.Maps[0]
	switch {
	case first.To != nil && !w.fits(first.To):
		says = append(says, fmt.Sprintf("None of the orders fits the %d values that were read; %s is the nearest. The list may be of another day or another pack.", r.Used, first.Name))
	case r.Told:
		says = append(says, fmt.Sprintf("What was read fits one order: %s.", first.Name))
	default:
		says = append(says, "These orders cannot be told apart by what was read.")
	}
	if w.beyond {
		says = append(says, fmt.Sprintf("There are %d %ss: other arrangements of them were not weighed.", len(w.blocks), w.blockName()))
	}
	if !r.Told {
		tell = w.tell(r.Maps)
	}
	return says, tell
}

func share(s float64) string {
	switch {
	case s > 0.999:
		return "more than 0.999"
	case s < 0.001:
		return "less than 0.001"
	}
	return strconv.FormatFloat(s, 'f', 3, 64)
}

// Words are an order's share, its name, and how far behind the best it lies.
func (m Map) Words() string { return fmt.Sprintf("Share %s: %s%s.", share(m.Share), m.Name, times(m)) }

// times says how much less likely what was read is by an order than by the one that
// fits best.
func times(m Map) string {
	switch {
	case m.To == nil || m.Times < 1.5:
		return ""
	case m.Times > 1e6:
		return ", by which what was read is less than a millionth as likely as by the best"
	}
	return fmt.Sprintf(", by which what was read is %s times less likely than by the best", twoDigits(m.Times))
}

// twoDigits rounds a number above 1 to two digits that count.
func twoDigits(x float64) string {
	unit := math.Pow(10, math.Floor(math.Log10(x))-1)
	return strconv.FormatFloat(math.Round(x/unit)*unit, 'f', max(0, int(-math.Floor(math.Log10(unit)))), 64)
}

// tell is the reading whose expected values differ most between the two likeliest
// orders, against their errors: over a module that was not read, else over a group.
func (w *weighing) tell(maps []Map) string {
	var two []Map
	for _, m := range maps {
		if m.To != nil {
			two = append(two, m)
		}
	}
	if len(two) < 2 {
		return ""
	}
	a, b := w.placed(two[0].To), w.placed(two[1].To)
	best, text := 3.0, ""
	for m, mod := range w.net.Layout.Modules {
		lo, hi := w.v.of(m)
		if w.v.modules[m] || hi == lo {
			continue
		}
		x, y := sums(a, b, lo, hi)
		v := math.Pow(listEach, 2) * float64(hi-lo) / 3 * 2
		if z := math.Abs(x-y) / math.Sqrt(v+1e-6+math.Pow(drift*x, 2)); z > best {
			best, text = z, fmt.Sprintf("Read %s: %.3f V if %s, %.3f V if %s; expected, not measured.", mod.ID, x, two[0].Name, y, two[1].Name)
		}
	}
	if text != "" {
		return text
	}
	for m, mod := range w.net.Layout.Modules {
		lo, hi := w.v.of(m)
		for p := lo; p < hi; p++ {
			z := math.Abs(a[p]-b[p]) / math.Sqrt(2*listEach*listEach/3+math.Pow(drift*a[p], 2))
			if slices.ContainsFunc(w.v.all, func(x seen) bool { return x.lo == p && x.hi == p+1 }) || z <= best {
				continue
			}
			k := p - lo + 1
			if w.v.flipped(m) {
				k = hi - p
			}
			best, text = z, fmt.Sprintf("Read group %d of %s: %.3f V if %s, %.3f V if %s; expected, not measured.", k, mod.ID, a[p], two[0].Name, b[p], two[1].Name)
		}
	}
	if text == "" {
		text = "No reading of volts tells " + two[0].Name + " from " + two[1].Name + ": the list is the same within its errors. Load or warm one known group and see which index changes."
	}
	return text
}

// placed is the list by place.
func (w *weighing) placed(to []int) []float64 {
	out := make([]float64, len(to))
	for i, p := range to {
		out[p] = w.s.list[i]
	}
	return out
}

func sums(a, b []float64, lo, hi int) (x, y float64) {
	for p := lo; p < hi; p++ {
		x, y = x+a[p], y+b[p]
	}
	return x, y
}
