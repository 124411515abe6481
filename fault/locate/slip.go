package locate

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
)

// Kinds of a slip in an entry, as findings name them.
const (
	slipSign       = "sign"
	slipScale      = "scale"
	slipTransposed = "transposed"
	slipStale      = "stale"
	slipCopied     = "copied"
	slipRange      = "range"
	slipInput      = "input resistance"
	slipTwoMeters  = "two meters"
	slipMirrored   = "mirrored index"
	slipTurned     = "turned module"
)

// slipPrior is the probability of one kind of slip at one reading, before the
// readings are looked at: one entry in a hundred is slipped, over a handful of
// kinds.
const slipPrior = 0.002

// A slip is one way in which an entry may be wrong, with its odds against the
// entry as it stands.
type slip struct {
	readings []string // whose values are in doubt
	kind     string
	with     string
	fitsIf   string // the condition alone: "its sign is reversed: …"
	logOdds  float64
	where    []int   // the sections whose circuits it changes, where it is these alone; nil = any
	turned   string  // a module whose terminals are exchanged by it: another layout
	stretch  float64 // ln of how much the slip stretches the value's scale
	mend     func(c *fault.Case, p *premise)
}

// entered mends a slip by another value for one reading.
func entered(id string, value float64) func(*fault.Case, *premise) {
	return func(c *fault.Case, _ *premise) { setValue(c, id, value) }
}

func setValue(c *fault.Case, id string, value float64) {
	for i := range c.Readings {
		if c.Readings[i].ID == id {
			c.Readings[i].Value, c.Readings[i].Raw, c.Readings[i].Range = value, "", 0
		}
	}
}

// inPlace says that a slip changes what was read, not where or in which circuit.
func (s *slip) inPlace() bool {
	return slices.Contains([]string{slipSign, slipScale, slipTransposed, slipCopied}, s.kind)
}

// scaleSlips are the factors by which a unit or a decimal point goes wrong.
var scaleSlips = []struct {
	factor float64
	words  string
}{{10, "ten times"}, {0.1, "a tenth of"}, {1000, "a thousand times"}, {0.001, "a thousandth of"}}

// valueSlips weighs the slips of one reading that change its value alone, given what
// the others say that it should be.
func valueSlips(o *observation, fc forecast) []slip {
	if o.allowed.set || o.reading.Quantity != fault.Volts {
		return nil
	}
	stands := density(o.value, fc, 0)
	var out []slip
	add := func(kind, fitsIf string, value, stretch float64) {
		extra := math.Abs(o.gainError) * (stretch + 1)
		out = append(out, slip{readings: []string{o.id}, kind: kind, fitsIf: fitsIf,
			logOdds: math.Log(slipPrior) + density(value, fc, extra) + math.Log(stretch) - stands,
			stretch: math.Log(stretch), mend: entered(o.id, value)})
	}
	if o.value != 0 {
		add(slipSign, fmt.Sprintf("its sign is reversed: %s where %s was entered, %s expected", voltsText(-o.value), voltsText(o.value), voltsText(fc.mean)), -o.value, 1)
		for _, s := range scaleSlips {
			add(slipScale, fmt.Sprintf("it is %s what was entered: %s where %s was entered, %s expected", s.words, voltsText(o.value*s.factor), voltsText(o.value), voltsText(fc.mean)), o.value*s.factor, s.factor)
		}
	}
	return out
}

// density is ln p(value) under a forecast; extra widens it.
func density(value float64, fc forecast, extra float64) float64 {
	sd := math.Hypot(fc.sd, extra)
	z := (value - fc.mean) / sd
	return -z*z/2 - math.Log(sd*math.Sqrt(2*math.Pi))
}

// copied weighs that a value was entered again by mistake: to the last digit
// that of another reading of the same state, taken elsewhere.
func copied(d *data, o *observation, fc forecast) []slip {
	step := math.Max(1e-4, o.countSD)
	var out []slip
	for i := range d.obs {
		t := &d.obs[i]
		if t.id == o.id || o.value == 0 || t.reading.Value != o.reading.Value || t.reading.State != o.reading.State || circuitKey(t.reading) == circuitKey(o.reading) {
			continue
		}
		out = append(out, slip{readings: []string{o.id}, kind: slipCopied, with: t.id,
			fitsIf:  fmt.Sprintf("the value of %s was entered again: both are %s, %s expected here", t.id, voltsText(o.value), voltsText(fc.mean)),
			logOdds: math.Log(slipPrior) - density(o.value, fc, 0) - math.Log(step), stretch: -math.Log(10 * step), // a tenth as usual as the others: two readings may well be alike
			mend: func(_ *fault.Case, p *premise) { *p = p.except(o.id, "copied") }})
	}
	return out
}

// swapped weighs that two values were entered for each other, given what the
// rest says of both.
func swapped(a, b *observation, fa, fb forecast) (slip, bool) {
	if a.allowed.set || b.allowed.set || a.value == b.value || a.reading.Quantity != b.reading.Quantity || a.reading.State != b.reading.State {
		return slip{}, false
	}
	stands := density(a.value, fa, 0) + density(b.value, fb, 0)
	other := density(b.value, fa, 0) + density(a.value, fb, 0)
	return slip{readings: []string{a.id, b.id}, kind: slipTransposed, with: b.id,
		fitsIf:  fmt.Sprintf("its value and that of %s are exchanged: %s and %s expected", b.id, voltsText(fa.mean), voltsText(fb.mean)),
		logOdds: math.Log(slipPrior) + other - stands,
		mend: func(c *fault.Case, _ *premise) {
			setValue(c, a.id, b.reading.Value)
			setValue(c, b.id, a.reading.Value)
		}}, true
}

// offRange weighs that a reading which no range of its instrument could show is
// a thousand or ten times what it should be. As it stands it is impossible; the
// odds are against any value that a slip could have made of it.
func (a *analysis) offRange(as *general) []slip {
	var out []slip
	for _, l := range a.d.leftOut {
		r, ok := a.c.Reading(l.Reading)
		if !ok || a.given.without[r.ID] != "" || r.Quantity != fault.Volts || isBound(r) {
			continue
		}
		if _, why := as.observe(r); !strings.Contains(why, "no range") {
			continue
		}
		for _, s := range scaleSlips {
			t := r
			t.Value, t.Raw, t.Range = r.Value*s.factor, "", 0
			o, why := as.observe(t)
			if why != "" {
				continue
			}
			if fc := as.forecast([]observation{o}); fc != nil {
				out = append(out, slip{readings: []string{r.ID}, kind: slipScale, logOdds: density(t.Value, fc[0], 0) + math.Log(math.Abs(r.Value)),
					fitsIf: fmt.Sprintf("it is %s what was entered: %s where %s was entered, %s expected", s.words, voltsText(t.Value), voltsText(r.Value), voltsText(fc[0].mean))})
			}
		}
	}
	return out
}
