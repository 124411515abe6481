package locate

import (
	"context"
	"fmt"
	"math"
	"sort"

	"halfsplit/fault"
)

const (
	sure       = 0.95 // share at which a place is named, or a pack is said to show no leak
	worthWords = 0.01 // shares below this are not listed
)

// finding climbs the ladder of verdicts and fills in what the rung allows.
func (a *analysis) finding(ctx context.Context) fault.Finding {
	f := fault.Finding{
		Format: fault.FindingFormat, Engine: Engine, LayoutVersion: a.c.LayoutVersion,
		Leaks: []fault.Leak{}, Suspicion: []fault.Share{}, Hypotheses: []fault.HypothesisShare{},
		Sections: a.sections(), Doubts: a.listed(), Used: []string{}, LeftOut: []fault.LeftOut{},
		Assumes: append([]string{}, a.d.assumes...), Next: []fault.NextTest{}, Closure: a.closures(), Subtraction: a.subtractions(),
		Why: []fault.WorkedLine{}, Cautions: []string{},
	}
	for _, o := range a.d.obs {
		f.Used = append(f.Used, o.ids()...)
	}
	f.LeftOut = append(f.LeftOut, a.d.leftOut...)
	w := &words{a: a, f: &f}
	var leaks []resolved
	if a.odd != "" {
		f.LeftOut = a.explainOdd(f.LeftOut)
	}
	switch {
	case a.err != nil && a.metal != nil && a.metal.kind == slipReference:
		f.Verdict, f.Statement = fault.NoLeakTestNotProved, w.noReference()
	case a.err != nil && a.metal != nil:
		f.Verdict, f.Statement = fault.Inconsistent, w.metalWrong()
	case a.err != nil && a.d.swings != "":
		f.Verdict, f.Statement = fault.Inconsistent, a.d.swings
	case a.err != nil && a.d.active:
		f.Verdict, f.Statement = fault.Inconsistent, "The insulation monitor was active: it moves the chassis potential itself, so no place can be read from these voltages. Isolate it by the maker's procedure and read again."
	case a.err != nil:
		f.Verdict, f.Statement = fault.TooFewReadings, w.tooFew()
	default:
		leaks = a.judge(ctx, &f, w)
	}
	if rests := w.rests(); rests != "" {
		f.Statement += " " + rests
	}
	w.cautions(leaks)
	f.Calibration = a.c.Calibrations(f.Used)
	return f
}

// judge fills the rungs that need a posterior, and returns the leaks it resolved.
func (a *analysis) judge(ctx context.Context, f *fault.Finding, w *words) []resolved {
	po := a.po
	if po.stride > 1 {
		f.Assumes = append(f.Assumes, fmt.Sprintf("The pack is long: pairs of leaks were weighed at every %dth tap.", po.stride))
	}
	f.Hypotheses = a.withMetal(po.hypotheses())
	if a.burst != "" {
		f.Verdict, f.Statement = fault.Inconsistent, w.breaksDown()
		return nil
	}
	if a.misfit() || a.tooMany || a.noSpare {
		f.Verdict, f.Statement = fault.Inconsistent, w.inconsistent()
		return nil
	}
	if a.metal != nil && a.metal.kind != slipReference && a.metal.kind != slipList {
		f.Verdict, f.Statement = fault.Inconsistent, w.metalWrong()
		return nil
	}
	if a.d.swings != "" && len(a.d.obs) < 3 {
		f.Verdict, f.Statement = fault.Inconsistent, a.d.swings
		return nil
	}
	f.Suspicion = a.suspicion()
	f.ReferenceProved = (a.metal == nil || a.metal.kind == slipList) && a.referenceProved()
	w.why()
	if po.share(po.none) >= sure {
		f.Verdict = fault.NoLeakTestNotProved
		if f.ReferenceProved {
			f.Verdict = fault.NoLeakTestProved
		}
		f.Statement = w.noLeak()
		if text := w.elsewhere(); text != "" {
			f.Verdict, f.Statement = fault.Inconsistent, text
		}
		return nil
	}
	lead := a.lead()
	leaks := a.leaks(ctx, lead)
	whole := lead.whole(a)
	if whole && len(leaks) == 1 {
		leaks[0].leak.If = "one leak"
	}
	for _, l := range leaks {
		f.Leaks = append(f.Leaks, l.leak)
	}
	if len(leaks) > 0 {
		f.LimitedBy = a.limitedBy(leaks[0])
	}
	if len(lead.cells) > 0 {
		f.Assumes = append(f.Assumes, "At most one leak in each section that was read.")
	}
	switch {
	case a.outside(lead):
		f.Verdict = fault.NotInString
	case lead.spread == nil && a.beyond(leaks):
		f.Verdict = fault.BeyondMethod
	case whole:
		f.Verdict = fault.EquivalentOnly
	case lead.spread == nil && lead.share >= sure && allPlaced(leaks):
		f.Verdict = fault.Located
	case a.samePotential(leaks):
		f.Verdict = fault.NotDistinguishable
	default:
		f.Verdict = fault.Narrowed
	}
	f.WouldTell = a.wouldTell(f.Verdict, lead, leaks)
	f.Statement = w.leak(lead, leaks)
	w.whyLeaks(leaks)
	return leaks
}

// outside says that what leaks is surely not in the string: beyond the
// contactors, or a monitor that was connected and not recorded.
func (a *analysis) outside(l leading) bool {
	sum := 0.0
	for i, c := range a.po.cands {
		if c.kind == fault.LoadSide || c.kind == fault.MonitorLeak {
			sum += a.po.share(a.po.one[i])
		}
	}
	return l.spread == nil && sum >= sure
}

func allPlaced(leaks []resolved) bool {
	for _, l := range leaks {
		if len(l.leak.Places) == 0 || float64(l.leak.Places[0].Share) < sure {
			return false
		}
	}
	return len(leaks) > 0
}

// withMetal puts a chassis reference that was tested beside the explanations
// among them; what they share is scaled down by it.
func (a *analysis) withMetal(list []fault.HypothesisShare) []fault.HypothesisShare {
	odds := 0.0
	for _, s := range a.slips {
		if s.kind == slipReference {
			odds = math.Max(odds, math.Exp(math.Min(40, s.logOdds)))
		}
	}
	if odds == 0 {
		return list
	}
	p := odds / (1 + odds)
	for i := range list {
		list[i].Share *= fault.Number(1 - p)
	}
	list = append(list, fault.HypothesisShare{Kind: fault.BadReference, Share: fault.Number(p)})
	sort.SliceStable(list, func(i, j int) bool { return list[i].Share > list[j].Share })
	return list
}

// hypotheses sums the posterior by kind; the shares add to one.
func (po *posterior) hypotheses() []fault.HypothesisShare {
	sums := map[string]float64{fault.None: po.share(po.none)}
	for i, v := range po.one {
		sums[po.cands[i].kind] += po.share(v)
	}
	po.eachPair(func(_, _ int, share float64) { sums[fault.Two] += share })
	for _, r := range po.runs {
		sums[fault.Spread] += po.share(r.log)
	}
	out := []fault.HypothesisShare{}
	for _, k := range kinds {
		if po.m.d.prior[k] > 0 {
			out = append(out, fault.HypothesisShare{Kind: k, Share: fault.Number(sums[k])})
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Share > out[j].Share })
	return out
}

// suspicion is the probability that a place must come out, over all
// hypotheses. A wet run asks for drying and a source, not for a module, so it
// adds to none.
func (a *analysis) suspicion() []fault.Share {
	po := a.po
	p := make([]float64, len(a.d.things))
	part := make([][]float64, len(po.cands)) // thing, part pairs of each candidate
	at := make([][]int, len(po.cands))
	for i, c := range po.cands {
		a.d.places(c, func(m int, w float64) {
			for k, have := range at[i] {
				if have == m {
					part[i][k] += w
					return
				}
			}
			at[i], part[i] = append(at[i], m), append(part[i], w)
		})
		s := po.share(po.one[i])
		for k, m := range at[i] {
			p[m] += s * part[i][k]
		}
	}
	po.eachPair(func(i, j int, s float64) {
		if s < 1e-9 {
			return
		}
		for n, m := range at[i] {
			p[m] += s * part[i][n]
		}
		for n, m := range at[j] {
			both := 0.0 // one module that holds both leaks comes out once
			for l, o := range at[i] {
				if o == m {
					both = part[i][l] * part[j][n]
				}
			}
			p[m] += s * (part[j][n] - both)
		}
	})
	return a.shares(p, 1)
}
