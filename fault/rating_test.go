package fault_test

import (
	"math"
	"testing"

	"halfsplit/fault"
)

// Ratings are held against the pack's working volts, or the computed volts where these
// are more; what is not recorded is said, and never taken to reach.
func TestRatingCaution(t *testing.T) {
	rated := func(r ...fault.Rating) fault.Instrument { return fault.Instrument{ID: "dmm", Ratings: r} }
	two, three, four := fault.Rating{Category: "II", Volts: 1000}, fault.Rating{Category: "III", Volts: 300}, fault.Rating{Category: "IV", Volts: 600}
	for name, c := range map[string]struct {
		in            fault.Instrument
		working, most float64
		want          string
	}{
		"below":          {rated(three), 403, 350, "dmm is rated CAT III 300 V; this pack works at 403 V."},
		"reaches":        {rated(four), 403, 350, ""},
		"just reaches":   {rated(four), 600, 600, ""},
		"not recorded":   {rated(), 403, 350, "Rating of dmm not recorded."},
		"computed more":  {rated(four), 403, 700, "dmm is rated CAT IV 600 V; up to 700 V lie between its points, computed, not measured."},
		"no working":     {rated(three), 0, 350, "dmm is rated CAT III 300 V; up to 350 V lie between its points, computed, not measured."},
		"nothing known":  {rated(three), 0, math.NaN(), "dmm is rated CAT III 300 V; the volts of this pack are not recorded."},
		"CAT II alone":   {rated(two, three), 403, 0, "dmm is rated CAT II 1000 V, CAT III 300 V; this pack works at 403 V, which its CAT II rating alone reaches."},
		"most unknown":   {rated(four), 403, math.NaN(), ""},
		"CAT II and III": {rated(two, fault.Rating{Category: "III", Volts: 600}), 403, 0, ""},
	} {
		if got := c.in.RatingCaution(fault.Meets(c.working, c.most)); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
	for volts, want := range map[float64]string{0: "Rated volts of R1 not recorded.", 100: "R1 is rated for 100 V; this pack works at 403 V.", 403: "", 1000: ""} {
		if got := (fault.Resistor{ID: "R1", MaxVolts: volts}).RatingCaution(fault.Meets(403, 0)); got != want {
			t.Errorf("%g V: %q, want %q", volts, got, want)
		}
	}
	if got := (fault.Resistor{ID: "R1", MaxVolts: 1000}).RatingCaution(fault.Meets(0, 0)); got != "R1 is rated for 1000 V; the volts of this pack are not recorded." {
		t.Error(got)
	}
}
