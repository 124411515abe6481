package ruler

import (
	"math"

	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// string draws one string's row.
func (f *frame) string(s int) {
	f.skyline(s)
	f.bands(s)
	f.ends(s)
	f.gaps(s)
	f.flagRow(s)
	f.sections(s)
	if f.rows[s].lay.axis > 0 {
		f.axis(s)
	}
}

// mostBands is how many modules are drawn one by one.
const mostBands = 260

// shown is the range of places whose modules are in view.
func (f *frame) shown(s int) (from, to int) {
	from, to = -1, -1
	for i := range f.rows[s].before {
		lo, hi := f.span(s, i)
		a, b := f.v.Screen(f.at(s, i, lo, 0)).X(), f.v.Screen(f.at(s, i, hi, 0)).X()
		if b < -20 || a > f.v.W+20 {
			continue
		}
		if from < 0 {
			from = i
		}
		to = i + 1
	}
	return max(from, 0), max(to, 0)
}

// bands draws the modules as alternating bands with their numbers, and the
// groups as ticks where they stand far enough apart.
func (f *frame) bands(s int) {
	from, to := f.shown(s)
	lay, net := f.rows[s].lay, f.Pack.Net
	coarse := (to-from)/mostBands + 1
	for i := from; i < to; i += coarse {
		last := min(i+coarse, to) - 1
		m := net.Strings[s].Modules[i]
		id := "module:" + net.Layout.Modules[m].ID
		lo, _ := f.span(s, i)
		_, hi := f.span(s, last)
		a, b := f.at(s, i, lo, lay.band), f.at(s, last, hi, lay.band+lay.bandHigh)
		fill := scene.Ink(theme.Raised)
		if (i/coarse)%2 == 1 {
			fill = scene.Ink(theme.Tint)
		}
		f.l.Rect(id, a, b, fill, scene.Ink(theme.Soft), 1, 0)
		f.l.Target(id, 0, f.at(s, i, lo, lay.base-lay.sky), f.at(s, last, hi, lay.base-lay.sky), b, f.at(s, i, lo, lay.band+lay.bandHigh))
		if f.Pack.Modules[m].Removed {
			f.l.Line(id, scene.Ink(theme.Soft), 1, a, b)
		}
		f.ticks(s, i)
		f.bandText(id, net.Layout.Modules[m].ID, a, b)
	}
	for i := from; i < to; i++ {
		if "module:"+net.Layout.Modules[net.Strings[s].Modules[i]].ID == f.o.Selected {
			lo, hi := f.span(s, i)
			f.l.Rect("", f.at(s, i, lo, lay.band-1), f.at(s, i, hi, lay.band+lay.bandHigh+1), scene.Paint{}, scene.Ink(theme.Accent), 3, 0)
		}
	}
}

func (f *frame) bandText(id, text string, a, b scene.Point) {
	wide := f.v.Screen(b).X() - f.v.Screen(a).X()
	for _, size := range []float64{theme.Small, 10} {
		if f.measure(text, size, true) <= wide-4 {
			f.l.Text(id, a.Moved(wide/2, (b.Px.Y()-a.Px.Y())/2), scene.Middle, scene.Middle, scene.Ink(theme.Ink), size, true, text)
			return
		}
	}
}

// ticks marks the groups inside a module, at its lower edge.
func (f *frame) ticks(s, place int) {
	net, lay := f.Pack.Net, f.rows[s].lay
	str := net.Strings[s]
	series := net.Layout.Modules[str.Modules[place]].Series
	lo, hi := f.span(s, place)
	if series == 0 || (hi-lo)*f.v.ScaleX/float64(series) < 4 {
		return
	}
	for k := 1; k < series; k++ {
		v := f.Pack.Along[s][str.Offset[place]+k]
		f.l.Line("", scene.Ink(theme.Soft), 1, f.at(s, place, v, lay.band+lay.bandHigh-5), f.at(s, place, v, lay.band+lay.bandHigh))
	}
}

// ends marks the string's negative and positive end, as strokes.
func (f *frame) ends(s int) {
	lay := f.rows[s].lay
	y := lay.band + lay.bandHigh/2
	last := len(f.rows[s].before) - 1
	lo, _ := f.span(s, 0)
	_, hi := f.span(s, last)
	minus, plus := f.at(s, 0, lo, y).Moved(-12, 0), f.at(s, last, hi, y).Moved(12, 0)
	f.l.Line("", scene.Ink(theme.Ink), 1.5, minus.Moved(-4, 0), minus.Moved(4, 0))
	f.l.Line("", scene.Ink(theme.Ink), 1.5, plus.Moved(-4, 0), plus.Moved(4, 0))
	f.l.Line("", scene.Ink(theme.Ink), 1.5, plus.Moved(0, -4), plus.Moved(0, 4))
}

// gaps draws the open joints: two bare ends, and what is expected across.
func (f *frame) gaps(s int) {
	lay := f.rows[s].lay
	for _, g := range f.rows[s].gaps {
		_, hi := f.span(s, g.place)
		mid := lay.band + lay.bandHigh/2
		a := f.at(s, g.place, hi, mid)
		b := a.Moved(f.gap, 0)
		for _, e := range []struct {
			p  scene.Point
			in float64
		}{{a, 1}, {b, -1}} {
			stub := math.Min(8, f.gap/4)
			f.l.Line("", scene.Ink(theme.Copper), 3, e.p, e.p.Moved(e.in*stub, 0))
			f.l.Line("", scene.Ink(theme.Ink), 2, e.p.Moved(e.in*stub, -5), e.p.Moved(e.in*stub, 5))
		}
		f.gapText(s, g, a)
	}
}

func (f *frame) gapText(s int, g gap, a scene.Point) {
	lay := f.rows[s].lay
	name, volts, id := "not joined", "gap not known", ""
	if g.link >= 0 {
		l := f.Pack.Net.Layout.Links[g.link]
		name, id = l.ID+" recorded open", "link:"+l.ID
		if e := f.Pack.GapOf(g.link); e.Known {
			volts = words.Range(e.Low, e.High, "V")
		}
		f.l.Target(id, 0, a.Moved(2, -lay.bandHigh), a.Moved(f.gap-2, -lay.bandHigh), a.Moved(f.gap-2, lay.bandHigh), a.Moved(2, lay.bandHigh))
		if id == f.o.Selected {
			f.l.Rect("", a.Moved(2, -lay.bandHigh/2-1), a.Moved(f.gap-2, lay.bandHigh/2+1), scene.Paint{}, scene.Ink(theme.Accent), 3, 0)
		}
	}
	if f.gap < 40 {
		return
	}
	up := lay.band + lay.bandHigh/2
	top := a.Moved(f.gap/2, -up)
	lines := []struct {
		text   string
		paint  scene.Paint
		italic bool
	}{
		{name, scene.Ink(theme.Ink), false}, {volts, scene.Ink(theme.Soft), true}, {"expected, not measured", scene.Ink(theme.Soft), true},
	}
	if volts == "gap not known" {
		lines = lines[:2]
	}
	y := lay.base - float64(len(lines))*13 + 4
	for i, t := range lines {
		size := 11.0
		if f.measure(t.text, size, false) > f.gap-2 {
			size = 10
		}
		f.l.Add(scene.Shape{Kind: scene.Label, ID: id, Points: []scene.Point{top.Moved(0, y+float64(i)*13)}, Fill: t.paint, Size: size, Italic: t.italic, Text: t.text, H: scene.Middle, V: scene.Middle})
	}
}
