// Package doubt is what a person can do about a reading that the others speak
// against: what the doubt says in words, which readings would take the place of
// those in doubt, and which were kept as they were read.
//
// It changes nothing and weighs nothing: the odds are the finding's, and what is
// recorded is the person's to decide. It knows no widget and no store.
package doubt

import (
	"fmt"
	"math"
	"strings"

	"halfsplit/fault"
)

// The kinds of doubt, as findings name them.
const (
	Sign       = "sign"
	Scale      = "scale"
	Transposed = "transposed"
	Stale      = "stale"
	Copied     = "copied"
	Range      = "range"
	Input      = "input resistance"
	TwoMeters  = "two meters"
	Mirrored   = "mirrored index"
	Turned     = "turned module"
)

// A Remedy is what helps against a doubt besides keeping the reading.
type Remedy uint8

// The remedies.
const (
	ReadAgain Remedy = iota // nothing can be computed: the meter has to say
	Correct                 // another value, or another state, that would fit
	Kit                     // the instrument's description
	State                   // what was connected
	Layout                  // the drawing, or the order of a list
)

// kinds are the words of a doubt, %s its With, and what helps.
var kinds = map[string]struct {
	words  string
	remedy Remedy
	all    bool // it speaks of more than the reading that it names
}{
	Sign:       {"its sign may be reversed", Correct, false},
	Scale:      {"its unit or decimal point may be wrong", Correct, false},
	Transposed: {"it and %s may be exchanged", Correct, false},
	Stale:      {"it may belong to state %s", Correct, false},
	Copied:     {"the value of %s may have been entered again", ReadAgain, false},
	Range:      {"the meter's range may have been another", ReadAgain, false},
	Input:      {"the input resistance of %s may be another", Kit, true},
	TwoMeters:  {"its meter and that of %s may have been on at once", State, false},
	Mirrored:   {"the list of cell volts may run the other way", Layout, true},
	Turned:     {"%s may be drawn turned end for end", Layout, true},
}

// Words say what the doubt is, beginning with what it is about.
func Words(d fault.Doubt) string {
	k, ok := kinds[d.Kind]
	if !ok {
		return d.Reading + ": " + d.Kind
	}
	w := k.words
	if strings.Contains(w, "%s") {
		w = fmt.Sprintf(w, d.With)
	}
	if k.all {
		return strings.ToUpper(w[:1]) + w[1:]
	}
	return d.Reading + ": " + w
}

// OfReading says that the doubt is about the reading that it names, and not about
// everything that was read with an instrument or with a list.
func OfReading(d fault.Doubt) bool { return !kinds[d.Kind].all }

// RemedyOf is what helps.
func RemedyOf(d fault.Doubt) Remedy { return kinds[d.Kind].remedy }

// Odds are the doubt's odds in words, "" where it has none.
func Odds(d fault.Doubt) string {
	switch v := float64(d.Odds); {
	case math.IsNaN(v) || v <= 0:
		return ""
	case v >= 1e6:
		return "more than a million to 1"
	case v >= 9999.5:
		return fmt.Sprintf("about %.0f thousand to 1", v/1000)
	default:
		return fmt.Sprintf("%.0f to 1", v)
	}
}

// Kept are the readings that somebody kept as read, the newest last.
func Kept(c *fault.Case) (out []fault.Reading) {
	old := c.Superseded()
	for _, r := range c.Readings {
		if _, gone := old[r.ID]; r.Stands != "" && !gone {
			out = append(out, r)
		}
	}
	return out
}

// Stands says that a reading which a doubt speaks against was kept as read.
func Stands(c *fault.Case, d fault.Doubt) bool {
	return OfReading(d) && (keeps(c, d.Reading) || d.Kind == Transposed && keeps(c, d.With))
}

// Against says that a doubt speaks against a reading.
func Against(d fault.Doubt, id string) bool {
	return OfReading(d) && (d.Reading == id || d.Kind == Transposed && d.With == id)
}

func keeps(c *fault.Case, id string) bool {
	r, ok := c.Reading(id)
	return ok && r.Stands != ""
}
