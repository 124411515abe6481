package makesafe

import (
	"math"

	"halfsplit/fault"
)

// A Closing is what the three readings of one place say of each other: + to chassis
// less - to chassis is + to -, whatever the voltage.
type Closing struct {
	Sum    float64 // V, + to chassis less - to chassis
	Poles  float64 // V, as read
	Within float64 // V, what the meter's error allows
	Closes bool
	Most   float64 // V, the largest of the three without its sign
	Hint   string  // what would make them fit; "" = nothing simple
}

// Off is by how much they do not meet, in volts.
func (k Closing) Off() float64 { return math.Abs(k.Sum - k.Poles) }

// Close holds the three readings of a place against each other. bounded is false
// where a meter's error is not known: then nothing can be said beyond the
// difference. A meter that is moved from pole to pole of a floating circuit shows
// less to chassis than there is between the poles; that does not close either, and
// voltage is what it shows.
func Close(c *fault.Case, point string) (k Closing, bounded, all bool) {
	var v, e [3]float64
	bounded = true
	for i, item := range Readings {
		m, ok := c.SafeAt(item, point)
		if !ok || m.Value == nil {
			return k, false, false
		}
		v[i] = *m.Value
		b, known := bound(c, m)
		e[i], bounded = b, bounded && known
	}
	k.Poles, k.Sum, k.Within = v[0], v[1]-v[2], e[0]+e[1]+e[2]
	k.Most = math.Max(math.Abs(v[0]), math.Max(math.Abs(v[1]), math.Abs(v[2])))
	if !bounded {
		return k, false, true
	}
	k.Closes = k.Off() <= k.Within
	if !k.Closes {
		k.Hint = hint(v, k.Within)
	}
	return k, true, true
}

// hint looks for one slip that would make three readings meet; where several would,
// or none, it says none.
func hint(v [3]float64, within float64) string {
	meets := func(poles, plus, minus float64) bool { return math.Abs(plus-minus-poles) <= within }
	var found []string
	for _, t := range []struct {
		ok   bool
		says string
	}{
		{meets(-v[0], v[1], v[2]), "they fit if the sign of pole to pole is reversed"},
		{meets(v[0], -v[1], v[2]), "they fit if the sign of + to chassis is reversed"},
		{meets(v[0], v[1], -v[2]), "they fit if the sign of - to chassis is reversed"},
	} {
		if t.ok {
			found = append(found, t.says)
		}
	}
	switch {
	case len(found) == 1:
		return found[0]
	case len(found) == 0 && math.Abs(v[1]-v[2]) < math.Abs(v[0]) && math.Abs(v[0]) > within:
		return "less to chassis than between the poles: a meter that is moved on a floating circuit shows this, and it is a voltage"
	}
	return ""
}
