package fault

import (
	"fmt"
	"math"
	"strings"
)

// A Meeting is the volts that an instrument or a test resistor is put to, with the
// words that say where they are from: "this pack works at 403 V".
type Meeting struct {
	Volts float64 // 0 = not known
	Words string
}

// Meets is what instruments of a case meet: the pack's working volts, or the volts that
// are computed between its points where these are more. most is NaN or 0 where nothing
// could be computed.
func Meets(working, most float64) Meeting {
	switch {
	case working > 0 && !(most > working):
		return Meeting{working, fmt.Sprintf("this pack works at %s", plainVolts(working))}
	case most > 0:
		return Meeting{most, fmt.Sprintf("up to %s lie between its points, computed, not measured", plainVolts(most))}
	}
	return Meeting{0, "the volts of this pack are not recorded"}
}

func plainVolts(v float64) string { return fmt.Sprintf("%.4g V", v) }

// RatingCaution says where the recorded ratings of an instrument do not reach what it
// meets, or are not recorded; "" where they reach it. It is no gate: a reading is taken
// and kept all the same.
func (in Instrument) RatingCaution(m Meeting) string {
	if len(in.Ratings) == 0 {
		return "Rating of " + in.ID + " not recorded."
	}
	var all []string
	most, industrial := 0.0, 0.0 // V: of any category, and of III and IV
	for _, r := range in.Ratings {
		all = append(all, r.String())
		most = math.Max(most, r.Volts)
		if r.Category != Categories[0] {
			industrial = math.Max(industrial, r.Volts)
		}
	}
	is := in.ID + " is rated " + strings.Join(all, ", ") + "; "
	switch {
	case m.Volts <= 0 || most < m.Volts:
		return is + m.Words + "."
	case industrial < m.Volts:
		return is + m.Words + ", which its CAT II rating alone reaches."
	}
	return ""
}

// RatingCaution says the same of a test resistor's rated volts.
func (r Resistor) RatingCaution(m Meeting) string {
	switch {
	case r.MaxVolts <= 0:
		return "Rated volts of " + r.ID + " not recorded."
	case m.Volts <= 0 || r.MaxVolts < m.Volts:
		return fmt.Sprintf("%s is rated for %s; %s.", r.ID, plainVolts(r.MaxVolts), m.Words)
	}
	return ""
}
