package locate

import (
	"context"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/locate/choose"
	"halfsplit/topology"
)

// A prospect is the pack as it would be after some changes, for foretelling what
// would be read then.
type prospect struct {
	joined   *topology.Joined
	open     map[string]bool // links recorded open, and those that would be opened
	plugged  func(board string) bool
	sections []*stretch // by section of joined, once asked for
}

// A stretch is a section as every account has it.
//
// With conductances Gᵢ at potentials uᵢ above its negative end, and a meter or test
// resistor g from a point p to chassis, the negative end floats at
//
//	y = −(Σ Gᵢuᵢ + g·p)/(Σ Gᵢ + g)
//
// above chassis. It moves with a leak path's own potential by −Gᵢ/(G + g), and with
// the logarithm of a size by −Gᵢ(uᵢ + y)/(G + g).
type stretch struct {
	from, to topology.NodeID
	phi      []float64 // V above from, by node
	volts    float64
	cellSD   float64 // V, of volts
	sums     []sums  // by account and draw, flat
	known    map[view]*sight
}

// sums are a stretch's Σ over its leaks and background, of one account and draw.
type sums struct {
	g, q       float64 // S, A
	path       float64 // Σ (Gᵢ·sd(uᵢ))²
	a, au, auu float64 // Σ (Gᵢ·sd ln Gᵢ)² · 1, uᵢ, uᵢ²
}

// at is the potential above chassis of a point p of the section, and its spread.
func (s *sums) at(p, siemens float64) (v, sd float64) {
	all := s.g + siemens
	y := -(s.q + siemens*p) / all
	size := s.a*y*y + 2*s.au*y + s.auu
	return p + y, math.Sqrt(math.Max(0, s.path+size)) / all
}

// A foreteller knows the accounts, and the prospects that were looked at.
type foreteller struct {
	a         *analysis
	si        int // the present state
	accounts  []account
	weights   []float64 // by account and draw, flat
	first     []int     // index of an account's first draw
	stretches map[stretchKey]*stretch
	joined    map[string]*topology.Joined // by the links that are open
	now       *prospect                   // nothing done yet
	scratch   [histogram]float64
}

type stretchKey struct {
	from, to topology.NodeID
	groups   uint64 // a fingerprint of the groups
	off      uint64 // a fingerprint of the boards that are not plugged
}

func (a *analysis) foretell(ctx context.Context, si int) *foreteller {
	o := &foreteller{a: a, si: si, accounts: a.accounts(ctx), stretches: map[stretchKey]*stretch{}, joined: map[string]*topology.Joined{}}
	for _, acc := range o.accounts {
		o.first = append(o.first, len(o.weights))
		for _, d := range acc.draws {
			o.weights = append(o.weights, acc.weight*d.part)
		}
	}
	o.now = o.after(nil, nil)
	return o
}

// after is the present state with more links open and more boards unplugged.
func (o *foreteller) after(open, unplugged []string) *prospect {
	s := o.a.c.States[o.si]
	s.Open = slices.Concat(s.Open, open)
	s.Unplugged = slices.Concat(s.Unplugged, unplugged)
	p := &prospect{joined: o.in(s), open: map[string]bool{}, plugged: s.Plugged}
	for _, id := range s.Open {
		p.open[id] = true
	}
	p.sections = make([]*stretch, len(p.joined.Sections))
	return p
}

// in is the string in a state's setting; boards make no difference to it.
func (o *foreteller) in(s fault.State) *topology.Joined {
	open := slices.Sorted(slices.Values(s.Open))
	key := strings.Join(open, " ")
	j := o.joined[key]
	if j == nil {
		j = o.a.net.In(s.Setting())
		o.joined[key] = j
	}
	return j
}

// section is a prospect's section as a stretch.
func (o *foreteller) section(p *prospect, sec int) *stretch {
	if s := p.sections[sec]; s != nil {
		return s
	}
	x := &p.joined.Sections[sec]
	key := stretchKey{from: x.From, to: x.To, groups: 1469598103934665603}
	for _, g := range x.Groups {
		key.groups = (key.groups ^ uint64(g)) * 1099511628211
	}
	for i, b := range o.a.net.Layout.Boards {
		if !p.plugged(b.ID) {
			key.off = (key.off ^ uint64(i+1)) * 1099511628211
		}
	}
	s := o.stretches[key]
	if s == nil {
		s = o.stretch(p, sec)
		o.stretches[key] = s
	}
	p.sections[sec] = s
	return s
}

func (o *foreteller) stretch(p *prospect, sec int) *stretch {
	x, cv := &p.joined.Sections[sec], o.a.d.cells[o.si]
	s := &stretch{from: x.From, to: x.To, phi: p.joined.Potentials(x, cv.mean), known: map[view]*sight{}}
	s.volts = s.phi[x.To]
	middle, spread := 0.0, 0.0
	for _, g := range x.Groups {
		grp := o.a.net.Groups[g]
		middle += (s.phi[grp.Lo] + s.phi[grp.Hi]) / 2 / float64(len(x.Groups))
		spread += cv.sd[g] * cv.sd[g]
	}
	s.cellSD = math.Hypot(math.Sqrt(spread), commonCellSD*s.volts)
	share := float64(len(x.Groups)) / float64(max(1, len(o.a.net.Groups)))
	known := slot{state: o.si, phi: s.phi}
	o.a.d.addMonitor(&known)
	for i := range o.accounts {
		acc := &o.accounts[i]
		for k := range acc.draws {
			d := &acc.draws[k]
			t := sums{g: known.fixedG + d.background*share, q: known.fixedGU + d.background*share*middle}
			for n := range acc.leaks {
				if u := s.potential(p, &acc.leaks[n]); u == u {
					t.leak(u, acc.leaks[n].uSD, d.g[n], d.lnSD[n])
				}
			}
			s.sums = append(s.sums, t)
		}
	}
	return s
}

// commonCellSD is what a cell list may be off as a whole, relative, where nothing
// better is known.
const commonCellSD = 0.002

// potential is where a leak acts in the section; NaN where it is not in it, or is
// gone with what was opened or unplugged.
func (s *stretch) potential(p *prospect, h *hung) float64 {
	switch {
	case h.node == topology.NoNode,
		h.kind == fault.BoardLeak && !p.plugged(h.id),
		h.kind == fault.LinkLeak && p.open[h.id]:
		return math.NaN()
	}
	return s.phi[h.node] + h.u
}

func (s *sums) leak(u, uSD, g, lnSD float64) {
	s.g += g
	s.q += g * u
	s.path += g * uSD * g * uSD
	w := g * lnSD * g * lnSD
	s.a += w
	s.au += w * u
	s.auu += w * u * u
}

// A view is one reading of a section: red on a node, black on chassis, with what
// is joined there.
type view struct {
	node    topology.NodeID
	siemens float64 // meter and test resistor
}

// A sight is what a view would show: the density of every account and draw, and
// the same in bins for the planner.
type sight struct {
	mean, sd []float64 // by account and draw, V
	edges    []float64 // of the bins, V, ascending
	chances  [][]choose.Chance
}

// look foretells a view. gain and count are the meter's own errors: relative, and V.
func (o *foreteller) look(s *stretch, v view, m *usedMeter) *sight {
	if known := s.known[v]; known != nil {
		return known
	}
	out := &sight{mean: make([]float64, len(s.sums)), sd: make([]float64, len(s.sums))}
	p := s.phi[v.node]
	for i := range s.sums {
		mean, sd := s.sums[i].at(p, v.siemens)
		own := m.sd(mean)
		out.mean[i], out.sd[i] = mean, math.Sqrt(sd*sd+own*own+s.cellSD*s.cellSD/4)
	}
	o.bin(out)
	s.known[v] = out
	return out
}

const (
	histogram = 512 // cells that bins are made of
	bins      = 16  // of a reading
	slight    = 5e-3
)

// bin cuts what can be read into bins of about the same probability, so that few
// of them tell nearly all that the reading tells. To put a reading into a bin loses
// information and never adds any: bits that rest on bins are a lower bound.
func (o *foreteller) bin(s *sight) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, v := range s.mean {
		if o.weights[i] > 1e-4 {
			lo, hi = math.Min(lo, v-2*s.sd[i]), math.Max(hi, v+2*s.sd[i])
		}
	}
	if !(hi > lo) {
		hi = lo + 1
	}
	h := o.scratch[:]
	clear(h)
	step := (hi - lo) / histogram
	for i, v := range s.mean {
		for _, t := range smear {
			at := int((v + t.z*s.sd[i] - lo) / step)
			h[max(0, min(histogram-1, at))] += o.weights[i] * t.w
		}
	}
	total, sum := 0.0, 0.0
	for _, w := range h {
		total += w
	}
	for i, w := range h {
		if sum += w; sum >= total/bins && i < histogram-1 {
			s.edges = append(s.edges, lo+float64(i+1)*step)
			sum = 0
		}
	}
	s.chances = make([][]choose.Chance, len(o.accounts))
	for i := range o.accounts {
		s.chances[i] = o.chancesOf(s, i)
	}
}

// smear stands for a normal density by five points of equal probability.
var smear = [5]struct{ z, w float64 }{{-1.2816, .2}, {-0.5244, .2}, {0, .2}, {0.5244, .2}, {1.2816, .2}}

func (o *foreteller) chancesOf(s *sight, i int) []choose.Chance {
	var room [bins + 2]float64
	acc := &o.accounts[i]
	for k := range acc.draws {
		at := o.first[i] + k
		s.spill(room[:], s.mean[at], s.sd[at], acc.draws[k].part)
	}
	var out []choose.Chance
	sum := 0.0
	for key, p := range room {
		if p > slight {
			out = append(out, choose.Chance{Key: key, P: p})
			sum += p
		}
	}
	for n := range out {
		out[n].P /= sum
	}
	return out
}

// spill spreads a normal density over the bins.
func (s *sight) spill(room []float64, mean, sd, part float64) {
	from, _ := slices.BinarySearch(s.edges, mean-3.5*sd)
	below := 0.0
	for key := from; key < len(room); key++ {
		p := 1.0
		if key < len(s.edges) && s.edges[key] < mean+3.5*sd {
			p = normalCDF((s.edges[key] - mean) / sd)
		}
		room[key] += part * (p - below)
		if below = p; p == 1 {
			return
		}
	}
}

// normalCDF by the logistic form of Bowling and others (2009): within 1.4e-4.
func normalCDF(z float64) float64 { return 1 / (1 + math.Exp(-z*(1.5976+0.07056*z*z))) }

// interval is where a reading is expected at 95 %, over all accounts.
func (o *foreteller) interval(s *sight) fault.Range2 {
	return fault.Range2{Low: fault.Number(o.point(s, 0.025)), High: fault.Number(o.point(s, 0.975))}
}

// point is where p of what a sight would show lies below, by bisection.
func (o *foreteller) point(s *sight, p float64) float64 {
	mean, sd := s.mean, s.sd
	lo, hi, total := math.Inf(1), math.Inf(-1), 0.0
	for i, w := range o.weights {
		lo, hi, total = math.Min(lo, mean[i]-6*sd[i]), math.Max(hi, mean[i]+6*sd[i]), total+w
	}
	for range 40 {
		at, sum := (lo+hi)/2, 0.0
		for i, w := range o.weights {
			switch z := (at - mean[i]) / sd[i]; {
			case z > 6:
				sum += w
			case z > -6:
				sum += w * 0.5 * math.Erfc(-z/math.Sqrt2)
			}
		}
		if sum < p*total {
			lo = at
		} else {
			hi = at
		}
	}
	return (lo + hi) / 2
}
