package cells

import (
	"math"
	"slices"
)

// What is taken to vary besides a band, one standard deviation in mV: the level of
// each class of modules (free), and along the string a trend, a bow, and waves
// that are the smaller the shorter they are.
const levelSD = 1000.0

var curveSD = []float64{10, 6, 3, 2, 1.5, 1}

// A model is a string's kept groups with everything but a run taken out:
//
//	v = Xβ + module + noise,  β ~ N(0, 1/prec),  module ~ N(0, τ²),  noise ~ N(0, σ²).
//
// A run of groups that is lower by d changes its likelihood by a closed form of
// two sums over the run, s and n, which are differences of prefix sums; so every
// pair of edges can be weighed.
type model struct {
	at    []int // by kept group: its place in the string
	y     []float64
	block []int // by kept group: its module, counted from 0 without gaps
	start []int // by block: its first kept group; one more than there are blocks

	sigma, tau float64

	x      [][]float64 // baseline columns
	prec   []float64
	s      []float64   // prefix of Σ⁻¹(y − Xβ)
	z      [][]float64 // prefix of Σ⁻¹X L⁻ᵀ, by column
	blocks []float64   // prefix over blocks of 1ᵀΣ⁻¹1
	res    []float64   // y − Xβ with β as without a run
}

// newModel takes the groups of a line that are kept; there must be some.
func newModel(l *line, keep []bool, sigma, tau float64) *model {
	m := &model{sigma: sigma, tau: tau}
	for at, ok := range keep {
		if !ok {
			continue
		}
		if len(m.at) == 0 || l.part[at] != l.part[m.at[len(m.at)-1]] {
			m.start = append(m.start, len(m.at))
		}
		m.block = append(m.block, len(m.start)-1)
		m.at = append(m.at, at)
		m.y = append(m.y, l.mv[at])
	}
	m.start = append(m.start, len(m.at))
	mid := median(m.y)
	for i := range m.y {
		m.y[i] -= mid
	}
	m.columns(l)
	m.solve()
	return m
}

func (m *model) columns(l *line) {
	var classes []int
	for _, at := range m.at {
		if c := l.class[at]; !slices.Contains(classes, c) {
			classes = append(classes, c)
		}
	}
	for _, c := range classes {
		m.column(levelSD, func(at int) float64 {
			if l.class[at] == c {
				return 1
			}
			return 0
		})
	}
	along := func(at int) float64 { return (2*float64(at)+1)/float64(len(l.mv)) - 1 }
	for k, sd := range curveSD {
		m.column(sd, func(at int) float64 { return legendre(k+1, along(at)) })
	}
}

// legendre is the polynomial of degree k, at most 1 between −1 and 1.
func legendre(k int, t float64) float64 {
	before, p := 1.0, t
	for i := 2; i <= k; i++ {
		before, p = p, (float64(2*i-1)*t*p-float64(i-1)*before)/float64(i)
	}
	return p
}

func (m *model) column(sd float64, f func(at int) float64) {
	col := make([]float64, len(m.at))
	for i, at := range m.at {
		col[i] = f(at)
	}
	m.x, m.prec = append(m.x, col), append(m.prec, 1/(sd*sd))
}

// kappa is the share of a block's sum that Σ⁻¹ takes back from each of its groups.
func (m *model) kappa(b int) float64 {
	t := m.tau * m.tau
	return t / (m.sigma*m.sigma + float64(m.start[b+1]-m.start[b])*t)
}

// inverse is Σ⁻¹u.
func (m *model) inverse(u []float64) []float64 {
	out := make([]float64, len(u))
	for b := range len(m.start) - 1 {
		sum := 0.0
		for _, v := range u[m.start[b]:m.start[b+1]] {
			sum += v
		}
		k := m.kappa(b) * sum
		for i := m.start[b]; i < m.start[b+1]; i++ {
			out[i] = (u[i] - k) / (m.sigma * m.sigma)
		}
	}
	return out
}

func (m *model) solve() {
	k := len(m.x)
	w := make([][]float64, k) // Σ⁻¹X
	a := make([][]float64, k) // XᵀΣ⁻¹X + prec, then its Cholesky factor
	for i := range w {
		w[i] = m.inverse(m.x[i])
		a[i] = make([]float64, k)
		for j := range i + 1 {
			a[i][j] = dot(w[i], m.x[j])
		}
		a[i][i] += m.prec[i]
	}
	cholesky(a)
	m.z = make([][]float64, k)
	col := make([][]float64, k)
	m.res = slices.Clone(m.y)
	for i := range k { // columns of Σ⁻¹X L⁻ᵀ and of X L⁻ᵀ
		zi, xi := slices.Clone(w[i]), slices.Clone(m.x[i])
		for j := range i {
			axpy(zi, -a[i][j], m.z[j])
			axpy(xi, -a[i][j], col[j])
		}
		scale(zi, 1/a[i][i])
		scale(xi, 1/a[i][i])
		m.z[i], col[i] = zi, xi
	}
	for i := range k {
		axpy(m.res, -dot(m.z[i], m.y), col[i])
	}
	m.s = prefix(m.inverse(m.res))
	for i := range k {
		m.z[i] = prefix(m.z[i])
	}
	m.blocks = make([]float64, len(m.start))
	for b := range len(m.start) - 1 {
		m.blocks[b+1] = m.blocks[b] + m.inBlock(b, m.start[b+1]-m.start[b])
	}
}

func (m *model) inBlock(b, count int) float64 {
	c := float64(count)
	return (c - m.kappa(b)*c*c) / (m.sigma * m.sigma)
}

// sums are s and n of the kept groups from i up to, not with, j > i: the best
// depth is −s/n, its standard deviation 1/√n.
func (m *model) sums(i, j int) (s, n float64) {
	bi, bj := m.block[i], m.block[j-1]
	if bi == bj {
		n = m.inBlock(bi, j-i)
	} else {
		n = m.inBlock(bi, m.start[bi+1]-i) + m.blocks[bj] - m.blocks[bi+1] + m.inBlock(bj, j-m.start[bj])
	}
	for _, z := range m.z {
		d := z[j] - z[i]
		n -= d * d
	}
	return m.s[j] - m.s[i], math.Max(n, 1e-9/(m.sigma*m.sigma))
}

// residuals are what a run of that depth from i to j leaves, baseline and module
// levels fitted around it.
func (m *model) residuals(i, j int, depth float64) (raw, within []float64) {
	y := slices.Clone(m.y)
	for g := i; g < j; g++ {
		y[g] += depth
	}
	n := *m
	n.y = y
	n.solve()
	return n.res, n.withinModules(n.res)
}

// withinModules takes from residuals what the modules' own levels explain.
func (m *model) withinModules(res []float64) []float64 {
	out := slices.Clone(res)
	for b := range len(m.start) - 1 {
		sum := 0.0
		for _, v := range res[m.start[b]:m.start[b+1]] {
			sum += v
		}
		for i := m.start[b]; i < m.start[b+1]; i++ {
			out[i] -= m.kappa(b) * sum
		}
	}
	return out
}

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

func axpy(to []float64, f float64, from []float64) {
	for i := range to {
		to[i] += f * from[i]
	}
}

func scale(v []float64, f float64) {
	for i := range v {
		v[i] *= f
	}
}

func prefix(v []float64) []float64 {
	out := make([]float64, len(v)+1)
	for i, x := range v {
		out[i+1] = out[i] + x
	}
	return out
}

// cholesky turns the lower half of a positive definite matrix into its factor.
func cholesky(a [][]float64) {
	for i := range a {
		for j := range i + 1 {
			sum := a[i][j] - dot(a[i][:j], a[j][:j])
			if i == j {
				a[i][i] = math.Sqrt(math.Max(sum, 1e-12))
			} else {
				a[i][j] = sum / a[j][j]
			}
		}
	}
}
