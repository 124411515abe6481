package locate

// A turn is what a probe reads and how that moves: with the logarithm of every
// size, the background's last, and with every source's own potential.
type turn struct {
	value float64
	size  [maxSources + 1]float64
	delta [maxSources]float64
}

func (f *fit) turnOf(pr *probe, t *turn) {
	k := len(f.src)
	t.value = pr.eval(f.g, f.q, f.dG, f.dQ)
	for e, src := range f.src {
		var dx, dd float64
		for i, s := range pr.slots {
			if u := src.u[s]; u == u {
				n := src.many(s)
				dx += n * (f.dG[i] + f.dQ[i]*u)
				dd += n * f.dQ[i]
			}
		}
		t.size[e], t.delta[e] = dx*f.cond[e], dd*f.cond[e]
	}
	for i, s := range pr.slots {
		sl := &f.m.d.slots[s]
		t.size[k] += sl.share * (f.dG[i] + f.dQ[i]*sl.middle) * f.cond[k]
	}
}

// addBounds adds what the readings that are bounds say, at the leak paths' mean
// potentials, their variance widening the bound.
func (f *fit) addBounds() {
	k := len(f.src)
	for i := range f.m.bounds {
		b := &f.m.bounds[i]
		var t turn
		f.turnOf(&b.probe, &t)
		v, extra := t.value, 0.0
		for e := 0; e < k; e++ {
			v += t.delta[e] * f.dMean[e]
			extra += t.delta[e] * t.delta[e] * f.dVar[e]
		}
		logP, slope, curve := b.allowed.likelihood(v, extra)
		f.psi += logP
		f.chi2 -= 2 * logP
		for a := 0; a <= k; a++ {
			f.grad[a] += slope * t.size[a]
			for c := 0; c <= k; c++ {
				f.hess[a][c] += curve * t.size[a] * t.size[c]
			}
		}
	}
}
