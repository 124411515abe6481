package timeline

import (
	"math"
	"time"
)

// A scale is the vertical axis: where a value stands between 0 at the bottom and 1
// at the top.
type scale struct {
	low, high float64
	log       bool
}

// scaleOf holds every value with its errors, with some room.
func scaleOf(values []Value, log bool) scale {
	s := scale{math.Inf(1), math.Inf(-1), log}
	for _, v := range values {
		for _, x := range []float64{v.V, v.Low, v.High} {
			if math.IsNaN(x) || math.IsInf(x, 0) || log && x <= 0 {
				continue
			}
			s.low, s.high = math.Min(s.low, x), math.Max(s.high, x)
		}
	}
	switch {
	case s.low > s.high:
		return scale{0, 1, false}
	case log:
		room := math.Max(1.3, math.Pow(s.high/s.low, 0.12))
		s.low, s.high = s.low/room, s.high*room
	case s.low == s.high:
		room := math.Max(math.Abs(s.low)*0.02, 0.01)
		s.low, s.high = s.low-room, s.high+room
	default:
		room := 0.14 * (s.high - s.low)
		s.low, s.high = s.low-room, s.high+room
	}
	return s
}

// at is where a value stands.
func (s scale) at(v float64) float64 {
	if s.log {
		return math.Log(math.Max(v, 1e-12)/s.low) / math.Log(s.high/s.low)
	}
	return (v - s.low) / (s.high - s.low)
}

// ticks are about so many round values.
func (s scale) ticks(n int) (out []float64) {
	if s.log {
		for d := math.Floor(math.Log10(s.low)); d <= math.Ceil(math.Log10(s.high)); d++ {
			for _, k := range []float64{1, 2, 5} {
				if v := k * math.Pow(10, d); v >= s.low && v <= s.high {
					out = append(out, v)
				}
			}
		}
		for len(out) > n+3 { // decades alone, and of those every other
			out = thin(out)
		}
		return out
	}
	step := round((s.high - s.low) / float64(max(1, n)))
	for v := math.Ceil(s.low/step) * step; v <= s.high; v += step {
		out = append(out, math.Round(v/step)*step)
	}
	return out
}

// thin keeps every third of a logarithmic ladder, where that are its decades, else
// every other.
func thin(v []float64) (out []float64) {
	for _, x := range v {
		if d := math.Log10(x); math.Abs(d-math.Round(d)) < 1e-9 {
			out = append(out, x)
		}
	}
	if len(out) == len(v) || len(out) == 0 {
		out = nil
		for i := 0; i < len(v); i += 2 {
			out = append(out, v[i])
		}
	}
	return out
}

// round is the 1, 2 or 5 of a decade at or above x.
func round(x float64) float64 {
	if !(x > 0) {
		return 1
	}
	d := math.Pow(10, math.Floor(math.Log10(x)))
	for _, k := range []float64{1, 2, 5, 10} {
		if x <= k*d*(1+1e-9) {
			return k * d
		}
	}
	return 10 * d
}

// timeSteps are the steps of the time axis, in seconds.
var timeSteps = []float64{1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 2 * 3600, 4 * 3600, 6 * 3600, 12 * 3600, 86400, 2 * 86400, 7 * 86400, 14 * 86400, 28 * 86400, 91 * 86400, 365 * 86400}

// A tick of the time axis.
type tick struct {
	t    float64
	text string
}

// timeTicks are the round times between two, not more than so many; by the clock of
// a zone where zero is a time, else seconds.
func timeTicks(from, to float64, most int, zero time.Time, zone *time.Location) (out []tick) {
	step := timeSteps[len(timeSteps)-1]
	for _, s := range timeSteps {
		if (to-from)/s <= float64(most) {
			step = s
			break
		}
	}
	if zero.IsZero() {
		for t := math.Ceil(from/step) * step; t <= to; t += step {
			out = append(out, tick{t, number(t) + " s"})
		}
		return out
	}
	form := "15:04"
	switch {
	case step < 60:
		form = "15:04:05"
	case step >= 86400:
		form = "2006-01-02"
	}
	local := zero.In(zone)
	midnight := time.Date(local.Year(), local.Month(), local.Day(), 0, 0, 0, 0, zone)
	off := local.Sub(midnight).Seconds()
	day := ""
	for t := math.Ceil((from+off)/step)*step - off; t <= to; t += step {
		at := zero.Add(time.Duration(t * float64(time.Second))).In(zone)
		text := at.Format(form)
		if d := at.Format("01-02"); step < 86400 && d != day {
			if day != "" || to-from > 86400 {
				text = d + " " + text
			}
			day = d
		}
		out = append(out, tick{t, text})
	}
	return out
}
