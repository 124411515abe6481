package insulation_test

import (
	"fmt"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
)

// One meter, moved from pole to pole; then 200 kohm from the negative pole, which
// lies further from chassis, to chassis.
func Example() {
	meter := insulation.NewMeter(fault.Instrument{ID: "dmm", GainPct: 0.5, Counts: 2, InputOhms: 10e6, InputTolPct: 1,
		Ranges: []fault.Range{{Max: 600, Count: 0.1}}})
	volts := func(v float64) insulation.Volt {
		r, err := meter.Volts(v, 600)
		if err != nil {
			panic(err)
		}
		return r
	}
	poles := insulation.Poles{Across: volts(347.2), Negative: volts(-237.5), Positive: volts(103.6)}
	iso, err := insulation.R100(poles, insulation.Fitted{
		At:       poles.Higher(),
		Reading:  volts(-126.4),
		Resistor: insulation.Resistor(fault.Resistor{Ohms: 200e3, TolPct: 1}),
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("leak %.1f kohm ± %.1f, limited by the %s\n", iso.Leak.X/1e3, iso.Leak.Expanded()/1e3, iso.Leak.LimitedBy())
	fmt.Printf("Ri of the standard %.1f kohm\n", iso.Standard.X/1e3)
	fmt.Printf("%.2f %% of the way from the negative pole ± %.2f %%\n", 100*iso.Position.X, 100*iso.Position.Expanded())
	// Output:
	// leak 178.9 kohm ± 2.2, limited by the test resistor
	// Ri of the standard 257.0 kohm
	// 69.63 % of the way from the negative pole ± 0.05 %
}

func BenchmarkR100(b *testing.B) {
	p, f := onSection{347.2, -237.5, 103.6, -126.4, insulation.NegativePole, 200e3}.read(b)
	for b.Loop() {
		if _, err := insulation.R100(p, f); err != nil {
			b.Fatal(err)
		}
	}
}
