package sheet

import "halfsplit/ui/scene"

// halvesGap is what the two columns of Halves have between them, in pixels.
const halvesGap = 8.0

// halves sets two columns beside each other, which begin at the same height; the
// longer one decides where the page goes on.
func (s *setter) halves(b Block) {
	room := s.width - 2*margin
	left := room*b.Share - halvesGap/2
	y := s.y
	if s.last != Halves { // low pages have no height for a margin above
		y = max(s.y-8, 2)
	}
	end := y
	for i, of := range [][]Block{b.Left, b.Right} {
		x, wide := 0.0, left
		if i == 1 {
			x, wide = left+halvesGap, room-left-halvesGap
		}
		c := &setter{l: &scene.List{}, width: wide + 2*margin, y: y, measure: s.measure, size: s.size}
		c.blocks(of)
		edge := left + margin + halvesGap/2 // nothing is pressed from the other column
		if i == 0 {
			s.beside(c.l, x, 0, edge)
		} else {
			s.beside(c.l, x, edge, s.width)
		}
		end = max(end, c.y)
	}
	s.y = end
}

// beside takes a column's drawing over, moved to its place across the page; what is
// pressed stays between two edges.
func (s *setter) beside(l *scene.List, x, from, to float64) {
	move := func(pts []scene.Point) {
		for k := range pts {
			pts[k] = scene.At(pts[k].World.X()+x, pts[k].World.Y()).Moved(pts[k].Px.X(), pts[k].Px.Y())
		}
	}
	for _, k := range l.Shapes {
		move(k.Points)
		s.l.Shapes = append(s.l.Shapes, k)
	}
	for _, t := range l.Targets {
		move(t.Area)
		for k, p := range t.Area {
			t.Area[k] = scene.At(min(max(p.World.X(), from), to), p.World.Y()).Moved(p.Px.X(), p.Px.Y())
		}
		s.l.Targets = append(s.l.Targets, t)
	}
}
