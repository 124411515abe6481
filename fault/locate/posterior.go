package locate

import (
	"context"
	"math"

	"halfsplit/fault"
)

// pruneNats is how far below the best explanation a hypothesis may lie before
// its integral is not worked out: e⁻¹⁸ of it could not change any share.
const pruneNats = 18.0

// startBackground is where climbs begin: 100 MΩ for the whole pack.
var startBackground = -math.Log(100e6)

// posterior holds ln(prior × marginal likelihood) of every hypothesis, up to a
// constant that they share. It is filled in two steps: every hypothesis is
// climbed to its maximum, which tells whether anything fits; then those that
// could matter are integrated.
type posterior struct {
	m       *model
	cands   []*candidate
	stand   []*source // in every explanation beside its own leaks
	numbers []twoNumbers

	nonePeak peak
	onePeak  []peak // by candidate
	twoPeaks []peakRow
	part     map[int]*partTable // by cell: what all pairs within it rest on
	thin     []int              // the candidates that pairs are drawn from
	stride   int                // 1 = all of them
	lp       logPriors

	none  float64
	bare  float64     // none's marginal likelihood without its prior
	one   []float64   // by candidate
	two   [][]float64 // [i][j-i-1], i < j; a pair of taps
	pairs []pairShare // of two, once all is summed
	runs  []spreadRun
	total float64

	stop func() bool // nobody waits for it any more: what it holds is then unfinished

	chi2 float64 // χ² of the hypothesis that fits best for its degrees of freedom
	dof  int     // those degrees; 0 = nothing was fitted yet
}

// A peak is where a hypothesis's integrand is largest.
type peak struct {
	psi  float64
	chi2 float64
	p    []float64 // log conductances, the background's last
}

// peakRow holds the peaks of one row of pairs, flat.
type peakRow struct {
	psi []float64
	at  [][]float64 // of those that were climbed; nil = none was
}

// logPriors are ln P(hypothesis) before the readings.
type logPriors struct {
	one []float64 // by candidate
	two func(i, j int) float64
	run float64
}

func newPosterior(m *model, numbers []twoNumbers, ev []fault.Evidence) *posterior {
	po := &posterior{m: m, cands: m.d.candidates(), stand: m.d.standing(), numbers: numbers, chi2: math.Inf(1), stop: func() bool { return false }}
	sum := map[string]float64{}
	boards := 0.0
	for _, c := range po.cands {
		if c.beside {
			boards++
			continue
		}
		sum[c.kind] += c.total
	}
	odds := po.evidenceOdds(ev)
	for i, c := range po.cands {
		if c.beside {
			po.lp.one = append(po.lp.one, math.Inf(-1))
			continue
		}
		po.lp.one = append(po.lp.one, math.Log(m.d.prior[c.kind]*c.total/sum[c.kind])+odds(i, c.kind))
	}
	po.thinOut()
	some, squares := 0.0, 0.0
	for _, i := range po.thin {
		if po.cands[i].beside {
			continue
		}
		some += po.cands[i].total
		squares += po.cands[i].total * po.cands[i].total
	}
	norm := (some*some - squares) / 2
	pairs := po.pairOdds(ev)
	base, each := math.Log(m.d.prior[fault.Two]/norm), make([]float64, len(po.cands)) // ln of what a candidate adds as one of two
	for i, c := range po.cands {
		each[i] = math.Log(c.total) + odds(i, fault.Two)
	}
	po.lp.two = func(i, j int) float64 {
		if po.cands[j].beside {
			if po.cands[i].beside {
				return math.Inf(-1)
			}
			return math.Log(m.d.prior[fault.Two]*m.d.prior[fault.BoardLeak]/boards*po.cands[i].total/sum[fault.One]) + odds(i, fault.Two)
		}
		lp := base + each[i] + each[j]
		if pairs != nil {
			lp += pairs[[2]int{i, j}]
		}
		return lp
	}
	return po
}

// maxPairTaps bounds the taps that pairs are drawn from. Up to it all pairs are
// weighed; in a longer pack every second, third … tap, and the finding says so.
const maxPairTaps = 1201

func (po *posterior) thinOut() {
	taps := 0
	for _, c := range po.cands {
		if c.tap() {
			taps++
		}
	}
	po.stride = (taps + maxPairTaps - 1) / maxPairTaps
	for i := 0; i < taps; i += max(1, po.stride) { // the taps come first
		po.thin = append(po.thin, i)
	}
	for i, c := range po.cands {
		if c.beside {
			po.thin = append(po.thin, i)
		}
	}
}

// pairSource is a candidate as one of a pair: where taps are left out, its own
// potential's spread grows by that of a place uniform over the stride.
func (po *posterior) pairSource(i int) *source {
	c := &po.cands[i].source
	if po.stride <= 1 || po.cands[i].beside {
		return c
	}
	gap := float64(po.stride) / pathSD
	return &source{u: c.u, sd: c.sd * math.Sqrt(1+gap*gap/12)}
}

// A pairShare is a pair of candidates, the first before the second, and its share.
type pairShare struct {
	i, j  int
	share float64
}

// shareNats is how far below everything a pair may lie before it is passed over:
// all pairs of a long pack together then miss less than a share of 1e-10.
const shareNats = 36.0

// eachPair calls do with every pair of candidates that has a share.
func (po *posterior) eachPair(do func(i, j int, share float64)) {
	for n, p := range po.pairs {
		if n%4096 == 0 && po.stop() {
			return
		}
		do(p.i, p.j, p.share)
	}
}

var allFree = [maxSources + 1]bool{true, true, true, true, true, true, true, true, true, true, true}

// integrate turns peaks into shares. The most promising hypothesis of each kind
// goes first and sets the floor below which others are not worked out.
func (po *posterior) integrate(ctx context.Context) {
	po.stop = func() bool { return ctx.Err() != nil }
	f := newFit(po.m)
	best := po.noneLog(f)
	po.none = best
	i := argmax(len(po.cands), func(i int) float64 { return po.onePeak[i].psi + po.lp.one[i] })
	if i >= 0 {
		best = math.Max(best, po.oneLog(f, i, best))
	}
	if r := argmax(len(po.runs), func(i int) float64 { return po.runs[i].peak.psi + po.lp.run }); r >= 0 {
		best = math.Max(best, po.runLog(f, &po.runs[r], best))
	}
	if a, k := po.topPair(); a >= 0 {
		best = math.Max(best, po.pairLog(f, a, k, best))
	}
	po.one = make([]float64, len(po.cands))
	po.each(ctx, len(po.cands), func(f *fit, i int) { po.one[i] = po.oneLog(f, i, best) })
	po.each(ctx, len(po.runs), func(f *fit, i int) { po.runs[i].log = po.runLog(f, &po.runs[i], best) })
	if ctx.Err() != nil {
		return
	}
	if po.twoPeaks == nil {
		po.sum()
		return
	}
	po.two = make([][]float64, len(po.thin))
	po.rows(ctx, func(f *fit, a int) {
		row := make([]float64, len(po.thin)-a-1)
		for k := range row {
			if ctx.Err() == nil {
				row[k] = po.pairLog(f, a, k, best)
			}
		}
		po.two[a] = row
	})
	if ctx.Err() == nil {
		po.sum()
	}
}

// argmax is the first index with the largest value, -1 for none.
func argmax(n int, value func(int) float64) int {
	best, at := math.Inf(-1), -1
	for i := 0; i < n; i++ {
		if v := value(i); v > best {
			best, at = v, i
		}
	}
	return at
}

func (po *posterior) topPair() (a, k int) {
	top, a := math.Inf(-1), -1
	for r := range po.twoPeaks {
		for c, psi := range po.twoPeaks[r].psi {
			if math.IsInf(psi, -1) || po.within(po.thin[r], po.thin[r+1+c]) != nil {
				continue // a table's top is no peak
			}
			if v := psi + po.lp.two(po.thin[r], po.thin[r+1+c]); v > top {
				top, a, k = v, r, c
			}
		}
	}
	return a, k
}

// lnB and lnX are the widths of the log-uniform priors.
var (
	lnB = math.Log(bHigh - bLow)
	lnX = math.Log(xHigh - xLow)
)

func (po *posterior) noneLog(f *fit) float64 {
	f.src = po.sources()
	po.bare = f.logIntegral(clone(po.nonePeak.p), po.free(0), math.Inf(-1)) - po.widths()
	return math.Log(po.m.d.prior[fault.None]) + po.bare
}

// oneLog is ln(prior × marginal likelihood) of one leak, −Inf where it is too
// far below the best to matter. A leak in a part that no reading saw leaves the
// likelihood of none.
func (po *posterior) oneLog(f *fit, i int, best float64) float64 {
	c, pk, lp := po.cands[i], po.onePeak[i], po.lp.one[i]
	if c.beside {
		return math.Inf(-1)
	}
	if c.unseen {
		return po.bare + lp
	}
	f.src = po.sources(&c.source)
	return lp + f.logIntegral(clone(pk.p), po.free(1), best-pruneNats-lp) - po.widths() - c.width()
}

// pairLog is the same for a pair: row a of the thinned candidates and the
// (k+1)th after it.
func (po *posterior) pairLog(f *fit, a, k int, best float64) float64 {
	i, j := po.thin[a], po.thin[a+1+k]
	lp := po.lp.two(i, j)
	switch {
	case po.cands[i].beside:
		return math.Inf(-1)
	case po.cands[i].unseen:
		return po.one[j] - po.lp.one[j] + lp
	case po.cands[j].unseen:
		return po.one[i] - po.lp.one[i] + lp
	case po.twoPeaks[a].psi[k] < best-pruneNats-lp:
		return math.Inf(-1)
	}
	if t := po.within(i, j); t != nil {
		x, y := po.pairSource(i), po.pairSource(j)
		return lp + t.pair(t.from(po.cands[i]), t.from(po.cands[j]), x.sd, y.sd) - po.widths() - 2*lnX
	}
	f.src = po.sources(po.pairSource(i), po.pairSource(j))
	return lp + f.logIntegral(po.twoPeaks[a].at[k], po.free(2), best-pruneNats-lp) - po.widths() - 2*lnX
}

// width is the log of the width of a source's prior in ln G.
func (s *source) width() float64 {
	if s.xLo != s.xHi {
		return math.Log(s.xHi - s.xLo)
	}
	return lnX
}

func clone(p []float64) []float64 { return append([]float64(nil), p...) }

// sum closes the posterior: total is the log of everything.
func (po *posterior) sum() {
	logs := []float64{po.none, logSum(po.one, nil)}
	for _, row := range po.two {
		if po.stop() {
			return
		}
		logs = append(logs, logSum(row, nil))
	}
	for _, r := range po.runs {
		logs = append(logs, r.log)
	}
	po.total = logSum(logs, nil)
	for a, row := range po.two {
		if po.stop() {
			return
		}
		for k, log := range row {
			if log > po.total-shareNats {
				po.pairs = append(po.pairs, pairShare{po.thin[a], po.thin[a+1+k], po.share(log)})
			}
		}
	}
}

// share is a hypothesis's posterior probability.
func (po *posterior) share(log float64) float64 { return math.Exp(log - po.total) }
