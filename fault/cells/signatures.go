package cells

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"halfsplit/fault"
	"halfsplit/topology"
)

// Kinds of a signature.
const (
	DrainBand     = "drain-band"     // groups that two leaks at their ends would drain
	NeighbourPair = "neighbour-pair" // one group high and the next as much low, their sum right
	BoardLow      = "board-low"      // all groups of one board
	ModuleLow     = "module-low"     // all groups of one module
	GroupLow      = "group-low"      // one group by itself
	GroupHigh     = "group-high"     // one group by itself
	Plateau       = "plateau"        // volts that say little of charge
	NotCompared   = "not-compared"   // lists of states that are too far apart
	Turned        = "turned"         // a list that seems to run from the other end
)

// A Signature is something that the pattern of group volts shows. Only a drain
// band is evidence of leaks; the others say where else low volts come from.
type Signature struct {
	Kind       string
	String     string  // the string it lies in; "" = none in particular
	Place      string  // module, board, tap or group; "" = none in particular
	From, To   string  // first and last group
	Millivolts float64 // how far off; below the others counts as positive
	Error      float64 // two standard deviations, mV
	Text       string
}

// Signatures lists what the group volts of a case show, string by string: bands,
// boards, modules, then single groups by their place.
func Signatures(c fault.Case) []Signature {
	net, _ := topology.Compile(c.Layout)
	p := pick(&c, net)
	var out []Signature
	for _, note := range p.notes {
		out = append(out, Signature{Kind: NotCompared, Text: note})
	}
	for _, l := range lines(&c, net, p) {
		if len(l.known()) > 0 {
			out = append(out, l.signatures(distinct(&c, net))...)
		}
	}
	return out
}

// A view is a line with its band taken out and what of it stands by itself.
type view struct {
	*line
	mv    []float64 // without the band; NaN = not known
	keep  []bool
	sigma float64
}

func (l *line) signatures(apart func(a, b topology.NodeID) bool) (out []Signature) {
	if l.back != nil {
		out = append(out, Signature{Kind: Turned, String: l.id(), Text: l.back.sentence(l.id())})
	}
	v := view{line: l, mv: slices.Clone(l.mv)}
	v.keep, v.sigma = l.withoutStrays(l.noiseFloor())
	if w, ok := weigh(l); ok {
		v.keep = w.keep
		if b, ok := w.drainBand(apart); ok {
			out = append(out, Signature{Kind: DrainBand, String: b.String, From: b.From, To: b.To,
				Millivolts: b.Depth, Error: b.Error, Text: b.sentence()})
			if !b.Joints { // else the modules are told as low as well
				for at := w.m.at[w.band.i]; at <= w.m.at[w.band.j-1]; at++ {
					v.mv[at] += w.band.depth
				}
			}
		}
	}
	if l.flat {
		out = append(out, Signature{Kind: Plateau, String: l.id(), Text: fmt.Sprintf(
			"The groups of string %s are on the level part of the iron phosphate curve: a few mV there are a large share of charge, and volts say little of it.", l.id())})
	}
	out = append(out, v.parts()...)
	return append(out, v.strays()...)
}

// A part is a module or board with the middle of its groups.
type part struct {
	run
	mid   float64
	count int
	class int
}

func (v *view) part(r run) (p part, ok bool) {
	var mv []float64
	for at := r.from; at < r.to; at++ {
		if v.keep[at] {
			mv = append(mv, v.mv[at])
		}
	}
	if len(mv) == 0 {
		return p, false
	}
	return part{r, median(mv), len(mv), v.class[r.from]}, true
}

// leastOff is the least that a module or board is named for, mV.
const leastOff = 5.0

// lowness is how far a part lies below the middle of its fellows, and its error;
// ok is false where it has fewer than two or does not stand out from them.
func (v *view) lowness(p part, all []part) (low, sd float64, ok bool) {
	var mids, offs []float64
	for _, o := range all {
		if o.id != p.id && o.class == p.class {
			mids = append(mids, o.mid)
		}
	}
	if len(mids) < 2 {
		return 0, 0, false
	}
	mid := median(mids)
	for _, m := range mids {
		offs = append(offs, math.Abs(m-mid))
	}
	spread := 1.4826 * median(offs)
	sd = math.Hypot(1.25*v.sigma/math.Sqrt(float64(p.count)), spread)
	low = mid - p.mid
	return low, sd, low > math.Max(leastOff, strayTimes*sd)
}

// parts are the boards that are low, and the modules that are low by themselves.
func (v *view) parts() (out []Signature) {
	var modules, boards []part
	for _, r := range v.whole {
		if p, ok := v.part(r); ok && r.board {
			boards = append(boards, p)
		} else if ok {
			modules = append(modules, p)
		}
	}
	told := map[string]bool{}
	for _, b := range boards {
		low, sd, ok := v.lowness(b, boards)
		if !ok || !v.apart(b, low) || v.isModule(b.run) != "" {
			continue
		}
		for _, m := range modules {
			if b.from <= m.from && m.to <= b.to {
				told[m.id] = true
			}
		}
		out = append(out, v.partLow(BoardLow, b, low, sd, "what hangs on this board drains them"))
	}
	for _, m := range modules {
		low, sd, ok := v.lowness(m, modules)
		if !ok || told[m.id] {
			continue
		}
		why := "it differs from the others as a whole, or came from elsewhere"
		if b := v.isBoard(m.run); b != "" {
			why += fmt.Sprintf(", or its board %s drains it", b)
		}
		out = append(out, v.partLow(ModuleLow, m, low, sd, why))
	}
	return out
}

func (v *view) partLow(kind string, p part, low, sd float64, why string) Signature {
	word := "module"
	if kind == BoardLow {
		word = "board"
	}
	return Signature{Kind: kind, String: v.id(), Place: p.id, From: v.group(p.from), To: v.group(p.to - 1), Millivolts: low, Error: 2 * sd,
		Text: fmt.Sprintf("All %d groups of %s %s are about %s mV (± %s mV) low: %s.", p.to-p.from, word, p.id, figure(low), figure(2*sd), why)}
}

// apart says that most of a part's groups share its lowness, and that the groups
// next to it do not.
func (v *view) apart(p part, low float64) bool {
	limit, below := p.mid+low/2, 0
	for at := p.from; at < p.to; at++ {
		if v.keep[at] && v.mv[at] < limit {
			below++
		}
	}
	beside := v.nearest(p.from-1, -1, 3, p.class)
	above := v.nearest(p.to, 1, 3, p.class)
	return float64(below) >= 0.8*float64(p.count) &&
		(len(beside) == 0 || median(beside) > limit) && (len(above) == 0 || median(above) > limit)
}

// nearest are the volts of up to n kept groups of a class from a place on.
func (v *view) nearest(at, by, n, class int) (out []float64) {
	for ; at >= 0 && at < len(v.mv) && len(out) < n; at += by {
		if v.keep[at] && v.class[at] == class {
			out = append(out, v.mv[at])
		}
	}
	return out
}

func (v *view) isModule(r run) string { return v.same(r, false) }
func (v *view) isBoard(r run) string  { return v.same(r, true) }

func (v *view) same(r run, board bool) string {
	for _, o := range v.whole {
		if o.board == board && o.from == r.from && o.to == r.to {
			return o.id
		}
	}
	return ""
}

// strays are the groups that are off by themselves, and pairs of them.
func (v *view) strays() (out []Signature) {
	for at := 0; at < len(v.mv); at++ {
		off, ok := v.stray(at)
		if !ok {
			continue
		}
		if next, ok := v.stray(at + 1); ok && off*next < 0 && math.Abs(off+next) < 4*v.sigma && v.class[at] == v.class[at+1] {
			out = append(out, v.pair(at, (math.Abs(off)+math.Abs(next))/2, off > 0))
			at++
			continue
		}
		out = append(out, v.alone(at, off))
	}
	return out
}

// stray is how far a group that was left out lies above the groups around it.
func (v *view) stray(at int) (off float64, ok bool) {
	if at >= len(v.mv) || v.keep[at] || math.IsNaN(v.mv[at]) {
		return 0, false
	}
	near := append(v.nearest(at-1, -1, 3, v.class[at]), v.nearest(at+1, 1, 3, v.class[at])...)
	if len(near) < 2 {
		return 0, false
	}
	mid := median(near)
	offs := make([]float64, len(near))
	for i, n := range near {
		offs[i] = math.Abs(n - mid)
	}
	off = v.mv[at] - mid
	return off, math.Abs(off) > strayTimes*math.Max(v.sigma, 1.4826*median(offs))
}

func (v *view) pair(at int, by float64, firstHigh bool) Signature {
	high, low := v.group(at), v.group(at+1)
	if !firstHigh {
		high, low = low, high
	}
	why := fmt.Sprintf("the sense lead of tap %s, between them, carries current or has a poor contact", v.tap(at+1))
	if v.joint(at + 1) {
		why = fmt.Sprintf("the joint between the modules, or the sense lead of tap %s there, drops volts under current", v.tap(at+1))
	}
	return Signature{Kind: NeighbourPair, String: v.id(), Place: v.tap(at + 1), From: v.group(at), To: v.group(at + 1), Millivolts: by, Error: 2 * v.sigma,
		Text: fmt.Sprintf("Group %s is %s mV high and %s beside it as much low, and together they are right: %s.", high, figure(by), low, why)}
}

func (v *view) alone(at int, off float64) Signature {
	s := Signature{Kind: GroupLow, String: v.id(), Place: v.group(at), From: v.group(at), To: v.group(at), Millivolts: -off, Error: 2 * v.sigma}
	word, why := "low", "it discharges itself, or holds less than they do"
	if off > 0 {
		s.Kind, word, why = GroupHigh, "high", "its channel reads otherwise, or it holds more than they do"
	}
	s.Text = fmt.Sprintf("Group %s by itself is %s mV %s against those around it, which differ by about %s mV: %s.",
		s.Place, figure(off), word, figure(cmp.Or(v.sigma, noiseFloor)), why)
	return s
}
