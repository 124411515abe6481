package locate

import (
	"context"
	"errors"
	"math"
	"slices"

	"halfsplit/fault"
	"halfsplit/topology"
)

// Engine names the version of the reasoning; a finding keeps it.
const Engine = "halfsplit-locate/1"

// Find states where the readings of a case allow a leak to sit, how sure that
// is, and what it could not tell. It never changes a reading and never fails on
// a legal case: what cannot be used is left out with its reason. The only error
// is the context's.
//
// The same case gives the same finding, whatever the number of cores.
func Find(ctx context.Context, c fault.Case, ev []fault.Evidence) (fault.Finding, error) {
	net, problems := topology.Compile(c.Layout)
	a := begin(&c, net, ev, premise{}).withoutDoubts(ctx)
	a.weigh(ctx)
	if ctx.Err() == nil && a.misfit() && !a.tooMany && !a.noSpare {
		a = a.leaveOne(ctx)
	}
	if ctx.Err() == nil && a.po != nil {
		a.po.integrate(ctx)
	}
	if ctx.Err() != nil {
		return fault.Finding{}, context.Cause(ctx)
	}
	f := a.finding(ctx)
	a.problems = problems
	if err := a.next(ctx, &f); err != nil && ctx.Err() == nil {
		return fault.Finding{}, err
	}
	if ctx.Err() != nil {
		return fault.Finding{}, context.Cause(ctx)
	}
	return f, nil
}

var errTooFew = errors.New("no section has two independent readings to chassis in one state")

// An analysis is one pass of the engine over one choice of readings.
type analysis struct {
	c       *fault.Case
	net     *topology.Net
	d       *data
	ev      []fault.Evidence
	given   premise
	numbers []twoNumbers
	general *general  // the fit of physics alone, once it was asked for
	floors  []float64 // see clashes, once they were asked for
	po      *posterior
	err     error    // why there is no posterior
	odd     string   // the reading that was left out so that the rest fits
	suspect []string // readings that a misfit could not choose between
	unfit   bool     // physics alone does not fit the readings
	noSpare bool     // a reading is in doubt that nothing could be stated without
	burst   string   // an insulation reading far below what the volts show
	tooMany bool     // more readings are in doubt than slips explain
	metal   *slip    // the metal is taken to be as this has it, not as recorded
	slips   []slip   // what would explain a reading that does not fit, likeliest first

	problems []topology.Problem // of the layout
}

// begin decides which readings count and takes every section's own numbers.
func begin(c *fault.Case, net *topology.Net, ev []fault.Evidence, given premise) *analysis {
	return beginLike(nil, c, net, ev, given)
}

// beginLike is begin for a case that is another one but for a few readings.
func beginLike(like *data, c *fault.Case, net *topology.Net, ev []fault.Evidence, given premise) *analysis {
	a := &analysis{c: c, net: net, ev: ev, given: given, d: prepareLike(like, c, net, given)}
	a.d.special()
	a.d.prior, a.d.assumes = a.d.priors(given.only), a.d.assumptions()
	known := false
	for s := range a.d.slots {
		a.numbers = append(a.numbers, numbersOf(a.d, s))
		known = known || (a.numbers[s].ok && a.d.live[s])
	}
	if !known {
		a.err = errTooFew
	}
	return a
}

// analyse is begin and weigh.
func analyse(ctx context.Context, c *fault.Case, net *topology.Net, ev []fault.Evidence, given premise) *analysis {
	a := begin(c, net, ev, given)
	a.weigh(ctx)
	return a
}

// weigh finds every explanation's peak. Where physics alone does not fit the
// readings no pair of leaks does either, and pairs are left out.
func (a *analysis) weigh(ctx context.Context) {
	if a.err != nil || ctx.Err() != nil {
		return
	}
	e := a.physics()
	a.unfit = e.ok && chiBad(e.chi2, e.m.dof())
	a.po, a.err = peaks(ctx, a.d, a.numbers, a.ev, !a.unfit)
	if a.unfit && a.err == nil && !chiBad(a.po.chi2, a.po.dof) { // an explanation fits, so physics does
		a.unfit = false
		a.po, a.err = peaks(ctx, a.d, a.numbers, a.ev, true)
	}
}

// physics is the general fit to the readings that count.
func (a *analysis) physics() *general {
	if a.general == nil {
		a.general = fitDeep(a.d)
		if a.general.ok && a.general.odd() {
			a.beginAtExplanations()
		}
	}
	return a.general
}

// beginAtExplanations fits physics again from the best single leak and from the best
// wet run. Physics contains both, so that where one of them fits, it must; a climb
// from the sections' own numbers may still have ended on a plateau.
func (a *analysis) beginAtExplanations() {
	po := newPosterior(a.general.m, a.numbers, nil)
	po.climbSingles(context.Background())
	po.climbSpreads(context.Background())
	order, _ := a.d.partCells()
	try := func(pk peak, in []int) {
		p := po.from(make([]float64, len(order))...)
		for i, cell := range order {
			p[i] = -math.Log(partHigh)
			if k := slices.Index(in, cell); k >= 0 && k < len(pk.p)-1 {
				p[i] = pk.p[k]
			}
		}
		p[len(p)-1] = pk.p[len(pk.p)-1]
		if e := (&general{d: a.d, begin: p}).fit(math.Inf(1)); e.ok && e.chi2 < a.general.chi2 {
			a.general = e
		}
	}
	if i := argmax(len(po.cands), func(i int) float64 { return po.onePeak[i].psi + po.lp.one[i] }); i >= 0 && !po.cands[i].unseen && !po.cands[i].beside {
		try(po.onePeak[i], []int{po.cands[i].cell})
	}
	if r := argmax(len(po.runs), func(i int) float64 { return po.runs[i].peak.psi }); r >= 0 {
		try(po.runs[r].peak, po.runs[r].cells)
	}
}

// peaks finds every hypothesis's peak. The covariance is first taken at the
// sections' own numbers; where a section does not know its own, at those of the
// best single leak.
func peaks(ctx context.Context, d *data, numbers []twoNumbers, ev []fault.Evidence, pairs bool) (*posterior, error) {
	g, q := make([]float64, len(d.slots)), make([]float64, len(d.slots))
	complete := true
	for i, n := range numbers {
		g[i], q[i] = n.g, n.g*n.u
		complete = complete && n.ok
	}
	m, err := newModel(d, g, q)
	if err != nil {
		return nil, err
	}
	po := newPosterior(m, numbers, ev)
	if !complete {
		if po.climbSingles(ctx); ctx.Err() != nil {
			return nil, ctx.Err()
		}
		po.fill(g, q)
		if m, err = newModel(d, g, q); err != nil {
			return nil, err
		}
		po = newPosterior(m, numbers, ev)
	}
	po.climbAll(ctx, pairs)
	return po, nil
}

// fill takes the numbers of sections that do not know theirs from the best
// single leak, or from the background where none is better.
func (po *posterior) fill(g, q []float64) {
	f := po.bestFit()
	for i, n := range po.numbers {
		if !n.ok {
			g[i], q[i] = f.g[i], f.q[i]
		}
	}
}

// misfit says that no hypothesis fits the readings at p = 0.001.
func (a *analysis) misfit() bool {
	return a.po != nil && (a.unfit || chiBad(a.po.chi2, a.po.dof))
}

// leaveOne looks for the one reading without which the rest fits. Where two or
// more would do equally well, none is preferred: they are named and the misfit
// stands.
func (a *analysis) leaveOne(ctx context.Context) *analysis {
	type trial struct {
		id   string
		a    *analysis
		chi2 float64
	}
	var fits []trial
	for _, o := range a.d.obs {
		if ctx.Err() != nil {
			return a
		}
		if a.stands(o.id) {
			continue
		}
		b := beginLike(a.d, a.c, a.net, a.ev, a.given.except(o.id, "it does not fit the other readings"))
		b.weigh(ctx)
		if b.po != nil && !b.misfit() && b.po.dof > 0 {
			fits = append(fits, trial{o.id, b, b.po.chi2})
		}
	}
	best := -1
	for i := range fits {
		if best < 0 || fits[i].chi2 < fits[best].chi2 {
			best = i
		}
	}
	for i := range fits {
		fits[i].a.slips = a.slips
	}
	if best < 0 {
		return a
	}
	for i := range fits {
		if fits[i].chi2 < fits[best].chi2+6 { // within 3 nats
			a.suspect = append(a.suspect, fits[i].id)
		}
	}
	if proof := a.proofAmong(a.suspect); proof >= 0 {
		// A proof reading is taken to test the reference: where it may be the
		// odd one, the reference is what is not proved.
		for i := range fits {
			if fits[i].id == a.suspect[proof] {
				best = i
			}
		}
	} else if len(a.suspect) > 1 {
		return a
	}
	b := fits[best].a
	b.odd = fits[best].id
	if r, ok := a.c.Reading(b.odd); ok && r.Quantity == fault.Insulation {
		b.burst = b.odd
	}
	return b
}

// proofAmong is the one reading of a list that was taken to prove the chassis
// reference, -1 where there is none or more than one.
func (a *analysis) proofAmong(ids []string) int {
	at := -1
	for i, id := range ids {
		for k := range a.d.obs {
			if a.d.obs[k].id == id && proofElement(&a.d.obs[k]) >= 0 {
				if at >= 0 {
					return -1
				}
				at = i
			}
		}
	}
	return at
}
