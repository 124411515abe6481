package locate

import (
	"context"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"sort"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// A said is one share that a finding stated, and whether it was so.
type said struct {
	share float64
	kind  string // of the place
	state string // the last one read
	true  bool
}

// heard is what one finding stated.
type heard struct {
	fault   string
	verdict string
	said    []said
	doubted bool // some reading, though no slip was made
	missing bool // a place that must come out has no share at all, though shares were stated
}

// stated is what Find states, without asking what to do next: that changes no share,
// and would take most of the time here.
func stated(t testing.TB, c fault.Case) fault.Finding {
	t.Helper()
	ctx := context.Background()
	net, _ := topology.Compile(c.Layout)
	a := begin(&c, net, nil, premise{}).withoutDoubts(ctx)
	a.weigh(ctx)
	if a.misfit() && !a.tooMany && !a.noSpare {
		a = a.leaveOne(ctx)
	}
	if a.po != nil {
		a.po.integrate(ctx)
	}
	return a.finding(context.Background())
}

// TestStated: what the tests of this file take for a finding is one.
func TestStated_IsWhatFindStates(t *testing.T) {
	for i := range uint64(4) {
		surveyed(t, rand.New(rand.NewPCG(40, i)), statedMix(), func(tr *trial, _ hidden) {
			a, b := stated(t, tr.c), find(t, tr)
			if fmt.Sprint(a.Verdict, a.Statement, a.Suspicion) != fmt.Sprint(b.Verdict, b.Statement, b.Suspicion) {
				t.Errorf("pack %d: %v\n%v", i, a.Suspicion, b.Suspicion)
			}
		})
	}
}

// surveyed is a pack of 24 to 96 groups with a fault out of a mixture, read as it is
// done: unbroken, split at the disconnect, and in half of the packs in a third state,
// which opens another link or takes boards off. What is opened and taken off does not
// look at the fault. Two in three packs have boards, one in three is read with the
// contactors closed too; a fault that a pack has no room for is not drawn. After each
// of those states it is heard.
func surveyed(t testing.TB, rng *rand.Rand, mix mixture, hear func(tr *trial, h hidden)) {
	series := 4 + rng.IntN(9)
	modules := max(4, (24+rng.IntN(73))/series)
	layout := boardedChain(rng, modules, series)
	boards, driven := rng.IntN(3) > 0, rng.IntN(3) == 0
	if !boards {
		layout.Boards = nil
	}
	tr := trialOf(rng, layout)
	h := tr.hideOf(rng, mix.pick(rng, func(kind string) bool {
		return (kind != fault.BoardLeak || boards) && (kind != fault.LoadSide || driven)
	}))
	b := tr.bench(t, rng)
	neg, pos := tr.ends("")
	if driven {
		tr.enter(t, b, fault.State{ID: "driven", Contactors: fault.Closed, Monitor: fault.MonitorDisconnected})
		tr.readEnds(t, b, "driven", neg, pos)
		tr.c.Now = "closed"
	}
	tr.readClosed(t, b)
	hear(tr, h)
	open := []int{modules / 2}
	state := func(id string) fault.State {
		s := fault.State{ID: id, Contactors: fault.Open, Monitor: fault.MonitorDisconnected}
		for _, at := range open {
			s.Open = append(s.Open, tr.linkAbove(at))
		}
		return s
	}
	tr.enter(t, b, state("split"))
	tr.readSplit(t, b)
	hear(tr, h)
	s := state("third")
	switch rng.IntN(4) {
	case 0:
		if at := 1 + rng.IntN(modules-1); at != modules/2 {
			open = append(open, at)
			sort.Ints(open)
		}
		s = state("third")
	case 1:
		if boards && rng.IntN(2) == 0 {
			s.Unplugged = []string{layout.Boards[rng.IntN(modules)].ID}
		} else {
			s.Boards = fault.BoardsOut
		}
	default:
		return
	}
	tr.enter(t, b, s)
	tr.readSections(t, b, "third", open)
	hear(tr, h)
}

// linkAbove is the link after so many modules.
func (tr *trial) linkAbove(modules int) string {
	if modules == len(tr.layout.Modules)/2 {
		return "SD"
	}
	return fmt.Sprintf("L%02d", modules)
}

// readSections reads every section between opened links.
func (tr *trial) readSections(t testing.TB, b *circuit.Bench, state string, open []int) {
	from := 0
	for _, to := range append(append([]int{}, open...), len(tr.layout.Modules)) {
		tr.readEnds(t, b, state, tr.layout.Modules[from].ID+"-", tr.layout.Modules[to-1].ID+"+")
		from = to
	}
}

// survey hears what the engine states of so many packs, on all cores; the same seed
// gives the same.
func survey(t testing.TB, mix mixture, seed uint64, n int) (all []heard) {
	out := make([][]heard, n)
	inParallel(n, func(i int) {
		surveyed(t, rand.New(rand.NewPCG(seed, uint64(i))), mix, func(tr *trial, h hidden) { out[i] = append(out[i], hear(t, tr, h)) })
	})
	for _, list := range out {
		all = append(all, list...)
	}
	return all
}

func hear(t testing.TB, tr *trial, h hidden) heard {
	f := stated(t, tr.c)
	out := heard{fault: h.kind, verdict: f.Verdict, doubted: len(f.Doubts) > 0}
	found := 0
	for _, s := range f.Suspicion {
		out.said = append(out.said, said{float64(s.Share), s.Kind, tr.c.Now, h.mustOut(s.ID)})
		if h.mustOut(s.ID) {
			found++
		}
	}
	out.missing = len(f.Suspicion) > 0 && found < len(h.out)
	return out
}

// A reliability is what one mixture showed.
type reliability struct {
	name  string
	packs int
	bins  []bin
}

// TestHonest_Calibration: a share is how often it is so. Faults out of the stated
// mixture, shares between .05 and .95 in ten bins of equal mass: stated and observed
// differ by at most 0.03 on average. With two leaks and wet runs doubled the figure
// is told, and must not leave the house standing on its priors alone.
func TestHonest_Calibration(t *testing.T) {
	var shown []reliability
	for _, m := range []struct {
		name string
		mix  mixture
		seed uint64
		most float64
	}{{"the stated mix of faults", statedMix(), 41, 0.03}, {"two leaks and wet runs doubled", doubledMix(), 42, math.Inf(1)}} {
		n := trials(25, surveyPacks)
		r := reliability{name: m.name, packs: n}
		all := survey(t, m.mix, m.seed, n)
		if t.Failed() {
			return
		}
		var mid, high, low []said
		for _, h := range all {
			for _, s := range h.said {
				switch {
				case s.share < 0.05:
					low = append(low, s)
				case s.share > 0.95:
					high = append(high, s)
				default:
					mid = append(mid, s)
				}
			}
		}
		r.bins = tenths(mid)
		shown = append(shown, r)
		err := calibrationError(r.bins)
		t.Logf("%s: %d packs, %d shares between .05 and .95, calibration error %.4f\n%s", m.name, n, len(mid), err, tableOf(r.bins))
		t.Logf("shares above .95: %s; below .05: %s\n%s", line(high), line(low), verdictsOf(all))
		logKinds(t, mid)
		limit := m.most
		if !*full {
			limit += 2 * chanceOf(r.bins)
		}
		if err > limit {
			t.Errorf("%s: calibration error %.4f, want at most %.3f", m.name, err, limit)
		}
		if *full && len(mid) < 5000 {
			t.Errorf("%s: %d shares between .05 and .95, want at least 5,000", m.name, len(mid))
		}
	}
	if *diagram != "" {
		if err := drawReliability(*diagram, shown); err != nil {
			t.Fatal(err)
		}
	}
}

// surveyPacks at full size give somewhat more than 5,000 shares.
const surveyPacks = 1400

func tableOf(list []bin) string {
	var out strings.Builder
	for _, b := range list {
		fmt.Fprintf(&out, "  stated %.3f, observed %.3f (%.3f to %.3f), %d of %d\n", b.stated, b.observed, b.least, b.most, b.hits, b.n)
	}
	return out.String()
}

func line(list []said) string {
	if len(list) == 0 {
		return "none"
	}
	b := binOf(list)
	return fmt.Sprintf("%d, stated %.4f, observed %.4f (%.4f to %.4f)", b.n, b.stated, b.observed, b.least, b.most)
}

// verdictsOf counts verdicts by kind of fault.
func verdictsOf(all []heard) string {
	count, missing, doubted, unfit := map[string]map[string]int{}, map[string]int{}, 0, 0
	for _, h := range all {
		if h.doubted {
			doubted++
		}
		if h.verdict == fault.Inconsistent {
			unfit++
		}
		if count[h.fault] == nil {
			count[h.fault] = map[string]int{}
		}
		count[h.fault][h.verdict]++
		if h.missing {
			missing[h.fault]++
		}
	}
	var out strings.Builder
	fmt.Fprintf(&out, "  of %d findings, none of a slip, %d have a doubt and %d are inconsistent\n", len(all), doubted, unfit)
	for _, k := range kinds {
		if len(count[k]) > 0 {
			fmt.Fprintf(&out, "  %s: %v, a place without a share in %d\n", k, count[k], missing[k])
		}
	}
	return out.String()
}

// logKinds tells stated against observed by kind of place, and by the state that was
// read last.
func logKinds(t *testing.T, list []said) {
	by := map[string][]said{}
	for _, s := range list {
		by["of a "+s.kind] = append(by["of a "+s.kind], s)
		by["after state "+s.state] = append(by["after state "+s.state], s)
	}
	for _, k := range slices.Sorted(maps.Keys(by)) {
		t.Logf("  %s: %s", k, line(by[k]))
	}
}
