package scene

import (
	"math"

	"github.com/go-gl/mathgl/mgl64"
)

// A Rect is an upright rectangle, in the world or on the screen.
type Rect struct{ Min, Max mgl64.Vec2 }

// Size is its width and height.
func (r Rect) Size() mgl64.Vec2 { return r.Max.Sub(r.Min) }

// Overlaps says that two rectangles share some area.
func (r Rect) Overlaps(o Rect) bool {
	return r.Min.X() < o.Max.X() && o.Min.X() < r.Max.X() && r.Min.Y() < o.Max.Y() && o.Min.Y() < r.Max.Y()
}

// Holds says that a point lies in the rectangle.
func (r Rect) Holds(p mgl64.Vec2) bool {
	return p.X() >= r.Min.X() && p.X() <= r.Max.X() && p.Y() >= r.Min.Y() && p.Y() <= r.Max.Y()
}

// Meets says that the segment from a to b has a point in the rectangle.
func (r Rect) Meets(a, b mgl64.Vec2) bool {
	_, _, ok := r.Clip(a, b)
	return ok
}

// Clip cuts the segment from a to b to the rectangle (Liang and Barsky); ok is
// false where nothing is left.
func (r Rect) Clip(a, b mgl64.Vec2) (from, to mgl64.Vec2, ok bool) {
	t0, t1 := 0.0, 1.0
	d := b.Sub(a)
	for _, s := range [4][2]float64{
		{-d.X(), a.X() - r.Min.X()}, {d.X(), r.Max.X() - a.X()}, {-d.Y(), a.Y() - r.Min.Y()}, {d.Y(), r.Max.Y() - a.Y()},
	} {
		switch {
		case s[0] == 0 && s[1] < 0:
			return a, b, false
		case s[0] < 0:
			t0 = math.Max(t0, s[1]/s[0])
		case s[0] > 0:
			t1 = math.Min(t1, s[1]/s[0])
		}
	}
	return a.Add(d.Mul(t0)), a.Add(d.Mul(t1)), t0 <= t1
}

// Grown adds d on every side.
func (r Rect) Grown(d float64) Rect {
	return Rect{r.Min.Sub(mgl64.Vec2{d, d}), r.Max.Add(mgl64.Vec2{d, d})}
}

// Union is the smallest rectangle that holds both.
func (r Rect) Union(o Rect) Rect {
	return Rect{
		mgl64.Vec2{math.Min(r.Min.X(), o.Min.X()), math.Min(r.Min.Y(), o.Min.Y())},
		mgl64.Vec2{math.Max(r.Max.X(), o.Max.X()), math.Max(r.Max.Y(), o.Max.Y())},
	}
}

// Around is the smallest rectangle that holds all points; zero for none.
func Around(pts ...mgl64.Vec2) Rect {
	if len(pts) == 0 {
		return Rect{}
	}
	r := Rect{pts[0], pts[0]}
	for _, p := range pts[1:] {
		r = r.Union(Rect{p, p})
	}
	return r
}

// A View says how the world lies on a screen of W × H pixels: scale in pixels
// per unit, then offset in pixels. The ruler has a scale across only, and
// counts pixels downward (ScaleY 1).
type View struct {
	ScaleX, ScaleY float64
	OffX, OffY     float64
	W, H           float64
}

// Matrix takes world to screen.
func (v View) Matrix() mgl64.Mat3 {
	return mgl64.Translate2D(v.OffX, v.OffY).Mul3(mgl64.Scale2D(v.ScaleX, v.ScaleY))
}

// Screen is where a point lies on the screen: Matrix times its world, and its
// pixels.
func (v View) Screen(p Point) mgl64.Vec2 {
	return mgl64.Vec2{p.World[0]*v.ScaleX + v.OffX + p.Px[0], p.World[1]*v.ScaleY + v.OffY + p.Px[1]}
}

// World is the place of the world under a place of the screen.
func (v View) World(s mgl64.Vec2) mgl64.Vec2 {
	return mgl64.Vec2{(s.X() - v.OffX) / v.ScaleX, (s.Y() - v.OffY) / v.ScaleY}
}

// Window is the part of the world that the screen shows.
func (v View) Window() Rect {
	return Rect{v.World(mgl64.Vec2{0, 0}), v.World(mgl64.Vec2{v.W, v.H})}
}

// Panned moves the drawing by pixels.
func (v View) Panned(dx, dy float64) View {
	v.OffX += dx
	v.OffY += dy
	return v
}

// Zoomed scales by f about a place of the screen that stays where it is; axes
// that are false keep their scale.
func (v View) Zoomed(f float64, about mgl64.Vec2, x, y bool) View {
	if x {
		v.OffX = about.X() - (about.X()-v.OffX)*f
		v.ScaleX *= f
	}
	if y {
		v.OffY = about.Y() - (about.Y()-v.OffY)*f
		v.ScaleY *= f
	}
	return v
}

// Fit shows the whole of a part of the world in the middle of a screen, with
// room left free at its edges in pixels.
func Fit(world Rect, w, h float64, left, top, right, bottom float64) View {
	v := View{ScaleX: 1, ScaleY: 1, W: w, H: h}
	size := world.Size()
	availW, availH := math.Max(1, w-left-right), math.Max(1, h-top-bottom)
	s := math.Inf(1)
	if size.X() > 0 {
		s = availW / size.X()
	}
	if size.Y() > 0 {
		s = math.Min(s, availH/size.Y())
	}
	if math.IsInf(s, 1) || s <= 0 {
		s = 1
	}
	v.ScaleX, v.ScaleY = s, s
	v.OffX = left + (availW-size.X()*s)/2 - world.Min.X()*s
	v.OffY = top + (availH-size.Y()*s)/2 - world.Min.Y()*s
	return v
}
