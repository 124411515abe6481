package locate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
)

// A mixture is how often each kind of fault is drawn; what it lists adds to one.
type mixture map[string]float64

// inJoints stands for a link or a rail, drawn alike.
const inJoints = fault.LinkLeak

// statedMix is what the design states of how such packs fail: none .10; of the rest
// one .70, two .10, spread .08, board .05, rail or link .04, load side .03.
func statedMix() mixture {
	return mixture{fault.None: 0.10, fault.One: 0.63, fault.Two: 0.09, fault.Spread: 0.072, fault.BoardLeak: 0.045, inJoints: 0.036, fault.LoadSide: 0.027}
}

// doubledMix has two leaks and wet runs twice as often, all else scaled down alike.
func doubledMix() mixture {
	m := statedMix()
	twice := m[fault.Two] + m[fault.Spread]
	for k := range m {
		if k == fault.Two || k == fault.Spread {
			m[k] *= 2
		} else {
			m[k] *= (1 - 2*twice) / (1 - twice)
		}
	}
	return m
}

// pick draws a kind that the pack has room for.
func (m mixture) pick(rng *rand.Rand, room func(kind string) bool) string {
	sum := 0.0
	var open []string
	for _, k := range kinds {
		if m[k] > 0 && room(k) {
			open = append(open, k)
			sum += m[k]
		}
	}
	x := sum * rng.Float64()
	for _, k := range open {
		if x -= m[k]; x < 0 {
			return k
		}
	}
	return open[0]
}

// TestMixtures: both add to one, and the second has its two kinds doubled.
func TestMixtures(t *testing.T) {
	a, b := statedMix(), doubledMix()
	for name, m := range map[string]mixture{"stated": a, "doubled": b} {
		sum := 0.0
		for _, p := range m {
			sum += p
		}
		if math.Abs(sum-1) > 1e-12 {
			t.Errorf("%s adds to %g", name, sum)
		}
	}
	if b[fault.Two] != 2*a[fault.Two] || b[fault.Spread] != 2*a[fault.Spread] || math.Abs(b[fault.One]/a[fault.One]-b[fault.None]/a[fault.None]) > 1e-12 {
		t.Errorf("doubled: %v of %v", b, a)
	}
}

// A hidden fault is what a simulated pack has: its kind, and the places that must
// come out. A wet run asks for drying and a source, so that none must.
type hidden struct {
	kind string
	out  []string
}

// mustOut says that a place must come out.
func (h *hidden) mustOut(id string) bool { return slices.Contains(h.out, id) }

// hideOf puts a fault of a kind into the pack: sizes log-uniform over all that a leak
// can have, every path with a potential of its own.
func (tr *trial) hideOf(rng *rand.Rand, kind string) hidden {
	h := hidden{kind: kind}
	size := func() float64 { return math.Exp(logUniform(rng, math.Log(leakLow), math.Log(leakHigh))) }
	add := func(at, board string, ohms, shift float64) {
		tr.pack.Leaks = append(tr.pack.Leaks, circuit.Leak{At: at, Ohms: ohms, Shift: shift, OnlyWithBoard: board})
	}
	switch kind {
	case fault.One, fault.Two:
		at := []int{rng.IntN(len(tr.volts) + 1)}
		for kind == fault.Two && len(at) < 2 {
			if b := rng.IntN(len(tr.volts) + 1); b != at[0] {
				at = append(at, b)
			}
		}
		for _, groups := range at {
			node, module := tr.sideOf(rng, groups)
			add(node, "", size(), tr.shift(rng))
			if !h.mustOut(module) {
				h.out = append(h.out, module)
			}
		}
	case fault.Spread:
		tr.wet(rng, size())
	case fault.BoardLeak:
		b := tr.layout.Boards[rng.IntN(len(tr.layout.Boards))]
		add(b.Taps[rng.IntN(len(b.Taps))], b.ID, size(), tr.shift(rng))
		h.out = append(h.out, b.ID)
	case inJoints:
		id := tr.joints()
		at := id[rng.IntN(len(id))]
		add(at, "", size(), tr.shift(rng))
		h.out = append(h.out, at)
	case fault.LoadSide:
		id := []string{"load-", "load+", "load"}[rng.IntN(3)]
		at, shift := id, tr.shift(rng)
		if id == "load" { // a load whose far side conducts: anywhere between the poles
			at, shift = "load-", rng.Float64()*tr.total()
		}
		add(at, "", size(), shift)
		h.out = append(h.out, id)
	}
	return h
}

// sideOf is the tap with so many groups below it, and its module: at a joint either
// side, as likely the one as the other.
func (tr *trial) sideOf(rng *rand.Rand, groups int) (node, module string) {
	id := tr.net.TapAt(0, groups)
	if rng.IntN(2) == 0 {
		id = tr.net.TapAbove(0, groups)
	}
	m, _, _ := tr.net.ModuleAt(id)
	return tr.net.Name(id), tr.layout.Modules[m].ID
}

func (tr *trial) total() float64 {
	sum := 0.0
	for _, v := range tr.volts {
		sum += v
	}
	return sum
}

// joints are the links between modules and the two rails.
func (tr *trial) joints() []string {
	out := []string{"rail-", "rail+"}
	for _, l := range tr.layout.Links {
		if l.ID != "KN" && l.ID != "KP" {
			out = append(out, l.ID)
		}
	}
	return out
}

// wet leaks along a run of at least two modules, every run as likely: a size in all,
// scattered from module to module as spread.go has it from piece to piece.
func (tr *trial) wet(rng *rand.Rand, ohms float64) {
	n := len(tr.layout.Modules)
	from, to := rng.IntN(n), rng.IntN(n)
	for from == to {
		from, to = rng.IntN(n), rng.IntN(n)
	}
	from, to = min(from, to), max(from, to)
	var part []float64
	sum := 0.0
	for range to - from + 1 {
		part = append(part, math.Exp(spreadScatter*rng.NormFloat64()))
		sum += part[len(part)-1]
	}
	for i, p := range part {
		m := tr.layout.Modules[from+i]
		for k := 0; k <= m.Series; k++ {
			w := 1 / float64(m.Series)
			if k == 0 || k == m.Series {
				w /= 2
			}
			tr.pack.Leaks = append(tr.pack.Leaks, circuit.Leak{At: fmt.Sprintf("%s.%d", m.ID, k), Ohms: ohms * sum / (p * w)})
		}
	}
}

// enter records a state, and makes it the present one.
func (tr *trial) enter(t testing.TB, b *circuit.Bench, s fault.State) {
	t.Helper()
	if err := b.Enter(s); err != nil {
		t.Fatal(err)
	}
	tr.c.States, tr.c.Now = append(slices.Clone(tr.c.States), s), s.ID
}

// readEnds reads a section at both ends, and the higher one with the test resistor.
func (tr *trial) readEnds(t testing.TB, b *circuit.Bench, state, low, high string) {
	t.Helper()
	tr.read(t, b, state, high, "chassis", "")
	top := tr.c.Readings[len(tr.c.Readings)-1].Value
	tr.read(t, b, state, low, "chassis", "")
	end := high
	if math.Abs(tr.c.Readings[len(tr.c.Readings)-1].Value) > math.Abs(top) {
		end = low
	}
	tr.read(t, b, state, end, "chassis", "R200k")
}
