package circuit_test

import (
	"math"
	"testing"

	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// vector is a pack with its leaks, and the magnitudes that one meter moved from
// pole to pole shows: v1 at the negative pole, v2 at the positive, with the
// resistor at the pole whose reading is larger.
type vector struct {
	groups       int
	volts        float64 // of the string
	leaks        []tapLeak
	spread       float64 // ohms at every tap; 0 = none
	meter, r0    float64
	v1, v2, with float64
}

type tapLeak struct {
	fraction, ohms float64
}

const digits = 0.5e-4 + 1e-9 // four decimals

// Source of the expected numbers: an independent nodal solver.
var vectors = map[string]vector{
	"T1":  {100, 400, []tapLeak{{.30, 1e5}}, 0, math.Inf(1), 2e5, 120.0000, 280.0000, 186.6667},
	"T2":  {100, 400, []tapLeak{{.30, 1e5}}, 0, 1e7, 2e5, 118.8119, 277.2277, 185.4305},
	"T3":  {100, 400, []tapLeak{{.70, 1e5}}, 0, 1e7, 2e5, 277.2277, 118.8119, 185.4305},
	"T4":  {100, 400, []tapLeak{{.50, 1e5}}, 0, 1e7, 2e5, 198.0198, 198.0198, 132.4503},
	"T5":  {100, 400, []tapLeak{{.30, 1e6}}, 0, 1e7, 2e5, 109.0909, 254.5455, 45.9016},
	"T6":  {100, 400, []tapLeak{{.30, 5e6}}, 0, 1e7, 2e5, 80.0000, 186.6667, 10.5660},
	"T7":  {96, 400, []tapLeak{{10. / 96, 1e5}, {86. / 96, 1e5}}, 0, 1e7, 2e5, 199.0050, 199.0050, 159.3625},
	"T8":  {96, 400, []tapLeak{{.50, 5e4}}, 0, 1e7, 2e5, 199.0050, 199.0050, 159.3625},
	"T9":  {100, 350, []tapLeak{{0, 3e5}, {1, 1e5}}, 0, 1e7, 175e3, 260.5459, 86.8486, 182.7904},
	"T10": {96, 400, []tapLeak{{20. / 96, 5e5}}, 2e8, 1e7, 2e5, 101.9987, 282.5274, 96.2865},
	"T11": {96, 400, []tapLeak{{20. / 96, 2e6}}, 2e8, 1e7, 2e5, 127.8034, 235.3303, 41.9611},
	"T12": {100, 400, []tapLeak{{0, 12e5}, {1, 12e5}, {.20, 1e6}}, 0, 1e7, 2e5, 149.3976, 236.1446, 84.1202},
}

func (v vector) pack(t *testing.T) circuit.Pack {
	n := net(t, oneString([]int{v.groups}, 0))
	p := circuit.Pack{Net: n, GroupVolts: same(v.groups, v.volts/float64(v.groups))}
	for _, l := range v.leaks {
		tap := n.Tap(0, int(math.Round(l.fraction*float64(v.groups))))
		p.Leaks = append(p.Leaks, circuit.Leak{At: n.Name(tap), Ohms: l.ohms})
	}
	for k := 0; v.spread > 0 && k <= v.groups; k++ {
		p.Leaks = append(p.Leaks, circuit.Leak{At: n.Name(n.Tap(0, k)), Ohms: v.spread})
	}
	return p
}

func TestVectors_OneMeterMoved(t *testing.T) {
	for name, v := range vectors {
		t.Run(name, func(t *testing.T) {
			p := v.pack(t)
			set := topology.Setting{}
			v1 := -read(t, p, set, "M01-", "chassis", v.meter)
			v2 := read(t, p, set, "M01+", "chassis", v.meter)
			near(t, "negative pole", v1, v.v1, digits)
			near(t, "positive pole", v2, v.v2, digits)
			at, sign := "M01+", 1.0
			if v.v1 > v.v2 {
				at, sign = "M01-", -1
			}
			r0 := circuit.Element{From: at, To: "chassis", Ohms: v.r0}
			near(t, "with resistor at "+at, sign*read(t, p, set, at, "chassis", v.meter, r0), v.with, digits)
		})
	}
}

func TestVectors_TwoMetersAtOnce(t *testing.T) {
	for name, want := range map[string][4]float64{ // positive pole, negative pole; both again with the resistor at the positive
		"T2": {278.4314, 121.5686, 186.8421, 213.1579},
		"T5": {266.6667, 133.3333, 51.6129, 348.3871},
		"T6": {240, 160, 17.7778, 382.2222},
	} {
		t.Run(name, func(t *testing.T) {
			v := vectors[name]
			p := v.pack(t)
			other := circuit.Element{From: "M01-", To: "chassis", Ohms: v.meter}
			r0 := circuit.Element{From: "M01+", To: "chassis", Ohms: v.r0}
			for i, more := range [][]circuit.Element{{other}, {other, r0}} {
				up := read(t, p, topology.Setting{}, "M01+", "chassis", v.meter, more...)
				near(t, "positive pole", up, want[2*i], digits)
				near(t, "negative pole", v.volts-up, want[2*i+1], digits)
			}
		})
	}
}

// Two leaks in one string, once its middle is open: each half shows its own.
func TestVectors_SplitShowsEachLeak(t *testing.T) {
	n := net(t, oneString([]int{48, 48}, 1))
	p := circuit.Pack{Net: n, GroupVolts: same(96, 400./96)}
	p.Leaks = []circuit.Leak{{At: "M01.10", Ohms: 1e5}, {At: "M02.38", Ohms: 1e5}}
	open := topology.Setting{Open: []string{"SD"}}
	near(t, "M01-", read(t, p, open, "M01-", "chassis", 1e7), -41.2541, digits)
	near(t, "M01+", read(t, p, open, "M01+", "chassis", 1e7), 156.7657, digits)
	near(t, "M02-", read(t, p, open, "M02-", "chassis", 1e7), -156.7657, digits)
	near(t, "M02+", read(t, p, open, "M02+", "chassis", 1e7), 41.2541, digits)
}
