package format

import (
	"strconv"

	"halfsplit/topology"
)

// Limits of a sketch. One at its limit is a drawing that nobody reads any more, and
// still opens at once.
const (
	MaxStrokes      = 2000   // of one layout
	MaxSketchPoints = 200000 // of all its strokes together
)

// maxPixels bounds where a corner of a photo may be named.
const maxPixels = 1e6

// underlay reads a photo that lies under the drawing. What is not said is that it
// lies unturned on the lowest tier, covers what is below it and can be moved.
func (o *object) underlay() topology.Underlay {
	u := topology.Underlay{
		ID:      o.id("photo under the drawing"),
		Photo:   o.sha256("photo"),
		Name:    o.text("name", false),
		Tier:    o.count("tier", false, -1000, 1000, 0),
		X:       o.num("x", false, within(hugeLength)),
		Y:       o.num("y", false, within(hugeLength)),
		W:       o.num("w", true, limits{0, hugeLength, true}),
		H:       o.num("h", true, limits{0, hugeLength, true}),
		Angle:   o.num("angle", false, within(hugeLength)),
		Opacity: 1,
	}
	u.Corners = o.corners()
	if v := o.optNum("opacity", limits{0, 1, false}); v != nil {
		u.Opacity = *v
	}
	if locked := o.flag("locked"); locked != nil {
		u.Locked = *locked
	}
	u.Extra = o.rest()
	return u
}

// sha256 reads a hash in lower-case hexadecimal digits, as a casebook keeps it.
func (o *object) sha256(key string) string {
	n := o.need(key)
	if !o.is(n, key, textKind) {
		return ""
	}
	good := len(n.text) == 64
	for i := 0; good && i < len(n.text); i++ {
		c := n.text[i]
		good = c >= '0' && c <= '9' || c >= 'a' && c <= 'f'
	}
	if !good {
		o.r.fail(n, o.at(key), "a photo is named by its SHA-256 in 64 of the digits 0 to 9 and a to f, and this is %s", quote(n.text))
		return ""
	}
	return n.text
}

func (o *object) corners() (out [4][2]float64) {
	n := o.need("corners")
	if !o.is(n, "corners", listKind) {
		return out
	}
	if len(n.list) != len(out) {
		o.r.fail(n, o.at("corners"), "must hold the four corners of what is shown, and holds %d", len(n.list))
		return out
	}
	for i, e := range n.list {
		out[i] = o.r.point(e, o.at("corners")+"["+strconv.Itoa(i)+"]", maxPixels)
	}
	return out
}

// point reads [x, y].
func (r *reader) point(n *node, place string, most float64) (p [2]float64) {
	switch {
	case n.kind != listKind:
		r.fail(n, place, "must be a point [x, y], not %s", n.shown())
	case len(n.list) != 2:
		r.fail(n, place, "must be a point [x, y], and holds %d numbers", len(n.list))
	default:
		p[0], _ = r.float(n.list[0], place+"[0]", within(most))
		p[1], _ = r.float(n.list[1], place+"[1]", within(most))
	}
	return p
}

// sketch reads the strokes.
func (o *object) sketch() (out []topology.Stroke) {
	n := o.get("sketch")
	if !o.is(n, "sketch", listKind) {
		return nil
	}
	if len(n.list) > MaxStrokes {
		o.r.fail(n, o.at("sketch"), "the sketch has %d strokes, and %d at most are kept", len(n.list), MaxStrokes)
		return nil
	}
	points := 0
	o.objects("sketch", false, func(s *object) {
		k := topology.Stroke{Tier: s.count("tier", false, -1000, 1000, 0)}
		s.list("points", true, func(n *node, place string) {
			if points++; points == MaxSketchPoints+1 {
				o.r.fail(n, place, "with this point the sketch has more than %d points", MaxSketchPoints)
			}
			if points <= MaxSketchPoints {
				k.Points = append(k.Points, o.r.point(n, place, hugeLength))
			}
		})
		if list := s.get("points"); list != nil && list.kind == listKind && len(list.list) == 0 {
			o.r.fail(list, s.at("points"), "a stroke needs a point")
		}
		k.Extra = s.rest()
		out = append(out, k)
	})
	return out
}
