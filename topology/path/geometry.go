package path

import (
	"math"

	"halfsplit/topology"
)

// terminal is where an end of a module lies in the pack as drawn, in mm: the middle
// of the edge of its outline that Minus names, or of the opposite one.
func terminal(l topology.Layout, m topology.Module, drawn int) (x, y float64) {
	dx, dy := 0.0, 0.0
	switch m.Minus {
	case "right":
		dx = m.W / 2
	case "top":
		dy = -m.H / 2
	case "bottom":
		dy = m.H / 2
	default:
		dx = -m.W / 2
	}
	if drawn == 1 {
		dx, dy = -dx, -dy
	}
	dx, dy = turn(dx, dy, m.Angle)
	x, y = m.X+m.W/2+dx, m.Y+m.H/2+dy
	for _, s := range l.Stacks {
		if s.ID == m.Stack {
			x, y = turn(x, y, s.Angle)
			return x + s.X, y + s.Y
		}
	}
	return x, y
}

// turn is a clockwise turn where y points down.
func turn(x, y, degrees float64) (float64, float64) {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return x*cos - y*sin, x*sin + y*cos
}

func apart(a, b *end) float64 { return math.Hypot(a.x-b.x, a.y-b.y) }
