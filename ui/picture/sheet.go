// Package picture puts a layout on paper to scale: a page with the plan, its scale
// in words and as a bar, and what it shows, as vector PDF or as PNG, in colour or in
// greys alone. It draws without a window.
//
// It knows the plan and paper, and not where a layout is kept nor who asked for it.
// It draws a pack as built: no reading and no finding is on it.
package picture

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"
	"time"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/fault/report"
	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/facts"
	"halfsplit/ui/plan"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/underlay"
)

// Options choose what the page shows, and how.
type Options struct {
	Grey  bool // black, white and greys alone
	Below bool // from the other side than the layout records
	Tier  *int // this tier is solid, the others are outlines; nil = all
	Scale int  // 10 is 1:10; 0 = the largest of Scales that fits
	Paper string

	Sketch bool                       // the freehand lines too, which nothing interprets
	Photos map[string]*underlay.Photo // by the hash that the layout names; one that is not here is left out

	Version int        // of the layout; 0 = not known
	Date    time.Time  // of the page; zero = none is written
	Head    fault.Head // of the casebook's log; zero = none is written
	Demo    bool       // an invented pack
}

// Fixed lengths of a page, mm. A pixel of the plan's drawing is pixel mm on paper, so
// that its texts are as large as those of a bench sheet.
const (
	margin   = 8.0
	headHigh = 17.0
	footHigh = 13.0
	pixel    = 0.2
	barLong  = 50.0
)

// Room around the pack in pixels of the drawing: the edge scales, FRONT, and names
// that stand beside terminals.
const roomLeft, roomTop, roomRight, roomBottom = 62.0, 66.0, 40.0, 62.0

// named is how deep a module is, in pixels of the drawing, where its name is sure to
// have room.
const named = 35.0

// A Sheet is one page with a layout drawn on it.
type Sheet struct {
	W, H  float64 // mm
	Paper string  // its name, and how it lies
	Scale int     // 10 is 1:10; 0 = not to scale

	title string
	date  time.Time
	view  scene.View
	marks []mark
	loose bool // boards, chassis pieces or parts are drawn, whose places nobody recorded
}

// A markKind is a kind of mark.
type markKind uint8

const (
	polygon markKind = iota
	line
	text
	photo
)

// A mark is one thing on the page; lengths and places are in mm from its top left.
type mark struct {
	kind   markKind
	points []mgl64.Vec2 // of a text: where its baseline begins; of a photo: two corners
	fill   color.NRGBA  // no alpha = none; of a text, its colour
	line   color.NRGBA
	width  float64
	text   string
	size   float64 // points
	bold   bool
	italic bool
	image  *image.RGBA
}

// New draws a layout on a page. An error says why it does not fit, or that there is
// nothing to draw.
func New(l topology.Layout, o Options) (*Sheet, error) {
	if len(l.Modules) == 0 {
		return nil, fmt.Errorf("there is nothing to draw: the layout has no modules")
	}
	if o.Tier != nil && !hasTier(l, *o.Tier) {
		return nil, fmt.Errorf("the layout has no stack on tier %d", *o.Tier)
	}
	shown := l
	if o.Below {
		shown = edit.Flipped(l)
	}
	built := fault.State{ID: "drawn", Contactors: fault.Closed}
	pack := facts.New(fault.Case{Layout: shown, Now: built.ID, States: []fault.State{built}}, facts.Result{})
	if pack.Net == nil {
		return nil, fmt.Errorf("the layout cannot be drawn: %s", strings.Join(problems(pack), "; "))
	}
	d := plan.New(pack, nil)
	d.ShowFittings(true)
	d.Mirrored(o.Below)
	world, photos := d.Bounds(), laid(l, o)
	if !d.Geo.Schematic {
		for _, p := range photos {
			world = world.Union(place(p.As, o.Below))
		}
	}
	lines := sketch(l, o, d.Geo.Schematic)
	for _, s := range lines.Shapes {
		for _, p := range s.Points {
			world = world.Union(scene.Rect{Min: p.World, Max: p.World})
		}
	}
	s, err := onPaper(world, o, d.Geo.Schematic)
	if err != nil {
		return nil, err
	}
	if o.Paper == "" && o.Scale == 0 && s.view.ScaleX*d.Geo.Size < named { // their names need the larger paper
		larger := o
		larger.Paper = "a3"
		if t, err := onPaper(world, larger, d.Geo.Schematic); err == nil && t.view.ScaleX > s.view.ScaleX {
			s = t
		}
	}
	s.title, s.date, s.loose = nameOf(l), o.Date, d.HasFittings()
	numbers := map[string]int{}
	for id, at := range edit.PathOf(pack.Net) {
		numbers[id] = at.Number
	}
	drawn := d.Scene(s.view, plan.Options{Mode: plan.ByPath, Path: numbers, Bare: true, Paper: true, Tier: o.Tier, Thin: len(photos) > 0}, measure)
	if !d.Geo.Schematic {
		s.lay(world, photos, o)
	}
	s.take(lines, o.Grey)
	s.take(drawn, o.Grey)
	s.frame(o.Grey)
	s.head(shown, o)
	s.foot(o)
	return s, nil
}

// sketch are the freehand lines where they are wanted and have a place: of the tier that
// is shown, mirrored with the drawing.
func sketch(l topology.Layout, o Options, schematic bool) *scene.List {
	list := &scene.List{}
	if !o.Sketch || schematic {
		return list
	}
	for _, s := range l.Sketch {
		if o.Tier != nil && s.Tier != *o.Tier || len(s.Points) < 2 {
			continue
		}
		var pts []scene.Point
		for _, p := range s.Points {
			if o.Below {
				p[0] = -p[0]
			}
			pts = append(pts, scene.At(p[0], p[1]))
		}
		list.Line("", scene.Ink(theme.Accent), 3, pts...)
	}
	return list
}

func hasTier(l topology.Layout, tier int) bool {
	for _, s := range l.Stacks {
		if s.Tier == tier {
			return true
		}
	}
	return false
}

func problems(p *facts.Pack) (out []string) {
	for _, q := range p.Problems {
		out = append(out, fmt.Sprint(q))
	}
	return out
}

func nameOf(l topology.Layout) string {
	if l.Name == "" {
		return "A layout without a name"
	}
	return l.Name
}

// measure is the width of a text in pixels of the drawing. The faces on paper are
// those of the bench sheet.
func measure(words string, size float64, bold bool) float64 {
	return report.Mark{Kind: report.Text, Text: words, Size: points(size), Bold: bold}.Wide() / pixel
}

const mmPerPoint = 25.4 / 72

// points is a text size of the drawing in points of the paper.
func points(size float64) float64 { return size * pixel / mmPerPoint }

// laid are the photos of the layout that are known, the lowest first.
func laid(l topology.Layout, o Options) (out []underlay.Laid) {
	for _, u := range l.Underlays {
		if p := o.Photos[u.Photo]; p != nil && (o.Tier == nil || u.Tier == *o.Tier) {
			out = append(out, underlay.Laid{Photo: p, As: u})
		}
	}
	return out
}

// place is the upright rectangle around a photo, as the page shows it.
func place(u topology.Underlay, below bool) scene.Rect {
	var pts []mgl64.Vec2
	for _, c := range edit.UnderlayPlace(u).Corners() {
		if below {
			c[0] = -c[0]
		}
		pts = append(pts, c)
	}
	return scene.Around(pts...)
}

// lay puts the photos together into one picture below the drawing.
func (s *Sheet) lay(world scene.Rect, photos []underlay.Laid, o Options) {
	if len(photos) == 0 {
		return
	}
	const perMM = 6 // points of the picture, about 150 to the inch
	a, b := s.paper(scene.Point{World: world.Min}), s.paper(scene.Point{World: world.Max})
	size := b.Sub(a)
	w, h := max(1, int(math.Ceil(size.X()*perMM))), max(1, int(math.Ceil(size.Y()*perMM)))
	to := mgl64.Translate2D(world.Min.X(), world.Min.Y()).Mul3(mgl64.Scale2D(world.Size().X()/float64(w), world.Size().Y()/float64(h)))
	if o.Below {
		to = mgl64.Scale2D(-1, 1).Mul3(to)
	}
	img := underlay.Compose(w, h, to, photos)
	onWhite(img, o.Grey)
	s.marks = append(s.marks, mark{kind: photo, points: []mgl64.Vec2{a, b}, image: img})
}

// paper is where a point of the drawing lies on the page, in mm.
func (s *Sheet) paper(p scene.Point) mgl64.Vec2 {
	return s.view.Screen(p).Mul(pixel).Add(mgl64.Vec2{margin, margin + headHigh})
}
