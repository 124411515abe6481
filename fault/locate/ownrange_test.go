package locate

import (
	"context"
	"slices"
	"testing"

	"halfsplit/assets"
	"halfsplit/fault"
	"halfsplit/fault/format"
)

// A range's own gain, counts and input resistance are what its readings are weighed and
// worked out with: each alone changes what the same readings say, and figures that are
// the instrument's own change nothing.
func TestFind_ARangeHasItsOwnFigures(t *testing.T) {
	base, _, err := format.ReadCase("the demo case", assets.Demo, nil)
	if err != nil {
		t.Fatal(err)
	}
	// section is the leaking section: its ohms as an interval, and where chassis lies.
	section := func(edit func(*fault.Range)) fault.SectionFinding {
		t.Helper()
		c := base
		c.Instruments = slices.Clone(c.Instruments)
		in := &c.Instruments[0]
		in.Ranges = slices.Clone(in.Ranges)
		for i := range in.Ranges {
			edit(&in.Ranges[i])
		}
		f, err := Find(context.Background(), c, nil)
		if err != nil || len(f.Sections) == 0 {
			t.Fatalf("%d sections, %v", len(f.Sections), err)
		}
		return f.Sections[0]
	}
	wide := func(s fault.SectionFinding) float64 { return float64(s.ChassisVolts.High - s.ChassisVolts.Low) }
	in := base.Instruments[0]
	was := section(func(*fault.Range) {})
	if same := section(func(r *fault.Range) { r.GainPct, r.Counts, r.InputOhms = &in.GainPct, &in.Counts, in.InputOhms }); same.Ohms != was.Ohms || same.ChassisVolts != was.ChassisVolts {
		t.Errorf("with the instrument's own figures: %+v, was %+v", same, was)
	}
	gain, counts := 8*in.GainPct, 50*in.Counts
	if got := section(func(r *fault.Range) { r.GainPct = &gain }); wide(got) <= wide(was) && got.Ohms.High-got.Ohms.Low <= was.Ohms.High-was.Ohms.Low {
		t.Errorf("eight times the gain error leaves %+v, was %+v", got, was)
	}
	if got := section(func(r *fault.Range) { r.Counts = &counts }); wide(got) <= wide(was) {
		t.Errorf("fifty times the counts leave %g V, was %g V", wide(got), wide(was))
	}
	if got := section(func(r *fault.Range) { r.InputOhms = in.InputOhms / 10 }); got.Ohms.Mid == was.Ohms.Mid {
		t.Errorf("a tenth of the input resistance leaves %g Ω", float64(got.Ohms.Mid))
	}
}
