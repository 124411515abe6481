package drafting

import (
	"fmt"
	"image"
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology/edit"
	"halfsplit/ui/easel"
	"halfsplit/ui/plan"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/underlay"
	"halfsplit/ui/words"
)

// A subject is the draft as the pane draws it.
type subject struct{ v *View }

// firstPart is the part of an empty table that is shown, in mm: a pack of a small
// car and some room around it.
var firstPart = scene.Rect{Min: mgl64.Vec2{-200, -200}, Max: mgl64.Vec2{1800, 1200}}

// Fit shows everything that is drawn, with the photos.
func (s subject) Fit(w, h float64) scene.View { return s.v.draft.Whole(w, h) }

// Whole is the view of a pane of so many pixels that shows everything that is drawn,
// with the photos.
func (d *Draft) Whole(w, h float64) scene.View {
	all, some := firstPart, false
	add := func(r scene.Rect) {
		if some {
			r = all.Union(r)
		}
		all, some = r, true
	}
	if len(d.Layout.Modules) > 0 {
		add(d.plan.Bounds())
	}
	if d.Photos {
		for _, u := range d.Layout.Underlays {
			var pts []mgl64.Vec2
			for _, c := range edit.UnderlayPlace(u).Corners() {
				pts = append(pts, d.fromLayout(c))
			}
			add(scene.Around(pts...))
		}
	}
	if len(d.Layout.Modules) < 3 { // one module does not fill the table: the next ones need room
		mid := all.Min.Add(all.Max).Mul(0.5)
		half := mgl64.Vec2{leastWide / 2, leastWide / 3}
		all = all.Union(scene.Rect{Min: mid.Sub(half), Max: mid.Add(half)})
	}
	if h < lowDrawing {
		return scene.Fit(all, w, h, 20, 16, 20, 16)
	}
	return scene.Fit(all, w, h, 60, 50, 30, 60)
}

// lowDrawing is the height below which the drawing goes to the pane's edges.
const lowDrawing = 300

// leastWide is the least that is shown across, in mm.
const leastWide = 1200

// Scene draws photos, grid, sketch, the plan, and what is in hand, the lowest first.
func (s subject) Scene(v scene.View) *scene.List {
	d := s.v.draft
	l := &scene.List{}
	p := painter{d: d, v: v, l: l}
	over := s.v.photoShapes(v, l)
	if d.Snap && !over {
		p.grid()
	}
	p.sketch()
	p.photoFrames()
	o := plan.Options{Mode: plan.ByPath, Path: d.numbers, Many: d.targets(), Bare: true, Thin: over}
	if d.Alone {
		o.Tier = &d.Tier
	}
	if d.hand.kind == moving || d.hand.kind == resizing || d.hand.kind == turning {
		o.Many = nil // the ghost shows what they become
	}
	d.plan.ShowFittings(d.Others)
	drawn := d.plan.Scene(v, o, easel.Measure)
	l.Shapes = append(l.Shapes, drawn.Shapes...)
	l.Targets = append(l.Targets, drawn.Targets...)
	if len(d.Layout.Modules) == 0 {
		p.empty(len(d.Layout.Underlays) > 0)
	}
	if s.v.page == orderPage && d.Tool != Linking {
		p.ordered(s.v.ordered())
	}
	p.terminals()
	p.cursor()
	p.handles()
	p.ghost()
	for _, q := range d.preview {
		p.loop(q.Corners())
	}
	p.marks()
	p.crosshair()
	p.asItWas()
	return l
}

// photoShapes puts the photos of the tiers that are shown under everything else.
// It says whether there are any.
func (v *View) photoShapes(view scene.View, l *scene.List) bool {
	d := v.draft
	if !d.Photos {
		return false
	}
	var laid []underlay.Laid
	waiting := ""
	for _, u := range d.Layout.Underlays {
		if d.Alone && u.Tier != d.Tier {
			continue
		}
		switch got := v.photo(u.Photo); {
		case got.err != nil:
			waiting = fmt.Sprintf("The photo %s cannot be shown: %s.", u.ID, got.err)
		case got.photo == nil:
			waiting = "The photo " + u.ID + " is being read …"
		default:
			laid = append(laid, underlay.Laid{Photo: got.photo, As: u})
		}
	}
	if waiting != "" {
		at := scene.Point{World: view.World(mgl64.Vec2{view.W / 2, 66})}
		l.Text("", at, scene.Middle, scene.Middle, scene.Ink(theme.Soft), theme.Text, false, waiting)
	}
	if len(laid) == 0 || view.W < 1 || view.H < 1 {
		return false
	}
	l.Add(scene.Shape{Kind: scene.Picture, Points: []scene.Point{{World: view.World(mgl64.Vec2{})}, {World: view.World(mgl64.Vec2{view.W, view.H})}},
		Image: v.composed(view, laid)})
	return true
}

// mostDrawn is how many points of photos are drawn for one frame; a larger pane
// shows them a little coarser, so that they move with the finger.
const mostDrawn = 400e3

// composed lays the photos into the view, or gives the picture of the last frame
// where nothing has changed since.
func (v *View) composed(view scene.View, laid []underlay.Laid) *image.RGBA {
	key := fmt.Sprint(view, v.draft.Below, laid)
	if v.lastKey == key {
		return v.lastPicture
	}
	f := math.Min(1, math.Sqrt(mostDrawn/(view.W*view.H)))
	w, h := max(1, int(view.W*f)), max(1, int(view.H*f))
	to := mgl64.Scale2D(1/view.ScaleX, 1/view.ScaleY).Mul3(mgl64.Translate2D(-view.OffX, -view.OffY)).Mul3(mgl64.Scale2D(view.W/float64(w), view.H/float64(h)))
	if v.draft.Below {
		to = mgl64.Scale2D(-1, 1).Mul3(to)
	}
	v.lastKey, v.lastPicture = key, underlay.Compose(w, h, to, laid)
	return v.lastPicture
}

// A painter adds what belongs to drawing to a scene.
type painter struct {
	d *Draft
	v scene.View
	l *scene.List
}

func at(p mgl64.Vec2) scene.Point { return scene.Point{World: p} }

// asItWas says on the drawing that it is one that was.
func (p painter) asItWas() {
	if p.d.AsItWas == "" {
		return
	}
	const pad, line, label = 12.0, 20.0, 40.0
	room := math.Min(p.v.W-2*pad, easel.Measure(p.d.AsItWas, theme.Text, true)+2*pad)
	lines := scene.Wrap(p.d.AsItWas, room-2*pad, theme.Text, true, easel.Measure)
	y := label // below the words that say from where the pack is seen
	if p.v.H < lowDrawing {
		y = p.v.H - float64(len(lines))*line - 2*pad
	}
	top := at(p.v.World(mgl64.Vec2{(p.v.W - room) / 2, y}))
	p.l.Rect("", top, top.Moved(room, float64(len(lines))*line+pad), scene.Ink(theme.Raised), scene.Ink(theme.Accent), 2, 6)
	for i, s := range lines {
		p.l.Text("", top.Moved(room/2, pad/2+(float64(i)+0.5)*line), scene.Middle, scene.Middle, scene.Ink(theme.Ink), theme.Text, true, s)
	}
}

// grid draws the lines that are snapped to, at the step or at a multiple of it that
// can be told apart.
func (p painter) grid() {
	step := p.d.Step
	if step <= 0 {
		return
	}
	for k := 0; step*p.v.ScaleX < 16; k++ {
		step *= [...]float64{2, 2.5, 2}[k%3]
	}
	win := p.v.Window()
	ink := scene.Ink(theme.Tint)
	for k := math.Ceil(win.Min.X() / step); k*step <= win.Max.X(); k++ {
		p.l.Line("", ink, 1, scene.At(k*step, win.Min.Y()), scene.At(k*step, win.Max.Y()))
	}
	for k := math.Ceil(win.Min.Y() / step); k*step <= win.Max.Y(); k++ {
		p.l.Line("", ink, 1, scene.At(win.Min.X(), k*step), scene.At(win.Max.X(), k*step))
	}
}

// sketch draws the freehand lines.
func (p painter) sketch() {
	if !p.d.Lines {
		return
	}
	for _, s := range p.d.Layout.Sketch {
		if p.d.Alone && s.Tier != p.d.Tier {
			continue
		}
		var pts []scene.Point
		for _, q := range s.Points {
			pts = append(pts, at(p.d.fromLayout(mgl64.Vec2{q[0], q[1]})))
		}
		p.l.Line("", scene.Ink(theme.Accent), 2, pts...)
	}
}

// photoFrames are the edges of the photos, so that one can be chosen where it is
// faint or still being read.
func (p painter) photoFrames() {
	if !p.d.Photos {
		return
	}
	for _, u := range p.d.Layout.Underlays {
		if p.d.Alone && u.Tier != p.d.Tier {
			continue
		}
		var pts []scene.Point
		for _, c := range edit.UnderlayPlace(u).Corners() {
			pts = append(pts, at(p.d.fromLayout(c)))
		}
		ink, wide := scene.Ink(theme.Hairline), 1.0
		if p.d.Has(u.ID) {
			ink, wide = scene.Ink(theme.Accent), 2
		}
		p.l.Line("photo:"+u.ID, ink, wide, append(pts, pts[0])...)
		if p.d.Tool == Choosing {
			for i := range pts {
				p.l.Target("photo:"+u.ID, 12, pts[i], pts[(i+1)%len(pts)])
			}
		}
	}
}

// empty says what would be here and what starts it.
func (p painter) empty(photo bool) {
	mid := at(p.v.World(mgl64.Vec2{p.v.W / 2, p.v.H / 2}))
	lines := []string{"Nothing is drawn yet", "Put down the first module: the button on the sheet, or press M.", "Or lay a photo of the open pack under the drawing first: press P."}
	if photo {
		lines = []string{lines[1]}
	}
	if photo { // below the photo's own words, and off it
		mid = at(p.v.World(mgl64.Vec2{p.v.W / 2, 70}))
	}
	for i, s := range lines {
		if photo {
			wide := easel.Measure(s, theme.Text, false)
			p.l.Rect("", mid.Moved(-wide/2-8, float64(i)*24-36), mid.Moved(wide/2+8, float64(i)*24-12), scene.Ink(theme.Paper), scene.Paint{}, 0, 4)
		}
		size, ink := theme.Text, scene.Ink(theme.Soft)
		if i == 0 && !photo {
			size, ink = theme.Section, scene.Ink(theme.Ink)
		}
		p.l.Text("", mid.Moved(0, float64(i)*24-24), scene.Middle, scene.Middle, ink, float64(size), i == 0 && !photo, s)
	}
}

// terminals marks every module's ends while links are drawn: open rings are free,
// full ones have a link; the one that a link begins at has a thick ring.
func (p painter) terminals() {
	d := p.d
	if d.Tool != Linking {
		return
	}
	r := math.Max(3, math.Min(8, 0.22*d.plan.Geo.Size*p.v.ScaleX)) // small where the modules are
	for _, s := range d.spots() {
		c := at(s.at)
		fill, wide := scene.Ink(theme.Raised), 2.0
		if d.used[s.node] {
			fill = scene.Ink(theme.Copper)
		}
		line := scene.Ink(theme.Copper)
		if s.node == d.From {
			line, wide = scene.Ink(theme.Accent), 5
		}
		p.l.Rect("", c.Moved(-r, -r), c.Moved(r, r), fill, line, wide, r)
		p.l.Target("node:"+s.node, 14, c.Moved(-r, -r), c.Moved(r, -r), c.Moved(r, r), c.Moved(-r, r))
	}
	from, begun := d.spotOf(d.From)
	if to, ok := d.spotOf(d.Node); ok {
		c := at(to.at)
		p.l.Rect("", c.Moved(-14, -14), c.Moved(14, 14), scene.Paint{}, scene.Ink(theme.Accent), 3, 4)
		if begun {
			p.l.Line("", scene.Ink(theme.Accent), 2, at(from.at), c)
		}
	}
}

// cursor is a frame of corners round the thing that the keyboard is on, where that
// is not the one thing that is chosen.
func (p painter) cursor() {
	d := p.d
	if d.Cursor == "" || !d.Several {
		return
	}
	r, ok := d.boxOf(d.Cursor)
	if !ok {
		return
	}
	const out, long = 9.0, 14.0
	for _, s := range [4]mgl64.Vec2{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
		x, y := r.Min.X(), r.Min.Y()
		if s.X() > 0 {
			x = r.Max.X()
		}
		if s.Y() > 0 {
			y = r.Max.Y()
		}
		c := scene.At(x, y).Moved(out*s.X(), out*s.Y())
		p.l.Line("", scene.Ink(theme.Accent), 3, c.Moved(-long*s.X(), 0), c, c.Moved(0, -long*s.Y()))
	}
}

// boxOf is the rectangle of the drawing around a thing.
func (d *Draft) boxOf(id string) (scene.Rect, bool) {
	switch d.Kind(id) {
	case edit.ModuleKind:
		m, _ := d.Net.Module(id)
		return d.plan.Geo.Modules[m].Box(), true
	case edit.LinkKind:
		i, _ := d.Net.Link(id)
		for _, w := range d.plan.Geo.Wires {
			if w.Link == i && len(w.Way) > 0 {
				return scene.Around(w.Way...), true
			}
		}
		return scene.Rect{}, false
	}
	b, ok := edit.Bounds(d.Layout, edit.Selection{id})
	return scene.Around(d.fromLayout(b.Min), d.fromLayout(b.Max)), ok
}

// handles of a single module: four sides and corners to size it, and one to turn
// what is chosen. Each is 16 px and takes a finger of 44.
func (p painter) handles() {
	d := p.d
	if d.Tool != Choosing || d.hand.kind != noGesture || !d.placed() || d.AsItWas != "" {
		return
	}
	const half, touch = 8.0, 14.0
	handle := func(id string, c scene.Point, round float64) {
		p.l.Rect("", c.Moved(-half, -half), c.Moved(half, half), scene.Ink(theme.Raised), scene.Ink(theme.Accent), 2.5, round)
		p.l.Target("handle:"+id, touch, c.Moved(-half, -half), c.Moved(half, -half), c.Moved(half, half), c.Moved(-half, half))
	}
	if len(d.Chosen) == 1 && d.Kind(d.Chosen[0]) == edit.ModuleKind {
		place := d.placeOf(d.Chosen[0])
		if math.Min(place.W, place.H)*p.v.ScaleX > 56 { // else they would cover it
			for _, s := range []struct {
				id   string
				u, v float64
			}{{"se", 1, 1}, {"e", 1, 0.5}, {"s", 0.5, 1}} {
				handle(s.id, at(d.fromLayout(place.At(s.u, s.v))), 3)
			}
		}
	}
	b, ok := edit.Bounds(d.Layout, d.Chosen)
	if !ok {
		return
	}
	r := scene.Around(d.fromLayout(b.Min), d.fromLayout(b.Max))
	top := scene.At((r.Min.X()+r.Max.X())/2, r.Min.Y())
	p.l.Line("", scene.Ink(theme.Accent), 1.5, top, top.Moved(0, -34))
	handle("turn", top.Moved(0, -34), half)
}

// ghost shows what the gesture in hand would give, with its number.
func (p painter) ghost() {
	d, h := p.d, p.d.hand
	switch h.kind {
	case moving:
		by := d.fromLayout(h.by)
		for _, id := range d.Chosen {
			p.outlineOf(id, func(q mgl64.Vec2) mgl64.Vec2 { return q.Add(by) })
		}
		for _, g := range h.guides {
			p.guide(g)
		}
		p.say(h.at, fmt.Sprintf("%s, %s", words.Mm(h.by.X()), words.Mm(h.by.Y())))
	case outlining:
		if r := d.outlined(h); r != nil {
			p.loop([4]mgl64.Vec2{r.Min, {r.Max.X(), r.Min.Y()}, r.Max, {r.Min.X(), r.Max.Y()}})
			p.say(h.at, words.Mm(r.Size().X())+" × "+words.Mm(r.Size().Y()))
		}
	case boxing:
		p.l.Rect("", at(h.from), at(h.at), scene.Paint{}, scene.Ink(theme.Accent), 2, 0)
	case lining:
		var pts []scene.Point
		for _, q := range h.line {
			pts = append(pts, at(q))
		}
		p.l.Line("", scene.Ink(theme.Accent), 2, pts...)
	case stretching:
		if s, ok := d.spotOf(d.From); ok {
			p.l.Line("", scene.Ink(theme.Copper), 3, at(s.at), at(h.at))
		}
	case resizing:
		w, high, hold := d.sizeBy(h)
		if l, err := edit.Resize(d.Layout, d.Chosen, w, high, hold); err == nil {
			m, _ := d.Net.Module(d.Chosen[0])
			p.loop(edit.Places(l)[m].Corners())
		}
		p.say(h.at, words.Mm(w)+" × "+words.Mm(high))
	case turning:
		deg, ok := d.angleBy(h)
		if !ok {
			return
		}
		if l, err := edit.Rotate(d.Layout, d.Chosen, deg); err == nil {
			places := edit.Places(l)
			for i, m := range l.Modules {
				if d.Has(m.ID) || d.Has(m.Stack) {
					p.loop(places[i].Corners())
				}
			}
		}
		p.say(h.at, fmt.Sprintf("%g°", deg))
	}
}

// loop is an outline in the layout's own mm.
func (p painter) loop(c [4]mgl64.Vec2) {
	var pts []scene.Point
	for i := range 5 {
		pts = append(pts, at(p.d.fromLayout(c[i%4])))
	}
	p.l.Line("", scene.Ink(theme.Accent), 2.5, pts...)
}

// outlineOf draws a thing where it would come to lie.
func (p painter) outlineOf(id string, to func(mgl64.Vec2) mgl64.Vec2) {
	one := func(c [4]mgl64.Vec2) {
		var pts []scene.Point
		for i := range 5 {
			pts = append(pts, at(to(c[i%4])))
		}
		p.l.Line("", scene.Ink(theme.Accent), 2.5, pts...)
	}
	d := p.d
	for i, m := range d.Layout.Modules {
		if m.ID == id || m.Stack == id && d.Kind(id) == edit.StackKind {
			one(d.plan.Geo.Modules[i].Corners)
		}
	}
	for _, u := range d.Layout.Underlays {
		if u.ID == id {
			var c [4]mgl64.Vec2
			for i, q := range edit.UnderlayPlace(u).Corners() {
				c[i] = d.fromLayout(q)
			}
			one(c)
		}
	}
}

// guide draws what was snapped to.
func (p painter) guide(g edit.Guide) {
	a, b := p.d.fromLayout(g.From), p.d.fromLayout(g.To)
	p.l.Line("", scene.Ink(theme.Accent), 1, at(a), at(b))
	if g.Gap > 0 {
		p.say(a.Add(b).Mul(0.5), words.Mm(g.Gap))
	}
}

// say writes a number beside the finger, on paper.
func (p painter) say(where mgl64.Vec2, text string) {
	c := at(where).Moved(18, -22)
	wide := easel.Measure(text, theme.Text, true)
	p.l.Rect("", c.Moved(-6, -12), c.Moved(wide+6, 12), scene.Ink(theme.Raised), scene.Ink(theme.Hairline), 1, 4)
	p.l.Text("", c, scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Text, true, text)
}

// crosshair is where keys press.
func (p painter) crosshair() {
	if p.d.cross == nil || !p.d.Tool.points() {
		return
	}
	c := at(*p.d.cross)
	const far, near = 26.0, 5.0
	for _, d := range [4]mgl64.Vec2{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		p.l.Line("", scene.Ink(theme.Raised), 6, c.Moved(near*d.X(), near*d.Y()), c.Moved(far*d.X(), far*d.Y()))
		p.l.Line("", scene.Ink(theme.Accent), 3, c.Moved(near*d.X(), near*d.Y()), c.Moved(far*d.X(), far*d.Y()))
	}
}

// marks are what was pressed on a photo, numbered, joined as they will be.
func (p painter) marks() {
	var pts []scene.Point
	for i, m := range p.d.Marks {
		c := at(p.d.fromLayout(m))
		pts = append(pts, c)
		p.l.Line("", scene.Ink(theme.Accent), 2, c.Moved(-12, 0), c.Moved(12, 0))
		p.l.Line("", scene.Ink(theme.Accent), 2, c.Moved(0, -12), c.Moved(0, 12))
		p.l.Rect("", c.Moved(10, -26), c.Moved(28, -8), scene.Ink(theme.Raised), scene.Ink(theme.Accent), 1, 4)
		p.l.Text("", c.Moved(19, -17), scene.Middle, scene.Middle, scene.Ink(theme.Ink), theme.Small, true, fmt.Sprint(i+1))
		p.l.Target(fmt.Sprintf("mark:%d", i), 20, c.Moved(-8, -8), c.Moved(8, -8), c.Moved(8, 8), c.Moved(-8, 8))
	}
	if len(pts) > 1 {
		if len(pts) == 4 {
			pts = append(pts, pts[0])
		}
		p.l.Line("", scene.Ink(theme.Accent), 1, pts...)
	}
}
