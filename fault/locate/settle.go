package locate

import (
	"fmt"
	"math"
	"sort"
	"strconv"

	"halfsplit/fault"
)

// circuitKey names what a reading was taken with: the same key, the same circuit.
func circuitKey(r fault.Reading) string {
	key := r.State + "|" + r.Quantity + "|" + r.Red + "|" + r.Black + "|" + r.Instrument + "|" + r.TogetherWith
	if r.TestVolts != 0 {
		key += "|" + strconv.FormatFloat(r.TestVolts, 'g', -1, 64)
	}
	if r.Resistor != nil {
		key += "|" + r.Resistor.ID + "|" + r.Resistor.From + "|" + r.Resistor.To
	}
	return key
}

// settle fits three or more timed values of one circuit: stray and Y capacitors
// charge through the leak and the meter, so that a reading heads for its end as
// an exponential of the seconds since the lead touched. The end replaces the
// values. Values that keep turning round are a monitor that injects, and are left
// out; what neither settles nor turns is left to the drift.
func (d *data) settle() {
	gone := map[int]string{}
	for _, idx := range d.byCircuit(func(i int) bool { return d.obs[i].reading.AfterTouchS != nil }) {
		if len(idx) >= 3 {
			d.settleOne(idx, gone)
		}
	}
	d.findSwings(gone)
	if len(gone) == 0 {
		return
	}
	kept := d.obs[:0:0]
	for i := range d.obs {
		why, drop := gone[i]
		if drop && why != "" {
			d.leave(d.obs[i].id, why)
		}
		if !drop {
			kept = append(kept, d.obs[i])
		}
	}
	d.obs = kept
}

// byCircuit groups the values to chassis that are wanted by their circuit, in the
// order in which each was first read.
func (d *data) byCircuit(wanted func(i int) bool) [][]int {
	at := map[string]int{}
	var out [][]int
	for i := range d.obs {
		o := &d.obs[i]
		if o.allowed.set || o.within || !wanted(i) {
			continue
		}
		k := circuitKey(o.reading)
		n, seen := at[k]
		if !seen {
			n = len(out)
			at[k], out = n, append(out, nil)
		}
		out[n] = append(out[n], i)
	}
	return out
}

// settleOne folds one series into its last reading; gone gets the others, with
// no reason, since they are used.
func (d *data) settleOne(idx []int, gone map[int]string) {
	sort.SliceStable(idx, func(a, b int) bool {
		return *d.obs[idx[a]].reading.AfterTouchS < *d.obs[idx[b]].reading.AfterTouchS
	})
	t, v := make([]float64, len(idx)), make([]float64, len(idx))
	for n, i := range idx {
		t[n], v[n] = *d.obs[i].reading.AfterTouchS, d.obs[i].value
	}
	last := &d.obs[idx[len(idx)-1]]
	s := fitSettling(t, v, last.countSD)
	switch {
	case s.turns:
		d.swings = swingWords(last.reading.Red, v, last.countSD)
		for _, i := range idx {
			gone[i] = swingWhy
		}
		return
	case !s.ok:
		return
	}
	for _, i := range idx[:len(idx)-1] {
		last.also = append(last.also, d.obs[i].id)
		gone[i] = ""
	}
	last.gainError *= s.end / last.value
	last.value, last.countSD = s.end, math.Max(s.sd, last.countSD/2)
}

const swingWhy = "its values turn round again and again, which neither a capacitor nor a drifting leak does: look for an insulation monitor that still injects, or for a contact that comes and goes"

// swingWords says what values that turn round look like: two levels are a path
// that comes and goes, anything else a monitor that injects.
func swingWords(at string, v []float64, sd float64) string {
	if lower, upper, ok := levels(v, sd); ok {
		return fmt.Sprintf("The readings at %s step between two values, %s and %s: an intermittent path, a whisker or a contact that comes and goes. They are two states of the pack and must not be averaged; log them over some minutes, and read everything else while it stays at one.",
			at, voltsText(lower), voltsText(upper))
	}
	return fmt.Sprintf("The readings at %s swing to and fro, as they do while an insulation monitor injects. No place can be read from them: isolate the monitor by the maker's procedure and read again.", at)
}

func twoLevels(v []float64, sd float64) bool { _, _, ok := levels(v, sd); return ok }

// levels splits values at their widest gap, and says whether both parts are
// level: nothing in between, at least two values on either side.
func levels(v []float64, sd float64) (lower, upper float64, ok bool) {
	s := append([]float64{}, v...)
	sort.Float64s(s)
	cut, wide := 0, 0.0
	for i := 1; i < len(s); i++ {
		if gap := s[i] - s[i-1]; gap > wide {
			cut, wide = i, gap
		}
	}
	tight := func(part []float64) bool { return part[len(part)-1]-part[0] < math.Max(6*sd, wide/20) }
	if cut < 2 || len(s)-cut < 2 || !tight(s[:cut]) || !tight(s[cut:]) {
		return 0, 0, false
	}
	return median(s[:cut]), median(s[cut:]), true
}

// A settling is where a series is heading.
type settling struct {
	end, sd float64 // V
	tau     float64 // s
	ok      bool    // an exponential, or level, fits
	turns   bool    // the steps change sign beyond the counts
}

// fitSettling fits v = end + a·exp(−t/τ) by least squares: linear in end and a
// for a given τ, which runs over a fixed ladder from a tenth of the shortest to
// five times the whole time.
func fitSettling(t, v []float64, sd float64) settling {
	if turns(v, sd) {
		return settling{turns: true}
	}
	n := float64(len(t))
	span := t[len(t)-1] - t[0]
	mean, level := 0.0, 0.0
	for _, x := range v {
		mean += x / n
	}
	for _, x := range v {
		level += (x - mean) * (x - mean) / (sd * sd)
	}
	limit := chiLimit(max(1, len(t)-2))
	if level <= chiLimit(len(t)-1) || span <= 0 {
		return settling{end: mean, sd: sd / math.Sqrt(n), ok: level <= chiLimit(len(t)-1)}
	}
	best, least := settling{}, math.Inf(1)
	for k := 0; k <= 60; k++ {
		tau := span / 20 * math.Pow(40, float64(k)/60) // a twentieth to twice the whole time
		end, a, variance, chi2 := exponential(t, v, sd, tau)
		if chi2 < least && a != 0 {
			least, best = chi2, settling{end: end, sd: math.Sqrt(variance), tau: tau, ok: true}
		}
	}
	if !best.ok || least > limit || best.tau > 1.5*span {
		return settling{} // nearly a straight line: a leak that drifts
	}
	// What the choice of τ leaves open: the ends that fit within one unit of χ².
	for k := 0; k <= 60; k++ {
		tau := span / 20 * math.Pow(40, float64(k)/60)
		if end, _, _, chi2 := exponential(t, v, sd, tau); chi2 < least+1 {
			best.sd = math.Max(best.sd, math.Abs(end-best.end))
		}
	}
	return best
}

// exponential is the least-squares end and amplitude for one τ, the end's
// variance and χ².
func exponential(t, v []float64, sd, tau float64) (end, a, variance, chi2 float64) {
	var n, se, see, sv, sev float64
	for i := range t {
		e := math.Exp(-(t[i] - t[0]) / tau)
		n++
		se += e
		see += e * e
		sv += v[i]
		sev += e * v[i]
	}
	det := n*see - se*se
	if det < 1e-12*n*see {
		return 0, 0, 0, math.Inf(1)
	}
	end, a = (see*sv-se*sev)/det, (n*sev-se*sv)/det
	for i := range t {
		r := (v[i] - end - a*math.Exp(-(t[i]-t[0])/tau)) / sd
		chi2 += r * r
	}
	return end, a, see / det * sd * sd, chi2
}

// turns says that successive steps change sign at least twice, or once with
// both steps far beyond the counts.
func turns(v []float64, sd float64) bool {
	beyond := 5 * sd * math.Sqrt2
	var steps []float64
	for i := 1; i < len(v); i++ {
		if s := v[i] - v[i-1]; math.Abs(s) > beyond {
			steps = append(steps, s)
		}
	}
	changes := 0
	for i := 1; i < len(steps); i++ {
		if steps[i]*steps[i-1] < 0 {
			changes++
		}
	}
	return changes >= 1 && len(v) >= 3 && len(steps) >= 2
}

// findSwings looks at repeated readings of one circuit by their times, where
// the seconds since touching were not noted: from four on, values that turn
// round twice are no drift.
func (d *data) findSwings(gone map[int]string) {
	timed := func(i int) bool {
		_, left := gone[i]
		return !left && !math.IsNaN(d.obs[i].minute)
	}
	for _, idx := range d.byCircuit(timed) {
		if len(idx) < 4 {
			continue
		}
		sort.SliceStable(idx, func(a, b int) bool { return d.obs[idx[a]].minute < d.obs[idx[b]].minute })
		changes, before := 0, 0.0
		for n := 1; n < len(idx); n++ {
			step := d.obs[idx[n]].value - d.obs[idx[n-1]].value
			if math.Abs(step) < 5*math.Sqrt2*d.obs[idx[n]].countSD {
				continue
			}
			if step*before < 0 {
				changes++
			}
			before = step
		}
		var v []float64
		for _, i := range idx {
			v = append(v, d.obs[i].value)
		}
		if changes >= 2 || (changes == 1 && twoLevels(v, d.obs[idx[0]].countSD)) {
			d.swings = swingWords(d.obs[idx[0]].reading.Red, v, d.obs[idx[0]].countSD)
			for _, i := range idx {
				gone[i] = swingWhy
			}
		}
	}
}
