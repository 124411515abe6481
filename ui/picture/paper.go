package picture

import (
	"fmt"
	"math"
	"strings"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/scene"
)

// Scales are those that a page is drawn at unless another is asked for.
var Scales = []int{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000}

// Papers are the names of the papers, the smaller first.
var Papers = []string{"a4", "letter", "a3", "tabloid"}

// papers are their sizes upright, in mm.
var papers = map[string]struct {
	name string
	w, h float64
}{
	"a4": {"A4", 210, 297}, "letter": {"Letter", 215.9, 279.4}, "a3": {"A3", 297, 420}, "tabloid": {"Tabloid", 279.4, 431.8},
}

// onPaper chooses the page: the paper that was asked for, else the first that holds
// the scale asked for, else A4. It lies whichever way holds the larger scale.
func onPaper(world scene.Rect, o Options, schematic bool) (*Sheet, error) {
	names := Papers
	switch {
	case o.Paper != "":
		names = []string{strings.ToLower(o.Paper)}
		if _, ok := papers[names[0]]; !ok {
			return nil, fmt.Errorf("the paper is one of %s, and not %q", strings.Join(Papers, ", "), o.Paper)
		}
	case o.Scale == 0 || schematic:
		names = Papers[:1]
	}
	least := math.Inf(1)
	var best *Sheet
	for _, name := range names {
		p := papers[name]
		for _, lying := range []bool{true, false} {
			s := &Sheet{W: p.w, H: p.h, Paper: p.name + ", upright"}
			if lying {
				s.W, s.H, s.Paper = p.h, p.w, p.name+", lying"
			}
			need := s.need(world)
			least = math.Min(least, need)
			if s.Scale = scaleFor(need, o.Scale, schematic); s.Scale > 0 && (best == nil || s.Scale < best.Scale) {
				s.aim(world)
				best = s
			}
		}
		if best != nil {
			break
		}
	}
	switch {
	case best == nil && o.Scale > 0:
		return nil, fmt.Errorf("at 1:%d the pack does not fit on the paper; the largest scale that fits is 1:%.0f", o.Scale, math.Ceil(least-fits))
	case best == nil:
		return nil, fmt.Errorf("the pack is too large for a page at 1:%d, the smallest scale", Scales[len(Scales)-1])
	}
	if schematic {
		best.Scale = 0
	}
	return best, nil
}

const fits = 1e-9

// scaleFor is the scale that a page is drawn at; 0 = it does not hold the pack.
// What is not to scale fills the page.
func scaleFor(need float64, asked int, schematic bool) int {
	if schematic {
		return max(1, int(math.Ceil(need)))
	}
	if asked > 0 {
		if need <= float64(asked)+fits {
			return asked
		}
		return 0
	}
	for _, s := range Scales {
		if need <= float64(s)+fits {
			return s
		}
	}
	return 0
}

// field is the part of the page that the plan is drawn on, in pixels of the drawing.
func (s *Sheet) field() (w, h float64) {
	return (s.W - 2*margin) / pixel, (s.H - 2*margin - headHigh - footHigh) / pixel
}

// need is how many mm of the pack one mm of paper must hold.
func (s *Sheet) need(world scene.Rect) float64 {
	w, h := s.field()
	size := world.Size()
	return math.Max(size.X()/((w-roomLeft-roomRight)*pixel), size.Y()/((h-roomTop-roomBottom)*pixel))
}

// aim lays the middle of the pack in the middle of its room, to scale.
func (s *Sheet) aim(world scene.Rect) {
	w, h := s.field()
	k := 1 / (float64(s.Scale) * pixel)
	mid := world.Min.Add(world.Max).Mul(0.5)
	at := mgl64.Vec2{(roomLeft + w - roomRight) / 2, (roomTop + h - roomBottom) / 2}
	s.view = scene.View{ScaleX: k, ScaleY: k, OffX: at.X() - mid.X()*k, OffY: at.Y() - mid.Y()*k, W: w, H: h}
}
