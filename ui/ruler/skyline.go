package ruler

import (
	"math"
	"strconv"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/palette"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// skyline draws the share of every place as a bar over it. Modules span their
// volts; links, rails and the load side have no volts and are thin; a board is
// an open frame over its taps.
func (f *frame) skyline(s int) {
	lay := f.rows[s].lay
	if !f.Pack.HasShares() {
		return
	}
	f.runs(s, func(a, b scene.Point) {
		f.l.Line("", scene.Ink(theme.Hairline), 1, a.Moved(0, lay.base-lay.sky), b.Moved(0, lay.base-lay.sky))
		f.l.Line("", scene.Ink(theme.Hairline), 1, a.Moved(0, lay.base), b.Moved(0, lay.base))
	})
	for _, sh := range f.Pack.Result.Finding.Suspicion {
		if p := f.o.Glide.blend(f.o.Glide.Share, sh.ID, float64(sh.Share)); p >= 0.001 {
			f.place(s, sh.Kind, sh.ID, p)
		}
	}
}

// runs calls do with the ends, at the row's top, of every part of a string
// between gaps.
func (f *frame) runs(s int, do func(a, b scene.Point)) {
	before := f.rows[s].before
	start := 0
	for i := range before {
		if i+1 < len(before) && before[i+1] == before[i] {
			continue
		}
		lo, _ := f.span(s, start)
		_, hi := f.span(s, i)
		do(f.at(s, start, lo, 0), f.at(s, i, hi, 0))
		start = i + 1
	}
}

// place draws one place's bar, if the place lies in this string.
func (f *frame) place(s int, kind, id string, share float64) {
	net, lay := f.Pack.Net, f.rows[s].lay
	y := lay.base - lay.sky*share
	switch kind {
	case fault.PlaceModule:
		m, ok := net.Module(id)
		if !ok || f.Pack.Modules[m].String != s {
			return
		}
		i := f.Pack.Modules[m].Place
		lo, hi := f.span(s, i)
		f.bar("module:"+id, f.at(s, i, lo, y), f.at(s, i, hi, lay.base), share)
	case fault.PlaceLink:
		l, ok := net.Link(id)
		if !ok {
			return
		}
		a, okA := net.Node(net.Layout.Links[l].From)
		b, okB := net.Node(net.Layout.Links[l].To)
		if p, str, ok := f.between(a, okA, b, okB, y); ok && str == s {
			f.bar("link:"+id, p.Moved(-3, 0), p.Moved(3, lay.base-y), share)
		}
	case fault.PlaceBoard:
		f.boardFrame(s, id, y)
	case fault.PlaceRail, fault.PlaceLoad:
		last := len(f.rows[s].before) - 1
		_, hi := f.span(s, last)
		p := f.at(s, 0, 0, y).Moved(-14, 0)
		if len(id) > 0 && id[len(id)-1] == '+' {
			p = f.at(s, last, hi, y).Moved(14, 0)
		}
		f.bar("", p.Moved(-3, 0), p.Moved(3, lay.base-y), share)
	}
}

// between is the place of a link: the middle of its two nodes.
func (f *frame) between(a topology.NodeID, okA bool, b topology.NodeID, okB bool, y float64) (scene.Point, int, bool) {
	var p, q scene.Point
	s := -1
	if okA {
		p, s, okA = f.ofNode(a, y)
	}
	if okB {
		var t int
		if q, t, okB = f.ofNode(b, y); okB && !okA {
			s = t
		}
	}
	switch {
	case okA && okB:
		return scene.Point{World: p.World.Add(q.World).Mul(0.5), Px: p.Px.Add(q.Px).Mul(0.5)}, s, true
	case okA:
		return p, s, true
	}
	return q, s, okB
}

func (f *frame) boardFrame(s int, id string, y float64) {
	for _, b := range f.Pack.Net.Layout.Boards {
		if b.ID != id {
			continue
		}
		var lo, hi scene.Point
		found := false
		for _, t := range b.Taps {
			n, ok := f.Pack.Net.Node(t)
			if !ok {
				continue
			}
			p, str, ok := f.ofNode(n, y)
			if !ok || str != s {
				continue
			}
			if !found || f.v.Screen(p).X() < f.v.Screen(lo).X() {
				lo = p
			}
			if !found || f.v.Screen(p).X() > f.v.Screen(hi).X() {
				hi = p
			}
			found = true
		}
		if found {
			bottom := hi.Moved(0, f.rows[s].lay.base-y)
			f.l.Rect("board:"+id, lo, bottom, scene.Paint{}, scene.Ink(theme.Plum), 2, 0)
		}
	}
}

// bar is a share's bar with its number on top.
func (f *frame) bar(id string, a, b scene.Point, share float64) {
	line := scene.Ink(theme.Plum)
	if id != "" && id == f.o.Selected {
		line = scene.Ink(theme.Accent)
	}
	f.l.Rect(id, a, b, scene.Data(palette.Suspicion, math.Max(0.35, share)), line, 1, 0)
	f.bars = append(f.bars, scene.Around(f.v.Screen(a), f.v.Screen(b)))
	if share >= 0.015 {
		mid := scene.Point{World: a.World.Add(b.World).Mul(0.5), Px: a.Px.Add(b.Px).Mul(0.5)}
		mid.World[1], mid.Px[1] = a.World.Y(), a.Px.Y()
		text, up, ink := words.Share(share), -7.0, scene.Ink(theme.Ink)
		wide := f.v.Screen(b).X() - f.v.Screen(a).X()
		if share > 0.7 && wide > f.measure(text, theme.Small, false)+4 { // no room above
			up, ink = 9, scene.On(scene.Data(palette.Suspicion, math.Max(0.35, share)))
		}
		half := f.measure(text, theme.Small, false) / 2
		p := f.v.Screen(mid.Moved(0, up))
		room := scene.Around(p.Sub(mgl64.Vec2{half, 6}), p.Add(mgl64.Vec2{half, 6}))
		for _, o := range f.shares { // the larger shares come first
			if o.Overlaps(room) {
				return
			}
		}
		for _, o := range f.bars[:len(f.bars)-1] { // nor across the edge of another's bar
			if o.Overlaps(room) {
				return
			}
		}
		f.shares = append(f.shares, room)
		f.l.Text(id, mid.Moved(0, up), scene.Middle, scene.Middle, ink, theme.Small, false, text)
	}
}

// scale writes what the heights and the lines at the left mean.
func (f *frame) scale() {
	if st := f.Pack.Result.Standing(); st != "" && len(f.rows) > 0 && f.Pack.HasShares() {
		w := f.measure(st, 11, true)
		x, y := f.v.W-w-14, f.v.OffY+f.rows[0].lay.base-f.rows[0].lay.sky-9
		f.l.Rect("", f.pinned(x-5, y-8), f.pinned(x+w+5, y+8), scene.Ink(theme.Paper), scene.Ink(theme.Soft), 1, 3)
		f.l.Text("", f.pinned(x, y), scene.Start, scene.Middle, scene.Ink(theme.Ink), 11, true, st)
	}
	for s := range f.rows {
		w := f.rows[s]
		top := f.v.OffY + w.top
		back := f.v.OffX < marginLeft-1 // panned: text lies over the drawing
		if back {
			f.l.Rect("", f.pinned(0, top), f.pinned(marginLeft-18, top+w.lay.high), scene.Ink(theme.Paper), scene.Paint{}, 0, 0)
		}
		if f.Pack.HasShares() && w.lay.sky > 40 {
			f.l.Text("", f.pinned(6, top+w.lay.base-w.lay.sky), scene.Start, scene.Middle, scene.Ink(theme.Soft), 10, false, "100"+words.Thin+"%")
			f.l.Text("", f.pinned(6, top+w.lay.base-w.lay.sky/2), scene.Start, scene.Middle, scene.Ink(theme.Soft), 10, false, "share")
			f.l.Text("", f.pinned(6, top+w.lay.base-4), scene.Start, scene.Middle, scene.Ink(theme.Soft), 10, false, "0"+words.Thin+"%")
		}
		if len(f.rows) > 1 {
			f.l.Text("", f.pinned(6, top+w.lay.band+w.lay.bandHigh/2), scene.Start, scene.Middle, scene.Ink(theme.Ink), 10, true, f.Pack.Net.Strings[s].ID)
		}
	}
}

// nice is the next of 1, 2, 5, 10 … at or above v.
func nice(v float64) float64 {
	if v <= 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return 1
	}
	p := math.Pow(10, math.Floor(math.Log10(v)))
	for _, k := range []float64{1, 2, 5} {
		if k*p >= v*(1-1e-9) {
			return k * p
		}
	}
	return 10 * p
}

func trim(v float64) string { return strconv.FormatFloat(fault.Round(v), 'f', -1, 64) }
