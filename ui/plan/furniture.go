package plan

import (
	"fmt"
	"math"
	"strconv"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/facts"
	"halfsplit/ui/palette"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// pinned is a point that stays on the screen while the world moves.
func (f *frame) pinned(x, y float64) scene.Point {
	return scene.Point{World: f.v.World(mgl64.Vec2{}), Px: mgl64.Vec2{x, y}}
}

// reserve keeps labels off the edge scales, the orientation and the legend.
func (f *frame) reserve() {
	at := func(x0, y0, x1, y1 float64) {
		f.taken = append(f.taken, scene.Rect{Min: mgl64.Vec2{x0, y0}, Max: mgl64.Vec2{x1, y1}})
	}
	edge := f.edgeRoom(f.v.H)
	at(0, 0, edge, f.v.H)
	at(0, f.v.H-edge, f.v.W, f.v.H)
	at(edge, 0, edge+f.frontWide(f.v.H), f.frontHigh(f.v.H)-4)
	f.reserveFittings()
	if f.o.Bare {
		return
	}
	_, _, note := f.legendWords()
	f.taken = append(f.taken, f.legendAt(note).Grown(4))
}

// furniture draws what belongs to the sheet and not to the pack: the edge
// scales, FRONT and how it is seen, the legend.
func (f *frame) furniture() {
	if f.edgeRoom(f.v.H) > 0 {
		f.edge(true)
		f.edge(false)
	}
	f.orientation()
	if !f.o.Bare {
		f.legend()
	}
	if f.undrawn > 0 {
		text := fmt.Sprintf("%d of %d modules in view are drawn. Zoom in for the others.", len(f.visible), len(f.visible)+f.undrawn)
		wide := f.measure(text, theme.Text, true)
		x, y := (f.v.W-wide)/2, 12.0
		f.l.Rect("", f.pinned(x-10, y-4), f.pinned(x+wide+10, y+24), scene.Ink(theme.Raised), scene.Ink(theme.Ink), 1, 4)
		f.l.Text("", f.pinned(f.v.W/2, y+10), scene.Middle, scene.Middle, scene.Ink(theme.Ink), theme.Text, true, text)
	}
}

// edge is the mm scale along the bottom (across) or the left edge.
func (f *frame) edge(across bool) {
	const wide = edgeWide - 4
	length := f.v.H
	back := []scene.Point{f.pinned(0, 0), f.pinned(wide, f.v.H)}
	if across {
		length = f.v.W
		back = []scene.Point{f.pinned(0, f.v.H-wide), f.pinned(f.v.W, f.v.H)}
	}
	f.l.Rect("", back[0], back[1], scene.Ink(theme.Paper), scene.Paint{}, 0, 0)
	step := niceAbove(64 / f.v.ScaleX)
	zero := f.v.Screen(scene.At(0, 0)) // of the layout's own millimetres
	start := zero.X()
	if !across {
		start = zero.Y()
	}
	px := step * f.v.ScaleX
	for k := math.Ceil((wide - start) / px * 5); start+k*px/5 < length; k++ {
		at := start + k*px/5
		if across && at < wide || !across && at > length-wide {
			continue
		}
		long := 4.0
		if math.Mod(math.Round(k), 5) == 0 {
			long = 8
			f.edgeNumber(across, at, k/5*step)
		}
		if across {
			f.l.Line("", scene.Ink(theme.Soft), 1, f.pinned(at, f.v.H-wide), f.pinned(at, f.v.H-wide+long))
		} else {
			f.l.Line("", scene.Ink(theme.Soft), 1, f.pinned(wide, at), f.pinned(wide-long, at))
		}
	}
	if across {
		f.l.Line("", scene.Ink(theme.Hairline), 1, f.pinned(0, f.v.H-wide), f.pinned(f.v.W, f.v.H-wide))
		f.l.Rect("", f.pinned(0, f.v.H-wide+1), f.pinned(wide+8, f.v.H), scene.Ink(theme.Paper), scene.Paint{}, 0, 0)
		f.l.Text("", f.pinned(4, f.v.H-wide/2), scene.Start, scene.Middle, scene.Ink(theme.Soft), theme.Small, false, "mm")
	} else {
		f.l.Line("", scene.Ink(theme.Hairline), 1, f.pinned(wide, 0), f.pinned(wide, f.v.H-wide))
	}
}

// edgeNumber writes a number on an edge scale; on the left one, where there is
// no room across, only what fits.
func (f *frame) edgeNumber(across bool, at, mm float64) {
	text := strconv.FormatFloat(math.Round(mm)+0, 'f', 0, 64) // + 0: no minus before zero
	if across && f.o.Paper && (at < edgeWide+1 || at+3+f.measure(text, 10, false) > f.v.W) {
		return // half of a number would be another one
	}
	if across {
		f.l.Text("", f.pinned(at+3, f.v.H-2), scene.Start, scene.End, scene.Ink(theme.Soft), 10, false, text)
		return
	}
	f.l.Text("", f.pinned(1, at+1), scene.Start, scene.Start, scene.Ink(theme.Soft), 10, false, text)
}

// front is the way that FRONT points, if the layout records one.
func (d *Drawing) front() (mgl64.Vec2, bool) {
	way, ok := map[string]mgl64.Vec2{"up": {0, -1}, "down": {0, 1}, "left": {-1, 0}, "right": {1, 0}}[d.layout().Front]
	return way, ok
}

const frontNotRecorded = ", FRONT not recorded"

// orientation is the FRONT arrow and the words on how the pack is seen.
func (f *frame) orientation() {
	x, y := f.edgeRoom(f.v.H)+10, 10.0
	if way, ok := f.front(); ok && !f.Geo.Schematic {
		if f.v.H < tinyPane {
			f.shortFront(way)
			return
		}
		wide := 40 + math.Max(f.measure("FRONT", theme.Text, true), f.measure(f.seen(), theme.Small, false))
		f.l.Rect("", f.pinned(x-2, y-4), f.pinned(x+wide, y+40), scene.Ink(theme.Paper), scene.Paint{}, 0, 4)
		f.arrow(f.pinned(x+12, y+18), way, 15)
		f.l.Text("", f.pinned(x+34, y+10), scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Text, true, "FRONT")
		f.l.Text("", f.pinned(x+34, y+27), scene.Start, scene.Middle, scene.Ink(theme.Soft), theme.Small, false, f.seen())
		return
	}
	text := f.seen() + frontNotRecorded
	if f.Geo.Schematic {
		text = "Not to scale: the layout gives no outlines. Modules stand in string order."
	}
	f.l.Rect("", f.pinned(x-4, y-4), f.pinned(x+f.measure(text, theme.Small, false)+6, y+20), scene.Ink(theme.Paper), scene.Paint{}, 0, 4)
	f.l.Text("", f.pinned(x, y+8), scene.Start, scene.Middle, scene.Ink(theme.Soft), theme.Small, false, text)
}

// shortFront is FRONT in one line.
func (f *frame) shortFront(way mgl64.Vec2) {
	text := "FRONT, " + f.seen()
	f.l.Rect("", f.pinned(4, 2), f.pinned(32+f.measure(text, theme.Small, false), 24), scene.Ink(theme.Paper), scene.Paint{}, 0, 4)
	f.arrow(f.pinned(14, 13), way, 9)
	f.l.Text("", f.pinned(28, 13), scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Small, false, text)
}

// arrow points from c so many pixels each way.
func (f *frame) arrow(c scene.Point, way mgl64.Vec2, half float64) {
	tip, tail := c.Moved(way.X()*half, way.Y()*half), c.Moved(-way.X()*half, -way.Y()*half)
	side := mgl64.Vec2{-way.Y(), way.X()}
	f.l.Line("", scene.Ink(theme.Ink), 2, tail, tip)
	for _, s := range []float64{-1, 1} {
		f.l.Line("", scene.Ink(theme.Ink), 2, tip, tip.Moved(-way.X()*8+s*side.X()*6, -way.Y()*8+s*side.Y()*6))
	}
}

func (d *Drawing) seen() string {
	if from := d.layout().SeenFrom; from != "" {
		return "seen from " + from
	}
	if d.mirrored {
		return "mirrored; seen from: not recorded"
	}
	return "seen from: not recorded"
}

// legendRamp are the steps of the colour ramp, from its low end.
func legendRamp(mode Mode) (palette.Scale, []float64) {
	scale, lo := palette.Suspicion, 0.0
	switch mode {
	case ByMedian, ByDifference:
		scale, lo = palette.Median, -1
	case ByPotential:
		scale, lo = palette.Potential, -1
	case ByInsulation:
		scale, lo = palette.Insulation, -1
	case ByAge:
		scale = palette.Age
	case ByCharge, ByMissing:
		return palette.NoScale, nil
	}
	var steps []float64
	for i := 0; i <= 12; i++ {
		steps = append(steps, lo+(1-lo)*float64(i)/12)
	}
	return scale, steps
}

// legend says what the shading means, with its units and its fixed ends.
func (f *frame) legend() {
	title, ends, note := f.legendWords()
	lines := scene.Wrap(note, legendWide-20, theme.Small, false, f.measure)
	at := f.legendAt(note)
	x, y, high := at.Min.X(), at.Min.Y(), at.Size().Y()
	f.l.Rect("", f.pinned(x, y), f.pinned(x+legendWide, y+high), scene.Ink(theme.Paper), scene.Ink(theme.Hairline), 1, 4)
	f.l.Text("", f.pinned(x+10, y+12), scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Small, true, title)
	scale, steps := legendRamp(f.o.Mode)
	if len(steps) == 0 { // no colours: the hatch itself
		f.legendHatch(x+10, y+23, legendWide-20, 12)
	}
	w := (legendWide - 20) / math.Max(1, float64(len(steps)))
	for i, t := range steps {
		left := x + 10 + w*float64(i)
		f.l.Rect("", f.pinned(left, y+23), f.pinned(left+w+0.5, y+35), scene.Data(scale, t), scene.Paint{}, 0, 0)
	}
	f.l.Rect("", f.pinned(x+10, y+23), f.pinned(x+legendWide-10, y+35), scene.Paint{}, scene.Ink(theme.Soft), 1, 0)
	if f.o.Mode == ByPotential || f.o.Mode == ByInsulation {
		mid := x + legendWide/2
		f.l.Line("", scene.Ink(theme.Ink), 2, f.pinned(mid, y+20), f.pinned(mid, y+38))
	}
	for i, e := range ends {
		last := max(1, len(ends)-1)
		px := x + 10 + (legendWide-20)*float64(i)/float64(last)
		f.l.Text("", f.pinned(px, y+45), scene.Alignment(i*2/last-1), scene.Middle, scene.Ink(theme.Ink), theme.Small, false, e)
	}
	if f.v.H < tinyPane {
		return
	}
	for i, line := range lines {
		f.l.Text("", f.pinned(x+10, y+62+float64(i)*theme.Small*lineFactor), scene.Start, scene.Middle, scene.Ink(theme.Soft), theme.Small, false, line)
	}
}

// legendHatch is the hatch of what was not measured, in a box.
func (f *frame) legendHatch(x, y, wide, high float64) {
	for k := 6.0; k < wide-high; k += 9 {
		f.l.Line("", scene.Ink(theme.Hairline), 1, f.pinned(x+k, y), f.pinned(x+k+high, y+high))
		f.l.Line("", scene.Ink(theme.Hairline), 1, f.pinned(x+k+high, y), f.pinned(x+k, y+high))
	}
}

// chemistries names what a curve would be for.
func (f *frame) chemistries() string {
	for _, m := range f.Pack.Case.Layout.Modules {
		if m.Chemistry != "" {
			return " for " + m.Chemistry
		}
	}
	return ""
}

// legendAt is where the legend lies with its remark.
func (f *frame) legendAt(note string) scene.Rect {
	c := lowLeft // the lifted view keeps that corner free
	if !f.lifted {
		c = f.fitted(f.v.W, f.v.H).legend
	}
	return f.legendRect(f.v.W, f.v.H, c, len(scene.Wrap(note, legendWide-20, theme.Small, false, f.measure)))
}

func (f *frame) legendWords() (title string, ends []string, note string) {
	sp := words.Thin
	switch f.o.Mode {
	case ByMedian:
		end := strconv.FormatFloat(1000*f.o.MedianEnd, 'f', 0, 64)
		title, ends = "Group volts from the median", []string{"-" + end + sp + "mV", "median", "+" + end + sp + "mV"}
		note = "Number: the group furthest off. Cross-hatch: not measured."
		if f.Pack.GroupsOf != "" && f.Pack.GroupsOf != f.Pack.Case.Now {
			note += " Taken in state " + f.Pack.GroupsOf + "."
		}
	case ByDifference:
		title, ends, note = f.o.Differences.legend()
	case ByPotential:
		end := strconv.FormatFloat(f.o.PotentialEnd, 'f', -1, 64)
		title, ends = "Potential to chassis only", []string{"-" + end + sp + "V", "chassis", "+" + end + sp + "V"}
		note = "Expected, meter off. Cross-hatch: not known."
		if v, ok := f.Pack.LargestVolts(); ok {
			note = fmt.Sprintf("Expected, meter off; between points up to %s. Cross-hatch: not known.", words.Volts(v))
		} else if len(f.Pack.Sections) == 1 && !math.IsNaN(f.Pack.Sections[0].Volts) {
			note = fmt.Sprintf("Expected, meter off; between points up to %s.", words.Volts(f.Pack.Sections[0].Volts))
		}
	case ByInsulation:
		title, ends = "Insulation to chassis, log scale", []string{"1" + sp + "kΩ", "1" + sp + "MΩ", "1" + sp + "GΩ"}
		note = "Last reading at the module; an arrow marks a bound. No colour says good or bad."
	case ByCharge:
		title, ends = "State of charge by rest volts", []string{"not known"}
		note = "Lacks a curve of rest volts over charge" + f.chemistries() + "; volts alone are no charge."
	case ByAge:
		title, ends = "Age of the newest record", []string{"0" + sp + "h", words.Hours(f.o.AgeEnd / 2), words.Hours(f.o.AgeEnd)}
		note = "Counted back from the newest record of the case. Cross-hatch: no time recorded."
	case ByMissing:
		title, ends = "Missing volts", []string{"cross-hatch: not measured"}
		note = "Blank: recorded"
		if f.Pack.GroupsOf != "" && f.Pack.GroupsOf != f.Pack.Case.Now {
			note += ", groups in state " + f.Pack.GroupsOf
		}
		note += ". Missing is neither zero nor good."
	default:
		title, ends = "Suspicion: must this come out?", []string{"0" + sp + "%", "50" + sp + "%", "100" + sp + "%"}
		note = "No number: below half a per cent."
		switch {
		case f.Pack.HasShares():
		case f.Pack.Result.Status == facts.Computing:
			note = "Being computed."
		case f.Pack.Result.Finding == nil:
			note = "No finding yet."
		default:
			note = "The finding gives no shares."
		}
	}
	return title, ends, note
}
