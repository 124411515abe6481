package path

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"halfsplit/topology"
)

// A Grade says how far the volts carry a link.
type Grade string

// Grades. Certain means that among everything drawn and measured nothing else can
// lie at this potential; what is not drawn cannot be known.
const (
	Certain       Grade = "certain"
	Probable      Grade = "probable"
	Contradictory Grade = "contradictory"
)

// A Link is a proposed one.
type Link struct {
	From, To     string // terminals as drawn, From the positive end of the lower module
	Grade        Grade
	Reason       string
	Alternatives []string // other terminals that To could be, by the volts
}

// A Note is something said about a thing to go to.
type Note struct {
	GoTo string // a terminal, module or link
	Text string
}

// A Chain is modules joined one after the other, by the layout's links and the
// proposed ones that are not contradictory.
type Chain struct {
	Modules   []string // from negative to positive
	Low, High float64  // V of its ends against the reference; NaN where not known
}

// A Proposal is what the volts say about a layout.
type Proposal struct {
	Links          []Link
	Chains         []Chain  // by the volts of their negative ends; they are the order
	Reversed       []Note   // modules that lie the other way round than drawn
	Contradictions []Note   // values and links that cannot all be right
	Parallel       []Note   // chains that the volts cannot tell apart
	Gaps           []Note   // where nothing joins two chains
	Missing        []string // terminals without a value
}

// How far volts may lie apart, in half-widths of their difference.
const (
	agree  = 1.0 // a link can be certain
	maybe  = 2.0 // a link is probable at most
	intrud = 4.0 // another terminal within this makes a link probable at most
)

// Propose says which links the volts speak for. The layout is not changed; links
// that a person accepted are in l.Links, and are held against the volts.
func Propose(l topology.Layout, m Measured) Proposal {
	var p Proposal
	t := newTable(l, m, &p)
	slips := t.modules()
	t.sayReversed()
	t.existing()
	t.sayMissing()
	t.links()
	t.mend(slips)
	t.order()
	return p
}

func (t *table) sayReversed() {
	for i, mod := range t.l.Modules {
		if t.turned[i] {
			lo, hi := &t.ends[2*i], &t.ends[2*i+1]
			t.out.Reversed = append(t.out.Reversed, Note{mod.ID, fmt.Sprintf("%s lies the other way round: its - end is %s V above its + end. Or the two values were swapped.", mod.ID, num(lo.volts-hi.volts))})
		}
	}
}

func (t *table) sayMissing() {
	for i := range t.ends {
		if e := &t.ends[i]; !e.known || e.inferred {
			t.out.Missing = append(t.out.Missing, e.name)
		}
	}
}

// existing holds the layout's own links against the volts. One that the volts speak
// against leaves its terminals free.
func (t *table) existing() {
	for _, k := range t.l.Links {
		a, okA := t.byName[k.From]
		b, okB := t.byName[k.To]
		if okA && okB && t.ends[a].known && t.ends[b].known {
			x, y := &t.ends[a], &t.ends[b]
			if d := math.Abs(x.volts - y.volts); d > maybe*t.within(x, y) {
				text := fmt.Sprintf("%s joins %s and %s, but they differ by %s V, more than ± %s V.", k.ID, k.From, k.To, num(d), num(t.within(x, y)))
				t.against[a], t.against[b] = k.ID, k.ID
				switch k.Kind {
				case topology.Disconnect, topology.Fuse, topology.Contactor:
					text += fmt.Sprintf(" If the %s was open while this was measured, that is to be expected.", k.Kind)
					t.occupied[a], t.occupied[b] = k.ID, k.ID
				}
				t.out.Contradictions = append(t.out.Contradictions, Note{k.ID, text})
				continue
			}
		}
		if okA {
			t.occupied[a] = k.ID
		}
		if okB {
			t.occupied[b] = k.ID
		}
	}
}

// free lists the ends at the given side of the modules that no link holds.
func (t *table) free(side func(int) int) (out []int) {
	for i := range t.l.Modules {
		e := side(i)
		if _, held := t.occupied[e]; !held && t.ends[e].known && !t.ends[e].suspect {
			out = append(out, e)
		}
	}
	return out
}

// A pair is a positive end and a negative end that agree in volts.
type pair struct{ a, b int }

// links proposes links among free ends. Ends that agree with several are matched by
// how near they lie in the plan.
func (t *table) links() {
	highs, lows := t.free(t.positive), t.free(t.negative)
	var all []pair
	for _, a := range highs {
		for _, b := range lows {
			if t.ends[a].module != t.ends[b].module && t.far(a, b) <= maybe {
				all = append(all, pair{a, b})
			}
		}
	}
	// Sharper agreement first where the plan does not tell: nearest first otherwise.
	slices.SortStableFunc(all, func(p, q pair) int {
		return cmp.Compare(apart(&t.ends[p.a], &t.ends[p.b]), apart(&t.ends[q.a], &t.ends[q.b]))
	})
	used := map[int]bool{}
	for _, p := range all {
		if used[p.a] || used[p.b] || t.loops(p) {
			continue
		}
		used[p.a], used[p.b] = true, true
		t.out.Links = append(t.out.Links, t.judge(p, highs, lows))
	}
	slices.SortStableFunc(t.out.Links, func(x, y Link) int {
		return cmp.Compare(t.ends[t.byName[x.From]].volts, t.ends[t.byName[y.From]].volts)
	})
}

// far is how many half-widths two ends lie apart. Ends that agree to the digit agree
// whatever the meter.
func (t *table) far(a, b int) float64 {
	x, y := &t.ends[a], &t.ends[b]
	d := math.Abs(x.volts - y.volts)
	if d == 0 {
		return 0
	}
	return d / t.within(x, y)
}

// loops tells whether a link would close a ring of modules: its volts would be
// shorted, so there is no such link.
func (t *table) loops(p pair) bool {
	at := t.next()
	for m, n := t.ends[p.b].module, 0; n <= len(t.l.Modules); n++ {
		if m == t.ends[p.a].module {
			return true
		}
		to, ok := at[t.positive(m)]
		if !ok {
			return false
		}
		m = t.ends[to].module
	}
	return true
}

// judge grades a pair and says why.
func (t *table) judge(p pair, highs, lows []int) Link {
	a, b := &t.ends[p.a], &t.ends[p.b]
	k := Link{From: a.name, To: b.name, Grade: Certain}
	k.Reason = fmt.Sprintf("%s %s V and %s %s V differ by %s V, within ± %s V.", a.name, num(a.volts), b.name, num(b.volts), num(math.Abs(a.volts-b.volts)), num(t.within(a, b)))
	lower := func(why string) { k.Grade = Probable; k.Reason += " " + why }
	if t.far(p.a, p.b) > agree {
		k.Reason = fmt.Sprintf("%s %s V and %s %s V differ by %s V, more than ± %s V but less than twice that.", a.name, num(a.volts), b.name, num(b.volts), num(math.Abs(a.volts-b.volts)), num(t.within(a, b)))
		k.Grade = Probable
	}
	rivals, count := t.rivals(p, highs, lows)
	if count > 1 {
		k.Alternatives = rivals
		lower(t.nearest(p, rivals, count))
	}
	if id := cmp.Or(t.against[p.a], t.against[p.b]); id != "" {
		lower(fmt.Sprintf("But %s in the drawing joins one of them elsewhere, against the volts.", id))
	}
	if a.inferred || b.inferred {
		lower("One of them was not measured: it follows from the module's own volts.")
	}
	for _, i := range []int{p.a, p.b} {
		if e := &t.ends[i]; !e.inferred && !t.sure(e.module) {
			lower(fmt.Sprintf("%s was measured at one end alone, so which way round it lies is as drawn, not as measured.", t.l.Modules[e.module].ID))
		}
	}
	for _, i := range []int{p.a, p.b} {
		if t.signAlone(i) {
			lower(fmt.Sprintf("It lies at the reference, so which way round %s lies rests on the sign of %s alone.", t.l.Modules[t.ends[i].module].ID, t.ends[i^1].name))
			break
		}
	}
	if who := t.hidden(p); who != "" {
		lower(fmt.Sprintf("%s, and could lie here too.", who))
	}
	return k
}

// rivals are ends that could be in place of the pair's To, and how many ends there
// are on the fuller side.
func (t *table) rivals(p pair, highs, lows []int) (names []string, count int) {
	side := 1
	for _, b := range lows {
		if b != p.b && t.far(p.a, b) <= intrud && t.ends[b].module != t.ends[p.a].module {
			names, side = append(names, t.ends[b].name), side+1
		}
	}
	other := 1
	for _, a := range highs {
		if a != p.a && t.far(a, p.b) <= intrud && t.ends[a].module != t.ends[p.b].module {
			other++
		}
	}
	return names, max(side, other)
}

func (t *table) nearest(p pair, rivals []string, count int) string {
	mine := apart(&t.ends[p.a], &t.ends[p.b])
	for _, r := range rivals {
		if d := apart(&t.ends[p.a], &t.ends[t.byName[r]]); d <= mine+1 {
			return fmt.Sprintf("Probable at most: %s fits by its volts too, and is as near in the plan (%.0f mm, against %.0f mm).", r, d, mine)
		}
	}
	return fmt.Sprintf("Probable: nearest of %s, %.0f mm in the plan. Order between equal potentials cannot be told by volts.", count2(count), mine)
}

func count2(n int) string {
	if words := []string{"none", "one", "two", "three", "four", "five", "six"}; n < len(words) {
		return words[n]
	}
	return fmt.Sprint(n)
}

// sure tells whether the volts say which way round a module lies.
func (t *table) sure(module int) bool {
	_, ok := t.over(module)
	return ok
}

// signAlone tells whether a module would have plausible volts with the sign of its
// other end turned about too: with u at this end and v at the other, |v-u| and |v+u|
// are both so when |u| is small against v. With 2.5 to 4.3 V a cell that is
// (v+u)/(v-u) ≤ 4.3/2.5, or |u| ≤ 0.36 of the smaller of both.
func (t *table) signAlone(i int) bool {
	v, ok := t.over(t.ends[i].module)
	return ok && math.Abs(t.ends[i].volts) <= 0.36*v
}

// hidden names an end that no link holds and that could lie at the pair's potential
// though it is not among those compared: it has no usable value, or its module was
// measured at one end alone and may lie the other way round.
func (t *table) hidden(p pair) string {
	for i := range t.ends {
		e := &t.ends[i]
		if _, held := t.occupied[i]; held || i == p.a || i == p.b {
			continue
		}
		measured := e.known && !e.suspect && !e.inferred
		switch {
		case measured && !t.sure(e.module) && t.slipped(p.a, i):
			return e.name + " has no value at its module's other end"
		case !measured && t.reaches(i, t.ends[p.a].volts):
			return e.name + " has no value that can be used"
		}
	}
	return ""
}

// meant lists what an end's value can have been: itself where its module's other end
// bears it out, else also its slips of sign and of the point, which nothing would
// show. A wrong digit of such a value is not allowed for.
func (t *table) meant(i int) []float64 {
	e := &t.ends[i]
	out := []float64{e.volts}
	if !t.sure(e.module) {
		for _, g := range coarse(e.volts) {
			out = append(out, g.volts)
		}
	}
	return out
}

// slipped tells whether end i lies at end a's volts, as typed or by a slip.
func (t *table) slipped(a, i int) bool {
	for _, v := range t.meant(i) {
		e := t.ends[i]
		e.volts = v
		if math.Abs(v-t.ends[a].volts) <= intrud*t.within(&t.ends[a], &e) {
			return true
		}
	}
	return false
}

// reaches tells whether an unmeasured end could have such volts. From its module's
// other end it lies as far as the module has volts: 2.5 to 4.3 V a group, either way,
// since the drawing may have it turned.
func (t *table) reaches(i int, volts float64) bool {
	other := &t.ends[i^1]
	series := t.l.Modules[t.ends[i].module].Series
	if t.ends[i].suspect || !other.known || other.suspect || other.inferred || series <= 0 {
		return true
	}
	const slack = 1.1 // for errors of the meter, and a group that is not as it should be
	n := float64(series)
	for _, v := range t.meant(i ^ 1) {
		if d := math.Abs(volts - v); d >= n*lowestCell/slack-other.within && d <= n*highestCell*slack+other.within {
			return true
		}
	}
	return false
}
