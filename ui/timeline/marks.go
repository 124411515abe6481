package timeline

import (
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/ui/facts"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

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
		if f := d.y.at(v.V); f < 0 || f > 1 { // beyond the scale of those that stand
			d.l.Text(id, c.Moved(14, 0), scene.Start, scene.Middle, scene.Ink(theme.Soft), labelSize, false, d.Series.write(v.V)+", off the scale")
		}
	}
	d.l.Target(id, 22, c, c.Moved(0.1, 0))
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
