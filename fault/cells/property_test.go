package cells_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
	"halfsplit/fault/cells"
	"halfsplit/topology"
)

// banded are packs with a clear band each, and the taps of its edges.
func banded(t *testing.T, do func(t *testing.T, r *rand.Rand, p *pack, a, b int)) {
	t.Helper()
	for i := range 40 {
		r := rand.New(rand.NewPCG(uint64(i), 21))
		p := newPack(r, 2+2*r.Float64())
		a, b := p.band(r)
		p.lower(a, b, 25+20*r.Float64())
		for j := range p.mv {
			p.mv[j] = math.Round(p.mv[j]) // as the list will hold it
		}
		do(t, r, p, a, b)
	}
}

func bandOf(t *testing.T, c fault.Case) cells.Band {
	t.Helper()
	found := cells.Bands(c)
	if len(found) != 1 {
		t.Fatalf("%d bands", len(found))
	}
	return found[0]
}

// A pack turned end for end has its band turned end for end, as clear as before.
func TestBands_Mirror(t *testing.T) {
	banded(t, func(t *testing.T, _ *rand.Rand, p *pack, a, b int) {
		was := bandOf(t, p.fault())
		q := &pack{series: p.series, mv: slices.Clone(p.mv)}
		slices.Reverse(q.mv)
		is := bandOf(t, q.fault())
		n := len(p.mv)
		if was.Lower[0].Tap != p.tap(a) || is.Lower[0].Tap != q.tap(n-b) || is.Upper[0].Tap != q.tap(n-a) {
			t.Errorf("edges %s %s of %d..%d, mirrored %s %s of %d", was.Lower[0].Tap, was.Upper[0].Tap, a, b, is.Lower[0].Tap, is.Upper[0].Tap, n)
		}
		if math.Abs(was.Depth-is.Depth) > 0.01 || math.Abs(was.LogRatio-is.LogRatio) > 0.05+0.01*was.LogRatio {
			t.Errorf("depth %g and %g mV, ln ratio %g and %g", was.Depth, is.Depth, was.LogRatio, is.LogRatio)
		}
	})
}

// Names mean nothing, nor does the order in which modules, links and lists stand.
func TestEvidence_RelabelledAndShuffled(t *testing.T) {
	banded(t, func(t *testing.T, r *rand.Rand, p *pack, _, _ int) {
		c := p.fault()
		want := cells.Evidence(c)
		r.Shuffle(len(c.GroupVolts), func(i, j int) { c.GroupVolts[i], c.GroupVolts[j] = c.GroupVolts[j], c.GroupVolts[i] })
		if d := cmp.Diff(want, cells.Evidence(c)); d != "" {
			t.Error(d)
		}
		other := strings.NewReplacer("M", "Pack_")
		r.Shuffle(len(c.Layout.Modules), func(i, j int) { c.Layout.Modules[i], c.Layout.Modules[j] = c.Layout.Modules[j], c.Layout.Modules[i] })
		r.Shuffle(len(c.Layout.Links), func(i, j int) { c.Layout.Links[i], c.Layout.Links[j] = c.Layout.Links[j], c.Layout.Links[i] })
		for i := range c.Layout.Modules {
			c.Layout.Modules[i].ID = other.Replace(c.Layout.Modules[i].ID)
		}
		for i := range c.Layout.Links {
			c.Layout.Links[i].From, c.Layout.Links[i].To = other.Replace(c.Layout.Links[i].From), other.Replace(c.Layout.Links[i].To)
		}
		for i := range c.GroupVolts {
			c.GroupVolts[i].Module = other.Replace(c.GroupVolts[i].Module)
		}
		for i := range want {
			// mV stays; only the names of groups change.
			want[i].Place, want[i].Why = other.Replace(want[i].Place), strings.ReplaceAll(want[i].Why, "M0", "Pack_0")
			want[i].With = other.Replace(want[i].With)
		}
		if d := cmp.Diff(want, cells.Evidence(c)); d != "" {
			t.Error(d)
		}
	})
}

// The level of all groups together says nothing; a deeper band is as clear.
func TestBands_LevelAndScale(t *testing.T) {
	banded(t, func(t *testing.T, r *rand.Rand, p *pack, a, b int) {
		was := bandOf(t, p.fault())
		up := &pack{series: p.series, mv: slices.Clone(p.mv)}
		up.lower(0, len(up.mv), float64(r.IntN(800)-300))
		is := bandOf(t, up.fault())
		if math.Abs(was.LogRatio-is.LogRatio) > 1e-6*was.LogRatio || was.Lower[0].Tap != is.Lower[0].Tap || was.Upper[0].Tap != is.Upper[0].Tap {
			t.Errorf("moved as a whole: %+v, was %+v", is, was)
		}
		deep := &pack{series: p.series, mv: slices.Clone(p.mv)}
		deep.lower(a, b, 30)
		// A larger depth is one of more that might have been: that much may be lost.
		if is = bandOf(t, deep.fault()); is.LogRatio < was.LogRatio-math.Log(is.Depth/was.Depth)-0.1 || math.Abs(is.Depth-was.Depth-30) > 2 {
			t.Errorf("30 mV deeper: %+v, was %+v", is, was)
		}
	})
}

// Asking changes nothing, and asking twice gives the same.
func TestEvidence_PureAndRepeatable(t *testing.T) {
	c, again := load(t, "S3"), load(t, "S3")
	first := cells.Evidence(c)
	cells.Signatures(c)
	if d := cmp.Diff(again, c); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff(first, cells.Evidence(c)); d != "" {
		t.Error(d)
	}
}

// Where a module is wired against its string its groups run the other way, and so
// do their names.
func TestBands_FlippedModule(t *testing.T) {
	p := even().lower(19, 61, 20) // M003.4 to M008.5
	c := p.fault()
	for i := range c.Layout.Links { // M003 the other way round
		l := &c.Layout.Links[i]
		for _, end := range []*string{&l.From, &l.To} {
			switch *end {
			case "M003-":
				*end = "M003+"
			case "M003+":
				*end = "M003-"
			}
		}
	}
	slices.Reverse(c.GroupVolts[2].Volts)
	net, _ := topology.Compile(c.Layout)
	if !net.Strings[0].Flipped[2] {
		t.Fatal("the module is not flipped")
	}
	if b := bandOf(t, c); b.From != "M003.5" || b.Lower[0].Tap != "M003.5" || b.Upper[0].Tap != "M008.5" {
		t.Errorf("%+v", b)
	}
}
