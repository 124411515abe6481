package locate

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A small pack is three modules of three groups on a coarse meter, with a fault of
// any kind that it has room for, read unbroken or split. Its posterior is worked out
// by brute force over all that the engine weighs: none, every tap, every pair, every
// link, both rails, every wet run.
type small struct {
	*bruteCase
	h      hidden
	joined []*topology.Joined // by state of the case
	shown  []shown
}

// A shown is a reading with the section that it was taken in.
type shown struct {
	bruteObs
	state, sec int
	share      float64 // of the pack's groups
	middle     float64 // V, mean potential of those
}

// newSmall reads the unbroken string, and if split both of its parts too.
func newSmall(t testing.TB, rng *rand.Rand, split bool) *small {
	tr := newTrial(rng, 3, 3)
	tr.c.Instruments = []fault.Instrument{coarseMeter()}
	tr.c.Resistors[0].TolPct = 4
	s := &small{h: tr.hideOf(rng, statedMix().pick(rng, func(kind string) bool { return kind != fault.BoardLeak && kind != fault.LoadSide }))}
	b := tr.bench(t, rng)
	tr.c.GroupVolts = exactVolts(tr)
	for i := range tr.c.GroupVolts {
		tr.c.GroupVolts[i].Instrument = "exact"
	}
	tr.c.Instruments = append(tr.c.Instruments, fault.Instrument{ID: "exact", Ranges: []fault.Range{{Max: 10, Count: 1e-9}}})
	neg, pos := tr.ends("")
	tr.readEnds(t, b, "closed", neg, pos)
	if split {
		tr.readSplit(t, b)
	}
	s.bruteCase = &bruteCase{tr: tr, taps: []float64{0}, gainTol: 0.015, inTol: 0.03, resTol: 0.04}
	for _, v := range tr.volts {
		s.taps = append(s.taps, s.taps[len(s.taps)-1]+v)
	}
	for _, st := range tr.c.States {
		s.joined = append(s.joined, tr.net.In(st.Setting()))
	}
	for _, r := range tr.c.Readings {
		s.shown = append(s.shown, s.show(r))
	}
	return s
}

func (s *small) volts(id topology.NodeID) float64 {
	_, g, ok := s.tr.net.Position(id)
	if !ok {
		return math.NaN()
	}
	return s.taps[g]
}

func (s *small) show(r fault.Reading) shown {
	node, _ := s.tr.net.Node(r.Red)
	o := shown{bruteObs: bruteObs{value: r.Value, meter: 1e-7, tap: s.volts(node)}}
	o.state = slices.IndexFunc(s.tr.c.States, func(st fault.State) bool { return st.ID == r.State })
	o.sec = s.joined[o.state].SectionOf(node)
	if r.Resistor != nil {
		o.res = 1 / 200e3
	}
	o.ext = o.meter + o.res
	count := 0.1
	if math.Abs(r.Value) > 60 {
		count, o.gain = 1, 1
	}
	o.countSD = math.Hypot(8*count/math.Sqrt(3), count/math.Sqrt(12))
	groups := 0.0
	for g, grp := range s.tr.net.Groups {
		if s.joined[o.state].SectionOf(grp.Lo) == o.sec {
			groups++
			o.middle += (s.taps[g] + s.taps[g+1]) / 2
		}
	}
	o.middle /= groups
	o.share = groups / float64(len(s.tr.net.Groups))
	return o
}

// A seen is one leak as every reading sees it.
type seen struct {
	in    []bool // by reading
	u, sd float64
}

// see is a leak at a node; a link's is there only while the link is closed.
func (s *small) see(id topology.NodeID, link string, u, sd float64) seen {
	out := seen{u: u, sd: sd}
	for _, o := range s.shown {
		there := s.joined[o.state].SectionOf(id) == o.sec
		out.in = append(out.in, there && (link == "" || !slices.Contains(s.tr.c.States[o.state].Open, link)))
	}
	return out
}

// A spot is a tap of the string as the brute force has it: nodes that no reading can
// tell apart, each with its weight.
type spot struct {
	nodes  []topology.NodeID
	weight []float64
	total  float64
}

// spots are all taps; a joint weighs one, half on either side.
func (s *small) spots() (out []*spot) {
	by := map[string]*spot{}
	for m, mod := range s.tr.layout.Modules {
		for k := 0; k <= mod.Series; k++ {
			id := s.tr.net.Tap(m, k)
			w := 1.0
			if (k == 0 && m > 0) || (k == mod.Series && m < len(s.tr.layout.Modules)-1) {
				w = 0.5
			}
			key := ""
			for _, o := range s.shown {
				key += string(rune('a' + s.joined[o.state].Conductor(id)))
			}
			p := by[key]
			if p == nil {
				p = &spot{}
				by[key] = p
				out = append(out, p)
			}
			p.nodes, p.weight, p.total = append(p.nodes, id), append(p.weight, w), p.total+w
		}
	}
	return out
}

// shares splits a spot's probability over the modules that it is of.
func (s *small) shares(p *spot, do func(module string, part float64)) {
	for i, id := range p.nodes {
		m, _, _ := s.tr.net.ModuleAt(id)
		do(s.tr.layout.Modules[m].ID, p.weight[i]/p.total)
	}
}

// brute is the posterior of what must come out: ln P by label, not yet scaled to one.
func (s *small) brute(prior map[string]float64) map[string]float64 {
	logs := map[string][]float64{}
	add := func(label string, log float64) { logs[label] = append(logs[label], log) }
	sd := pathSD * s.taps[len(s.taps)-1] / float64(len(s.taps)-1)
	at := func(p *spot) seen { return s.see(p.nodes[0], "", s.volts(p.nodes[0]), sd) }
	add(labelNone, math.Log(prior[fault.None])+s.evidenceOf(nil, nil))
	list := s.spots()
	sum, squares := 0.0, 0.0
	for _, p := range list {
		sum, squares = sum+p.total, squares+p.total*p.total
	}
	for i, p := range list {
		e := s.evidenceOf([]seen{at(p)}, nil) + math.Log(prior[fault.One]*p.total/sum)
		s.shares(p, func(m string, part float64) { add(m, e+math.Log(part)) })
		for _, q := range list[:i] {
			e := s.evidenceOf([]seen{at(p), at(q)}, nil) + math.Log(prior[fault.Two]*p.total*q.total*2/(sum*sum-squares))
			s.shares(p, func(m string, part float64) {
				s.shares(q, func(n string, other float64) { add(meant(m, n).label(), e+math.Log(part*other)) })
			})
		}
	}
	joints := s.tr.joints()
	for _, id := range joints {
		node, rail := s.tr.net.Node(id)
		link, u, p := "", 0.0, prior[fault.RailLeak]/2
		if id == "rail+" {
			u = s.taps[len(s.taps)-1]
		}
		if !rail {
			l, _ := s.tr.net.Link(id)
			node, _ = s.tr.net.Node(s.tr.layout.Links[l].From)
			link, u, p = id, s.volts(node), prior[fault.LinkLeak]/float64(len(joints)-2)
		}
		add(id, math.Log(p)+s.evidenceOf([]seen{s.see(node, link, u, sd)}, nil))
	}
	s.wetRuns(func(log float64) { add(labelWet, log+math.Log(prior[fault.Spread])) })
	out := map[string]float64{}
	for label, l := range logs {
		out[label] = logSum(l, nil)
	}
	return out
}

// wetRuns calls do with ln(evidence ÷ number of runs) of every run: one piece in each
// part of the string that some state sets apart.
func (s *small) wetRuns(do func(log float64)) {
	n := len(s.tr.layout.Modules)
	runs := float64(n * (n - 1) / 2)
	split := len(s.shown) > 3
	for i := range n {
		for j := i + 1; j < n; j++ {
			parts := map[bool][][2]float64{} // by side of the split: potential, weight
			ids := map[bool]topology.NodeID{}
			for m := i; m <= j; m++ {
				high := split && m >= n/2
				series := s.tr.layout.Modules[m].Series
				for k := 0; k <= series; k++ {
					w := 1.0
					if (k == 0 && m > 0) || (k == series && m < n-1) {
						w = 0.5
					}
					ids[high] = s.tr.net.Tap(m, k)
					parts[high] = append(parts[high], [2]float64{s.volts(ids[high]), w})
				}
			}
			var leaks []seen
			var lens []float64
			for _, high := range []bool{false, true} {
				if len(parts[high]) > 0 {
					u, spread, w := moments(parts[high])
					leaks = append(leaks, s.see(ids[high], "", u, spreadUneven*spread+pathSD*nominalCell))
					lens = append(lens, w)
				}
			}
			do(s.evidenceOf(leaks, func(x, y float64) float64 {
				whole := lens[0] + lens[1]
				x, y = x-math.Log(lens[0]/whole), y-math.Log(lens[1]/whole)
				dev, mean := (x-y)/spreadScatter, (x+y)/2
				level := distuv.Normal{Mu: mean, Sigma: spreadScatter / math.Sqrt2}
				return math.Log(math.Max(1e-300, level.CDF(0)-level.CDF(-lnSizes))) - dev*dev/4 - 0.5*math.Log(4*math.Pi*spreadScatter*spreadScatter) + math.Log(lnSizes)
			}) - math.Log(runs))
		}
	}
}

func moments(list [][2]float64) (mean, sd, weight float64) {
	squares := 0.0
	for _, v := range list {
		mean, squares, weight = mean+v[0]*v[1], squares+v[0]*v[0]*v[1], weight+v[1]
	}
	mean /= weight
	return mean, math.Sqrt(math.Max(0, squares/weight-mean*mean)), weight
}

// engine is the same posterior as the engine has it.
func (a *analysis) outcomes() map[string]float64 {
	out := map[string]float64{labelNone: a.po.share(a.po.none)}
	parts := func(i int) (ids []string, part []float64) {
		a.d.places(a.po.cands[i], func(place int, w float64) {
			ids, part = append(ids, a.d.things[place].id), append(part, w)
		})
		return ids, part
	}
	for i, v := range a.po.one {
		ids, part := parts(i)
		for k, id := range ids {
			out[id] += a.po.share(v) * part[k]
		}
	}
	a.po.eachPair(func(i, j int, share float64) {
		x, p := parts(i)
		y, q := parts(j)
		for k := range x {
			for l := range y {
				out[meant(x[k], y[l]).label()] += share * p[k] * q[l]
			}
		}
	})
	for i := range a.po.runs {
		out[labelWet] += a.po.share(a.po.runs[i].log)
	}
	return out
}

// TestHonest_LogScoreAsBruteForce: what the engine gives the truth is on average
// within 0.02 nat of what brute force gives it, over the same readings.
func TestHonest_LogScoreAsBruteForce(t *testing.T) {
	if raced {
		t.Skip("measures figures; every path of it runs under the race detector in other tests")
	}
	n, packs := trials(2, 100), 0
	engine, brute, furthest, silent := 0.0, 0.0, 0.0, 0
	for i := range n {
		s := newSmall(t, rand.New(rand.NewPCG(43, uint64(i))), i%2 == 0)
		a := analyse(context.Background(), &s.tr.c, s.tr.net, nil, premise{})
		if a.po == nil || a.misfit() {
			silent++ // the finding states no shares
			continue
		}
		a.po.integrate(context.Background())
		truth := s.truth()
		e := math.Log(a.outcomes()[truth])
		logs := s.brute(a.d.prior)
		var all []float64
		for _, l := range logs {
			all = append(all, l)
		}
		slices.Sort(all)
		b := logs[truth] - logSum(all, nil)
		engine, brute, packs = engine+e, brute+b, packs+1
		if math.Abs(e-b) > math.Abs(furthest) {
			furthest = e - b
		}
		if math.Abs(e-b) > 0.1 {
			t.Logf("pack %d, %s (%s), %v: engine %.3f, brute force %.3f", i, truth, s.h.kind, s.tr.pack.Leaks, e, b)
		}
	}
	off := (engine - brute) / float64(packs)
	t.Logf("%d packs (%d without shares): mean log score of what must come out: engine %.4f, brute force %.4f, off by %+.4f nat; furthest %+.3f", packs, silent, engine/float64(packs), brute/float64(packs), off, furthest)
	if limit := 0.02 + 0.1/float64(packs); math.Abs(off) > limit {
		t.Errorf("mean log score is %+.4f nat off brute force, want within 0.02", off)
	}
}

// truth is the label of what must come out.
func (s *small) truth() string {
	switch s.h.kind {
	case fault.None:
		return labelNone
	case fault.Spread:
		return labelWet
	}
	out := slices.Clone(s.h.out)
	slices.Sort(out)
	return strings.Join(out, labelAnd)
}
