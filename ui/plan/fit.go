package plan

import (
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// Room around the pack in pixels: the edge scales at left and bottom, the legend
// in a corner, FRONT in another.
const (
	edgeWide    = 34.0
	tinyPane    = 160.0 // height below which the words around the pack are fewer
	lowPane     = 260.0 // height below which the pack has the edge scales' room too
	legendWide  = 252.0
	legendHigh  = 74.0
	frontHigh   = 48.0
	ringRoom    = 12.0 // for the ring round a selected module
	marginRound = 20.0
	gapWide     = 165.0 // beside an open link, for its label
	labelRoom   = 62.0  // above or below the pack, for the label of an open link in its first or last row
)

// A corner of the pane.
type corner uint8

const (
	lowLeft corner = iota
	lowRight
	topRight
)

// A fit is how the whole pack lies on a pane, and the corner that this leaves to
// the legend. It stays while the pack is moved.
type fit struct {
	view   scene.View
	legend corner
}

// edgeRoom is the room of the edge scales in a pane of that height; 0 where
// there are none.
func (d *Drawing) edgeRoom(h float64) float64 {
	if h < lowPane || d.Geo.Schematic {
		return 0
	}
	return edgeWide
}

// round is the room that stays free around the pack.
func round(h float64) float64 {
	if h < lowPane {
		return 8
	}
	return marginRound
}

// Fit is the view that shows the whole pack as large as it goes beside what else
// stands on the pane.
func (d *Drawing) Fit(w, h float64) scene.View { return d.fitted(w, h).view }

// FitBare is Fit for a drawing without its legend, which stands elsewhere: the pack has
// the whole pane but for the words on how it is seen.
func (d *Drawing) FitBare(w, h float64) scene.View {
	side, edge := round(h), d.edgeRoom(h)
	above := scene.Fit(d.Bounds(), w, h, edge+side, max(side, d.frontHigh(h)+4), side, edge+side)
	beside := scene.Fit(d.Bounds(), w, h, edge+max(side, d.frontWide(h)+4), side, side, edge+side)
	if beside.ScaleX > above.ScaleX {
		return beside
	}
	return above
}

// fitted chooses among ways to leave room: the first that is about as large as
// any and hides nothing.
func (d *Drawing) fitted(w, h float64) fit {
	if v := d.fit.view; v.W == w && v.H == h {
		return d.fit
	}
	top, side := round(h), round(h)
	left, bottom := d.edgeRoom(h)+side, d.edgeRoom(h)+side
	if onTop, below := d.openNear(); h >= lowPane {
		if onTop {
			top = labelRoom
		}
		if below {
			bottom += labelRoom - side
		}
	}
	var all []fit
	add := func(free bool, l, t, r, b float64, corners ...corner) {
		v := scene.Fit(d.Bounds(), w, h, l, t, r, b)
		for _, c := range corners {
			if !free || d.clear(v, c) {
				all = append(all, fit{v, c})
			}
		}
	}
	add(true, left, top, side, bottom, lowLeft, lowRight, topRight)
	add(true, left, max(top, d.frontHigh(h)+4), side, bottom, lowLeft, lowRight, topRight)
	add(false, left+legendWide, top, left+legendWide, bottom, lowLeft)
	add(false, left+legendWide, top, side, bottom, lowLeft)
	add(true, left, top, side+legendWide, bottom, lowRight)
	add(true, left, top, side, bottom+legendHigh, lowLeft)
	add(false, left, max(top, d.frontHigh(h)+4), side, bottom+legendHigh, lowLeft)
	largest := 0.0
	for _, f := range all {
		largest = max(largest, f.view.ScaleX)
	}
	for _, f := range all {
		if f.view.ScaleX >= 0.97*largest {
			d.fit = f
			break
		}
	}
	return d.fit
}

// legendRect is where the legend lies in a corner of a pane, with its remark on
// so many lines.
func (d *Drawing) legendRect(w, h float64, c corner, lines int) scene.Rect {
	high := legendHigh + float64(lines-1)*lineHigh
	if h < tinyPane { // no remark
		high = legendHigh - lineHigh - 2
	}
	x, y := d.edgeRoom(h)+8, h-d.edgeRoom(h)-high-4
	if c != lowLeft {
		x = w - legendWide - 10
	}
	if c == topRight {
		y = 8
	}
	r := scene.Rect{}
	r.Min[0], r.Min[1], r.Max[0], r.Max[1] = x, y, x+legendWide, y+high
	return r
}

// frontWide is about the width of FRONT and its words.
func (d *Drawing) frontWide(h float64) float64 {
	const letter = 0.57 * theme.Small
	wide := letter * float64(len(d.seen()))
	if _, ok := d.front(); ok {
		if h < tinyPane { // in one line
			wide += letter * float64(len("FRONT, "))
		}
		return 10 + 40 + wide
	}
	return 10 + letter*float64(len(frontNotRecorded)) + wide
}

// frontHigh is the height that FRONT and its words take.
func (d *Drawing) frontHigh(h float64) float64 {
	if h < tinyPane {
		return 28
	}
	return frontHigh
}

// clear says that in a view neither the legend in a corner nor FRONT lies over
// any part of the pack, nor the legend where an open link's volts are written.
func (d *Drawing) clear(v scene.View, c corner) bool {
	front := scene.Rect{}
	edge := d.edgeRoom(v.H)
	front.Min[0], front.Max[0], front.Max[1] = edge, edge+d.frontWide(v.H)+ringRoom, d.frontHigh(v.H)
	for _, r := range []scene.Rect{d.legendRect(v.W, v.H, c, 2).Grown(6), front} {
		if d.lies(v, r) {
			return false
		}
	}
	legend := d.legendRect(v.W, v.H, c, 2)
	for _, w := range d.Geo.Wires {
		if !d.labelled(w) {
			continue
		}
		at := v.Screen(world(w.Seat))
		room := scene.Rect{Min: at, Max: at}
		room.Min[0], room.Max[0] = at.X()-gapWide, at.X()+gapWide
		room.Min[1], room.Max[1] = at.Y()-labelRoom, at.Y()+labelRoom
		if room.Overlaps(legend) {
			return false
		}
	}
	return true
}

// lies says that a part of the pack lies in a rectangle of the screen.
func (d *Drawing) lies(v scene.View, r scene.Rect) bool {
	for i := range d.Geo.Modules {
		b := d.Geo.Modules[i].Box()
		if (scene.Rect{Min: v.Screen(world(b.Min)), Max: v.Screen(world(b.Max))}).Overlaps(r) {
			return true
		}
	}
	for _, w := range d.Geo.Wires {
		for i := 1; i < len(w.Way); i++ {
			if r.Meets(v.Screen(world(w.Way[i-1])), v.Screen(world(w.Way[i]))) {
				return true
			}
		}
	}
	for _, t := range d.Geo.Terminals {
		if r.Grown(24).Holds(v.Screen(world(t.At))) { // with its name
			return true
		}
	}
	return false
}
