package header

import (
	"strings"
	"testing"

	"halfsplit/ui/golden"
	"halfsplit/ui/scene"
)

// The whole question can be read and the way out pressed, however long the one and
// narrow the window.
func TestBanner_NothingIsCutOff(t *testing.T) {
	const text = "What if, without r4, r5, r6 and r7, with an input resistance of 1.00 MΩ for dmm and given that there are two leaks. Nothing of this is recorded."
	for _, width := range []float64{320, 640, 1024, 1920} {
		for _, touch := range []float64{44, 60} {
			l, high := Banner(text, "End what-if", "end", width, touch, golden.Mono)
			var all strings.Builder
			for _, s := range l.Shapes {
				if s.Kind != scene.Label || s.ID != "" {
					continue
				}
				all.WriteString(s.Text + " ")
				p := s.Points[0].World
				if p.X()+golden.Mono(s.Text, s.Size, s.Bold) > l.Targets[0].Area[0].World.X() || p.Y() > high {
					t.Errorf("width %g: %q runs out of its place", width, s.Text)
				}
			}
			if got := strings.ReplaceAll(strings.TrimSpace(all.String()), "\u2009", " "); got != text {
				t.Errorf("width %g: %q", width, got)
			}
			a := l.Targets[0].Area
			if l.Targets[0].ID != "end" || a[2].World.Y()-a[0].World.Y() < touch || a[2].World.X() > width || a[2].World.Y() > high {
				t.Errorf("width %g: the way out lies at %v", width, a)
			}
		}
	}
}

func TestBelow_MovesEverythingDown(t *testing.T) {
	top, l := &scene.List{}, &scene.List{}
	top.Rect("a", scene.At(0, 0), scene.At(10, 10), scene.Paint{}, scene.Paint{}, 0, 0)
	l.Rect("b", scene.At(0, 0), scene.At(10, 20), scene.Paint{}, scene.Paint{}, 0, 0)
	l.Target("b", 0, scene.At(0, 0), scene.At(10, 20))
	v := scene.View{ScaleX: 1, ScaleY: 1}
	got := Below(top, 10, l)
	if y := v.Screen(got.Shapes[1].Points[1]).Y(); y != 30 {
		t.Errorf("the lower one ends at %g", y)
	}
	if y := v.Screen(got.Targets[0].Area[0]).Y(); y != 10 {
		t.Errorf("its target begins at %g", y)
	}
	if y := v.Screen(l.Shapes[0].Points[0]).Y(); y != 0 {
		t.Errorf("the drawing that was given was moved to %g", y)
	}
}
