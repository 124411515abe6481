package locate

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
)

// An account is one explanation of the readings, made ready to foretell readings
// that were not taken yet: its leaks hang on parts of the pack instead of on the
// sections that were read, with the numbers that the readings left them.
type account struct {
	label  string // what must come out, or another of the labels below
	weight float64
	leaks  []hung
	draws  []draw
}

// Labels of what asks for something else than taking out a part of the pack.
const (
	labelNone    = "no leak"
	labelWet     = "a wet run"
	labelUnread  = "a part that was not read"
	labelOutside = "beyond the string"
	labelAnd     = " and " // between the parts of two leaks
)

// A hung leak is where a leak hangs, and what it takes for it to be there.
type hung struct {
	node topology.NodeID
	kind string  // fault.One for a tap of the string
	id   string  // of the board or link that takes it away
	u    float64 // V, its path's own potential as the readings have it
	uSD  float64 // V, what they left open of it
}

// A draw is one set of sizes that an account may have, at one background.
type draw struct {
	part       float64   // of the account
	g          []float64 // S, by leak
	lnSD       []float64 // spread of ln G at this background
	background float64   // S, of the whole pack
}

const (
	worthAccount = 1e-5 // share below which an explanation foretells nothing
	worthDraws   = 2e-3 // share from which its background is drawn more than once
	backgrounds  = 5    // draws of it
)

// accounts lists the explanations, heaviest first. Those that mean the same parts
// at the same conductors are one.
func (a *analysis) accounts(ctx context.Context) []account {
	po := a.po
	b := &accountant{a: a, f: newFit(po.m), stop: func() bool { return ctx.Err() != nil }}
	if s := po.share(po.none); s >= worthAccount {
		b.add(account{label: labelNone, weight: s}, nil, po.nonePeak.p, nil)
	}
	for i, c := range po.cands {
		if s := po.share(po.one[i]); s >= worthAccount && !c.beside {
			b.single(i, s)
		}
	}
	b.pairs()
	b.spreads()
	slices.SortStableFunc(b.out, func(x, y account) int { return cmp.Compare(y.weight, x.weight) })
	return b.out
}

// An accountant makes accounts out of a posterior.
type accountant struct {
	a    *analysis
	f    *fit
	stop func() bool // nobody waits for it any more
	out  []account
}

// add finishes an account: sources are its leaks as the readings saw them, and leak
// gives the source that each of its own leaks is a part of, with the part.
func (b *accountant) add(acc account, src []*source, p []float64, part func(leak int) (source int, times float64)) {
	draws, mean, sd := b.numbers(acc.weight, src, p)
	for i := range acc.leaks {
		s, _ := part(i)
		acc.leaks[i].u, acc.leaks[i].uSD = mean[s], sd[s]
	}
	for _, d := range draws {
		own := draw{part: d.part, background: d.background}
		for i := range acc.leaks {
			s, times := part(i)
			own.g, own.lnSD = append(own.g, d.g[s]*times), append(own.lnSD, d.lnSD[s])
		}
		acc.draws = append(acc.draws, own)
	}
	b.out = append(b.out, acc)
}

func itself(leak int) (int, float64) { return leak, 1 }

// numbers are the sizes that an explanation can have at several backgrounds, each
// weighed by its likelihood, and its paths' own potentials at the best. The readings
// say little about the background of a part that leaks, and all about that of a clean
// one: what a clean part will show hangs on it, so that it is drawn, not linearised.
func (b *accountant) numbers(share float64, src []*source, p []float64) (draws []draw, mean, sd []float64) {
	f, k := b.f, len(src)
	f.src = b.a.po.sources(src...)
	p = clone(p)
	inner := slices.Clone(allFree[:len(p)])
	inner[len(p)-1] = false
	top := f.at(p)
	best := b.draw(p, k)
	mean, sd = clone(f.dMean[:k]), make([]float64, k)
	for i := range sd {
		sd[i] = math.Sqrt(math.Max(0, f.dVar[i]))
	}
	best.part = 1
	if share < worthDraws {
		return []draw{best}, mean, sd
	}
	mode, sum := p[len(p)-1], 0.0
	for n := range backgrounds {
		at := clone(p)
		at[len(at)-1] = bLow + (bHigh-bLow)*(float64(n)+0.5)/backgrounds
		psi := f.climb(at, inner)
		d := b.draw(at, k)
		if d.part = math.Exp(math.Min(0, psi-top)); d.part > 0.02 {
			draws = append(draws, d)
			sum += d.part
		}
	}
	if sum < 0.5 { // the readings know it better than these steps
		best.background = math.Exp(mode)
		return []draw{best}, mean, sd
	}
	for i := range draws {
		draws[i].part /= sum
	}
	return draws, mean, sd
}

// draw takes the numbers that the fit stands at.
func (b *accountant) draw(p []float64, k int) draw {
	d := draw{background: math.Exp(p[len(p)-1])}
	for i := range k {
		s := b.f.src[i]
		width := math.Exp(s.width()) / math.Sqrt(12)
		d.g = append(d.g, math.Exp(p[i]))
		d.lnSD = append(d.lnSD, 1/math.Sqrt(math.Max(0, b.f.hess[i][i])+1/(width*width)))
	}
	return d
}

// single makes an account of every conductor that a candidate may be: the two
// sides of a joint part when its link is opened, and are told apart by that.
func (b *accountant) single(i int, share float64) {
	c := b.a.po.cands[i]
	for _, n := range b.hangs(i) {
		w := share * n.part
		if w < worthAccount {
			continue
		}
		acc := account{label: n.label, weight: w, leaks: []hung{n.hung}}
		if c.unseen {
			acc.label = labelUnread
		}
		p := b.a.po.onePeak[i].p
		if c.unseen || len(p) < 2+len(b.a.po.stand) {
			x, _ := b.a.po.start(c)
			p = b.a.po.from(x)
		}
		b.add(acc, []*source{&c.source}, p, itself)
	}
}

// A hanger is one conductor that a candidate may stand for.
type hanger struct {
	hung
	label string
	part  float64
}

// hangs lists the conductors that a candidate stands for.
func (b *accountant) hangs(i int) (out []hanger) {
	a, c := b.a, b.a.po.cands[i]
	if !c.tap() {
		h := hanger{hung: hung{node: c.at, kind: c.kind}, label: labelOutside, part: 1}
		if c.place >= 0 {
			t := a.d.things[c.place]
			h.id = t.id
			if t.kind != fault.PlaceLoad {
				h.label = t.id
			}
		}
		return []hanger{h}
	}
	for n, id := range c.nodes {
		if m, _, ok := a.net.ModuleAt(id); ok {
			out = append(out, hanger{hung{node: id, kind: fault.One}, a.net.Layout.Modules[m].ID, c.weight[n] / c.total})
		}
	}
	return out
}

// A meaning is what a pair of leaks asks for: its two labels in order, the second ""
// where both are one; and, where that is told apart, about which taps they lie at.
type meaning struct {
	first, second string
	i, j          int
}

// meant is the meaning of two labels.
func meant(x, y string) meaning {
	switch {
	case x == y:
		return meaning{first: x}
	case x > y:
		x, y = y, x
	}
	return meaning{first: x, second: y}
}

// label puts a meaning into the words of an account.
func (m meaning) label() string {
	if m.second == "" {
		return m.first
	}
	return m.first + labelAnd + m.second
}

// A gathering is pairs of candidates that mean the same two parts, with the
// heaviest of them.
type gathering struct {
	label   string
	i, j    int
	at      [2]hanger
	share   float64 // of all
	largest float64
}

// gather sums the pairs by their meaning, in the order in which meanings turn up; with
// apart by where they lie too, as far as that says it is worth it.
func (b *accountant) gather(hangs [][]hanger, apart func(m meaning) bool) (list []*gathering, by map[meaning]*gathering) {
	by = map[meaning]*gathering{}
	b.a.po.eachPair(func(i, j int, share float64) {
		if share < 1e-9 || b.stop() {
			return
		}
		for _, x := range hangs[i] {
			for _, y := range hangs[j] {
				m := meant(x.label, y.label)
				if apart != nil {
					if !apart(m) {
						continue
					}
					m.i, m.j = i/taking, j/taking
				}
				p := by[m]
				if p == nil {
					p = &gathering{label: m.label()}
					by[m], list = p, append(list, p)
				}
				s := share * x.part * y.part
				if p.share += s; s > p.largest {
					p.i, p.j, p.at, p.largest = i, j, [2]hanger{x, y}, s
				}
			}
		}
	})
	return list, by
}

// finer is the share from which pairs that mean the same parts are told apart by
// where in them they lie, and taking how many taps are then one.
const (
	finer  = 3e-3
	taking = 3
)

// pairs gathers the pairs of taps by the two parts that they mean, the likely ones
// more finely, each gathering with the numbers of its heaviest pair.
func (b *accountant) pairs() {
	hangs := make([][]hanger, len(b.a.po.cands))
	for i := range hangs {
		hangs[i] = b.hangs(i)
	}
	coarse, by := b.gather(hangs, nil)
	for _, p := range coarse {
		if p.share < finer {
			b.pair(p)
		}
	}
	fine, _ := b.gather(hangs, func(m meaning) bool { return by[m].share >= finer })
	for _, p := range fine {
		b.pair(p)
	}
}

func (b *accountant) pair(p *gathering) {
	if p.share < worthAccount {
		return
	}
	po := b.a.po
	src := []*source{po.pairSource(p.i), po.pairSource(p.j)}
	b.f.src = po.sources(src...)
	xa, xb := po.startApart(b.f, po.cands[p.i], po.cands[p.j])
	start := po.from(xa, xb)
	b.f.climb(start, allFree[:len(start)])
	b.add(account{label: p.label, weight: p.share, leaks: []hung{p.at[0].hung, p.at[1].hung}}, src, start, itself)
}

// partsOf takes a label apart again.
func partsOf(label string) []string { return strings.Split(label, labelAnd) }

// spreads makes an account of every run that could matter. Its pieces leak by the
// module; where a piece holds several, each has its part.
func (b *accountant) spreads() {
	po := b.a.po
	for k := range po.runs {
		r := &po.runs[k]
		s := po.share(r.log)
		if s < worthAccount*10 || b.stop() {
			continue
		}
		acc := account{label: b.runLabel(r), weight: s}
		var piece []int
		var times []float64
		count := make([]float64, len(r.pieces))
		for _, m := range po.m.d.net.Strings[r.str].Modules[r.from : r.to+1] {
			node := po.m.d.net.Tap(m, po.m.d.net.Layout.Modules[m].Series/2)
			at := max(0, slices.Index(r.cells, b.cellAt(node)))
			at = min(at, len(r.pieces)-1)
			acc.leaks = append(acc.leaks, hung{node: node, kind: fault.One})
			piece = append(piece, at)
			count[at]++
		}
		for _, at := range piece {
			times = append(times, 1/count[at])
		}
		b.f.level(r.parts, spreadScatter)
		b.add(acc, r.pieces, r.peak.p, func(leak int) (int, float64) { return piece[leak], times[leak] })
		b.f.level(nil, 1)
	}
}

// runLabel is what a wet run asks for: of two modules both must be opened, as for a
// leak in each; of more, drying and finding the source.
func (b *accountant) runLabel(r *spreadRun) string {
	mods := b.a.net.Strings[r.str].Modules[r.from : r.to+1]
	if len(mods) > 2 {
		return labelWet
	}
	id := func(i int) string { return b.a.net.Layout.Modules[mods[i]].ID }
	return meant(id(0), id(len(mods)-1)).label()
}

// cellAt is the cell of the candidate that a node is of, -1 for none.
func (b *accountant) cellAt(node topology.NodeID) int {
	for _, c := range b.a.po.cands {
		if slices.Contains(c.nodes, node) {
			return c.cell
		}
	}
	return -1
}
