package scene_test

import (
	"math"
	"strings"
	"testing"

	"github.com/go-gl/mathgl/mgl64"
	"pgregory.net/rapid"

	"halfsplit/ui/palette"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// mono measures every character as half its size.
func mono(s string, size float64, _ bool) float64 { return float64(len([]rune(s))) * size / 2 }

func TestView_ScreenAndWorldAreInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := scene.View{
			ScaleX: rapid.Float64Range(0.01, 50).Draw(t, "sx"), ScaleY: rapid.Float64Range(0.01, 50).Draw(t, "sy"),
			OffX: rapid.Float64Range(-5000, 5000).Draw(t, "ox"), OffY: rapid.Float64Range(-5000, 5000).Draw(t, "oy"),
		}
		p := mgl64.Vec2{rapid.Float64Range(-1e4, 1e4).Draw(t, "x"), rapid.Float64Range(-1e4, 1e4).Draw(t, "y")}
		if got := v.World(v.Screen(scene.Point{World: p})); got.Sub(p).Len() > 1e-6 {
			t.Fatalf("%v came back as %v", p, got)
		}
	})
}

func TestView_ScreenIsTheMatrix(t *testing.T) {
	v := scene.View{ScaleX: 2, ScaleY: 3, OffX: 5, OffY: -7}
	p := scene.At(11, 13)
	if got, want := v.Screen(p), v.Matrix().Mul3x1(p.World.Vec3(1)).Vec2(); got.Sub(want).Len() > 1e-12 {
		t.Errorf("got %v, want %v", got, want)
	}
	if got := v.Screen(p.Moved(1, 2)).Sub(v.Screen(p)); got != (mgl64.Vec2{1, 2}) {
		t.Errorf("pixels are scaled: %v", got)
	}
}

func TestView_ZoomKeepsThePlaceUnderThePointer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := scene.Fit(scene.Rect{Max: mgl64.Vec2{1000, 500}}, 800, 600, 10, 10, 10, 10)
		about := mgl64.Vec2{rapid.Float64Range(0, 800).Draw(t, "x"), rapid.Float64Range(0, 600).Draw(t, "y")}
		before := v.World(about)
		z := v.Zoomed(rapid.Float64Range(0.1, 10).Draw(t, "f"), about, true, true)
		if got := z.World(about); got.Sub(before).Len() > 1e-6 {
			t.Fatalf("the place under the pointer moved from %v to %v", before, got)
		}
	})
}

func TestFit_WholeWorldInsideTheMargins(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := scene.Around(
			mgl64.Vec2{rapid.Float64Range(-500, 500).Draw(t, "x0"), rapid.Float64Range(-500, 500).Draw(t, "y0")},
			mgl64.Vec2{rapid.Float64Range(600, 5000).Draw(t, "x1"), rapid.Float64Range(600, 5000).Draw(t, "y1")})
		v := scene.Fit(w, 900, 500, 20, 30, 40, 50)
		a, b := v.Screen(scene.Point{World: w.Min}), v.Screen(scene.Point{World: w.Max})
		if a.X() < 20-1e-6 || a.Y() < 30-1e-6 || b.X() > 860+1e-6 || b.Y() > 450+1e-6 {
			t.Fatalf("%v to %v leaves the margins", a, b)
		}
	})
}

func TestFit_NothingToShow(t *testing.T) {
	v := scene.Fit(scene.Rect{}, 100, 100, 0, 0, 0, 0)
	if v.ScaleX != 1 || math.IsNaN(v.OffX) {
		t.Errorf("got %+v", v)
	}
}

func TestHit(t *testing.T) {
	v := scene.View{ScaleX: 2, ScaleY: 2, W: 400, H: 400}
	var l scene.List
	square := func(x, y, d float64) []scene.Point {
		return []scene.Point{scene.At(x, y), scene.At(x+d, y), scene.At(x+d, y+d), scene.At(x, y+d)}
	}
	l.Target("under", 10, square(0, 0, 50)...)
	l.Target("over", 10, square(25, 25, 50)...)
	l.Target("wire", 12, scene.At(100, 0), scene.At(100, 100))
	for name, c := range map[string]struct {
		at   mgl64.Vec2
		want string
	}{
		"inside":             {mgl64.Vec2{10, 10}, "under"},
		"later wins":         {mgl64.Vec2{80, 80}, "over"},
		"near an edge":       {mgl64.Vec2{-8, 20}, "under"},
		"near a line":        {mgl64.Vec2{210, 50}, "wire"},
		"nowhere":            {mgl64.Vec2{300, 300}, ""},
		"past a line's end":  {mgl64.Vec2{200, 230}, ""},
		"left of first edge": {mgl64.Vec2{-11, 20}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			if got := l.Hit(v, c.at); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

func TestRect_Clip(t *testing.T) {
	r := scene.Rect{Max: mgl64.Vec2{10, 10}}
	for name, c := range map[string]struct {
		a, b, from, to mgl64.Vec2
		ok             bool
	}{
		"inside":  {mgl64.Vec2{1, 1}, mgl64.Vec2{9, 2}, mgl64.Vec2{1, 1}, mgl64.Vec2{9, 2}, true},
		"through": {mgl64.Vec2{-5, 5}, mgl64.Vec2{15, 5}, mgl64.Vec2{0, 5}, mgl64.Vec2{10, 5}, true},
		"beside":  {mgl64.Vec2{-5, 12}, mgl64.Vec2{15, 12}, mgl64.Vec2{}, mgl64.Vec2{}, false},
		"corner":  {mgl64.Vec2{-5, 12}, mgl64.Vec2{-1, -8}, mgl64.Vec2{}, mgl64.Vec2{}, false},
	} {
		t.Run(name, func(t *testing.T) {
			from, to, ok := r.Clip(c.a, c.b)
			if ok != c.ok || ok && (from.Sub(c.from).Len() > 1e-9 || to.Sub(c.to).Len() > 1e-9) {
				t.Errorf("got %v to %v, %v", from, to, ok)
			}
			if r.Meets(c.a, c.b) != c.ok {
				t.Error("Meets does not agree")
			}
		})
	}
}

func TestContains_EitherDirection(t *testing.T) {
	poly := []mgl64.Vec2{{0, 0}, {10, 0}, {10, 10}, {0, 10}}
	back := []mgl64.Vec2{{0, 10}, {10, 10}, {10, 0}, {0, 0}}
	for _, p := range [][]mgl64.Vec2{poly, back} {
		if !scene.Contains(p, mgl64.Vec2{5, 5}) || scene.Contains(p, mgl64.Vec2{15, 5}) {
			t.Errorf("wrong for %v", p)
		}
	}
}

func TestWrap_NothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(strings.Fields(rapid.StringMatching(`[a-z ,.]{0,80}`).Draw(t, "text")), " ")
		width := rapid.Float64Range(8, 300).Draw(t, "width")
		lines := scene.Wrap(text, width, 14, false, mono)
		if got := strings.ReplaceAll(strings.Join(lines, ""), " ", ""); got != strings.ReplaceAll(text, " ", "") {
			t.Fatalf("%q became %q", text, lines)
		}
		for _, l := range lines {
			if len(l) > 1 && mono(l, 14, false) > width {
				t.Fatalf("%q is wider than %g", l, width)
			}
		}
	})
}

func TestShorten(t *testing.T) {
	if got := scene.Shorten("recorded open", 49, 14, false, mono); got != "record…" {
		t.Errorf("got %q", got)
	}
	if got := scene.Shorten("SD", 49, 14, false, mono); got != "SD" {
		t.Errorf("got %q", got)
	}
}

func TestDump(t *testing.T) {
	var l scene.List
	l.Rect("module:M01", scene.At(0, 0), scene.At(10, 5), scene.Data(palette.Suspicion, 0.93), scene.Ink(theme.Ink), 2, 0)
	l.Text("module:M01", scene.At(5, 2).Moved(3, 0), scene.Middle, scene.Middle, scene.On(scene.Data(palette.Suspicion, 0.93)), 14, true, "M01")
	want := "box   0,0 20,10 fill suspicion(0.93) line ink 2 [module:M01]\n" +
		"label 13,4 \"M01\" on suspicion(0.93) 14 bold [module:M01]\n"
	if got := l.Dump(scene.View{ScaleX: 2, ScaleY: 2}); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}
