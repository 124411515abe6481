package locate

import (
	"fmt"
	"math"
)

// A drift is a leak seen to change while one state was read: two readings of one
// circuit differ by more than their counts. A straight line in time of its
// conductance is then a nuisance common to all readings of the state, and half
// of what the straight line leaves open an error of each.
type drift struct {
	state   int
	a, b    string  // the two readings that differ most, in order of time
	volts   float64 // V, b less a
	minutes float64
	zero    float64 // minute that drift is counted from
	rate    float64 // standard deviation of the change of ln G per minute
	jitter  float64 // V, independent error of each reading
}

// perMinute bounds the slope that is allowed for: the change of ln G per minute,
// one standard deviation.
const perMinute = 0.10

// jitterPart is how much of a seen drift a straight line in time may leave, as
// an error of each reading.
const jitterPart = 0.05

// findDrift compares repeated readings of one circuit.
func (d *data) findDrift() {
	keys := make([]string, len(d.obs))
	for i := range d.obs {
		if !math.IsNaN(d.obs[i].minute) {
			keys[i] = circuitKey(d.obs[i].reading)
		}
	}
	for si := range d.joined {
		if dr, ok := d.driftIn(si, keys); ok {
			d.drifts = append(d.drifts, dr)
		}
	}
}

func (d *data) driftIn(si int, keys []string) (drift, bool) {
	worst, found := 0.0, drift{state: si}
	first, last := math.Inf(1), math.Inf(-1)
	for i := range d.obs {
		a := &d.obs[i]
		if a.within || a.allowed.set || math.IsNaN(a.minute) || d.stateOf(a) != si {
			continue
		}
		first, last = math.Min(first, a.minute), math.Max(last, a.minute)
		for k := i + 1; k < len(d.obs); k++ {
			b := &d.obs[k]
			if keys[i] != keys[k] || b.within || b.allowed.set || math.IsNaN(b.minute) || a.minute == b.minute {
				continue
			}
			away := math.Abs(b.value-a.value) / math.Hypot(a.countSD, b.countSD)
			if away < 4 || away <= worst {
				continue
			}
			worst = away
			from, to := a, b
			if from.minute > to.minute {
				from, to = to, from
			}
			found.a, found.b = from.id, to.id
			found.volts, found.minutes = to.value-from.value, to.minute-from.minute
		}
	}
	found.zero, found.rate, found.jitter = (first+last)/2, perMinute, jitterPart*math.Abs(found.volts)
	return found, worst > 0
}

func (dr drift) words(d *data) string {
	return fmt.Sprintf("In state %s the reading drifts: %s and %s, %s apart, differ by %s. A steady change between the readings is allowed for, and widens the interval.",
		d.c.States[dr.state].ID, dr.a, dr.b, minutesText(dr.minutes), voltsText(math.Abs(dr.volts)))
}

// driftOf is the drift seen in an observation's state.
func (d *data) driftOf(o *observation) (drift, bool) {
	for _, dr := range d.drifts {
		if dr.state == d.stateOf(o) && !o.within && !math.IsNaN(o.minute) {
			return dr, true
		}
	}
	return drift{}, false
}
