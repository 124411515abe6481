package underlay_test

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/ui/underlay"
)

// chart is a picture of four quarters: black, red, green, blue, clockwise from the
// top left.
func chart(w, h int) image.Image {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := [2][2]color.RGBA{{{A: 255}, {R: 255, A: 255}}, {{B: 255, A: 255}, {G: 255, A: 255}}}[2*y/h][2*x/w]
			m.SetRGBA(x, y, c)
		}
	}
	return m
}

func taken(t testing.TB, w, h int) *underlay.Photo {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, chart(w, h)); err != nil {
		t.Fatal(err)
	}
	p, err := underlay.Take(b.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// flat is a photo of 200 by 100 points laid with its own corners on 400 by 200 mm.
func flat(t testing.TB) underlay.Laid {
	return underlay.Laid{Photo: taken(t, 200, 100), As: topology.Underlay{ID: "P1", W: 400, H: 200, Opacity: 1,
		Corners: [4][2]float64{{0, 0}, {200, 0}, {200, 100}, {0, 100}}}}
}

func TestCompose_LaysThePhotoWhereTheLayoutSays(t *testing.T) {
	l := flat(t)
	m := underlay.Compose(500, 300, mgl64.Translate2D(-50, -50), []underlay.Laid{l}) // 1 point a mm, the photo from 50, 50
	for _, c := range []struct {
		x, y int
		want color.RGBA
	}{{30, 30, color.RGBA{}}, {100, 80, color.RGBA{A: 255}}, {400, 80, color.RGBA{R: 255, A: 255}}, {400, 230, color.RGBA{G: 255, A: 255}}, {100, 230, color.RGBA{B: 255, A: 255}}, {460, 80, color.RGBA{}}} {
		if got := m.RGBAAt(c.x, c.y); got != c.want {
			t.Errorf("at %d, %d lies %v, not %v", c.x, c.y, got, c.want)
		}
	}
}

// Turned by a quarter the top left quarter comes to lie at the top right.
func TestCompose_TurnsAboutTheMiddle(t *testing.T) {
	l := flat(t)
	l.As.Angle = 90
	m := underlay.Compose(400, 400, mgl64.Translate2D(0, -100), []underlay.Laid{l}) // middle at 200, 200
	if got := m.RGBAAt(250, 50); got != (color.RGBA{A: 255}) {
		t.Errorf("at the top right lies %v", got)
	}
	if got := m.RGBAAt(150, 50); got != (color.RGBA{B: 255, A: 255}) {
		t.Errorf("at the top left lies %v", got)
	}
}

// Four corners of the photo come to lie on the corners of the rectangle, and what is
// straight in between stays straight: the middle of the crossing diagonals goes to the
// rectangle's middle.
func TestCompose_StraightensByFourCorners(t *testing.T) {
	l := flat(t)
	l.As.Corners = [4][2]float64{{40, 20}, {180, 10}, {190, 90}, {20, 80}}
	to, err := l.FromLayout()
	if err != nil {
		t.Fatal(err)
	}
	for i, at := range [4]mgl64.Vec3{{0, 0, 1}, {400, 0, 1}, {400, 200, 1}, {0, 200, 1}} {
		q := to.Mul3x1(at)
		x, y := q.X()/q.Z(), q.Y()/q.Z()
		if c := l.As.Corners[i]; (x-c[0])*(x-c[0])+(y-c[1])*(y-c[1]) > 1e-12 {
			t.Errorf("corner %d lies at %g, %g of the photo, not at %v", i, x, y, c)
		}
	}
	q := to.Mul3x1(mgl64.Vec3{200, 100, 1})
	// The diagonals (40, 20) to (190, 90) and (180, 10) to (20, 80) cross at the part s of
	// the first: 20 + 70 s = 10 + 70 t and 40 + 150 s = 180 - 160 t.
	const s = (140 - 160.0/7) / 310
	const wantX, wantY = 40 + 150*s, 20 + 70*s
	if x, y := q.X()/q.Z(), q.Y()/q.Z(); x-wantX > 1e-6 || wantX-x > 1e-6 || y-wantY > 1e-6 || wantY-y > 1e-6 {
		t.Errorf("the middle lies at %.12g, %.12g of the photo", x, y)
	}
}

func TestCompose_OpacityAndWhatCannotBeLaid(t *testing.T) {
	l := flat(t)
	l.As.Opacity = 0.5
	crossed := flat(t)
	crossed.As.Corners = [4][2]float64{{0, 0}, {0, 0}, {0, 0}, {0, 0}}
	m := underlay.Compose(400, 200, mgl64.Ident3(), []underlay.Laid{l, crossed})
	if got := m.RGBAAt(300, 50); got.A < 126 || got.A > 129 || got.R < 126 || got.R > 129 {
		t.Errorf("half as strong it is %v", got)
	}
}

func TestTake_ALargePhotoIsHeldSmallerAndKeepsItsSize(t *testing.T) {
	p := taken(t, 5000, 3000)
	if w, h := p.Size(); w != 5000 || h != 3000 {
		t.Errorf("it measures %d by %d", w, h)
	}
	if n := p.Bytes(); n > 70e6 {
		t.Errorf("it is held in %d bytes", n)
	}
	if _, err := underlay.Take([]byte("no picture")); err == nil {
		t.Error("what is no picture was taken")
	}
}

// BenchmarkCompose is a frame of a pane of 900 by 640 points with one photo below, of
// 12 million points, straightened.
func BenchmarkCompose(b *testing.B) {
	l := underlay.Laid{Photo: taken(b, 4000, 3000), As: topology.Underlay{ID: "P1", W: 1600, H: 1200, Opacity: 0.6,
		Corners: [4][2]float64{{340, 250}, {3700, 90}, {3950, 2900}, {60, 2750}}}}
	for _, bench := range []struct {
		name  string
		scale float64
	}{{"whole", 0.5}, {"near", 4}} {
		b.Run(bench.name, func(b *testing.B) {
			to := mgl64.Scale2D(1/bench.scale, 1/bench.scale)
			for range b.N {
				underlay.Compose(750, 533, to, []underlay.Laid{l})
			}
		})
	}
}

// BenchmarkTake is the reading of a photo of forty million points, beside the window.
func BenchmarkTake(b *testing.B) {
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, chart(7300, 5480), &jpeg.Options{Quality: 90}); err != nil {
		b.Fatal(err)
	}
	b.ResetTimer()
	for range b.N {
		if _, err := underlay.Take(buf.Bytes()); err != nil {
			b.Fatal(err)
		}
	}
}
