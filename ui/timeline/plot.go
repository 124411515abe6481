package timeline

import (
	"math"
	"time"

	"halfsplit/fault/probing"
	"halfsplit/ui/easel"
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
	p := &Plot{Series: s, Beside: beside, Zone: zone, Measure: measure, y: standing(s)}
	var t []Value
	for _, b := range beside {
		t = append(t, b.Values...)
	}
	p.other = scaleOf(t, false)
	return p
}

// standing is the scale of the values that stand. What was superseded is on it too,
// unless that would press the others together: then it is drawn at the edge with its
// number.
func standing(s Series) scale {
	var stand []Value
	for _, v := range s.Timed() {
		if !v.Struck() {
			stand = append(stand, v)
		}
	}
	all, some := scaleOf(s.Timed(), s.Log()), scaleOf(stand, s.Log())
	if len(stand) == 0 || some.at(all.high)-some.at(all.low) < 2 {
		return all
	}
	return some
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
	f := math.Max(0.015, math.Min(0.985, s.at(v)))
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
	if shape.Kind == probing.Steps {
		d.levels(shape.Levels)
		return
	}
	f, ok := d.law(shape)
	if !ok {
		return
	}
	left, right := math.Inf(1), math.Inf(-1)
	for _, v := range d.Series.Judged() {
		left, right = math.Min(left, v.T), math.Max(right, v.T)
	}
	if shape.Kind == probing.Settles {
		right += 0.25 * (right - left)
	}
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

// The dashes of what is computed, in pixels.
const dash, gap = 9.0, 6.0

// levels are the two values between which a series steps, across the whole time.
func (d *drawing) levels(l probing.Levels) {
	for _, v := range []float64{l.Low, l.High} {
		if d.Series.Log() {
			v = math.Exp(v)
		}
		y, right := d.level(d.y, v), d.v.W-d.right()
		for x := plotLeft; x < right; x += dash + gap {
			d.l.Line("", scene.Ink(theme.Plum), 2, d.pin(x, y), d.pin(math.Min(right, x+dash), y))
		}
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
	case probing.Moves:
		if d.Series.Log() {
			return func(t float64) float64 { return back(shape.Line.Value(t)) }, true
		}
	}
	return nil, false
}
