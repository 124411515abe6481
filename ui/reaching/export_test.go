package reaching

import (
	"halfsplit/fault/reach"
	"halfsplit/ui/scene"
)

// Shown is the drawing at right with its size.
func Shown(p *Page) (l *scene.List, wide, high float64) {
	if p.rows.Visible() {
		b := p.rows.Board()
		return b.List(), float64(b.Size().Width), float64(b.MinSize().Height)
	}
	return p.picture.List(), float64(p.picture.Size().Width), p.high
}

// Drawn is an answer's picture.
func Drawn(a reach.Answer, w, h float64) *scene.List { return (&Page{answer: &a}).drawPicture(w, h) }
