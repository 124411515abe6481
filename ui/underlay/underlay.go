// Package underlay puts photos of a pack under its drawing: a photo is taken in
// at once in several sizes, and laid into a view by the four corners that the
// layout gives it, as strongly as the layout says.
//
// It knows pixels, corners and millimetres, not where a photo is kept nor what
// it shows. Nothing here needs the window's thread.
package underlay

import (
	"errors"
	"image"
	"math"
	"runtime"
	"sync"

	"github.com/go-gl/mathgl/mgl64"
	"golang.org/x/image/draw"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/photos"
)

// mostPoints is how many points of a photo are held in memory; a larger photo is
// held at half its size, or a quarter. The bytes that are kept stay as they came.
const mostPoints = 12e6

// A Photo is a picture in sizes that halve, the largest first.
type Photo struct {
	levels []*image.RGBA
	w, h   int // of the photo as it was taken in, in its own pixels
}

// Take reads the bytes of a photo. It takes a second or two for forty million
// points, so ask for it beside the window.
func Take(data []byte) (*Photo, error) {
	img, wide, high, err := photos.DecodeWithin(data, mostPoints)
	if err != nil {
		return nil, err
	}
	b := img.Bounds()
	if b.Empty() {
		return nil, errors.New("the picture has no points")
	}
	p := &Photo{w: wide, h: high}
	w, h := b.Dx(), b.Dy()
	for first := true; ; first = false {
		level := image.NewRGBA(image.Rect(0, 0, w, h))
		if first {
			draw.ApproxBiLinear.Scale(level, level.Rect, img, b, draw.Src, nil)
		} else {
			last := p.levels[len(p.levels)-1]
			draw.BiLinear.Scale(level, level.Rect, last, last.Rect, draw.Src, nil)
		}
		p.levels = append(p.levels, level)
		if w <= 64 || h <= 64 {
			return p, nil
		}
		w, h = (w+1)/2, (h+1)/2
	}
}

// Size is the photo's own, in pixels.
func (p *Photo) Size() (w, h int) { return p.w, p.h }

// Bytes is about how much memory the photo takes.
func (p *Photo) Bytes() (n int) {
	for _, l := range p.levels {
		n += len(l.Pix)
	}
	return n
}

// A Laid is a photo with its place in the layout.
type Laid struct {
	Photo *Photo
	As    topology.Underlay
}

// FromLayout takes millimetres of the layout to pixels of the photo.
func (l Laid) FromLayout() (mgl64.Mat3, error) {
	var on [4][2]float64
	for i, c := range edit.UnderlayPlace(l.As).Corners() {
		on[i] = c
	}
	return edit.Homography(on, l.As.Corners)
}

// Compose draws photos over each other, the first lowest, into an image of w by h
// points. toLayout takes a point of the image to millimetres of the layout. What
// no photo covers stays clear. A photo that cannot be laid is left out: its place
// is checked where it is set.
func Compose(w, h int, toLayout mgl64.Mat3, laid []Laid) *image.RGBA {
	dst := image.NewRGBA(image.Rect(0, 0, w, h))
	for _, l := range laid {
		m, err := l.FromLayout()
		if err != nil || l.Photo == nil || l.As.Opacity <= 0 {
			continue
		}
		l.Photo.lay(dst, m.Mul3(toLayout), math.Min(1, l.As.Opacity))
	}
	return dst
}

// lay draws the photo; m takes points of dst to pixels of the photo. Rows are
// shared among the cores.
func (p *Photo) lay(dst *image.RGBA, m mgl64.Mat3, opacity float64) {
	level := p.level(m, dst.Rect)
	src := p.levels[level]
	sx, sy := float64(src.Rect.Dx())/float64(p.w), float64(src.Rect.Dy())/float64(p.h)
	m = mgl64.Scale2D(sx, sy).Mul3(m)
	alpha := uint32(math.Round(opacity * 256))
	var wait sync.WaitGroup
	n := min(runtime.GOMAXPROCS(0), 8)
	for k := range n {
		wait.Add(1)
		go func() {
			defer wait.Done()
			for y := k; y < dst.Rect.Dy(); y += n {
				layRow(dst, src, y, m, alpha)
			}
		}()
	}
	wait.Wait()
}

// level is the size of the photo whose points are about as large as those that
// are drawn, measured in the middle.
func (p *Photo) level(m mgl64.Mat3, r image.Rectangle) int {
	c := mgl64.Vec2{float64(r.Dx()) / 2, float64(r.Dy()) / 2}
	at := func(v mgl64.Vec2) mgl64.Vec2 {
		q := m.Mul3x1(v.Vec3(1))
		return mgl64.Vec2{q.X() / q.Z(), q.Y() / q.Z()}
	}
	step := at(c.Add(mgl64.Vec2{1, 0})).Sub(at(c)).Len()
	step *= float64(p.levels[0].Rect.Dx()) / float64(p.w)
	level := 0
	for step > 1.5 && level < len(p.levels)-1 {
		step /= 2
		level++
	}
	return level
}

// layRow draws one row. Along a row the three numbers of the homography grow by
// fixed steps, so that a point takes one division.
func layRow(dst, src *image.RGBA, y int, m mgl64.Mat3, alpha uint32) {
	v := m.Mul3x1(mgl64.Vec3{0.5, float64(y) + 0.5, 1})
	step := m.Col(0)
	w, h := float64(src.Rect.Dx()), float64(src.Rect.Dy())
	row := dst.Pix[y*dst.Stride : y*dst.Stride+4*dst.Rect.Dx()]
	for x := 0; x < len(row); x += 4 {
		if v[2] > 1e-12 || v[2] < -1e-12 {
			u, t := v[0]/v[2], v[1]/v[2]
			if u >= 0 && t >= 0 && u < w && t < h {
				s := src.Pix[int(t)*src.Stride+4*int(u):]
				over(row[x:x+4:x+4], s[0], s[1], s[2], s[3], alpha)
			}
		}
		v[0], v[1], v[2] = v[0]+step[0], v[1]+step[1], v[2]+step[2]
	}
}

// over lays a premultiplied colour, weakened by alpha of 256, over a point.
func over(d []byte, r, g, b, a byte, alpha uint32) {
	rest := 256 - uint32(a)*alpha/255
	d[0] = byte((uint32(r)*alpha + uint32(d[0])*rest) >> 8)
	d[1] = byte((uint32(g)*alpha + uint32(d[1])*rest) >> 8)
	d[2] = byte((uint32(b)*alpha + uint32(d[2])*rest) >> 8)
	d[3] = byte((uint32(a)*alpha + uint32(d[3])*rest) >> 8)
}
