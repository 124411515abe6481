package header

import (
	"math"

	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// Banner is what the whole window stands under while something is shown that is not
// recorded: text in paper on ink, and one way out at its end. id is what a press on
// the way out is; touch its least height.
func Banner(text, out, id string, width, touch float64, measure scene.Measurer) (*scene.List, float64) {
	l := &scene.List{}
	button := math.Min(measure(out, theme.Text, true)+28, width/2)
	room := width - 3*padX - button
	lines := scene.Wrap(words.Plain(text), room, theme.Text, true, measure)
	high := math.Max(float64(len(lines))*theme.Text*leading+2*padY, touch+8)
	l.Rect("", scene.At(0, 0), scene.At(width, high), scene.Ink(theme.Ink), scene.Paint{}, 0, 0)
	for i, t := range lines {
		y := (high-float64(len(lines))*theme.Text*leading)/2 + (float64(i)+0.5)*theme.Text*leading
		l.Text("", scene.At(padX, y), scene.Start, scene.Middle, scene.Ink(theme.Paper), theme.Text, true, t)
	}
	x0, y0 := width-padX-button, (high-touch)/2
	l.Rect(id, scene.At(x0, y0), scene.At(x0+button, y0+touch), scene.Ink(theme.Paper), scene.Paint{}, 0, 6)
	l.Text(id, scene.At(x0+button/2, high/2), scene.Middle, scene.Middle, scene.Ink(theme.Ink), theme.Text, true, scene.Shorten(out, button-12, theme.Text, true, measure))
	l.Target(id, 0, scene.At(x0, y0), scene.At(x0+button, y0), scene.At(x0+button, y0+touch), scene.At(x0, y0+touch))
	return l, high
}

// Below puts one drawing under another.
func Below(top *scene.List, high float64, l *scene.List) *scene.List {
	out := &scene.List{Shapes: append([]scene.Shape(nil), top.Shapes...), Targets: append([]scene.Target(nil), top.Targets...)}
	down := func(pts []scene.Point) []scene.Point {
		moved := make([]scene.Point, len(pts))
		for i, p := range pts {
			moved[i] = p.Moved(0, high)
		}
		return moved
	}
	for _, s := range l.Shapes {
		s.Points = down(s.Points)
		out.Shapes = append(out.Shapes, s)
	}
	for _, t := range l.Targets {
		t.Area = down(t.Area)
		out.Targets = append(out.Targets, t)
	}
	return out
}
