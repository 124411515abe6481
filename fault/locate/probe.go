package locate

// A probe is an observation's circuit reduced to the sections that it touches.
// Each section floats by one unknown, the potential y of its negative end above
// chassis. Everything that a section leaks is its conductance G and its
// conductance-weighted potential sum Q = Σ G_i·u_i, so the current balance is
//
//	(G + Σ g)·y + Q + Σ g·p − Σ g·(other end) = 0
//
// over the elements g at potential p of the section. With one section and all
// elements to chassis, y = −(Q + Σ g·p)/(G + Σ g).
type probe struct {
	slots []int     // sections touched, as indexes into data.slots
	m     []float64 // k×k, elements' part of the balance
	b     []float64 // k
	red   int       // index into slots, -1 = chassis
	black int
	dp    float64 // V, red's potential in its section less black's in its own
	scale float64 // what is read is offset + scale·(red above black)
	shift float64
}

func newProbe(o *observation) probe {
	p := probe{red: -1, black: -1, scale: o.scale, shift: o.offset, slots: make([]int, 0, 2)}
	index := func(e *end) int {
		i := p.indexOf(e)
		if i < 0 && !e.chassis() {
			i = len(p.slots)
			p.slots = append(p.slots, e.slot)
		}
		return i
	}
	p.red, p.black = index(&o.red), index(&o.black)
	for i := range o.elements {
		index(&o.elements[i].a)
		index(&o.elements[i].b)
	}
	k := len(p.slots)
	room := make([]float64, k*k+k)
	p.m, p.b = room[:k*k:k*k], room[k*k:]
	for i := range o.elements {
		p.join(&o.elements[i], o.elements[i].siemens)
	}
	p.dp = o.red.volts - o.black.volts
	return p
}

// indexOf is where an end's section is among those touched; -1 = chassis, or none.
func (p *probe) indexOf(e *end) int {
	if e.chassis() {
		return -1
	}
	for i, s := range p.slots {
		if s == e.slot {
			return i
		}
	}
	return -1
}

// join puts an element in with some conductance.
func (p *probe) join(el *element, g float64) {
	p.add(p.indexOf(&el.a), el.a.volts-el.emf, p.indexOf(&el.b), el.b.volts, g)
}

// add joins an element of conductance g between two ends.
func (p *probe) add(i int, pi float64, j int, pj, g float64) {
	if i == j { // across cells of one section: ideal sources hold it, nothing moves
		return
	}
	k := len(p.slots)
	if i >= 0 {
		p.m[i*k+i] += g
		p.b[i] += g * (pi - pj)
	}
	if j >= 0 {
		p.m[j*k+j] += g
		p.b[j] += g * (pj - pi)
	}
	if i >= 0 && j >= 0 {
		p.m[i*k+j] -= g
		p.m[j*k+i] -= g
	}
}

// eval gives what is read and its derivatives by G and Q of each touched
// section. dG and dQ must hold len(p.slots) values.
func (p *probe) eval(g, q []float64, dG, dQ []float64) float64 {
	v := p.volts(g, q, dG, dQ)
	if p.scale == 1 && p.shift == 0 {
		return v
	}
	for i := range p.slots {
		dG[i] *= p.scale
		dQ[i] *= p.scale
	}
	return p.shift + p.scale*v
}

// volts is red above black, V, with its derivatives.
func (p *probe) volts(g, q []float64, dG, dQ []float64) float64 {
	if len(p.slots) == 1 {
		s := p.slots[0]
		d := g[s] + p.m[0]
		y := -(q[s] + p.b[0]) / d
		sign := 1.0
		if p.red < 0 {
			sign = -1
		}
		dG[0], dQ[0] = -sign*y/d, -sign/d
		return p.dp + sign*y
	}
	return p.evalMany(g, q, dG, dQ)
}

// evalMany solves the small balance of several sections by elimination; the
// matrix is diagonally dominant, so it needs no pivoting.
func (p *probe) evalMany(g, q []float64, dG, dQ []float64) float64 {
	k := len(p.slots)
	var buf [64]float64
	var a []float64
	if 2*k*k > len(buf) {
		a = make([]float64, 2*k*k)
	} else {
		a = buf[:2*k*k]
	}
	w := 2 * k
	for i := 0; i < k; i++ {
		for j := 0; j < k; j++ {
			a[i*w+j], a[i*w+k+j] = p.m[i*k+j], 0
		}
		a[i*w+i] += g[p.slots[i]]
		a[i*w+k+i] = 1
	}
	for c := 0; c < k; c++ {
		piv := a[c*w+c]
		for j := 0; j < w; j++ {
			a[c*w+j] /= piv
		}
		for i := 0; i < k; i++ {
			if f := a[i*w+c]; i != c && f != 0 {
				for j := 0; j < w; j++ {
					a[i*w+j] -= f * a[c*w+j]
				}
			}
		}
	}
	out := p.dp
	for i := 0; i < k; i++ {
		dG[i], dQ[i] = 0, 0
	}
	for i := 0; i < k; i++ {
		// row of the inverse that the reading takes: red's less black's
		y := 0.0
		for j := 0; j < k; j++ {
			y -= a[i*w+k+j] * (q[p.slots[j]] + p.b[j])
		}
		if i == p.red {
			out += y
		}
		if i == p.black {
			out -= y
		}
		r := 0.0 // how the reading moves with a current into section i
		if p.red >= 0 {
			r += a[p.red*w+k+i]
		}
		if p.black >= 0 {
			r -= a[p.black*w+k+i]
		}
		dQ[i], dG[i] = -r, -r*y
	}
	return out
}
