package path_test

import (
	"flag"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"halfsplit/topology"
	"halfsplit/topology/path"
)

var full = flag.Bool("full", false, "10,000 generated packs instead of 500")

// truth is a generated pack and what really joins its terminals.
type truth struct {
	l      topology.Layout
	m      path.Measured
	joined map[[2]string]bool
	tied   bool // strings in parallel
	exact  bool // every value is there and none was mistyped
}

func (tr truth) has(k path.Link) bool {
	return tr.joined[[2]string{k.From, k.To}] || tr.joined[[2]string{k.To, k.From}]
}

// draw generates one to four strings whose modules are numbered in any order, some
// drawn the wrong way round, read by a meter with a common gain and counts.
func draw(t *rapid.T) truth {
	tr := truth{joined: map[[2]string]bool{}, exact: true}
	strings, each := rapid.IntRange(1, 4).Draw(t, "strings"), rapid.IntRange(1, 8).Draw(t, "modules of a string")
	series, cell := rapid.IntRange(3, 16).Draw(t, "series"), rapid.Float64Range(3.2, 4.1).Draw(t, "cell")
	ids := rapid.Permutation(numbers(strings*each)).Draw(t, "ids")
	gain := rapid.Float64Range(-0.005, 0.005).Draw(t, "gain")
	count := rapid.SampledFrom([]float64{0.001, 0.01, 0.1}).Draw(t, "count")
	offset := rapid.SampledFrom([]float64{0, -50, 12.3}).Draw(t, "reference")
	gap := 0
	if strings == 1 && each > 2 && rapid.IntRange(0, 3).Draw(t, "gap") == 2 {
		gap = rapid.IntRange(1, each-1).Draw(t, "gap at")
	}
	tr.tied = strings > 1
	tr.m = path.Measured{Reference: "B-", Gain: 0.005}
	tr.l.Modules = make([]topology.Module, len(ids))
	read := func(name string, volts float64) {
		if rapid.IntRange(0, 39).Draw(t, "missing") == 17 {
			tr.exact = false
			return
		}
		v := volts*(1+gain) + count*rapid.Float64Range(-2, 2).Draw(t, "counts")
		v = math.Round(v/count) * count
		// rapid favours small numbers: the rare cases are in the middle.
		switch rapid.IntRange(0, 299).Draw(t, "slip") {
		case 23:
			v, tr.exact = -v, false
		case 24:
			v, tr.exact = v*1000, false
		case 25:
			v, tr.exact = v*10, false
		}
		tr.m.Values = append(tr.m.Values, path.Value{Terminal: name, Volts: v, Within: 2.5 * count})
	}
	for s := range strings {
		at, last := offset, ""
		for i := range each {
			n := ids[s*each+i]
			id := fmt.Sprintf("M%02d", n+1)
			neg, pos := id+"-", id+"+"
			if rapid.IntRange(0, 6).Draw(t, "turned") == 3 {
				neg, pos = pos, neg
			}
			tr.l.Modules[n] = topology.Module{ID: id, Series: series, W: 300, H: 150, Minus: "left",
				X: rapid.Float64Range(0, 3000).Draw(t, "x"), Y: rapid.Float64Range(0, 3000).Draw(t, "y")}
			switch {
			case i > 0 && i == gap: // a disconnect is out: what follows floats, clear of the other ends
				at += 0.37 * float64(series) * cell
			case i > 0:
				tr.joined[[2]string{last, neg}] = true
			}
			read(neg, at)
			at += float64(series) * (cell + rapid.Float64Range(-0.01, 0.01).Draw(t, "spread"))
			read(pos, at)
			last = pos
		}
	}
	return tr
}

func numbers(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

func TestPropose_certainIsAlwaysTrue(t *testing.T) {
	rounds, links, certain, probable, right, wrong := 0, 0, 0, 0, 0, 0
	check := func(t *rapid.T) {
		tr := draw(t)
		p := path.Propose(tr.l, tr.m)
		rounds++
		links += len(tr.joined)
		mine := 0
		for _, k := range p.Links {
			switch {
			case k.Grade == path.Certain && !tr.has(k):
				t.Fatalf("certain, and not so: %+v\n%+v\n%v\n%+v", k, tr.m.Values, tr.joined, p)
			case k.Grade == path.Certain:
				certain++
				mine++
			case k.Grade == path.Probable && tr.has(k):
				probable++
				right++
			case k.Grade == path.Probable:
				probable++
				wrong++
			}
		}
		// One link at most lies at the reference, where a sign alone decides.
		if tr.exact && !tr.tied && mine < len(tr.joined)-1 {
			t.Fatalf("one string with every value: %d of %d links are certain; %+v", mine, len(tr.joined), p)
		}
		placed := 0
		for _, c := range p.Chains {
			placed += len(c.Modules)
		}
		if placed != len(tr.l.Modules) {
			t.Fatalf("%d of %d modules are in the order", placed, len(tr.l.Modules))
		}
	}
	for range 5 { // a check of rapid runs 100 packs by default
		rapid.Check(t, check)
	}
	for *full && rounds < 10000 && !t.Failed() {
		rapid.Check(t, check)
	}
	t.Logf("%d packs, %d links: %d certain, all true; %d probable, of which %d true and %d not", rounds, links, certain, probable, right, wrong)
}

func TestPropose_acceptedLinksAreNotProposedAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := draw(t)
		for n := range 3 * len(tr.l.Modules) {
			p := path.Propose(tr.l, tr.m)
			var accept *path.Link
			for i, k := range p.Links {
				for _, have := range tr.l.Links {
					if have.From == k.From && have.To == k.To {
						t.Fatalf("%s to %s is in the layout already, and was proposed again", k.From, k.To)
					}
				}
				if k.Grade == path.Certain && accept == nil {
					accept = &p.Links[i]
				}
			}
			if accept == nil {
				return
			}
			tr.l.Links = append(tr.l.Links, topology.Link{ID: fmt.Sprintf("L%d", n), Kind: topology.Busbar, From: accept.From, To: accept.To})
		}
		t.Fatal("accepting did not come to an end")
	})
}

// Whatever is in a layout and in the values, something is said and every module is in
// the order once.
func TestPropose_anything(t *testing.T) {
	volts := rapid.SampledFrom([]float64{0, 1e-9, 29.2, 58.4, -29.2, 29200, math.NaN(), math.Inf(1), math.MaxFloat64, -math.MaxFloat64})
	id := rapid.SampledFrom([]string{"M1", "M2", "M3", "M4", ""})
	terminal := rapid.SampledFrom([]string{"M1-", "M1+", "M2-", "M2+", "M3-", "M3+", "pack+", "", "M9+"})
	rapid.Check(t, func(t *rapid.T) {
		var l topology.Layout
		for range rapid.IntRange(0, 6).Draw(t, "modules") {
			l.Modules = append(l.Modules, topology.Module{ID: id.Draw(t, "id"), Series: rapid.IntRange(-1, 9).Draw(t, "series")})
		}
		for range rapid.IntRange(0, 4).Draw(t, "links") {
			l.Links = append(l.Links, topology.Link{ID: id.Draw(t, "link"), From: terminal.Draw(t, "from"), To: terminal.Draw(t, "to")})
		}
		m := path.Measured{Gain: volts.Draw(t, "gain"), ModuleVolts: map[string]float64{"M2": volts.Draw(t, "own")}}
		for range rapid.IntRange(0, 9).Draw(t, "values") {
			m.Values = append(m.Values, path.Value{Terminal: terminal.Draw(t, "terminal"), Volts: volts.Draw(t, "volts"), Within: volts.Draw(t, "within")})
		}
		placed := 0
		for _, c := range path.Propose(l, m).Chains {
			placed += len(c.Modules)
		}
		if placed != len(l.Modules) {
			t.Fatalf("%d of %d modules are in the order", placed, len(l.Modules))
		}
	})
}
