package reaching

import (
	"fmt"
	"math"

	"halfsplit/fault/reach"
	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// Room around the drawing, in pixels.
const (
	left, right = 54.0, 14.0
	labels      = 210.0 // for the names of the states at right
	letter      = 12.0
	lineHigh    = 17.0 // of those letters
)

// A picture is an answer being drawn: both scales logarithmic, in pixels.
type picture struct {
	a          reach.Answer
	l          *scene.List
	w, h       float64
	x0, x1     float64 // pixels of the frame
	top        float64
	bottom     float64
	low, high  float64 // groups, of the frame
	from, upTo float64 // ohms
}

// drawPicture draws the width of the place against the size of the leak, or words
// where there is nothing to draw.
func (p *Page) drawPicture(w, h float64) *scene.List {
	l := &scene.List{}
	if p.answer == nil {
		say := "The picture comes here: the width of the place against the size of the leak, a line for every state."
		if p.work.on() {
			say = "It is being simulated."
		}
		y := h / 2
		for _, line := range scene.Wrap(say, math.Max(60, w-60), theme.Text, false, easel.Measure) {
			l.Text("", scene.At(w/2, y), scene.Middle, scene.Middle, scene.Ink(theme.Soft), theme.Text, false, line)
			y += 20
		}
		return l
	}
	d := &picture{a: *p.answer, l: l, w: w, h: h, x0: left, x1: w - right}
	d.captions()
	d.span()
	d.axes()
	for s := range d.a.States {
		d.state(s)
	}
	if d.beside() {
		d.names()
	}
	return l
}

// captions write what stands above and below the drawing, and leave it the rest.
func (d *picture) captions() {
	lines := func(text string) []string { return scene.Wrap(text, d.w-24, letter, false, easel.Measure) }
	low := d.h < 280 // the drawing needs the height more than words do
	y, what := 16.0, "Half the width of the place, groups (log scale); expected, not measured"
	if low {
		what = "Half-width, groups; expected, not measured"
	}
	for _, line := range lines(what) {
		d.l.Text("", scene.At(8, y), scene.Start, scene.Middle, scene.Ink(theme.Ink), letter, false, line)
		y += lineHigh
	}
	if d.beside() {
		d.x1 = d.w - labels
	} else {
		d.above(y)
		y += lineHigh * float64(len(d.a.States))
	}
	d.top = y + 8
	note := "Marks: the median. Bars: 5 to 95" + words.Thin + "% of the packs."
	if d.unplaced() {
		note += " An arrow: in some no place is named."
	}
	below := []string{"leak to chassis (log scale)"}
	if !low {
		below = append(below, lines(note)...)
	}
	d.bottom = math.Max(d.top+30, d.h-30-lineHigh*float64(len(below)))
	for i, line := range below {
		role := theme.Soft
		if i == 0 {
			role = theme.Ink
		}
		half := easel.Measure(line, letter, false)/2 + 8
		x := math.Max(half, math.Min(d.w-half, (d.x0+d.x1)/2))
		d.l.Text("", scene.At(x, d.bottom+24+lineHigh*float64(i)), scene.Middle, scene.Start, scene.Ink(role), letter, false, line)
	}
}

// span holds every width that is drawn, at least a decade.
func (d *picture) span() {
	d.from, d.upTo = d.a.Ohms[0]/1.4, d.a.Ohms[len(d.a.Ohms)-1]*1.4
	d.low, d.high = math.Inf(1), 0
	for _, row := range d.a.Cells {
		for _, c := range row {
			for _, v := range []float64{c.Half.P5, c.Half.Median, c.Half.P95} {
				if v > 0 && !math.IsInf(v, 0) {
					d.low, d.high = math.Min(d.low, v), math.Max(d.high, v)
				}
			}
		}
	}
	if d.high == 0 {
		d.low, d.high = 0.1, 10
		return
	}
	d.low, d.high = d.low/1.4, d.high*1.5
	d.high = math.Max(d.high, 10*d.low)
}

func (d *picture) x(ohms float64) float64 {
	return d.x0 + (d.x1-d.x0)*math.Log(ohms/d.from)/math.Log(d.upTo/d.from)
}

func (d *picture) y(groups float64) float64 {
	if math.IsInf(groups, 0) {
		groups = d.high
	}
	f := math.Log(math.Max(groups, d.low)/d.low) / math.Log(d.high/d.low)
	return d.bottom - f*(d.bottom-d.top)
}

// axes are the grid with its figures and what they are.
func (d *picture) axes() {
	soft, hair := scene.Ink(theme.Soft), scene.Ink(theme.Hairline)
	for _, v := range ticks(d.low, d.high, (d.bottom-d.top)/26) {
		d.l.Line("", hair, 1, scene.At(d.x0, d.y(v)), scene.At(d.x1, d.y(v)))
		d.l.Text("", scene.At(d.x0-6, d.y(v)), scene.End, scene.Middle, soft, letter, false, fmt.Sprintf("%g", v))
	}
	for _, v := range ticks(d.from, d.upTo, (d.x1-d.x0)/64) {
		d.l.Line("", hair, 1, scene.At(d.x(v), d.top), scene.At(d.x(v), d.bottom))
		d.l.Text("", scene.At(d.x(v), d.bottom+6), scene.Middle, scene.Start, soft, letter, false, reach.Size(v))
	}
	d.l.Line("", soft, 1, scene.At(d.x0, d.top), scene.At(d.x0, d.bottom), scene.At(d.x1, d.bottom))
}

// unplaced says that some packs had no place named.
func (d *picture) unplaced() bool {
	for _, row := range d.a.Cells {
		for _, c := range row {
			if math.IsInf(c.Half.P95, 0) {
				return true
			}
		}
	}
	return false
}

// ticks are the 1, 2, 5 of every decade, or fewer where there is no room for so many.
func ticks(low, high, most float64) []float64 {
	for _, steps := range [][]float64{{1, 2, 5}, {1, 3}, {1}} {
		var out []float64
		for e := math.Floor(math.Log10(low)); e <= math.Log10(high); e++ {
			for _, k := range steps {
				if v := math.Round(k*math.Pow(10, e)*1e6) / 1e6; v >= low && v <= high {
					out = append(out, v)
				}
			}
		}
		if float64(len(out)) <= most || len(steps) == 1 {
			return out
		}
	}
	return nil
}

// A look tells a state from the others by dash, shape and ink.
type look struct {
	role  theme.Role
	dash  []float64 // on, off; nil = a whole line
	shape uint8
}

var looks = []look{
	{theme.Ink, nil, 0}, {theme.Copper, []float64{10, 5}, 1}, {theme.Plum, []float64{3, 4}, 2},
	{theme.Soft, []float64{14, 4, 3, 4}, 3}, {theme.Ink, []float64{6, 6}, 4}, {theme.Copper, []float64{2, 6}, 5},
}

// state draws a state's bars, line and marks; a little aside from the others, so that
// bars are told apart.
func (d *picture) state(s int) {
	k := looks[s%len(looks)]
	ink := scene.Ink(k.role)
	aside := (float64(s) - float64(len(d.a.States)-1)/2) * 7
	var run [][2]float64
	for i, c := range d.a.Cells[s] {
		x := d.x(d.a.Ohms[i]) + aside
		d.bar(x, c, ink)
		if c.Placed() {
			at := [2]float64{x, d.y(c.Half.Median)}
			if len(run) > 0 {
				d.dashed(run[len(run)-1], at, k.dash, ink)
			}
			run = append(run, at)
			continue
		}
		run = nil
	}
	for i, c := range d.a.Cells[s] {
		if c.Placed() {
			d.mark(k, d.x(d.a.Ohms[i])+aside, d.y(c.Half.Median))
		}
	}
}

// bar is from 5 to 95 % of the packs; without an upper end it runs into the frame with
// an arrow.
func (d *picture) bar(x float64, c reach.Cell, ink scene.Paint) {
	lo, hi := d.y(c.Half.P5), d.y(c.Half.P95)
	d.l.Line("", ink, 1, scene.At(x, lo), scene.At(x, hi))
	if !math.IsInf(c.Half.P5, 0) {
		d.l.Line("", ink, 1, scene.At(x-3, lo), scene.At(x+3, lo))
	}
	if !math.IsInf(c.Half.P95, 0) {
		d.l.Line("", ink, 1, scene.At(x-3, hi), scene.At(x+3, hi))
		return
	}
	d.l.Add(scene.Shape{Kind: scene.Area, Points: []scene.Point{scene.At(x, hi-4), scene.At(x+4, hi+5), scene.At(x-4, hi+5)}, Fill: ink})
}

// dashed is a line in dashes.
func (d *picture) dashed(a, b [2]float64, dash []float64, ink scene.Paint) {
	long := math.Hypot(b[0]-a[0], b[1]-a[1])
	if dash == nil || long == 0 {
		d.l.Line("", ink, 2, scene.At(a[0], a[1]), scene.At(b[0], b[1]))
		return
	}
	at := func(t float64) scene.Point {
		t = math.Min(t, long) / long
		return scene.At(a[0]+(b[0]-a[0])*t, a[1]+(b[1]-a[1])*t)
	}
	for t, i := 0.0, 0; t < long; i++ {
		n := dash[i%len(dash)]
		if i%2 == 0 {
			d.l.Line("", ink, 2, at(t), at(t+n))
		}
		t += n
	}
}

// mark is a state's shape.
func (d *picture) mark(k look, x, y float64) {
	ink, paper := scene.Ink(k.role), scene.Ink(theme.Paper)
	c := scene.At(x, y)
	area := func(fill scene.Paint, pts ...scene.Point) {
		d.l.Add(scene.Shape{Kind: scene.Area, Points: pts, Fill: fill, Line: ink, Width: 2})
	}
	switch k.shape {
	case 0:
		d.l.Rect("", c.Moved(-5, -5), c.Moved(5, 5), ink, ink, 1, 5)
	case 1:
		d.l.Rect("", c.Moved(-5, -5), c.Moved(5, 5), paper, ink, 2, 0)
	case 2:
		area(ink, c.Moved(0, -6), c.Moved(6, 5), c.Moved(-6, 5))
	case 3:
		d.l.Rect("", c.Moved(-5, -5), c.Moved(5, 5), paper, ink, 2, 5)
	case 4:
		d.l.Rect("", c.Moved(-4, -4), c.Moved(4, 4), ink, ink, 1, 0)
	default:
		area(paper, c.Moved(0, -7), c.Moved(6, 0), c.Moved(0, 7), c.Moved(-6, 0))
	}
}
