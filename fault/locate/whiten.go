package locate

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
	"gonum.org/v1/gonum/mat"
)

// A model is the observations with everything that blurs them: count errors,
// common gains, input and resistor tolerances, cell voltages. Its covariance is
// taken once, at the sections' estimated two numbers, since every explanation
// that fits the readings shares those numbers; the leak paths' own potentials
// are not in it, they belong to each hypothesis.
//
// Residuals are whitened: r = L⁻¹(y − v) with C = L·Lᵀ, so that r·r is χ².
// Observations within a section come first; no leak moves them, so their part
// of r·r is a constant.
type model struct {
	d      *data
	order  []int // into d.obs, within-section first
	nWith  int
	probes []probe
	bounds []boundProbe
	folded []probe     // as few of the probes as say all of them
	white  []whiteLine // what the whitened residual takes of those
	target []float64   // y less what the within-section readings already explain, whitened
	fixed  float64     // χ² that no leak moves: of the within-section readings, of repeated ones
	logDet float64     // ln det C
	rows   *errorRows
}

// A boundProbe is a reading that says where its value lies, not what it is. It
// stays out of the covariance: its own error is in the bound.
type boundProbe struct {
	probe
	allowed bound
}

func newModel(d *data, g, q []float64) (*model, error) {
	m := &model{d: d}
	for i := range d.obs {
		if o := &d.obs[i]; o.allowed.set {
			m.bounds = append(m.bounds, boundProbe{o.circuit, o.allowed})
		}
	}
	for pass := 0; pass < 2; pass++ {
		for i := range d.obs {
			if d.obs[i].within == (pass == 0) && !d.obs[i].allowed.set {
				m.order = append(m.order, i)
			}
		}
		if pass == 0 {
			m.nWith = len(m.order)
		}
	}
	for _, i := range m.order[m.nWith:] {
		m.probes = append(m.probes, d.obs[i].circuit)
	}
	m.rows = m.sensitivities(g, q)
	return m, m.whiten(m.rows.covariance())
}

// whiten factors the covariance and folds the within-section readings away.
func (m *model) whiten(c *mat.SymDense) error {
	chol, ok := lapack64.Potrf(upper(c))
	n, stride := chol.N, chol.Stride
	l := func(i, j int) float64 { return chol.Data[j*stride+i] } // L = Uᵀ
	for i := 0; ok && i < n; i++ {
		m.logDet += 2 * math.Log(l(i, i))
	}
	if !ok {
		return fmt.Errorf("the readings' errors cannot be told apart (covariance of %d readings is singular)", len(m.order))
	}
	n = len(m.order)
	z := make([]float64, n) // whitened within-section residuals
	for i := 0; i < m.nWith; i++ {
		o := &m.d.obs[m.order[i]]
		r := o.value - (o.red.volts - o.black.volts)
		for j := 0; j < i; j++ {
			r -= l(i, j) * z[j]
		}
		z[i] = r / l(i, i)
		m.fixed += z[i] * z[i]
	}
	m.target = make([]float64, n-m.nWith)
	for i := range m.target {
		o := &m.d.obs[m.order[m.nWith+i]]
		m.target[i] = o.value
		for j := 0; j < m.nWith; j++ {
			m.target[i] -= l(m.nWith+i, j) * z[j]
		}
	}
	m.foldReadings(invertLower(l, m.nWith, n-m.nWith))
	return nil
}

// upper is a symmetric matrix for gonum's plain factoring, which overwrites it: it
// leaves out the condition number, which takes longer than the factors.
func upper(c *mat.SymDense) blas64.Symmetric { return c.RawSymmetric() }

// invertLower inverts the trailing np×np block of a lower triangle, packed by rows.
func invertLower(l func(i, j int) float64, off, np int) []float64 {
	inv := make([]float64, np*(np+1)/2)
	row := make([]float64, np)
	at := 0 // of row i
	for i := 0; i < np; i++ {
		for k := range row[:i] {
			row[k] = l(off+i, off+k)
		}
		diag := l(off+i, off+i)
		out := inv[at : at+i+1]
		for k, first := 0, 0; k < i; k++ {
			for j, v := range inv[first : first+k+1] {
				out[j] -= row[k] * v
			}
			first += k + 1
		}
		for j := range out[:i] {
			out[j] /= diag
		}
		out[i] = 1 / diag
		at += i + 1
	}
	return inv
}

// dof is how many readings there are to fit.
func (m *model) dof() int { return len(m.order) }

// chiBad says whether a χ² with that many degrees of freedom is beyond p = 0.001.
func chiBad(chi2 float64, dof int) bool {
	if dof < 1 {
		dof = 1
	}
	return chi2 > chiLimit(dof)
}

// chiLimit is the 99.9 % point of χ² by Wilson and Hilferty (1931).
func chiLimit(dof int) float64 {
	k := float64(dof)
	const z = 3.0902 // 99.9 % point of the normal distribution
	return k * math.Pow(1-2/(9*k)+z*math.Sqrt(2/(9*k)), 3)
}
