package drafting

import (
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology/path"
	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// ordered is what the page of the order adds to the drawing.
type ordered struct {
	asked     string            // the terminal that is asked for
	reference string            // may be none of a module
	values    map[string]string // as typed, by terminal
	proposed  []path.Link
}

// ordered marks every terminal, the one that is asked for with a frame, writes the
// volts that were typed beside it, and draws proposed links until they are accepted:
// dashed, thinner where they are probable only. What contradicts is not drawn.
func (p painter) ordered(o ordered) {
	for _, k := range o.proposed {
		from, okA := p.d.spotOf(k.From)
		to, okB := p.d.spotOf(k.To)
		switch {
		case !okA || !okB || k.Grade == path.Contradictory:
		case k.Grade == path.Certain:
			p.dashed(from.at, to.at, 3)
		default:
			p.dashed(from.at, to.at, 1.5)
		}
	}
	r := math.Max(3, math.Min(7, 0.2*p.d.plan.Geo.Size*p.v.ScaleX))
	for _, s := range p.d.spots() {
		c := at(s.at)
		fill := scene.Ink(theme.Raised)
		if o.values[s.node] != "" || s.node == o.reference {
			fill = scene.Ink(theme.Accent)
		}
		p.l.Rect("", c.Moved(-r, -r), c.Moved(r, r), fill, scene.Ink(theme.Accent), 2, r)
		if p.d.Tool == Choosing {
			p.l.Target("node:"+s.node, 14, c.Moved(-r, -r), c.Moved(r, -r), c.Moved(r, r), c.Moved(-r, r))
		}
		if s.node == o.asked {
			p.l.Rect("", c.Moved(-14, -14), c.Moved(14, 14), scene.Paint{}, scene.Ink(theme.Accent), 3, 4)
		}
		switch raw := o.values[s.node]; {
		case s.node == o.reference:
			p.volts(s, "0 V, reference", "0 V")
		case raw != "":
			p.volts(s, shownVolts(raw), raw)
		case s.node == o.asked:
			p.volts(s, "volts?", "?")
		}
	}
}

// volts writes a value on paper inside the module, by its terminal, in fewer words
// where there is less room, or not where there is none.
func (p painter) volts(s spot, text, less string) {
	o := p.d.plan.Geo.Modules[s.module]
	in := o.Center.Sub(s.at)
	if in.Len() == 0 {
		return
	}
	in = in.Normalize()
	box := o.Box().Size().Mul(p.v.ScaleX)
	wide := easel.Measure(text, theme.Small, false)
	if along := math.Abs(in.X()) > math.Abs(in.Y()); along {
		box[0] /= 2 // two terminals share the length
	}
	if wide+6 > box.X() {
		text = less
		wide = easel.Measure(text, theme.Small, false)
	}
	if wide+4 > box.X() || box.Y() < 40 {
		return
	}
	down := 24.0
	if in.Y() > 0.5 && box.Y() > 110 {
		down = 46 // below the bench number
	}
	c := at(s.at).Moved(in.X()*(wide/2+16), in.Y()*down)
	p.l.Rect("", c.Moved(-wide/2-3, -8), c.Moved(wide/2+3, 8), scene.Ink(theme.Raised), scene.Paint{}, 0, 3)
	p.l.Text("", c, scene.Middle, scene.Middle, scene.Ink(theme.Ink), theme.Small, false, text)
}

// Pixels of a dash and of the gap after it, and the most dashes of a line.
const (
	dash, gapAfter = 9.0, 6.0
	mostDashes     = 120
)

// dashed is a line of dashes in the accent.
func (p painter) dashed(from, to mgl64.Vec2, width float64) {
	by := to.Sub(from)
	long := by.Len() * p.v.ScaleX
	if long < 1 || math.IsNaN(long) {
		return
	}
	step := math.Max(dash+gapAfter, long/mostDashes)
	on := step * dash / (dash + gapAfter)
	for x := 0.0; x < long; x += step {
		a, b := from.Add(by.Mul(x/long)), from.Add(by.Mul(math.Min(1, (x+on)/long)))
		p.l.Line("", scene.Ink(theme.Accent), width, at(a), at(b))
	}
}
