package picture

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"io"
	"math"
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansitalic"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"github.com/go-gl/mathgl/mgl64"
	xdraw "golang.org/x/image/draw"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"halfsplit/ui/scene"
)

// mostPixels is how large a picture may be: more would not fit in memory everywhere.
const mostPixels = 120e6

// WritePNG writes the page as PNG at so many dots to the inch.
func (s *Sheet) WritePNG(w io.Writer, dpi float64) error {
	img, err := s.Image(dpi)
	if err == nil {
		err = png.Encode(w, img)
	}
	if err != nil {
		return fmt.Errorf("the picture cannot be written as PNG: %w", err)
	}
	return nil
}

// DPI is how many dots to the inch make the page so many pixels wide.
func (s *Sheet) DPI(width int) float64 { return float64(width) / (s.W / 25.4) }

// Image draws the page at so many dots to the inch.
func (s *Sheet) Image(dpi float64) (*image.RGBA, error) {
	k := dpi / 25.4
	w, h := math.Round(s.W*k), math.Round(s.H*k)
	if !(w >= 1 && h >= 1 && w*h <= mostPixels) {
		return nil, fmt.Errorf("%.0f dots to the inch make %.0f × %.0f pixels, and at most %.0f million are drawn", dpi, w, h, mostPixels/1e6)
	}
	p := &raster{dst: image.NewRGBA(image.Rect(0, 0, int(w), int(h))), k: k, faces: map[faceKey]font.Face{}}
	draw.Draw(p.dst, p.dst.Rect, image.White, image.Point{}, draw.Src)
	for _, m := range s.marks {
		if err := p.mark(m); err != nil {
			return nil, err
		}
	}
	return p.dst, nil
}

type faceKey struct {
	size float64
	font int
}

// A raster is a picture in the making.
type raster struct {
	dst   *image.RGBA
	k     float64 // pixels to the mm
	pen   vector.Rasterizer
	faces map[faceKey]font.Face
}

func (p *raster) mark(m mark) error {
	pts := make([]mgl64.Vec2, len(m.points))
	for i, q := range m.points {
		pts[i] = q.Mul(p.k)
	}
	switch m.kind {
	case text:
		return p.text(m, pts[0])
	case photo:
		r := image.Rect(int(math.Round(pts[0].X())), int(math.Round(pts[0].Y())), int(math.Round(pts[1].X())), int(math.Round(pts[1].Y())))
		xdraw.BiLinear.Scale(p.dst, r, m.image, m.image.Rect, xdraw.Src, nil)
	case polygon:
		p.fill(m.fill, pts)
		p.stroke(m, append(pts, pts[0]))
	case line:
		p.stroke(m, pts)
	}
	return nil
}

// fill fills a polygon.
func (p *raster) fill(c color.NRGBA, pts []mgl64.Vec2) {
	if c.A == 0 {
		return
	}
	r := scene.Around(pts...)
	at := image.Rect(int(math.Floor(r.Min.X())), int(math.Floor(r.Min.Y())), int(math.Ceil(r.Max.X())), int(math.Ceil(r.Max.Y())))
	if at.Empty() || !at.Overlaps(p.dst.Rect) {
		return
	}
	p.pen.Reset(at.Dx(), at.Dy())
	for i, q := range pts {
		x, y := float32(q.X()-float64(at.Min.X)), float32(q.Y()-float64(at.Min.Y))
		if i == 0 {
			p.pen.MoveTo(x, y)
		} else {
			p.pen.LineTo(x, y)
		}
	}
	p.pen.ClosePath()
	p.pen.Draw(p.dst, at, image.NewUniform(c), image.Point{})
}

// stroke draws a line with its own width, at least one pixel; each piece reaches half
// the width beyond its ends, so that corners close.
func (p *raster) stroke(m mark, pts []mgl64.Vec2) {
	if m.line.A == 0 || m.width <= 0 {
		return
	}
	half := math.Max(1, m.width*p.k) / 2
	for i := 1; i < len(pts); i++ {
		a, b := pts[i-1], pts[i]
		d := b.Sub(a)
		if d.Len() == 0 {
			continue
		}
		along := d.Normalize().Mul(half)
		side := mgl64.Vec2{-along.Y(), along.X()}
		a, b = a.Sub(along), b.Add(along)
		p.fill(m.line, []mgl64.Vec2{a.Add(side), b.Add(side), b.Sub(side), a.Sub(side)})
	}
}

// fonts are read once: regular, bold, italic.
var fonts = sync.OnceValue(func() (out [3]*opentype.Font) {
	for i, ttf := range [][]byte{liberationsansregular.TTF, liberationsansbold.TTF, liberationsansitalic.TTF} {
		f, err := opentype.Parse(ttf)
		if err != nil {
			panic("the embedded font is damaged: " + err.Error())
		}
		out[i] = f
	}
	return out
})

func (p *raster) text(m mark, at mgl64.Vec2) error {
	k := faceKey{size: m.size * mmPerPoint * p.k}
	if m.bold {
		k.font = 1
	} else if m.italic {
		k.font = 2
	}
	face := p.faces[k]
	if face == nil {
		var err error
		face, err = opentype.NewFace(fonts()[k.font], &opentype.FaceOptions{Size: k.size, DPI: 72, Hinting: font.HintingNone})
		if err != nil {
			return err
		}
		p.faces[k] = face
	}
	d := font.Drawer{Dst: p.dst, Src: image.NewUniform(m.fill), Face: face, Dot: fixed.Point26_6{X: fixed.Int26_6(at.X() * 64), Y: fixed.Int26_6(at.Y() * 64)}}
	d.DrawString(m.text)
	return nil
}
