package plan

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/ui/facts"
	"halfsplit/ui/golden"
	"halfsplit/ui/scene"
)

// twoTiers is the sample with its second stack on the tier above.
func twoTiers(c *fault.Case, _ *facts.Result) {
	stacks := append(c.Layout.Stacks[:0:0], c.Layout.Stacks...)
	stacks[1].Tier = 1
	c.Layout.Stacks = stacks
}

func (d *Drawing) liftedList(w, h float64, o Options, l Lift) (*scene.List, scene.View) {
	v := d.LiftedFit(w, h, l)
	return d.Lifted(v, o, l, golden.Mono), v
}

// The projection by its own definition: unturned the ground is foreshortened by 0.6 and
// a height goes straight up; turned by a quarter, right becomes towards the viewer.
func TestLifted_ProjectsAsItSays(t *testing.T) {
	d := drawn(nil)
	for _, c := range []struct {
		turn    float64
		x, y, z float64
		want    mgl64.Vec2
	}{{0, 100, 50, 0, mgl64.Vec2{100, 30}}, {0, 100, 50, 40, mgl64.Vec2{100, -10}}, {90, 100, 0, 0, mgl64.Vec2{0, 60}}, {180, 100, 50, 0, mgl64.Vec2{-100, -30}}} {
		g := (&frame{Drawing: d}).newLifted(Lift{Turn: c.turn})
		if got := g.at(mgl64.Vec2{c.x, c.y}, c.z); got.Sub(c.want).Len() > 1e-9 {
			t.Errorf("turned by %g, %g, %g at %g lies at %v, not %v", c.turn, c.x, c.y, c.z, got, c.want)
		}
	}
}

// On one tier nothing hides anything else's top, however it is turned.
func TestLifted_EveryModuleIsHitWhereItIsDrawn(t *testing.T) {
	d := drawn(nil)
	for _, turn := range []float64{0, 30, 90, 200, 315} {
		l := Lift{Turn: turn, Apart: 1}
		list, v := d.liftedList(900, 600, Options{}, l)
		g := (&frame{Drawing: d}).newLifted(l)
		for m, mod := range d.Pack.Net.Layout.Modules {
			p := v.Screen(world(g.of(m, d.Geo.Modules[m].Center.Add(d.Geo.Modules[m].Across.Mul(0.3*d.Geo.Modules[m].Deep)), g.high)))
			if got := list.Hit(v, p); got != "module:"+mod.ID && !strings.HasPrefix(got, "link:") {
				t.Errorf("turned by %g, %s is hit as %q", turn, mod.ID, got)
			}
		}
	}
}

// What is nearer the viewer is drawn later, and a higher tier after a lower one.
func TestLifted_TheNearestIsDrawnLast(t *testing.T) {
	d := drawn(twoTiers)
	for turn := 0.0; turn < 360; turn += 15 {
		g := (&frame{Drawing: d}).newLifted(Lift{Turn: turn, Apart: 0.5})
		base, depth := math.Inf(-1), math.Inf(-1)
		for _, m := range g.order() {
			at := g.turn.Mul2x1(d.Geo.Modules[m].Center.Add(g.shift[m])).Y()
			if g.base[m] < base || g.base[m] == base && at < depth-1e-9 {
				t.Errorf("turned by %g, %s is drawn after what is nearer", turn, d.Pack.Net.Layout.Modules[m].ID)
			}
			if g.base[m] > base {
				depth = math.Inf(-1)
			}
			base, depth = g.base[m], math.Max(depth, at)
		}
	}
}

// Lifting moves the tiers apart and keeps everything on the pane; the module that is
// most suspect says its share.
func TestLifted_ShowsTheSuspect(t *testing.T) {
	d := drawn(twoTiers)
	for _, l := range []Lift{{}, FirstLift, {Turn: 140, Apart: 1}} {
		list, v := d.liftedList(1000, 620, Options{Selected: "module:M09"}, l)
		share := false
		for _, s := range list.Shapes {
			if s.ID == "module:M09" && s.Kind == scene.Label && strings.Contains(s.Text, "%") {
				share = true
			}
			if strings.HasPrefix(s.ID, "module:") {
				for _, p := range s.Points {
					if q := v.Screen(p); q.X() < 0 || q.X() > v.W || q.Y() < 0 || q.Y() > v.H {
						t.Errorf("%v: %s lies off the pane at %v", l, s.ID, q)
					}
				}
			}
		}
		if !share {
			t.Errorf("%v: the share of M09 is not written", l)
		}
	}
	flat, apart := drawn(twoTiers).liftedBounds(Lift{}), drawn(twoTiers).liftedBounds(Lift{Apart: 1})
	if apart.Size().Y() <= flat.Size().Y() {
		t.Errorf("lifted it is %v high, flat %v", apart.Size().Y(), flat.Size().Y())
	}
}

func (d *Drawing) liftedBounds(l Lift) scene.Rect { return (&frame{Drawing: d}).newLifted(l).bounds() }

func TestLifted_Golden(t *testing.T) {
	l, v := drawn(twoTiers).liftedList(1000, 620, Options{Selected: "module:M10"}, FirstLift)
	golden.Text(t, "lifted.txt", l.Dump(v))
}

func TestLifted_EmptyPackSaysSo(t *testing.T) {
	d := drawn(func(c *fault.Case, _ *facts.Result) {
		c.Layout.Modules, c.Layout.Links, c.Layout.Boards, c.Layout.Parts, c.Readings, c.GroupVolts = nil, nil, nil, nil, nil, nil
	})
	list := d.Lifted(d.LiftedFit(500, 400, FirstLift), Options{}, FirstLift, golden.Mono)
	if got := fmt.Sprint(labels(list, "")); !strings.Contains(got, "No modules drawn") {
		t.Errorf("it says %s", got)
	}
}
