package plan

import (
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/palette"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// A Mode is what the modules are shaded by.
type Mode uint8

// The modes.
const (
	BySuspicion Mode = iota
	ByMedian
	ByPotential
	ByInsulation
	ByCharge
	ByAge
	ByMissing
	modes

	ByDifference = modes + 1 // of two sets: Options.Differences

	ByPath = modes // while a pack is drawn: no shading, each module's place along its string
)

// ModeNames are the modes' names, in their order.
var ModeNames = [modes]string{"Suspicion", "Volts from median", "Potential to chassis", "Insulation", "State of charge", "Age of reading", "Missing"}

// Ends that the scales can be locked to, the first that which holds until a
// person chooses: volts from the median either way, and hours.
var (
	MedianEnds = []float64{0.1, 0.2, 0.5, 1, 0.02, 0.05}
	AgeEnds    = []float64{24, 72, 168, 720, 8}
)

// PotentialEnds are the ends that the potential's scale can be locked to; the
// first is the next round number above half of the pack's working volts.
func (d *Drawing) PotentialEnds() []float64 { return []float64{d.end, 50, 100, 250, 500, 1000} }

// The locked ends of the insulation scale, Ω; the paper lies in the middle.
const (
	insulationLow  = 1e3
	insulationMid  = 1e6
	insulationHigh = 1e9
)

// whole says that a mode shades modules and not their groups.
func (m Mode) whole() bool { return m != ByMedian && m != ByPotential && m != ByDifference }

// mostShapes is how many shapes a drawing may have; more would not move with
// the finger on a machine without graphics hardware.
const mostShapes = 1450

// A Drawing is the plan of one case.
type Drawing struct {
	Pack *facts.Pack
	Geo  *Geometry
	end  float64 // V, the end of the potential scale until another is chosen
	fit  fit     // of the pane that it was asked for last

	flipped  bool // seen from the other side than the layout records
	mirrored bool // the same, or the layout itself was mirrored for it
	with     bool // boards, chassis and parts are drawn
}

// New prepares the plan of a case. The geometry of the same layout may be
// handed on; nil works it out.
func New(p *facts.Pack, g *Geometry) *Drawing {
	if g == nil {
		g = NewGeometry(p.Net)
	}
	d := &Drawing{Pack: p, Geo: g}
	volts := p.Case.Layout.WorkingVolts
	if volts <= 0 {
		volts = p.Case.Layout.NominalVolts
	}
	if volts <= 0 {
		for _, along := range p.Along {
			volts = math.Max(volts, along[len(along)-1])
		}
	}
	d.end = niceAbove(volts / 2)
	return d
}

// niceAbove is the next of 1, 2, 2.5, 5, 10 … at or above v.
func niceAbove(v float64) float64 {
	if v <= 0 {
		return 100
	}
	p := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range []float64{1, 2, 2.5, 5, 10} {
		if k*p >= v*(1-1e-9) {
			return k * p
		}
	}
	return 10 * p
}

// Options choose what is drawn.
type Options struct {
	Mode         Mode
	Selected     string  // id of a target
	Red, Black   string  // places that the leads go to, marked; "" = none
	MedianEnd    float64 // V; 0 = the first of MedianEnds
	PotentialEnd float64 // V; 0 = the first of PotentialEnds
	AgeEnd       float64 // hours; 0 = the first of AgeEnds

	Many []string       // ids of targets, selected together
	Path map[string]int // ByPath: a module's place along its string, from 1; none = joined to nothing
	Bare bool           // without the legend
	Thin bool           // over a photo: bodies and the ground of stacks are left open

	Paper bool // on paper, which nobody moves: as fine as can be read, however many shapes that takes

	Differences *Differences // ByDifference; nil = none is known

	Tier *int // only this tier is solid, the others are thin outlines; nil = all
}

// openNear says that an open link with a label lies in the topmost row, or in
// the lowest.
func (d *Drawing) openNear() (top, bottom bool) {
	for _, w := range d.Geo.Wires {
		if !d.labelled(w) {
			continue
		}
		top = top || w.Seat.Y() < d.Geo.Bounds.Min.Y()+d.Geo.Size
		bottom = bottom || w.Seat.Y() > d.Geo.Bounds.Max.Y()-d.Geo.Size
	}
	return top, bottom
}

// labelled says that a link has a label with the volts of its gap.
func (d *Drawing) labelled(w Wire) bool {
	return len(w.Way) > 1 && d.Pack.IsOpen(w.Link) && d.Pack.Net.Layout.Links[w.Link].Kind != topology.Contactor
}

// locked fills in the ends that nobody chose.
func (o Options) locked(d *Drawing) Options {
	for _, e := range []struct {
		end   *float64
		first float64
	}{{&o.MedianEnd, MedianEnds[0]}, {&o.PotentialEnd, d.end}, {&o.AgeEnd, AgeEnds[0]}} {
		if *e.end <= 0 {
			*e.end = e.first
		}
	}
	return o
}

// a frame is one drawing in the making.
type frame struct {
	*Drawing
	o       Options
	v       scene.View
	l       *scene.List
	measure scene.Measurer
	visible []int // modules
	tier    tier
	sparse  bool         // so many modules that each has one shape
	undrawn int          // modules that are left out
	taken   []scene.Rect // of labels, on the screen
	seats   []mgl64.Vec2 // of the symbols, on the screen
	runs    []scene.Rect // of the wires in view, on the screen
	lifted  bool
	on      []bool // modules of the tier that is shown alone; nil = not asked yet
}

// A tier is a level of detail.
type tier uint8

const (
	farStacks tier = iota // a colour for each stack
	farModules
	middle // outlines and numbers
	near   // groups
)

// Scene draws the plan for a view.
func (d *Drawing) Scene(v scene.View, o Options, measure scene.Measurer) *scene.List {
	f := &frame{Drawing: d, o: o.locked(d), v: v, l: &scene.List{}, measure: measure}
	if len(d.Geo.Modules) == 0 {
		if o.Bare { // an empty table has its scales
			f.furniture()
		} else {
			f.empty()
		}
		return f.l
	}
	f.choose()
	f.reserve()
	f.stacks()
	f.under()
	if f.tier >= middle {
		f.wires()
	}
	f.ghosts()
	for _, m := range f.visible {
		f.module(m)
	}
	f.fittings()
	if f.tier >= middle {
		f.terminals()
		f.selection()
		f.symbols()
	} else {
		f.selection()
	}
	f.leads()
	f.furniture()
	return f.l
}

// empty says what would be here and what starts it.
func (f *frame) empty() {
	mid := scene.At(0, 0).Moved(f.v.W/2, f.v.H/2)
	mid.World = f.v.World(mgl64.Vec2{0, 0})
	f.l.Text("", mid.Moved(0, -14), scene.Middle, scene.End, scene.Ink(theme.Ink), theme.Section, true, "No modules drawn")
	f.l.Text("", mid, scene.Middle, scene.Start, scene.Ink(theme.Soft), theme.Text, false, "The pack would be here, to scale. Open a case whose layout has modules.")
}

// choose finds the modules in view and the finest level of detail that stays
// within mostShapes and is large enough to read.
func (f *frame) choose() {
	win := f.v.Window().Grown(40 / f.v.ScaleX)
	for m, o := range f.Geo.Modules {
		if o.Box().Overlaps(win) {
			f.visible = append(f.visible, m)
		}
	}
	n := len(f.visible)
	switch {
	case f.o.Paper && f.Geo.Size*f.v.ScaleX >= 14:
		f.tier = near
	case n > mostShapes/3 && len(f.Geo.Stacks) > 0:
		f.tier = farStacks
	case f.Geo.Size*f.v.ScaleX < 14 || f.estimate(middle) > mostShapes:
		f.tier = farModules
		f.sparse = n > mostShapes/3
		if n > mostShapes {
			f.visible, f.undrawn = f.visible[:mostShapes], n-mostShapes
		}
	case f.estimate(near) > mostShapes:
		f.tier = middle
	default:
		f.tier = near
	}
}

// estimate is about how many shapes a level of detail takes, rather more than
// less.
func (f *frame) estimate(t tier) int {
	sum := 120 + f.fittingShapes() // furniture
	for _, m := range f.visible {
		sum += 12
		if f.o.Mode > ByPotential && math.IsNaN(f.moduleValue(m)) || f.o.Mode != BySuspicion && f.Pack.Modules[m].Measured < len(f.Pack.Modules[m].Groups) || f.o.Mode == ByPotential && math.IsNaN(f.moduleValue(m)) {
			sum += hatchLines[t] * 4
		}
		if t == near {
			sum += 2*len(f.Pack.Modules[m].Groups) + 2
		}
	}
	win := f.v.Window()
	for _, w := range f.Geo.Wires {
		if len(w.Way) > 1 && scene.Around(w.Way...).Overlaps(win) {
			sum += len(w.Way) + 1
			if t == near {
				sum += 6 * (len(w.Way) - 2)
			}
		}
	}
	return sum
}

// paint is the colour of a value in the present mode; NaN is no paint.
func (f *frame) paint(v float64) scene.Paint {
	if math.IsNaN(v) {
		return scene.Paint{}
	}
	switch f.o.Mode {
	case ByMedian:
		return scene.Data(palette.Median, v/f.o.MedianEnd)
	case ByDifference:
		return scene.Data(palette.Median, v/f.o.Differences.End)
	case ByPotential:
		return scene.Data(palette.Potential, v/f.o.PotentialEnd)
	case ByInsulation:
		t := math.Log10(v/insulationMid) / math.Log10(insulationHigh/insulationMid)
		return scene.Data(palette.Insulation, math.Max(-1, math.Min(1, t)))
	case ByAge:
		return scene.Data(palette.Age, math.Min(1, v/f.o.AgeEnd))
	case ByMissing:
		return scene.Ink(theme.Raised)
	}
	return scene.Data(palette.Suspicion, v)
}

// groupValue is what a group is shaded by; suspicion belongs to whole modules.
func (f *frame) groupValue(g int) float64 {
	switch f.o.Mode {
	case ByMedian:
		return f.Pack.FromMedian(g)
	case ByPotential:
		return f.Pack.GroupToChassis(g)
	case ByDifference:
		return f.o.Differences.group(g)
	}
	return math.NaN()
}

// moduleValue is what a whole module is shaded by where its groups are not
// drawn: its share, its group furthest from the median, its middle potential.
func (f *frame) moduleValue(m int) float64 {
	mod := f.Pack.Modules[m]
	switch f.o.Mode {
	case ByPath:
		return math.NaN()
	case ByDifference:
		return f.o.Differences.module(m)
	case BySuspicion:
		if !f.Pack.HasShares() {
			return math.NaN()
		}
		return f.Pack.Share[f.id(m)]
	case ByInsulation:
		if mod.Insulation == nil {
			return math.NaN()
		}
		return math.Max(1, mod.Insulation.Value)
	case ByCharge:
		return math.NaN() // no curve of rest volts is kept yet
	case ByAge:
		return mod.Age
	case ByMissing:
		if mod.Measured == len(mod.Groups) || mod.Own {
			return 1
		}
		return math.NaN()
	}
	if f.o.Mode == ByMedian && mod.Measured == 0 {
		return mod.Mean // by the module's own volts
	}
	worst, sum, n := math.NaN(), 0.0, 0
	for _, g := range mod.Groups {
		v := f.groupValue(g)
		if math.IsNaN(v) {
			continue
		}
		sum += v
		n++
		if math.IsNaN(worst) || math.Abs(v) > math.Abs(worst) {
			worst = v
		}
	}
	if f.o.Mode == ByPotential && n > 0 {
		return sum / float64(n)
	}
	return worst
}

func (f *frame) id(m int) string { return f.Pack.Net.Layout.Modules[m].ID }

func world(p mgl64.Vec2) scene.Point { return scene.Point{World: p} }

func worlds(ps ...mgl64.Vec2) []scene.Point {
	out := make([]scene.Point, len(ps))
	for i, p := range ps {
		out[i] = world(p)
	}
	return out
}

// ModuleRect is where a module lies on the screen of a view.
func (d *Drawing) ModuleRect(m int, v scene.View) scene.Rect {
	b := d.Geo.Modules[m].Box()
	return scene.Rect{Min: v.Screen(world(b.Min)), Max: v.Screen(world(b.Max))}
}
