package start

import (
	"math"
	"strings"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/palette"
	"halfsplit/ui/plan"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// Size of a thumbnail in pixels.
const (
	thumbWide = 132.0
	thumbHigh = 84.0
)

// Thumb is the plan of a layout as small as a stamp: the modules where they lie,
// those in places marked as the last finding's suspects, and the links. It is in
// pixels of its own, from 0 to the size of a thumbnail.
func Thumb(l topology.Layout, places []string) *scene.List {
	out := &scene.List{}
	p := facts.New(fault.Case{Layout: l}, facts.Result{})
	geo := plan.NewGeometry(p.Net)
	if len(geo.Modules) == 0 {
		return out
	}
	suspect := map[string]bool{}
	for _, id := range places {
		suspect["module:"+id] = true
	}
	v := scene.Fit(geo.Bounds, thumbWide, thumbHigh, 4, 4, 4, 4)
	none := func(string, float64, bool) float64 { return 0 }
	drawn := plan.New(p, geo).Scene(v, plan.Options{}, none)
	filled := map[string]bool{}
	for _, s := range drawn.Shapes {
		if s.Kind == scene.Label || s.ID == "" {
			continue // too small to read; furniture
		}
		s.Points = baked(s.Points, v)
		s.Width = math.Min(s.Width, 1)
		s.Round = 0
		if module := strings.HasPrefix(s.ID, "module:"); module && suspect[s.ID] && !filled[s.ID] && !s.Fill.None() {
			s.Fill, filled[s.ID] = scene.Data(palette.Suspicion, 0.8), true
		}
		out.Add(s)
	}
	return out
}

// baked are points as they lie on the screen of a view.
func baked(pts []scene.Point, v scene.View) []scene.Point {
	out := make([]scene.Point, len(pts))
	for i, p := range pts {
		at := v.Screen(p)
		out[i] = scene.At(math.Round(at.X()*2)/2, math.Round(at.Y()*2)/2)
	}
	return out
}

// stamp adds a thumbnail to a drawing with its corner at x, y; without one it
// says that it is not there yet.
func stamp(l *scene.List, thumb *scene.List, x, y float64, measure scene.Measurer) {
	l.Rect("", scene.At(x, y), scene.At(x+thumbWide, y+thumbHigh), scene.Ink(theme.Paper), scene.Paint{}, 0, 4)
	if thumb == nil || len(thumb.Shapes) == 0 {
		text := "drawing it …"
		if thumb != nil {
			text = "no modules drawn"
		}
		l.Text("", scene.At(x+thumbWide/2, y+thumbHigh/2), scene.Middle, scene.Middle, scene.Ink(theme.Soft), theme.Small, false, text)
		return
	}
	for _, s := range thumb.Shapes {
		moved := make([]scene.Point, len(s.Points))
		for i, p := range s.Points {
			moved[i] = scene.Point{World: p.World.Add(mgl64.Vec2{x, y})}
		}
		s.Points, s.ID = moved, ""
		l.Add(s)
	}
}
