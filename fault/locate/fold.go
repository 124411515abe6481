package locate

import (
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// Readings of one section through circuits of the same conductance g, a meter
// say, at many taps p are not so many independent functions of the section's two
// numbers: with y = −(Q + g·p)/(G + g) each is
//
//	p + y = p·G/(G + g) − Q/(G + g)
//
// linear in p, so that two of them give all. Let v be all readings, w the few
// that are enough, v = c + B·w. What is minimised is
//
//	|L⁻¹(y − c − B·w)|² = |Uᵀz − R·w|² + (|z|² − |Uᵀz|²),  z = L⁻¹(y − c),  L⁻¹B = U·R
//
// with R square and triangular, and the last bracket a constant: what repeated
// readings have against each other. A hypothesis is then weighed by w alone,
// whatever the number of readings.

// A whiteLine is one row of R: what it takes of the folded readings, from the
// first that it takes any of.
type whiteLine struct {
	from int
	by   []float64
}

// A fold says how one reading follows from one or two others of its circuit:
// const + scale·((1 − part)·lo + part·hi).
type fold struct {
	lo, hi int // into folded
	part   float64
}

// foldReadings replaces the readings to chassis by as few as say the same, where
// that makes them fewer. inv holds the rows of L⁻¹, packed.
func (m *model) foldReadings(inv []float64) {
	folds := m.pickFolded()
	n, c := len(m.probes), len(m.folded)
	if c == n {
		m.folded = m.probes
		plain := m.target
		m.target = make([]float64, n)
		for at, i := 0, 0; i < n; i++ {
			line := inv[at : at+i+1]
			for j, w := range line {
				m.target[i] += w * plain[j]
			}
			m.white = append(m.white, whiteLine{by: line})
			at += i + 1
		}
		return
	}
	t := blas64.General{Rows: n, Cols: c + 1, Stride: c + 1, Data: make([]float64, n*(c+1))}
	at := 0
	for i := 0; i < n; i++ {
		row := t.Data[i*t.Stride:]
		for j, w := range inv[at : at+i+1] {
			p, f := &m.probes[j], folds[j]
			row[f.lo] += w * p.scale * (1 - f.part)
			row[f.hi] += w * p.scale * f.part
			row[c] += w * (m.target[j] - p.shift - p.scale*p.dp)
		}
		at += i + 1
	}
	room := make([]float64, 2*(c+1))
	lapack64.Geqrf(t, room[:c+1], room[c+1:], c+1) // leaves R in the upper triangle
	m.target, m.white = make([]float64, c), make([]whiteLine, c)
	for i := range m.white {
		row := t.Data[i*t.Stride : (i+1)*t.Stride]
		m.target[i], m.white[i] = row[c], whiteLine{i, row[i:c]}
	}
	rest := t.Data[c*t.Stride+c]
	m.fixed += rest * rest
}

// pickFolded fills folded with the readings at the lowest and the highest
// potential of every circuit, bare of leads and scale, and says how the others
// follow.
func (m *model) pickFolded() []fold {
	folds, own := make([]fold, len(m.probes)), make([]int, len(m.probes)) // own: the first reading of the same circuit
	for i := range m.probes {
		p := &m.probes[i]
		own[i] = i
		for k := 0; k < i && len(p.slots) == 1; k++ {
			if own[k] == k && p.alike(&m.probes[k]) {
				own[i] = k
				break
			}
		}
	}
	for i := range m.probes {
		if own[i] != i {
			continue
		}
		lo, hi := i, i
		for k := i; k < len(m.probes); k++ {
			if own[k] == i && m.probes[k].b[0] < m.probes[lo].b[0] {
				lo = k
			}
			if own[k] == i && m.probes[k].b[0] > m.probes[hi].b[0] {
				hi = k
			}
		}
		f := fold{lo: len(m.folded), hi: len(m.folded)}
		m.folded = append(m.folded, m.probes[lo].bare())
		if hi != lo {
			f.hi++
			m.folded = append(m.folded, m.probes[hi].bare())
		}
		for k := i; k < len(m.probes); k++ {
			if own[k] == i {
				folds[k] = f
				if hi != lo {
					folds[k].part = (m.probes[k].b[0] - m.probes[lo].b[0]) / (m.probes[hi].b[0] - m.probes[lo].b[0])
				}
			}
		}
	}
	return folds
}

// alike says that two probes of one section have the same circuit but for where
// it is joined on.
func (p *probe) alike(o *probe) bool {
	return len(o.slots) == 1 && p.slots[0] == o.slots[0] && p.m[0] == o.m[0] && p.red == o.red && p.black == o.black
}

// bare is what the section alone does to a probe.
func (p *probe) bare() probe {
	out := *p
	out.dp, out.shift, out.scale = 0, 0, 1
	return out
}
