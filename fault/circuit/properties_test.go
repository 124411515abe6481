package circuit_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// With cells alone the solution gives the potentials that the topology gives,
// worked out another way: loop currents here, joints there.
func TestSolve_CellsAloneAgreeWithTopology(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		n, _ := topology.Compile(l)
		set := drawSetting(t, l)
		p := circuit.Pack{Net: n}
		scale := 1.0
		for range n.Groups {
			p.GroupVolts = append(p.GroupVolts, rapid.Float64Range(2.5, 4.2).Draw(t, "volts"))
			scale += 4.2
		}
		s, err := p.Solve(set, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		j := n.In(set)
		for i := range j.Sections {
			sec := &j.Sections[i]
			want := j.Potentials(sec, p.GroupVolts)
			for _, id := range sec.Nodes {
				v, err := s.Volts(n.Name(id), n.Name(sec.From))
				if err != nil {
					t.Fatal(err)
				}
				if !(math.Abs(v-want[id]) <= 1e-9*scale) {
					t.Fatalf("%s above %s: %.12g V here, %.12g V in the topology", n.Name(id), n.Name(sec.From), v, want[id])
				}
			}
		}
	})
}

// Milliohms move a reading by no more than the current through the cells times
// the resistance of the string.
func TestSolve_MilliohmsStayClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSituation(t, true)
		if newReference(s).rings() {
			t.Skip("strings tied at both ends circulate a current of their own")
		}
		real, err := s.pack.Solve(s.set, s.unplugged, s.els)
		if err != nil {
			t.Fatal(err)
		}
		ohms := 0.0
		for _, r := range s.pack.GroupOhms {
			ohms += r
		}
		amps := 0.0 // all that leaves the cells passes through them
		r := newReference(s)
		for _, b := range r.branches {
			va, _ := real.Potential(r.name(b.a))
			vb, _ := real.Potential(r.name(b.b))
			amps += math.Abs(b.g * (va - vb + b.emf))
		}
		s.pack.GroupOhms = nil
		ideal, err := s.pack.Solve(s.set, s.unplugged, s.els)
		if err != nil {
			t.Fatal(err)
		}
		for _, ref := range s.refs {
			a, _ := real.Potential(ref)
			b, _ := ideal.Potential(ref)
			if math.Abs(a-b) > amps*ohms+1e-4 {
				t.Fatalf("%s: %.9g V with milliohms, %.9g V without; %g A through %g ohms", ref, a, b, amps, ohms)
			}
		}
	})
}

// A string turned end for end, every cell and leak with it, reads the same
// with the opposite sign.
func TestSolve_Mirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		series := rapid.SliceOfN(rapid.IntRange(1, 6), 1, 6).Draw(t, "series")
		sd := rapid.IntRange(0, len(series)-1).Draw(t, "disconnect after")
		back := slices.Clone(series)
		slices.Reverse(back)
		mirrored := 0
		if sd > 0 {
			mirrored = len(series) - sd
		}
		p := circuit.Pack{BackgroundPerModule: 1e8, BackgroundPerGroup: 1e9}
		p.Net, _ = topology.Compile(oneString(series, sd))
		for range p.Net.Groups {
			p.GroupVolts = append(p.GroupVolts, rapid.Float64Range(2, 4).Draw(t, "volts"))
		}
		q := p
		q.Net, _ = topology.Compile(oneString(back, mirrored))
		q.GroupVolts = slices.Clone(p.GroupVolts)
		slices.Reverse(q.GroupVolts)
		other := func(m, k int) string { return fmt.Sprintf("%s.%d", moduleID(len(series)-m), series[m]-k) }
		tap := func(m, k int) string { return fmt.Sprintf("%s.%d", moduleID(m+1), k) }
		for range rapid.IntRange(0, 3).Draw(t, "leaks") {
			m := rapid.IntRange(0, len(series)-1).Draw(t, "module")
			k := rapid.IntRange(0, series[m]).Draw(t, "tap")
			ohms, shift := math.Pow(10, rapid.Float64Range(0, 8).Draw(t, "log ohms")), rapid.Float64Range(-1, 1).Draw(t, "shift")
			p.Leaks = append(p.Leaks, circuit.Leak{At: tap(m, k), Ohms: ohms, Shift: shift})
			q.Leaks = append(q.Leaks, circuit.Leak{At: other(m, k), Ohms: ohms, Shift: -shift})
		}
		var set topology.Setting
		if sd > 0 && rapid.Bool().Draw(t, "open") {
			set.Open = []string{"SD"}
		}
		for m := range series {
			for k := range series[m] + 1 {
				a := volts(t, p, set, circuit.Element{From: tap(m, k), To: "chassis", Ohms: 1e7})
				b := volts(t, q, set, circuit.Element{From: other(m, k), To: "chassis", Ohms: 1e7})
				if math.Abs(a+b) > 1e-9 {
					t.Fatalf("%s reads %g V, its mirror image %g V", tap(m, k), a, b)
				}
			}
		}
	})
}

func volts(t *rapid.T, p circuit.Pack, set topology.Setting, e circuit.Element) float64 {
	s, err := p.Solve(set, nil, []circuit.Element{e})
	if err != nil {
		t.Fatal(err)
	}
	v, err := s.Volts(e.From, e.To)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Whatever the numbers, the answer is an error or finite.
func TestSolve_NeverNaN(t *testing.T) {
	wild := rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{0, -1, 1e-300, 1e-12, 1e300, math.MaxFloat64, math.SmallestNonzeroFloat64, math.Inf(1), math.Inf(-1), math.NaN()}))
	rapid.Check(t, func(t *rapid.T) {
		s := drawSituation(t, rapid.Bool().Draw(t, "milliohms"))
		for range rapid.IntRange(0, 4).Draw(t, "changes") {
			v := wild.Draw(t, "wild")
			switch to := rapid.IntRange(0, 8).Draw(t, "where"); {
			case to == 0:
				s.pack.GroupVolts[0] = v
			case to == 1 && s.pack.GroupOhms != nil:
				s.pack.GroupOhms[0] = v
			case to == 2 && len(s.pack.Leaks) > 0:
				s.pack.Leaks[0].Ohms = v
			case to == 3 && len(s.pack.Leaks) > 0:
				s.pack.Leaks[0].Shift = v
			case to == 4:
				s.pack.BackgroundPerModule = v
			case to == 5:
				s.pack.BackgroundPerGroup = v
			case to == 6 && len(s.els) > 0:
				s.els[0].Ohms = v
			case to == 7 && len(s.els) > 0:
				s.els[0].EMF = v
			case len(s.pack.Bonds) > 0:
				s.pack.Bonds[0].Ohms = v
			}
		}
		got, err := s.pack.Solve(s.set, s.unplugged, s.els)
		if err != nil {
			return
		}
		for _, ref := range s.refs {
			v, err := got.Potential(ref)
			if err != nil {
				t.Fatal(err)
			}
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%s is at %g V", ref, v)
			}
		}
		for i := range s.els {
			if a := got.Amps(i); math.IsNaN(a) || math.IsInf(a, 0) {
				t.Fatalf("element %d carries %g A", i, a)
			}
		}
	})
}
