package circuit_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// The solution agrees with a full modified nodal analysis, ideal cells and
// cells with milliohms alike.
func TestSolve_AgreesWithNodalAnalysis(t *testing.T) {
	for name, milliohms := range map[string]bool{"ideal": false, "milliohms": true} {
		t.Run(name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				s := drawSituation(t, milliohms)
				r := newReference(s)
				if r.looped() {
					t.Skip("cells without resistance in a ring")
				}
				got, err := s.pack.Solve(s.set, s.unplugged, s.els)
				if err != nil {
					t.Fatal(err)
				}
				want := r.solve()
				for ref, c := range r.index {
					if c < 0 {
						continue
					}
					v, err := got.Potential(ref)
					if err != nil {
						t.Fatal(err)
					}
					if !(math.Abs(v-want[c]) < 1e-4) {
						t.Fatalf("%s: got %.9g V, want %.9g V", ref, v, want[c])
					}
				}
			})
		})
	}
}

// Whatever leaves a section through leaks, bridges and elements sums to zero,
// rings of cells included, and what the elements carry is what Amps says.
func TestSolve_CurrentsBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSituation(t, rapid.Bool().Draw(t, "milliohms"))
		r := newReference(s)
		got, err := s.pack.Solve(s.set, s.unplugged, s.els)
		if err != nil {
			t.Fatal(err)
		}
		v := make([]float64, r.n)
		for ref, c := range r.index {
			if c >= 0 {
				v[c], _ = got.Potential(ref)
			}
		}
		part, whole := r.parts(false), r.parts(true)
		sum, size := map[int]float64{}, map[int]float64{}
		all := 0.0 // V of every source: potentials are rounded at that size
		for _, e := range s.pack.GroupVolts {
			all += math.Abs(e)
		}
		for _, b := range r.branches {
			all += math.Abs(b.emf)
		}
		for i, b := range r.branches {
			amps := b.g * (v[b.a] - v[b.b] + b.emf)
			if i < len(s.els) && math.Abs(-amps-got.Amps(i)) > 1e-12*(all+600)*b.g {
				t.Fatalf("element %d: %g A, want %g A", i, got.Amps(i), -amps)
			}
			sum[part[b.a]] += amps
			sum[part[b.b]] -= amps
			size[whole[b.a]] += b.g * all
		}
		for p, left := range sum {
			if p != part[0] && math.Abs(left) > 1e-12*size[whole[p]] {
				t.Fatalf("%g A is left over of %g A", left, size[whole[p]])
			}
		}
	})
}
