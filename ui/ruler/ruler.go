// Package ruler draws the string unrolled to scale in volts: left its negative
// end, groups as ticks, modules as bands, open links as gaps, the chassis mark
// of each section with its interval, the suspicion as a skyline above, readings
// as flags below. Parallel strings are rulers on one scale.
//
// A point's world is volts across and pixels down; gaps are pixels, since an
// open link has no place on the scale. It reads facts and knows no widget.
package ruler

import (
	"math"
	"strings"

	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// A Ruler is the volts ruler of one case.
type Ruler struct {
	Pack *facts.Pack
	rows []row
	high float64
}

// A row is one string.
type row struct {
	top    float64
	gaps   []gap
	before []int // by place in the string: open joints below the module
	lay    layout
}

// A gap is an open joint above the module at Place.
type gap struct {
	place int
	link  int // index into Layout.Links; -1 = nothing joins the two modules
}

// A layout is where the parts of a row lie, in pixels below its top.
type layout struct {
	base     float64 // of the skyline
	sky      float64 // its height for a share of 1
	band     float64 // top of the modules
	bandHigh float64
	chassis  float64
	flags    []float64
	measure  float64
	axis     float64
	high     float64
}

var (
	// For one string, for two, for more; the last has no room for flags and scale.
	roomy = layout{sky: 46, base: 62, band: 63, bandHigh: 26, chassis: 93, flags: []float64{116, 131}, measure: 147, axis: 157, high: 176}
	dense = layout{sky: 28, base: 44, band: 45, bandHigh: 22, chassis: 71, flags: []float64{94}, measure: 108, axis: 117, high: 134}
	tight = layout{sky: 22, base: 40, band: 41, bandHigh: 18, chassis: 61, measure: 84, high: 96}
)

// Margins in pixels.
const (
	marginLeft  = 62.0
	marginRight = 30.0
	gapWide     = 118.0
)

// New prepares the ruler of a case.
func New(p *facts.Pack) *Ruler {
	r := &Ruler{Pack: p}
	lay := roomy
	switch n := len(p.Net.Strings); {
	case n > 2:
		lay = tight
	case n > 1:
		lay = dense
	}
	for s := range p.Net.Strings {
		w := row{top: r.high, lay: lay}
		w.joints(p, s)
		r.rows = append(r.rows, w)
		r.high += lay.high
	}
	return r
}

// joints finds the open joints of a string.
func (w *row) joints(p *facts.Pack, s int) {
	str := p.Net.Strings[s]
	w.before = make([]int, len(str.Modules))
	for i := range str.Modules {
		w.before[i] = len(w.gaps)
		if i+1 == len(str.Modules) {
			break
		}
		top, bottom := end(p.Net, s, i, true), end(p.Net, s, i+1, false)
		if p.Known && p.Joined.Conductor(top) != p.Joined.Conductor(bottom) {
			w.gaps = append(w.gaps, gap{place: i, link: openLink(p, top, bottom)})
		}
	}
}

// end is the upper or lower terminal of the module at a place of a string.
func end(n *topology.Net, s, place int, upper bool) topology.NodeID {
	str := n.Strings[s]
	m := str.Modules[place]
	if upper != str.Flipped[place] {
		return n.Tap(m, n.Layout.Modules[m].Series)
	}
	return n.Tap(m, 0)
}

// openLink is the open link at either of two nodes, -1 for none.
func openLink(p *facts.Pack, a, b topology.NodeID) int {
	found := -1
	for _, l := range p.Net.Links {
		if !p.IsOpen(l.Link) {
			continue
		}
		if (l.A == a && l.B == b) || (l.A == b && l.B == a) {
			return l.Link
		}
		if l.A == a || l.B == a || l.A == b || l.B == b {
			if p.Net.Layout.Links[l.Link].Kind != topology.Contactor {
				found = l.Link
			}
		}
	}
	return found
}

// High is how many pixels the whole ruler needs; with less it shows less of each
// string, with more its skyline is higher.
func (r *Ruler) High() float64 { return r.high }

// Fit is the view that shows every string whole.
func (r *Ruler) Fit(w, h float64) scene.View {
	r = r.sized(h)
	volts, gaps := 0.0, 0
	for s, along := range r.Pack.Along {
		volts = math.Max(volts, along[len(along)-1])
		gaps = max(gaps, len(r.rows[s].gaps))
	}
	v := scene.View{ScaleX: 1, ScaleY: 1, OffX: marginLeft, OffY: math.Max(0, (h-r.high)/2), W: w, H: h}
	if volts > 0 {
		room := w - marginLeft - marginRight
		v.ScaleX = math.Max(room*0.1, room-float64(gaps)*r.gapWide(w)) / volts
	}
	return v
}

// gapWide is the width of a gap: less where there are many.
func (r *Ruler) gapWide(w float64) float64 {
	n := 1
	for _, row := range r.rows {
		n = max(n, len(row.gaps))
	}
	return math.Max(4, math.Min(gapWide, 0.35*w/float64(n)))
}

// Options choose what is drawn.
type Options struct {
	Selected string // id of a target
	Red      string // taps that the leads go to, marked; "" = none
	Black    string
	Glide    Glide
}

// A Glide is how far the drawing has moved from an earlier finding to the
// present one, so that the eye sees what changed. The zero Glide has arrived.
type Glide struct {
	Share map[string]float64 // of the earlier finding
	Mid   map[string]float64 // its chassis volts, by a section's negative end
	Left  float64            // 1 = still at the earlier, 0 = arrived
}

// blend is a value on its way from the earlier one.
func (g Glide) blend(was map[string]float64, id string, now float64) float64 {
	old, ok := was[id]
	if !ok || g.Left <= 0 {
		return now
	}
	return old*g.Left + now*(1-g.Left)
}

// a frame is one drawing in the making.
type frame struct {
	*Ruler
	o       Options
	v       scene.View
	l       *scene.List
	measure scene.Measurer
	gap     float64
	flags   []facts.Flag
	shares  []scene.Rect // of the numbers on the skyline, on the screen
	bars    []scene.Rect // of its bars
}

// Scene draws the ruler for a view.
func (r *Ruler) Scene(v scene.View, o Options, measure scene.Measurer) *scene.List {
	r = r.sized(v.H)
	f := &frame{Ruler: r, o: o, v: v, l: &scene.List{}, measure: measure, gap: r.gapWide(v.W), flags: r.Pack.Flags()}
	if len(r.rows) == 0 {
		f.empty()
		return f.l
	}
	for s := range r.rows {
		f.string(s)
	}
	f.tapMark()
	f.leads()
	f.scale()
	if top, bottom := f.v.OffY, f.v.OffY+f.high; top < -2 || bottom > f.v.H+2 {
		f.l.Rect("", f.pinned(f.v.W-150, f.v.H-18), f.pinned(f.v.W, f.v.H), scene.Ink(theme.Paper), scene.Paint{}, 0, 0)
		f.l.Text("", f.pinned(f.v.W-8, f.v.H-9), scene.End, scene.Middle, scene.Ink(theme.Soft), 11, false, "more below: drag up")
	}
	return f.l
}

func (f *frame) pinned(x, y float64) scene.Point {
	p := scene.At(0, 0).Moved(x-f.v.OffX, y-f.v.OffY)
	return p
}

func (f *frame) empty() {
	f.l.Text("", f.pinned(f.v.W/2, f.v.H/2-2), scene.Middle, scene.End, scene.Ink(theme.Ink), theme.Text, true, "No string drawn")
	f.l.Text("", f.pinned(f.v.W/2, f.v.H/2+2), scene.Middle, scene.Start, scene.Ink(theme.Soft), theme.Text, false, "The string would be here, in volts from its negative end.")
}

// at is a place of a string: volts along it, on the side of the module at that
// place, and pixels below the row's top.
func (f *frame) at(s, place int, volts, y float64) scene.Point {
	w := f.rows[s]
	return scene.At(volts, w.top).Moved(float64(w.before[place])*f.gap, y)
}

// span is a module's range of volts along its string.
func (f *frame) span(s, place int) (lo, hi float64) {
	str := f.Pack.Net.Strings[s]
	first := str.Offset[place]
	return f.Pack.Along[s][first], f.Pack.Along[s][first+f.Pack.Net.Layout.Modules[str.Modules[place]].Series]
}

// ofNode is where a tap lies on its string at a height; ok is false for a named
// terminal.
func (f *frame) ofNode(n topology.NodeID, y float64) (scene.Point, int, bool) {
	s, volts, ok := f.Pack.AlongOf(n)
	if !ok {
		return scene.Point{}, 0, false
	}
	m, _, _ := f.Pack.Net.ModuleAt(n)
	return f.at(s, f.Pack.Modules[m].Place, volts, y), s, true
}

// tapMark points at a tap that is selected, or at the place of a link.
func (f *frame) tapMark() {
	p, s, ok := f.marked()
	if !ok {
		return
	}
	lay := f.rows[s].lay
	f.l.Line("", scene.Ink(theme.Accent), 3, p.Moved(0, lay.band-4), p.Moved(0, lay.band+lay.bandHigh+4))
	f.l.Add(scene.Shape{Kind: scene.Area, Points: []scene.Point{p.Moved(-7, lay.band-12), p.Moved(7, lay.band-12), p.Moved(0, lay.band-2)}, Fill: scene.Ink(theme.Accent), Line: scene.Ink(theme.Paper), Width: 1})
}

// marked is the place, at its row's top, of what is selected and has no width in
// volts. An open link between modules has its gap instead.
func (f *frame) marked() (scene.Point, int, bool) {
	net := f.Pack.Net
	if name, ok := f.Pack.TapOf(f.o.Selected); ok {
		if n, ok := net.Node(name); ok {
			return f.ofNode(n, 0)
		}
	}
	id, _ := strings.CutPrefix(f.o.Selected, "link:")
	l, ok := net.Link(id)
	if id == f.o.Selected || !ok {
		return scene.Point{}, 0, false
	}
	for _, r := range f.rows {
		for _, g := range r.gaps {
			if g.link == l {
				return scene.Point{}, 0, false
			}
		}
	}
	a, okA := net.Node(net.Layout.Links[l].From)
	b, okB := net.Node(net.Layout.Links[l].To)
	return f.between(a, okA, b, okB, 0)
}
