package drafting

import (
	"math"
	"slices"
	"strings"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/scene"
)

// A gesture is a drag that is under way. Points are mm of the drawing.
type gesture struct {
	kind     gestureKind
	from, at mgl64.Vec2
	by       mgl64.Vec2 // of a move, after snapping
	guides   []edit.Guide
	snapper  *edit.Snapper
	handle   string       // of a resize: which side or corner
	line     []mgl64.Vec2 // of the sketch
	mark     int          // of the marks
}

type gestureKind uint8

const (
	noGesture gestureKind = iota
	moving
	boxing
	resizing
	turning
	lining
	stretching // a link in the making
	marking
	outlining
)

// snapWithin is how near something must come to be snapped to, in pixels.
const snapWithin = 8.0

// take begins a gesture with what lies under the finger; false leaves the drag to
// the pane, which pans.
func (d *Draft) take(target string, at mgl64.Vec2) bool {
	id, node := idOf(target)
	d.hand = gesture{from: at, at: at}
	switch {
	case d.Tool == Sketching:
		d.hand.kind, d.hand.line = lining, []mgl64.Vec2{at}
	case d.Tool == Outlining:
		d.hand.kind = outlining
	case d.Tool == Squaring && strings.HasPrefix(target, "mark:"):
		d.hand.kind, d.hand.mark = marking, int(target[len("mark:")]-'0')
	case d.Tool == Linking && node != "":
		d.hand.kind = stretching
		d.From = node
	case d.Tool != Choosing:
		return false
	case target == "handle:turn":
		d.hand.kind = turning
	case strings.HasPrefix(target, "handle:"):
		d.hand.kind, d.hand.handle = resizing, target[len("handle:"):]
	case node != "" || d.Kind(id) == edit.ModuleKind || d.Kind(id) == edit.UnderlayKind && d.Has(id):
		if node != "" {
			id = strings.TrimRight(node, "+-")
		}
		if m, ok := d.Net.Module(id); ok && d.Has(d.Layout.Modules[m].Stack) {
			id = d.Layout.Modules[m].Stack // the whole stack goes along
		}
		if !d.Has(id) {
			if d.Kind(id) != edit.ModuleKind {
				return false
			}
			d.Choose(id, d.Several)
		}
		d.hand.kind = moving
		d.hand.snapper, _ = edit.NewSnapper(d.Layout, d.Chosen) // what is chosen is there
	case id == "" && d.Several:
		d.hand.kind = boxing
	default:
		return false
	}
	return true
}

// drag goes on with the gesture. scale is pixels a mm, for what is near enough to
// snap to.
func (d *Draft) drag(at mgl64.Vec2, scale float64) {
	h := &d.hand
	h.at = at
	switch h.kind {
	case moving:
		by := d.toLayout(at).Sub(d.toLayout(h.from))
		h.by, h.guides = by, nil
		if d.Snap && h.snapper != nil {
			s := h.snapper.Snap(by.X(), by.Y(), edit.SnapTo{Tolerance: snapWithin / scale, Grid: d.Step, Things: true, Gaps: true})
			h.by, h.guides = mgl64.Vec2{s.DX, s.DY}, s.Guides
		}
	case lining:
		if last := h.line[len(h.line)-1]; at.Sub(last).Len() >= 2/scale {
			h.line = append(h.line, at)
		}
	case marking:
		if h.mark < len(d.Marks) {
			d.Marks[h.mark] = d.toLayout(at)
		}
	}
}

// A result is an edit that a gesture or a key asks for. Without a name there is
// nothing to keep.
type result struct {
	name string
	do   edited
	said string

	outline *scene.Rect // of a module that was drawn, in mm of the layout
}

// drop ends the gesture with the edit that it makes. over is the target under the
// finger.
func (d *Draft) drop(over string) (r result) {
	h := d.hand
	d.hand = gesture{}
	switch h.kind {
	case moving:
		if h.by.Len() < 1e-9 {
			return r
		}
		return d.moved(h.by)
	case boxing:
		n := d.InBox(scene.Around(h.from, h.at))
		r.said = chosenWords(n)
	case resizing:
		return d.resized(h)
	case turning:
		return d.turnedBy(h)
	case outlining:
		r.outline = d.outlined(h)
	case lining:
		if len(h.line) > 1 {
			return d.sketched(h.line)
		}
	case stretching:
		if _, node := idOf(over); node != "" && node != d.From {
			return d.linked(node, d.LinkKind)
		}
	}
	return r
}

// outlined is the rectangle that a drag draws, in mm of the layout, on the grid where
// it snaps; nil where it is too small for a module.
func (d *Draft) outlined(h gesture) *scene.Rect {
	r := scene.Around(d.toLayout(h.from), d.toLayout(h.at))
	if d.Snap && d.Step > 0 {
		for k := range 2 {
			r.Min[k], r.Max[k] = math.Round(r.Min[k]/d.Step)*d.Step, math.Round(r.Max[k]/d.Step)*d.Step
		}
	}
	if s := r.Size(); s.X() < edit.MinSize || s.Y() < edit.MinSize {
		return nil
	}
	return &r
}

// resized is the module that is chosen, drawn to another size by a handle: the
// opposite side stays.
func (d *Draft) resized(h gesture) (r result) {
	if len(d.Chosen) != 1 {
		return r
	}
	w, high, hold := d.sizeBy(h)
	id := d.Chosen[0]
	return result{name: "size of " + id, do: func(l layout) (layout, error) { return edit.Resize(l, d.Chosen, w, high, hold) }}
}

// sizeBy is the size that a drag of a handle gives, and the point of the outline
// that stays.
func (d *Draft) sizeBy(h gesture) (w, high float64, hold mgl64.Vec2) {
	place := d.placeOf(d.Chosen[0])
	by := d.toLayout(h.at).Sub(d.toLayout(h.from))
	a := -place.Angle * math.Pi / 180
	by = mgl64.Rotate2D(a).Mul2x1(by)
	w, high = place.W, place.H
	hold = mgl64.Vec2{0.5, 0.5}
	side := func(less, more string, size *float64, d float64, k int) {
		switch {
		case strings.Contains(h.handle, more):
			*size, hold[k] = *size+d, 0
		case strings.Contains(h.handle, less):
			*size, hold[k] = *size-d, 1
		}
	}
	side("w", "e", &w, by.X(), 0)
	side("n", "s", &high, by.Y(), 1)
	if d.Snap && d.Step > 0 {
		w, high = math.Round(w/d.Step)*d.Step, math.Round(high/d.Step)*d.Step
	}
	return math.Max(edit.MinSize, w), math.Max(edit.MinSize, high), hold
}

// placeOf is where a module lies, in mm of the layout.
func (d *Draft) placeOf(id string) edit.Place {
	m, _ := d.Net.Module(id)
	mod := d.Layout.Modules[m]
	at := slices.IndexFunc(d.Layout.Stacks, func(s topology.Stack) bool { return s.ID == mod.Stack })
	if at < 0 {
		return edit.PlaceOf(mod, topology.Stack{})
	}
	return edit.PlaceOf(mod, d.Layout.Stacks[at])
}

// turnedBy is what is chosen, turned about its middle as the handle was; with
// snapping to whole fifteenths of a degree circle.
func (d *Draft) turnedBy(h gesture) (r result) {
	deg, ok := d.angleBy(h)
	if !ok || deg == 0 {
		return r
	}
	return d.turned(deg)
}

// angleBy is the turn of a drag in degrees clockwise in the layout's own frame.
func (d *Draft) angleBy(h gesture) (deg float64, ok bool) {
	c, ok := edit.Center(d.Layout, d.Chosen)
	if !ok {
		return 0, false
	}
	a, b := d.toLayout(h.from).Sub(c), d.toLayout(h.at).Sub(c)
	if a.Len() < 1e-6 || b.Len() < 1e-6 {
		return 0, false
	}
	deg = (math.Atan2(b.Y(), b.X()) - math.Atan2(a.Y(), a.X())) * 180 / math.Pi
	if d.Snap {
		deg = math.Round(deg/15) * 15
	}
	deg = math.Mod(deg+540, 360) - 180
	return math.Round(deg*100) / 100, true
}

// placed says that something chosen has a place that can be moved.
func (d *Draft) placed() bool {
	return slices.ContainsFunc(d.Chosen, func(id string) bool {
		k := d.Kind(id)
		return k == edit.ModuleKind || k == edit.StackKind || k == edit.UnderlayKind
	})
}
