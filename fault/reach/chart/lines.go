package chart

import (
	"cmp"
	"image/color"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"halfsplit/fault/reach"
)

// lines are the states of an answer.
type lines struct {
	a   reach.Answer
	top float64 // groups, at the frame
}

// A look tells a state from the others: by dash, by shape, and by lightness.
type look struct {
	colour color.NRGBA
	dash   []vg.Length
	mark   draw.GlyphDrawer
	hollow bool
}

var looks = []look{
	{color.NRGBA{0x1D, 0x22, 0x26, 0xFF}, nil, draw.CircleGlyph{}, false},
	{color.NRGBA{0xA8, 0x69, 0x1A, 0xFF}, []vg.Length{7, 3}, draw.SquareGlyph{}, true},
	{color.NRGBA{0x33, 0x58, 0x7A, 0xFF}, []vg.Length{2, 2.5}, draw.PyramidGlyph{}, false},
	{color.NRGBA{0x5A, 0x24, 0x67, 0xFF}, []vg.Length{9, 3, 2, 3}, draw.RingGlyph{}, true},
	{color.NRGBA{0x2F, 0x6F, 0x5E, 0xFF}, []vg.Length{4, 4}, draw.BoxGlyph{}, false},
	{color.NRGBA{0x8A, 0x5A, 0x2B, 0xFF}, []vg.Length{12, 4}, draw.TriangleGlyph{}, true},
	{color.NRGBA{0x5C, 0x64, 0x68, 0xFF}, []vg.Length{1.5, 4}, draw.CrossGlyph{}, false},
}

func lookOf(state int) look { return looks[state%len(looks)] }

func (l look) line() draw.LineStyle {
	return draw.LineStyle{Color: l.colour, Width: vg.Points(1.4), Dashes: l.dash}
}

// draw marks a point; a hollow mark hides the line below it.
func (l look) draw(c *draw.Canvas, at vg.Point) {
	r := vg.Points(3.4)
	if l.hollow {
		c.DrawGlyphNoClip(draw.GlyphStyle{Color: paper, Radius: r, Shape: draw.CircleGlyph{}}, at)
	}
	c.DrawGlyphNoClip(draw.GlyphStyle{Color: l.colour, Radius: r, Shape: l.mark}, at)
}

// Plot draws the grid, and every state's bars, line and marks.
func (l *lines) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	grid := draw.LineStyle{Color: hair, Width: vg.Points(0.5)}
	for _, t := range p.Y.Tick.Marker.Ticks(p.Y.Min, p.Y.Max) {
		c.StrokeLine2(grid, c.Min.X, ty(t.Value), c.Max.X, ty(t.Value))
	}
	for _, t := range p.X.Tick.Marker.Ticks(p.X.Min, p.X.Max) {
		c.StrokeLine2(grid, tx(t.Value), c.Min.Y, tx(t.Value), c.Max.Y)
	}
	for s := range l.a.States {
		look := lookOf(s)
		at := l.points(s, tx, ty)
		bar := draw.LineStyle{Color: look.colour, Width: vg.Points(0.9)}
		for k, cell := range l.a.Cells[s] {
			l.bar(c, bar, at[k].X, cell, ty)
		}
		for _, run := range l.runs(s, at) {
			c.StrokeLines(look.line(), run)
			for _, q := range run {
				look.draw(&c, q)
			}
		}
	}
}

// points are the medians; states stand a little beside each other, so that their
// bars are told apart.
func (l *lines) points(s int, tx, ty func(float64) vg.Length) (out []vg.Point) {
	aside := (vg.Length(s) - vg.Length(len(l.a.States)-1)/2) * vg.Points(4.2)
	for k, r := range l.a.Ohms {
		out = append(out, vg.Point{X: tx(r) + aside, Y: ty(math.Min(l.top, math.Max(1e-9, l.a.Cells[s][k].Half.Median)))})
	}
	return out
}

// runs are the stretches of a state in which a place is named.
func (l *lines) runs(s int, at []vg.Point) (out [][]vg.Point) {
	var run []vg.Point
	for k, c := range l.a.Cells[s] {
		if c.Placed() {
			run = append(run, at[k])
			continue
		}
		if len(run) > 0 {
			out = append(out, run)
		}
		run = nil
	}
	if len(run) > 0 {
		out = append(out, run)
	}
	return out
}

// bar is from 5 to 95 % of the packs; one without an upper end runs into the frame
// with an arrow.
func (l *lines) bar(c draw.Canvas, by draw.LineStyle, x vg.Length, cell reach.Cell, ty func(float64) vg.Length) {
	low, high := cell.Half.P5, cell.Half.P95
	cap := vg.Points(2)
	if math.IsInf(low, 0) {
		low = l.top
	} else {
		c.StrokeLine2(by, x-cap, ty(low), x+cap, ty(low))
	}
	if !math.IsInf(high, 0) {
		c.StrokeLine2(by, x-cap, ty(high), x+cap, ty(high))
		c.StrokeLine2(by, x, ty(low), x, ty(high))
		return
	}
	y, tip := ty(l.top), vg.Points(5)
	c.StrokeLine2(by, x, min(ty(low), y-2*tip), x, y)
	c.FillPolygon(by.Color, []vg.Point{{X: x, Y: y}, {X: x - tip/2, Y: y - tip}, {X: x + tip/2, Y: y - tip}})
}

// A label stands beside the end of a state's line.
type label struct {
	state    int
	from     vg.Point // the end of the line
	at, high vg.Length
	text     []string
}

const lineHigh = vg.Length(11.5) // of a label's letters

// labels write every state beside the end of its line, apart from each other.
func (l *lines) labels(c, data draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&data)
	words := style(9.5, ink)
	x := data.Max.X + vg.Points(26)
	var all []label
	for s, state := range l.a.States {
		text := wrap(state.Name, words, c.Max.X-x-vg.Points(16))
		if s > 0 {
			text = append(text, wrap(state.MinutesWords(), words, c.Max.X-x-vg.Points(16))...)
		}
		from := vg.Point{X: data.Max.X, Y: data.Max.Y}
		if runs := l.runs(s, l.points(s, tx, ty)); len(runs) > 0 {
			last := runs[len(runs)-1]
			from = last[len(last)-1]
		}
		all = append(all, label{s, from, from.Y, lineHigh*vg.Length(len(text)) + vg.Points(6), text})
	}
	apart(all, data.Min.Y, data.Max.Y)
	for _, b := range all {
		look := lookOf(b.state)
		first := b.at + lineHigh*vg.Length(len(b.text)-1)/2
		lead := draw.LineStyle{Color: soft, Width: vg.Points(0.5)}
		c.StrokeLines(lead, []vg.Point{{X: b.from.X + vg.Points(6), Y: b.from.Y}, {X: x - vg.Points(14), Y: first}})
		c.StrokeLine2(look.line(), x-vg.Points(13), first, x+vg.Points(9), first)
		look.draw(&c, vg.Point{X: x - vg.Points(2), Y: first})
		for i, t := range b.text {
			c.FillText(words, vg.Point{X: x + vg.Points(13), Y: first - lineHigh*vg.Length(i)}, t)
		}
	}
}

// apart sorts labels by height and moves those that would lie over each other down,
// and up again where they would leave the drawing. Lines that end at about one height
// keep the order of the states.
func apart(all []label, least, most vg.Length) {
	slices.SortStableFunc(all, func(a, b label) int {
		return cmp.Compare(math.Round(float64(b.from.Y)/8), math.Round(float64(a.from.Y)/8))
	})
	for i := range all {
		top := most
		if i > 0 {
			top = all[i-1].at - all[i-1].high/2
		}
		all[i].at = min(all[i].at, top-all[i].high/2)
	}
	for i := len(all) - 1; i >= 0; i-- {
		bottom := least
		if i+1 < len(all) {
			bottom = all[i+1].at + all[i+1].high/2
		}
		all[i].at = max(all[i].at, bottom+all[i].high/2)
	}
}

// fields are the words of a text where a line may break; a number keeps its unit.
func fields(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return r == ' ' })
}
