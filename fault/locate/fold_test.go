package locate

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// TestModel_FoldedIsTheSame holds what a fit says to the readings taken one by one
// with a covariance by groups: χ² differs by a constant alone, and the folded
// readings are fewer.
func TestModel_FoldedIsTheSame(t *testing.T) {
	for _, l := range []load{{8, 4, "closed", false}, {8, 4, "split", false}, {8, 4, "readings=24", false}} {
		tr := l.trial(t)
		d := prepare(&tr.c, tr.net, premise{})
		g, q := d.guesses()
		m, err := newModel(d, g, q)
		if err != nil {
			t.Fatal(err)
		}
		if l.read == "readings=24" && len(m.folded) >= len(m.probes) {
			t.Errorf("%s: %d readings stay %d", l.name(), len(m.probes), len(m.folded))
		}
		slow := covarianceByGroups(m, g, q)
		fast := m.rows.covariance()
		n := len(m.order)
		for i := range n {
			for j := range n {
				if d := math.Abs(slow.At(i, j) - fast.At(i, j)); d > 1e-9*math.Sqrt(slow.At(i, i)*slow.At(j, j)) {
					t.Fatalf("%s: covariance of %d and %d is %g, by groups %g", l.name(), i, j, fast.At(i, j), slow.At(i, j))
				}
			}
		}
		var ch mat.Cholesky
		if !ch.Factorize(slow) {
			t.Fatal("not positive definite")
		}
		if d := math.Abs(ch.LogDet() - m.logDet); d > 1e-6 {
			t.Errorf("%s: ln det is off by %g", l.name(), d)
		}
		rng := rand.New(rand.NewPCG(3, 4))
		f := newFit(m)
		c := d.candidates()
		for range 50 {
			a, b := c[rng.IntN(len(tr.volts))], c[rng.IntN(len(tr.volts))]
			fixed := func(s source) *source { s.sd = 1e-9; return &s }
			f.src = []*source{fixed(a.source), fixed(b.source)}
			f.at([]float64{logUniform(rng, xLow, xHigh), logUniform(rng, xLow, xHigh), logUniform(rng, bLow, bHigh)})
			want := chiByReading(m, f, &ch)
			if got := f.chi2 + m.fixed; math.Abs(got-want) > 1e-7*want {
				t.Fatalf("%s: χ² is %.12g, by every reading %.12g", l.name(), got, want)
			}
		}
	}
}

// chiByReading is rᵀC⁻¹r over every reading.
func chiByReading(m *model, f *fit, ch *mat.Cholesky) float64 {
	r := mat.NewVecDense(len(m.order), nil)
	for i, oi := range m.order {
		o := &m.d.obs[oi]
		v := o.red.volts - o.black.volts
		if i >= m.nWith {
			p := newProbe(o)
			buf := make([]float64, 2*len(p.slots))
			v = p.eval(f.g, f.q, buf, buf[len(p.slots):])
		}
		r.SetVec(i, o.value-v)
	}
	var x mat.VecDense
	if ch.SolveVecTo(&x, r) != nil {
		return math.NaN()
	}
	return mat.Dot(r, &x)
}

// covarianceByGroups sums over every group what the model sums over paths.
func covarianceByGroups(m *model, g, q []float64) *mat.SymDense {
	n, d := len(m.order), m.d
	rows := make([][]float64, n)
	for i, oi := range m.order {
		o := &d.obs[oi]
		row := make([]float64, len(d.net.Groups))
		add := func(e end, c float64) {
			if !e.chassis() {
				for k, w := range d.path(&d.slots[e.slot], e.node) {
					row[k] += c * w
				}
			}
		}
		add(o.red, 1)
		add(o.black, -1)
		if i >= m.nWith {
			p := newProbe(o)
			s := p.slots[0]
			buf := make([]float64, 2)
			p.eval(g, q, buf[:1], buf[1:])
			dQ := buf[1]
			for _, el := range o.elements {
				add(el.a, el.siemens*dQ)
			}
			for k, w := range d.pathTo(&d.slots[s], q[s]/g[s]) {
				row[k] += dQ * g[s] * w
			}
		}
		rows[i] = row
	}
	c := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			sum := 0.0
			x, y := m.cellsOf(m.order[i]), m.cellsOf(m.order[j])
			for k := range rows[i] {
				if x.list[x.source[k]] == y.list[y.source[k]] {
					sum += rows[i][k] * rows[j][k] * x.sd[k] * y.sd[k]
				}
			}
			for _, name := range m.rows.names {
				sum += m.rows.common[name][i] * m.rows.common[name][j]
			}
			if i == j {
				sum += m.rows.count[i]*m.rows.count[i] + 1e-12
			}
			c.SetSym(i, j, sum)
		}
	}
	return c
}
