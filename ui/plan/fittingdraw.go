package plan

import (
	"math"
	"strings"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// ShowFittings draws boards, chassis pieces and mechanical parts too, or leaves them
// away. The view that shows the whole pack then has room for them.
func (d *Drawing) ShowFittings(on bool) {
	if d.with != on {
		d.with, d.fit = on, fit{}
	}
}

// HasFittings says that there are any to be shown.
func (d *Drawing) HasFittings() bool {
	p := d.Geo.Fittings
	return p != nil && len(p.Boards)+len(p.Chassis)+len(p.Parts) > 0
}

// Bounds are around everything that is drawn.
func (d *Drawing) Bounds() scene.Rect {
	if d.with && d.HasFittings() {
		return d.Geo.Bounds.Union(d.Geo.Fittings.Bounds)
	}
	return d.Geo.Bounds
}

// drawn says that fittings have a place in this frame.
func (f *frame) drawn() bool { return f.with && f.tier >= middle && f.HasFittings() }

// fittingShapes is about how many shapes they take.
func (f *frame) fittingShapes() int {
	if !f.with || !f.HasFittings() {
		return 0
	}
	p := f.Geo.Fittings
	return 5*len(p.Boards) + 8*len(p.Chassis) + 4*len(p.Bonds) + 8*len(p.Parts)
}

// reserveFittings keeps labels off boards and the signs of chassis pieces.
func (f *frame) reserveFittings() {
	if !f.drawn() {
		return
	}
	for _, b := range f.Geo.Fittings.Boards {
		f.taken = append(f.taken, scene.Rect{Min: f.v.Screen(world(b.Box.Min)), Max: f.v.Screen(world(b.Box.Max))})
	}
	for _, c := range f.Geo.Fittings.Chassis {
		q := f.v.Screen(world(c.At))
		f.taken = append(f.taken, scene.Rect{Min: q, Max: q}.Grown(16))
	}
}

// onTier says that some of these modules are on the tier that is shown.
func (f *frame) onTier(modules []int) bool {
	for _, m := range modules {
		if f.solid(m) {
			return true
		}
	}
	return len(modules) == 0 || f.o.Tier == nil
}

// under draws what lies below modules: the leads of boards to the rectangle of what they
// sense, and the outlines of parts.
func (f *frame) under() {
	if !f.drawn() {
		return
	}
	for _, p := range f.Geo.Fittings.Parts {
		if f.onTier(append(append([]int(nil), p.Over...), p.Holds...)) {
			f.part(p)
		}
	}
	for _, b := range f.Geo.Fittings.Boards {
		if !f.onTier(b.Modules) {
			continue
		}
		at := b.Box.Min.Add(b.Box.Max).Mul(0.5)
		for _, m := range b.Modules {
			f.l.Line("board:"+b.ID, scene.Ink(theme.Soft), 1, world(at), world(nearestSide(f.Geo.Modules[m], at)))
		}
	}
}

// nearestSide is the place on a module's edge that is nearest to a point outside it; the
// middle of the side, so that leads of one board do not cross.
func nearestSide(o Outline, to mgl64.Vec2) mgl64.Vec2 {
	best, at := math.Inf(1), o.Center
	for _, c := range [4][2]float64{{0.5, 0}, {0.5, 1}, {0, 0.5}, {1, 0.5}} {
		if p := o.At(c[0], c[1]); p.Sub(to).Len() < best {
			best, at = p.Sub(to).Len(), p
		}
	}
	return at
}

// fittings draws boards and chassis pieces over the modules.
func (f *frame) fittings() {
	if !f.drawn() {
		return
	}
	for _, b := range f.Geo.Fittings.Boards {
		if f.onTier(b.Modules) {
			f.board(b)
		}
	}
	for _, b := range f.Geo.Fittings.Bonds {
		f.bond(b)
	}
	for _, p := range f.Geo.Fittings.Parts {
		if f.onTier(append(append([]int(nil), p.Over...), p.Holds...)) {
			f.partName(p)
		}
	}
	for _, c := range f.Geo.Fittings.Chassis {
		f.chassisPiece(c)
	}
}

// board draws a board: by suspicion it is shaded as modules are.
func (f *frame) board(b BoardPlace) {
	id := "board:" + b.ID
	fill := scene.Ink(theme.Raised)
	share := ""
	if f.o.Mode == BySuspicion && f.Pack.HasShares() {
		s := f.Pack.Share[b.ID]
		if fill = f.paint(s); s >= 0.005 {
			share = words.Share(s)
		}
	}
	a, c := world(b.Box.Min), world(b.Box.Max)
	f.l.Rect(id, a, c, fill, scene.Ink(theme.Ink), 1, 3)
	f.l.Target(id, 10, a, scene.Point{World: mgl64.Vec2{b.Box.Max.X(), b.Box.Min.Y()}}, c, scene.Point{World: mgl64.Vec2{b.Box.Min.X(), b.Box.Max.Y()}})
	size := b.Box.Size().Mul(f.v.ScaleX)
	mid := world(b.Box.Min.Add(b.Box.Max).Mul(0.5))
	inside := func(t string) bool {
		fits := f.measure(t, theme.Small, false) <= size.X()-2 && size.Y() >= theme.Small
		if fits {
			f.l.Text(id, mid, scene.Middle, scene.Middle, scene.On(fill), theme.Small, false, t)
		}
		return fits
	}
	// What has no room on it stands beside it, where least is hidden.
	out := mgl64.Vec2{size.X()/2 + 4, size.Y()/2 + 2}
	beside := func(t string, ink theme.Role) bool { return f.tag(id, mid, out, t, scene.Ink(ink), 60) }
	switch whole := strings.TrimSpace(b.ID + " " + share); {
	case inside(whole):
	case inside(b.ID):
		beside(share, theme.Plum)
	case !beside(whole, theme.Soft):
		beside(b.ID, theme.Soft)
	}
}

// tag writes a name beside, above or below a point, so many pixels off, where it hides
// least; it says whether that is little enough.
func (f *frame) tag(id string, at scene.Point, out mgl64.Vec2, text string, ink scene.Paint, most float64) bool {
	q := f.v.Screen(at)
	wide, high := f.measure(text, theme.Small, false), theme.Small*lineFactor
	best, least := scene.Rect{}, math.Inf(1)
	for i, c := range []mgl64.Vec2{{out.X(), -high / 2}, {-out.X() - wide, -high / 2}, {-wide / 2, -out.Y() - high}, {-wide / 2, out.Y()}} {
		r := scene.Rect{Min: q.Add(c), Max: q.Add(c).Add(mgl64.Vec2{wide, high})}
		if k := f.covered(r) + float64(i); k < least {
			best, least = r, k
		}
	}
	if least > most {
		return false
	}
	f.taken = append(f.taken, best)
	mid := best.Min.Add(best.Max).Mul(0.5).Sub(q)
	f.l.Text(id, at.Moved(mid.X(), mid.Y()), scene.Middle, scene.Middle, ink, theme.Small, false, text)
	return true
}

// part draws a part's outline: thin all round, with strong corners where it covers what
// is inside and strong middles of its sides where it holds it, so that it is told from
// the ground of a stack in black and white too.
func (f *frame) part(p PartPlace) {
	id := "part:" + p.ID
	corners := p.outline()
	f.l.Rect(id, corners[0], corners[2], scene.Paint{}, scene.Ink(theme.Soft), 1, 0)
	const strong, width = 11.0, 2.5
	for i, at := range corners {
		next, before := corners[(i+1)%4], corners[(i+3)%4]
		f.l.Target(id, 8, at, next)
		ahead, back := next.World.Sub(at.World).Normalize().Mul(strong), before.World.Sub(at.World).Normalize().Mul(strong)
		if p.Cover {
			f.l.Line(id, scene.Ink(theme.Soft), width, at.Moved(ahead.X(), ahead.Y()), at, at.Moved(back.X(), back.Y()))
			continue
		}
		mid := scene.Point{World: at.World.Add(next.World).Mul(0.5), Px: at.Px.Add(next.Px).Mul(0.5)}
		f.l.Line(id, scene.Ink(theme.Soft), width, mid.Moved(-ahead.X(), -ahead.Y()), mid.Moved(ahead.X(), ahead.Y()))
	}
}

// outline are the corners of a part's outline: so many pixels outside what it covers that
// links beside the modules stay visible, and more where it lies over another part.
func (p PartPlace) outline() []scene.Point {
	a, c := p.Box.Min, p.Box.Max
	out := 7 + 6*float64(p.Deep-1)
	return []scene.Point{world(a).Moved(-out, -out), world(mgl64.Vec2{c.X(), a.Y()}).Moved(out, -out), world(c).Moved(out, out), world(mgl64.Vec2{a.X(), c.Y()}).Moved(-out, out)}
}

// partName writes a part's name at a corner of its outline, or at the middle of a side,
// where it hides little; elsewhere a press on the outline tells it.
func (f *frame) partName(p PartPlace) {
	id := "part:" + p.ID
	corners := p.outline()
	for i, at := range corners {
		next := corners[(i+1)%4]
		if f.tag(id, at, mgl64.Vec2{5, 3}, p.ID, scene.Ink(theme.Soft), 25) {
			return
		}
		mid := scene.Point{World: at.World.Add(next.World).Mul(0.5), Px: at.Px.Add(next.Px).Mul(0.5)}
		if f.tag(id, mid, mgl64.Vec2{5, 3}, p.ID, scene.Ink(theme.Soft), 25) {
			return
		}
	}
}

// chassisPiece draws the sign of a chassis connection (IEC 60617: frame, chassis) with
// the piece's name.
func (f *frame) chassisPiece(c ChassisPlace) {
	id := "chassis:" + c.ID
	at := world(c.At)
	f.l.Line(id, scene.Ink(theme.Ink), 2, at.Moved(-12, 0), at.Moved(12, 0))
	for _, x := range []float64{-10, 0, 10} {
		f.l.Line(id, scene.Ink(theme.Ink), 1.5, at.Moved(x, 0), at.Moved(x-6, 8))
	}
	f.l.Text(id, at.Moved(0, -9), scene.Middle, scene.Middle, scene.Ink(theme.Ink), theme.Small, false, c.ID)
	f.l.Target(id, 10, at.Moved(-16, -16), at.Moved(16, -16), at.Moved(16, 10), at.Moved(-16, 10))
}

// bond draws a bond between two pieces, with its ohms where they were measured.
func (f *frame) bond(b BondPlace) {
	bond := f.Pack.Net.Layout.Bonds[b.Bond]
	id := "bond:" + bond.ID
	way := worlds(b.Way...)
	for _, i := range []int{0, 3} { // from below the sign
		way[i] = way[i].Moved(0, 9)
	}
	f.l.Line(id, scene.Ink(theme.Ink), 1.5, way...)
	for i := 1; i < len(way); i++ {
		f.l.Target(id, 10, way[i-1], way[i])
	}
	text := bond.ID
	if bond.Ohms != nil {
		text += " " + words.Ohms(*bond.Ohms)
	} else {
		text += " not measured"
	}
	mid := world(b.Way[1].Add(b.Way[2]).Mul(0.5))
	f.l.Text(id, mid.Moved(0, 9), scene.Middle, scene.Middle, scene.Ink(theme.Soft), theme.Small, false, text)
}

// selectedFitting rings a board, a chassis piece, a bond or a part, and shows what
// belongs to it: the taps of a board, the modules that a part covers or holds.
func (f *frame) selectedFitting(id string) bool {
	kind, name, ok := strings.Cut(id, ":")
	if !ok || !f.drawn() {
		return false
	}
	accent := func(width float64, pts ...scene.Point) {
		f.l.Line("", scene.Ink(theme.Raised), width+4, pts...)
		f.l.Line("", scene.Ink(theme.Accent), width, pts...)
	}
	around := func(r scene.Rect, out float64) {
		a, c := world(r.Min).Moved(-out, -out), world(r.Max).Moved(out, out)
		f.l.Rect("", a, c, scene.Paint{}, scene.Ink(theme.Raised), 6, 4)
		f.l.Rect("", a, c, scene.Paint{}, scene.Ink(theme.Accent), 3, 4)
	}
	p := f.Geo.Fittings
	switch kind {
	case "board":
		for _, b := range p.Boards {
			if b.ID != name {
				continue
			}
			at := b.Box.Min.Add(b.Box.Max).Mul(0.5)
			for _, m := range b.Modules {
				f.l.Line("", scene.Ink(theme.Accent), 2, world(at), world(nearestSide(f.Geo.Modules[m], at)))
			}
			for _, tap := range b.Taps {
				f.l.Rect("", world(tap).Moved(-3, -3), world(tap).Moved(3, 3), scene.Ink(theme.Accent), scene.Paint{}, 0, 3)
			}
			around(b.Box, 3)
		}
	case "chassis":
		for _, c := range p.Chassis {
			if c.ID == name {
				around(scene.Rect{Min: c.At, Max: c.At}, 18)
			}
		}
	case "bond":
		for _, b := range p.Bonds {
			if f.Pack.Net.Layout.Bonds[b.Bond].ID == name {
				accent(3, worlds(b.Way...)...)
			}
		}
	case "part":
		for _, q := range p.Parts {
			if q.ID != name {
				continue
			}
			for _, list := range [][]int{q.Over, q.Holds} {
				for _, m := range list {
					f.ring(f.Geo.Modules[m], scene.Ink(theme.Accent), 1, 1.5)
				}
			}
			c := q.outline()
			accent(2.5, append(c, c[0])...)
		}
	default:
		return false
	}
	return true
}
