package timeline

import (
	"math"
	"time"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/fault/probing"
	"halfsplit/ui/easel"
	"halfsplit/ui/facts"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// A Plot is one series against the time. Its world is seconds across; heights are
// pixels of the pane, so that only the time is zoomed and moved.
type Plot struct {
	Series   Series
	Beside   []Series // temperatures
	Selected string   // id of a value's target
	Zone     *time.Location
	Measure  scene.Measurer

	y, other scale
}

var _ easel.Subject = (*Plot)(nil)

// Room around the drawing, in pixels.
const (
	plotLeft, plotRight, plotTop, plotBottom = 78.0, 24.0, 40.0, 34.0
	rightAxis                                = 70.0 // for the temperatures
	labelSize                                = 12.0
)

// NewPlot prepares a drawing.
func NewPlot(s Series, beside []Series, zone *time.Location, measure scene.Measurer) *Plot {
	p := &Plot{Series: s, Beside: beside, Zone: zone, Measure: measure, y: scaleOf(s.Timed(), s.Log())}
	var t []Value
	for _, b := range beside {
		t = append(t, b.Values...)
	}
	p.other = scaleOf(t, false)
	return p
}

func (p *Plot) right() float64 {
	if len(p.Beside) > 0 {
		return rightAxis
	}
	return plotRight
}

// Fit shows the whole time.
func (p *Plot) Fit(w, h float64) scene.View {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range p.Series.Timed() {
		low, high = math.Min(low, v.T), math.Max(high, v.T)
	}
	for _, b := range p.Beside { // temperatures shortly before and after belong to it
		room := math.Max(600, 0.3*(high-low))
		for _, v := range b.Values {
			if v.T > low-room && v.T < high+room {
				low, high = math.Min(low, v.T), math.Max(high, v.T)
			}
		}
	}
	if low > high {
		low, high = 0, 1
	}
	if p.Series.Touch {
		low = math.Min(low, 0)
	}
	room := math.Max(0.06*(high-low), 0.5)
	if high == low {
		room = 30
	}
	low, high = low-room, high+room
	v := scene.View{ScaleX: math.Max(1, w-plotLeft-p.right()) / (high - low), ScaleY: 1, W: w, H: h}
	v.OffX = plotLeft - low*v.ScaleX
	return v
}

// A drawing is one in the making.
type drawing struct {
	*Plot
	v scene.View
	l *scene.List
}

// Scene draws the plot.
func (p *Plot) Scene(v scene.View) *scene.List {
	d := &drawing{p, v, &scene.List{}}
	if len(p.Series.Timed()) == 0 {
		d.words("Nothing to draw", "None of these values has a time. The table lists them.")
		return d.l
	}
	d.states()
	d.axes()
	d.beside()
	d.fit()
	d.values()
	d.frame()
	return d.l
}

// words stand in the middle where there is nothing to draw.
func (d *drawing) words(title, text string) {
	d.l.Text("", d.pin(d.v.W/2, d.v.H/2-4), scene.Middle, scene.End, scene.Ink(theme.Ink), theme.Text, true, title)
	y := d.v.H/2 + 4
	for _, line := range scene.Wrap(text, math.Max(60, d.v.W-40), theme.Text, false, d.Measure) {
		d.l.Text("", d.pin(d.v.W/2, y), scene.Middle, scene.Start, scene.Ink(theme.Soft), theme.Text, false, line)
		y += 20
	}
}

// pin is a place of the pane that neither pan nor zoom moves.
func (d *drawing) pin(x, y float64) scene.Point {
	return scene.At(0, 0).Moved(x-d.v.OffX, y-d.v.OffY)
}

// height is the pixels between the axes.
func (d *drawing) height() float64 { return math.Max(10, d.v.H-plotTop-plotBottom) }

// at is a value's point: seconds across, its place on a scale downwards.
func (d *drawing) at(s scale, t, v float64) scene.Point {
	f := math.Max(-0.2, math.Min(1.2, s.at(v)))
	return scene.At(t, 0).Moved(0, d.v.H-plotBottom-f*d.height()-d.v.OffY)
}

// level is a height across the whole drawing.
func (d *drawing) level(s scale, v float64) float64 { return d.v.H - plotBottom - s.at(v)*d.height() }

// axes are the ticks with their lines.
func (d *drawing) axes() {
	soft, hair := scene.Ink(theme.Soft), scene.Ink(theme.Hairline)
	ticks := d.y.ticks(int(d.height() / 46))
	for _, v := range ticks {
		y := d.level(d.y, v)
		d.l.Line("", hair, 1, d.pin(plotLeft, y), d.pin(d.v.W-d.right(), y))
		d.l.Text("", d.pin(plotLeft-6, y), scene.End, scene.Middle, soft, labelSize, false, d.Series.tick(v, ticks))
	}
	from, to := d.v.World([2]float64{plotLeft, 0}).X(), d.v.World([2]float64{d.v.W - d.right(), 0}).X()
	for _, t := range timeTicks(from, to, max(2, int((d.v.W-plotLeft-d.right())/110)), d.Series.Zero, d.Zone) {
		x := d.v.Screen(scene.At(t.t, 0)).X()
		d.l.Line("", hair, 1, d.pin(x, d.v.H-plotBottom), d.pin(x, d.v.H-plotBottom+5))
		d.l.Text("", d.pin(x, d.v.H-plotBottom+8), scene.Middle, scene.Start, soft, labelSize, false, t.text)
	}
	d.l.Line("", soft, 1, d.pin(plotLeft, plotTop), d.pin(plotLeft, d.v.H-plotBottom), d.pin(d.v.W-d.right(), d.v.H-plotBottom))
	if d.Series.Log() && d.height() > 60 {
		d.l.Text("", d.pin(6, plotTop-22), scene.Start, scene.Middle, soft, labelSize, false, "log scale")
	}
}

// A stretch is a time in which the values belong to one state.
type stretch struct {
	state    string
	from, to float64
}

func (p *Plot) stretches() (out []stretch) {
	for _, v := range p.Series.Timed() {
		if n := len(out); n > 0 && out[n-1].state == v.State {
			out[n-1].to = v.T
			continue
		}
		out = append(out, stretch{v.State, v.T, v.T})
	}
	return out
}

// states mark where another state begins, with its name on top.
func (d *drawing) states() {
	all := d.stretches()
	for i, s := range all {
		left, right := plotLeft, d.v.W-d.right()
		if i > 0 {
			left = d.v.Screen(scene.At((all[i-1].to+s.from)/2, 0)).X()
		}
		if i+1 < len(all) {
			right = d.v.Screen(scene.At((s.to+all[i+1].from)/2, 0)).X()
		}
		left, right = math.Max(plotLeft, left), math.Min(d.v.W-d.right(), right)
		if right <= left {
			continue
		}
		if i%2 == 1 {
			d.l.Rect("", d.pin(left, plotTop), d.pin(right, d.v.H-plotBottom), scene.Ink(theme.Tint), scene.Paint{}, 0, 0)
		}
		if i > 0 {
			d.l.Line("", scene.Ink(theme.Soft), 1, d.pin(left, plotTop-18), d.pin(left, d.v.H-plotBottom))
		}
		text := "state " + s.state
		if d.Measure(text, labelSize, false) > right-left-10 {
			text = scene.Shorten(s.state, right-left-8, labelSize, false, d.Measure)
		}
		d.l.Text("", d.pin(left+5, plotTop-10), scene.Start, scene.Middle, scene.Ink(theme.Soft), labelSize, false, text)
	}
}

// inView says that a time lies between the axes.
func (d *drawing) inView(t float64) bool {
	x := d.v.Screen(scene.At(t, 0)).X()
	return x >= plotLeft-1 && x <= d.v.W-d.right()+1
}

// beside draws the temperatures on their own scale at right.
func (d *drawing) beside() {
	if len(d.Beside) == 0 {
		return
	}
	soft := scene.Ink(theme.Copper)
	x := d.v.W - d.right()
	d.l.Line("", soft, 1, d.pin(x, plotTop), d.pin(x, d.v.H-plotBottom))
	ticks := d.other.ticks(max(2, int(d.height()/60)))
	for _, v := range ticks {
		y := d.level(d.other, v)
		d.l.Line("", soft, 1, d.pin(x, y), d.pin(x+5, y))
		d.l.Text("", d.pin(x+8, y), scene.Start, scene.Middle, soft, labelSize, false, d.Beside[0].tick(v, ticks))
	}
	for _, b := range d.Beside {
		var line []scene.Point
		for _, v := range b.Values {
			if v.Struck() || !d.inView(v.T) {
				continue
			}
			c := d.at(d.other, v.T, v.V)
			line = append(line, c)
			d.l.Add(scene.Shape{Kind: scene.Area, ID: "reading:" + v.Reading, Points: []scene.Point{c.Moved(0, -5), c.Moved(5, 0), c.Moved(0, 5), c.Moved(-5, 0)}, Fill: scene.Ink(theme.Paper), Line: soft, Width: 2})
			d.l.Target("reading:"+v.Reading, 14, c, c.Moved(0.1, 0))
		}
		if len(line) > 1 {
			d.l.Line("", soft, 1, line...)
		}
		if len(line) > 0 && d.height() > 120 {
			d.l.Text("", line[len(line)-1].Moved(-4, -10), scene.End, scene.End, soft, labelSize, false, b.Name)
		}
	}
}

// fit draws the line, the exponential or the levels, dashed: computed, not measured.
func (d *drawing) fit() {
	shape := d.Series.Shape()
	f, ok := d.law(shape)
	if !ok {
		return
	}
	left, right := math.Inf(1), math.Inf(-1)
	for _, v := range d.Series.Values {
		if v.Counts(d.Series.Touch) {
			left, right = math.Min(left, v.T), math.Max(right, v.T)
		}
	}
	if shape.Kind == probing.Settles {
		right += 0.25 * (right - left)
	}
	const dash, gap = 9.0, 6.0
	x0, x1 := d.v.Screen(scene.At(left, 0)).X(), d.v.Screen(scene.At(right, 0)).X()
	x0, x1 = math.Max(plotLeft, x0), math.Min(d.v.W-d.right(), x1)
	t := func(x float64) float64 { return (x - d.v.OffX) / d.v.ScaleX }
	for x := x0; x < x1; x += dash + gap {
		end := math.Min(x1, x+dash)
		d.l.Line("", scene.Ink(theme.Plum), 2, d.at(d.y, t(x), f(t(x))), d.at(d.y, t(end), f(t(end))))
	}
	if shape.Kind == probing.Settles {
		y := d.level(d.y, shape.Exponential.End)
		d.l.Add(scene.Shape{Kind: scene.Label, Points: []scene.Point{d.pin(d.v.W-d.right()-4, y-6)}, Fill: scene.Ink(theme.Plum), Size: labelSize, Italic: true,
			H: scene.End, V: scene.End, Text: "heads for " + d.Series.write(shape.Exponential.End) + ", expected, not measured"})
	}
}

// law is the fit as a function of the time, in the values' own unit.
func (d *drawing) law(shape probing.Shape) (f func(t float64) float64, ok bool) {
	back := func(v float64) float64 { return v }
	if d.Series.Log() {
		back = math.Exp
	}
	switch shape.Kind {
	case probing.Level:
		return func(float64) float64 { return back(shape.Mean) }, true
	case probing.Drifts:
		return func(t float64) float64 { return back(shape.Line.Value(t)) }, true
	case probing.Settles:
		if d.Series.Log() {
			return func(t float64) float64 { return back(shape.Line.Value(t)) }, true
		}
		return shape.Exponential.Value, true
	case probing.Steps:
		return func(t float64) float64 {
			near, at := math.Inf(1), 0.0
			for _, v := range d.Series.Values {
				if x := math.Abs(v.T - t); v.Counts(d.Series.Touch) && x < near {
					near, at = x, v.V
				}
			}
			if !d.Series.Log() && at > shape.Levels.Cut || d.Series.Log() && math.Log(at) > shape.Levels.Cut {
				return back(shape.Levels.High)
			}
			return back(shape.Levels.Low)
		}, true
	case probing.Moves:
		if d.Series.Log() {
			return func(t float64) float64 { return back(shape.Line.Value(t)) }, true
		}
	}
	return nil, false
}

// values draws every value with its error bar, or as the bound that it is.
func (d *drawing) values() {
	order := []string{}
	for _, s := range d.stretches() {
		known := false
		for _, o := range order {
			known = known || o == s.state
		}
		if !known {
			order = append(order, s.state)
		}
	}
	for _, v := range d.Series.Timed() {
		if !d.inView(v.T) {
			continue
		}
		shape := 0
		for i, o := range order {
			if o == v.State {
				shape = i % 3
			}
		}
		d.value(v, shape)
	}
}

// value draws one.
func (d *drawing) value(v Value, shape int) {
	id := "reading:" + v.Reading
	c := d.at(d.y, v.T, v.V)
	ink, fill := scene.Ink(theme.Ink), scene.Ink(theme.Ink)
	if v.Use == facts.LeftOut || v.Struck() {
		fill = scene.Ink(theme.Paper)
	}
	if v.Struck() {
		ink = scene.Ink(theme.Soft)
	}
	if v.Relation == fault.Equal && v.High > v.Low {
		top, bottom := d.at(d.y, v.T, v.High), d.at(d.y, v.T, v.Low)
		d.l.Line(id, ink, 1, top, bottom)
		d.l.Line(id, ink, 1, top.Moved(-5, 0), top.Moved(5, 0))
		d.l.Line(id, ink, 1, bottom.Moved(-5, 0), bottom.Moved(5, 0))
	}
	if d.Selected == id {
		d.l.Rect(id, c.Moved(-11, -11), c.Moved(11, 11), scene.Paint{}, scene.Ink(theme.Accent), 3, 11)
	}
	switch {
	case v.Relation == fault.Greater:
		d.arrow(id, c, ink, -1)
	case v.Relation == fault.Less:
		d.arrow(id, c, ink, 1)
	case shape == 0:
		d.l.Rect(id, c.Moved(-5, -5), c.Moved(5, 5), fill, ink, 2, 5)
	case shape == 1:
		d.l.Rect(id, c.Moved(-5, -5), c.Moved(5, 5), fill, ink, 2, 0)
	default:
		d.l.Add(scene.Shape{Kind: scene.Area, ID: id, Points: []scene.Point{c.Moved(0, -6), c.Moved(6, 5), c.Moved(-6, 5)}, Fill: fill, Line: ink, Width: 2})
	}
	if v.Struck() {
		d.l.Line(id, ink, 2, c.Moved(-9, 6), c.Moved(9, -6))
	}
	d.l.Target(id, 18, c, c.Moved(0.1, 0))
}

// arrow is a bound: the value lies beyond, that way.
func (d *drawing) arrow(id string, c scene.Point, ink scene.Paint, way float64) {
	d.l.Line(id, ink, 2, c.Moved(-7, 0), c.Moved(7, 0))
	d.l.Line(id, ink, 2, c, c.Moved(0, way*20))
	d.l.Add(scene.Shape{Kind: scene.Area, ID: id, Points: []scene.Point{c.Moved(0, way*26), c.Moved(5, way*16), c.Moved(-5, way*16)}, Fill: ink})
}

// frame writes the selected value large.
func (d *drawing) frame() {
	for _, v := range d.Series.Timed() {
		if "reading:"+v.Reading != d.Selected || !d.inView(v.T) {
			continue
		}
		text := d.Series.value(v) + ", " + d.Series.when(v, d.Zone)
		if v.Struck() {
			text += ", struck"
		}
		x := d.v.Screen(scene.At(v.T, 0)).X()
		w := d.Measure(text, theme.Text, true)
		x = math.Max(plotLeft+4, math.Min(d.v.W-d.right()-w-12, x-w/2-4))
		y := math.Max(plotTop+2, math.Min(d.v.H-plotBottom-26, d.level(d.y, v.V)-44))
		d.l.Rect("", d.pin(x, y), d.pin(x+w+12, y+24), scene.Ink(theme.Raised), scene.Ink(theme.Accent), 1, 4)
		d.l.Text("", d.pin(x+6, y+12), scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Text, true, text)
		return
	}
}

// Spot is where a value stands on the pane.
func (p *Plot) Spot(v Value, view scene.View) mgl64.Vec2 {
	d := &drawing{p, view, &scene.List{}}
	return view.Screen(d.at(p.y, v.T, v.V))
}
