// Package scene is a drawing as data: shapes with ids in world units (mm on the
// plan, volts on the ruler), each point with an offset in pixels of its own,
// and the targets that a finger can hit. One list drives the screen, the text
// pictures of the tests, and later the print.
//
// It knows no widget, no colour behind a role, and nothing of packs. A drawing
// depends only on what it is drawn from and the View that it is drawn for, so
// that the level of detail is part of it.
package scene

import (
	"image"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/palette"
	"halfsplit/ui/theme"
)

// A Point is a place in the world and an offset from it in pixels, which
// neither pan nor zoom changes.
type Point struct {
	World mgl64.Vec2
	Px    mgl64.Vec2
}

// At is a point of the world.
func At(x, y float64) Point { return Point{World: mgl64.Vec2{x, y}} }

// Moved shifts the point by pixels.
func (p Point) Moved(dx, dy float64) Point {
	p.Px = p.Px.Add(mgl64.Vec2{dx, dy})
	return p
}

// A Paint is a role of the theme, or a value on a data scale. The zero Paint
// draws nothing.
type Paint struct {
	Role   theme.Role
	Scale  palette.Scale
	Value  float64
	OnData bool // the readable ink on top of that data colour
}

// Ink paints with a role.
func Ink(r theme.Role) Paint { return Paint{Role: r} }

// Data paints a value.
func Data(s palette.Scale, v float64) Paint { return Paint{Scale: s, Value: v} }

// On is the readable ink on a painted ground: on data, the one that contrasts.
func On(ground Paint) Paint {
	if ground.Scale == palette.NoScale {
		return Ink(theme.Ink)
	}
	ground.OnData = true
	return ground
}

// None says that the paint draws nothing.
func (p Paint) None() bool { return p.Role == theme.None && p.Scale == palette.NoScale }

// A Kind of shape.
type Kind uint8

// The kinds. A Box is upright, with corners Points[0] and Points[1]; an Area is
// a convex polygon; a Path is an open line; a Label is text at Points[0]; a Picture
// is an image in an upright rectangle like a Box.
const (
	Box Kind = iota
	Area
	Path
	Label
	Picture
)

// Alignment of a label against its point.
type Alignment int8

// Alignments: the point is at the label's start, middle or end; vertically at
// its top, middle or bottom.
const (
	Start  Alignment = -1
	Middle Alignment = 0
	End    Alignment = 1
)

// A Shape is one thing to draw.
type Shape struct {
	Kind   Kind
	ID     string // what it shows; "" = decoration
	Points []Point
	Fill   Paint
	Line   Paint
	Width  float64 // of the line, pixels
	Round  float64 // corner radius of a Box, pixels
	Text   string
	Size   float64 // of the text
	Bold   bool
	Italic bool // computed, not measured
	H, V   Alignment
	Image  *image.RGBA // of a Picture; another image is another pointer
}

// A Target is where a press counts as a press on ID. Of overlapping targets the
// later one wins.
type Target struct {
	ID   string
	Area []Point // convex polygon, or a line of two points
	Grow float64 // pixels around it that count too
}

// A List is a drawing, back to front.
type List struct {
	Shapes  []Shape
	Targets []Target
}

// A Measurer gives the width of a text in pixels.
type Measurer func(text string, size float64, bold bool) float64

// Add appends shapes.
func (l *List) Add(s ...Shape) { l.Shapes = append(l.Shapes, s...) }

// Target makes an area pressable.
func (l *List) Target(id string, grow float64, area ...Point) {
	l.Targets = append(l.Targets, Target{ID: id, Area: area, Grow: grow})
}

// Line adds an open line.
func (l *List) Line(id string, p Paint, width float64, pts ...Point) {
	l.Add(Shape{Kind: Path, ID: id, Points: pts, Line: p, Width: width})
}

// Rect adds an upright box.
func (l *List) Rect(id string, a, b Point, fill, line Paint, width, round float64) {
	l.Add(Shape{Kind: Box, ID: id, Points: []Point{a, b}, Fill: fill, Line: line, Width: width, Round: round})
}

// Text adds a label.
func (l *List) Text(id string, at Point, h, v Alignment, p Paint, size float64, bold bool, text string) {
	l.Add(Shape{Kind: Label, ID: id, Points: []Point{at}, Fill: p, Size: size, Bold: bold, Text: text, H: h, V: v})
}
