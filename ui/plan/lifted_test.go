package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/topology"
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
			if got := list.Hit(v, p); got != "module:"+mod.ID && !strings.HasPrefix(got, "link:") { // a link may lie there
				t.Errorf("turned by %g, %s is hit as %q", turn, mod.ID, got)
			}
		}
	}
}

// scattered is an invented pack of blocks of unlike sizes, long ones among them, turned as
// they like and close to each other, on two tiers; none overlap.
func scattered(seed uint64) *Drawing {
	rng := rand.New(rand.NewPCG(seed, 5))
	l := topology.Layout{SeenFrom: "above", Stacks: []topology.Stack{{ID: "S0"}, {ID: "S1", Tier: 1}}}
	placed := map[string][]Outline{}
	for range 400 {
		w, h := 60+900*rng.Float64()*rng.Float64(), 50+60*rng.Float64()
		stack := fmt.Sprintf("S%d", rng.IntN(2))
		m := topology.Module{ID: fmt.Sprintf("M%02d", len(l.Modules)+1), Stack: stack, Series: 4, X: 1500 * rng.Float64(), Y: 1500 * rng.Float64(), W: w, H: h, Angle: 360 * rng.Float64(), Minus: "left"}
		o := outline(m, topology.Stack{})
		if slices.ContainsFunc(placed[stack], func(p Outline) bool { return !parted(o, p) }) {
			continue
		}
		placed[stack] = append(placed[stack], o)
		l.Modules = append(l.Modules, m)
	}
	net, _ := topology.Compile(l)
	k := facts.New(fault.Case{Layout: l, Now: "s", States: []fault.State{{ID: "s"}}}, facts.Result{})
	return New(k, NewDrawn(net))
}

// parted says that a line along a side of one of two rectangles parts them.
func parted(a, b Outline) bool {
	for _, axis := range []mgl64.Vec2{a.Axis, a.Across, b.Axis, b.Across} {
		span := func(o Outline) (lo, hi float64) {
			lo, hi = math.Inf(1), math.Inf(-1)
			for _, c := range o.Corners {
				lo, hi = math.Min(lo, c.Dot(axis)), math.Max(hi, c.Dot(axis))
			}
			return lo, hi
		}
		alo, ahi := span(a)
		blo, bhi := span(b)
		if ahi < blo || bhi < alo {
			return true
		}
	}
	return false
}

// Rays are cast through the picture: the block that is met first by the ray, worked out
// in space and knowing nothing of an order, must be the one that was painted last there.
func TestLifted_WhatIsNearerCoversWhatIsFarther(t *testing.T) {
	met, several := 0, 0
	for seed := range uint64(12) {
		d := scattered(seed)
		rng := rand.New(rand.NewPCG(seed, 6))
		g := (&frame{Drawing: d}).newLifted(Lift{Turn: 360 * rng.Float64(), Apart: rng.Float64()})
		rank := make([]int, len(d.Geo.Modules))
		for i, m := range g.order() {
			rank[m] = i
		}
		for range 400 {
			m := rng.IntN(len(d.Geo.Modules))
			at := g.of(m, d.Geo.Modules[m].At(rng.Float64(), rng.Float64()), g.high*rng.Float64())
			first, near, painted := -1, math.Inf(-1), -1
			n := 0
			for m := range d.Geo.Modules {
				y, ok := g.meets(m, at)
				if !ok {
					continue
				}
				n++
				if y > near {
					first, near = m, y
				}
				if painted < 0 || rank[m] > rank[painted] {
					painted = m
				}
			}
			if first != painted {
				t.Fatalf("seed %d, turned by %.0f: at %v the ray meets %s first, and %s is painted last", seed, g.l.Turn, at, d.Pack.Net.Layout.Modules[first].ID, d.Pack.Net.Layout.Modules[painted].ID)
			}
			if n > 0 {
				met++
			}
			if n > 1 {
				several++
			}
		}
	}
	if met < 4800 || several < 1000 {
		t.Errorf("only %d rays meet a block, %d meet several", met, several)
	}
}

// meets is the turned y at which the ray through a place of the drawing, coming from the
// viewer, enters a block: the largest y of those at which x = X, z = tilt·y − Y lies in it.
// Stepped through in small steps, without any of the drawing's own geometry of faces.
func (g *lifted) meets(m int, at mgl64.Vec2) (y float64, ok bool) {
	o := g.f.Geo.Modules[m]
	back := mgl64.Rotate2D(-g.l.Turn * math.Pi / 180)
	lo, hi := (at.Y()+g.base[m])/tilt, (at.Y()+g.base[m]+g.high)/tilt // where z is between base and top
	const steps = 160
	for k := steps; k >= 0; k-- {
		y := lo + (hi-lo)*float64(k)/steps
		p := back.Mul2x1(mgl64.Vec2{at.X(), y}).Sub(g.shift[m]).Sub(o.Center)
		if math.Abs(p.Dot(o.Axis)) < o.Length/2 && math.Abs(p.Dot(o.Across)) < o.Deep/2 {
			return y, true
		}
	}
	return 0, false
}

// A link is pressed wherever it is seen, over the faces that it is drawn on too.
func TestLifted_LinksAreHitWhereTheyAreDrawn(t *testing.T) {
	d := drawn(twoTiers)
	for _, l := range []Lift{FirstLift, {Turn: 120, Apart: 0.8}, {Turn: 290}} {
		list, v := d.liftedList(1200, 800, Options{}, l)
		seen := 0
		for _, s := range list.Shapes {
			if s.Kind != scene.Path || !strings.HasPrefix(s.ID, "link:") || len(s.Points) != 2 {
				continue
			}
			seen++
			a, b := v.Screen(s.Points[0]), v.Screen(s.Points[1])
			if got := list.Hit(v, a.Add(b).Mul(0.5)); got != s.ID && !strings.HasPrefix(got, "link:") { // two may cross
				t.Errorf("%v: the middle of %s hits %q", l, s.ID, got)
			}
		}
		if seen < 10 {
			t.Errorf("%v: only %d links are drawn", l, seen)
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

// One tier alone: only its modules and the links that end at them can be pressed.
func TestLifted_OneTierAlone(t *testing.T) {
	tier := 1
	for name, draw := range map[string]func(Options) *scene.List{
		"lifted": func(o Options) *scene.List { l, _ := drawn(twoTiers).liftedList(900, 600, o, FirstLift); return l },
		"plan":   func(o Options) *scene.List { l, _ := drawn(twoTiers).list(900, 600, o); return l },
	} {
		count := func(o Options, kind string) map[string]bool {
			seen := map[string]bool{}
			for _, k := range draw(o).Targets {
				if strings.HasPrefix(k.ID, kind) {
					seen[k.ID] = true
				}
			}
			return seen
		}
		if n, all := len(count(Options{Tier: &tier}, "module:")), len(count(Options{}, "module:")); n == 0 || n >= all {
			t.Errorf("%s: %d modules of %d can be pressed", name, n, all)
		}
		links := count(Options{Tier: &tier}, "link:")
		if all := len(count(Options{}, "link:")); len(links) == 0 || len(links) >= all || links["link:L01"] {
			t.Errorf("%s: %d links of %d can be pressed: %v", name, len(links), all, links)
		}
	}
}

// BenchmarkLifted is the work of one frame of a thousand modules.
func BenchmarkLifted(b *testing.B) {
	l, err := topology.Make(topology.MakeSpec{Name: "large", Modules: 400, Series: 10, Parallel: 1, PerRow: 40, W: 60, H: 120, Gap: 6, Alternate: true})
	if err != nil {
		b.Fatal(err)
	}
	for i := range 600 {
		m := l.Modules[i%400]
		m.ID, m.Y = fmt.Sprintf("N%03d", i), m.Y+2000
		l.Modules = append(l.Modules, m)
	}
	c := fault.Case{Layout: l, Now: "s", States: []fault.State{{ID: "s"}}}
	p := facts.New(c, facts.Result{})
	d := New(p, NewDrawn(p.Net))
	v := d.LiftedFit(900, 600, FirstLift)
	b.ResetTimer()
	for range b.N {
		d.Lifted(v, Options{}, FirstLift, golden.Mono)
	}
}

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
