package plan

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/golden"
	"halfsplit/ui/palette"
	"halfsplit/ui/scene"
)

// fitted is the sample's pack with boards, a cover over half of it, a strap that holds
// three modules, and a bond.
func fitted(c *fault.Case, _ *facts.Result) {
	ohms := 0.02
	for i := 0; i+1 < len(c.Layout.Modules); i += 2 {
		a, b := c.Layout.Modules[i].ID, c.Layout.Modules[i+1].ID
		c.Layout.Boards = append(c.Layout.Boards, topology.Board{ID: fmt.Sprintf("B%d", 1+i/2), Taps: []string{a + "-", a + ".2", b + "+"}})
	}
	c.Layout.Parts = []topology.Part{
		{ID: "plate", Kind: "cover", Over: []string{"M01", "M02", "M03"}},
		{ID: "lid2", Kind: "cover", Over: []string{"plate"}},
		{ID: "strap", Kind: "strap", Holds: []string{"M12", "M13", "M14"}},
	}
	c.Layout.Bonds = []topology.Bond{{ID: "bond1", From: "tray", To: "lid", Ohms: &ohms}}
}

func drawnFitted() *Drawing {
	d := drawn(func(c *fault.Case, r *facts.Result) {
		fitted(c, r)
		r.Finding.Suspicion = append(r.Finding.Suspicion, fault.Share{ID: "B5", Kind: fault.PlaceBoard, Share: 0.12})
	})
	d.ShowFittings(true)
	return d
}

// What is drawn of boards, parts and chassis pieces can be pressed there, and says its
// name; without them nothing of it is drawn.
func TestFittings_AreDrawnAndPressed(t *testing.T) {
	d := drawnFitted()
	l, v := d.list(1400, 900, Options{})
	press := func(at scene.Point, want string) {
		t.Helper()
		q := v.Screen(at)
		if q.X() < 0 || q.Y() < 0 || q.X() > v.W || q.Y() > v.H {
			t.Errorf("%s lies outside the view of the whole pack, at %v", want, q)
		}
		if got := l.Hit(v, q); got != want {
			t.Errorf("a press on %s hits %q", want, got)
		}
	}
	p := d.Geo.Fittings
	if len(p.Boards) != 7 || len(p.Parts) != 3 || len(p.Chassis) != 2 || len(p.Bonds) != 1 {
		t.Fatalf("%d boards, %d parts, %d chassis pieces, %d bonds have a place", len(p.Boards), len(p.Parts), len(p.Chassis), len(p.Bonds))
	}
	for _, b := range p.Boards {
		press(world(b.Box.Min.Add(b.Box.Max).Mul(0.5)), "board:"+b.ID)
		if got := strings.Join(labels(l, "board:"+b.ID), " "); !strings.Contains(got, b.ID) {
			t.Errorf("board %s bears %q", b.ID, got)
		}
	}
	for _, c := range p.Chassis {
		press(world(c.At), "chassis:"+c.ID)
	}
	for _, q := range p.Parts {
		press(q.outline()[3], "part:"+q.ID)
	}
	press(world(p.Bonds[0].Way[1].Add(p.Bonds[0].Way[2]).Mul(0.5)), "bond:bond1")
	if got := labels(l, "bond:bond1"); len(got) != 1 || !strings.Contains(got[0], "20") {
		t.Errorf("the bond bears %q", got)
	}
	d.ShowFittings(false)
	l, _ = d.list(1400, 900, Options{})
	for _, k := range l.Targets {
		if kind, _, _ := strings.Cut(k.ID, ":"); kind == "board" || kind == "part" || kind == "chassis" || kind == "bond" {
			t.Errorf("%s can be pressed where they are left away", k.ID)
		}
	}
}

// A suspected board is shaded as modules are, and bears its share.
func TestFittings_ASuspectedBoardIsShaded(t *testing.T) {
	l, _ := drawnFitted().list(1400, 900, Options{})
	shaded := false
	for _, s := range l.Shapes {
		shaded = shaded || s.ID == "board:B5" && s.Fill.Scale == palette.Suspicion
	}
	if got := strings.Join(labels(l, "board:B5"), " "); !shaded || !strings.Contains(got, "12") {
		t.Errorf("B5 is shaded: %v; it bears %q", shaded, got)
	}
	l, _ = drawnFitted().list(1400, 900, Options{Mode: ByAge})
	if got := strings.Join(labels(l, "board:B5"), " "); strings.Contains(got, "12") {
		t.Errorf("by age B5 bears %q", got)
	}
}

// Selected, a board shows each of its taps and a part each module that it covers.
func TestFittings_WhatBelongsToThemIsShown(t *testing.T) {
	d := drawnFitted()
	plain, _ := d.list(1400, 900, Options{})
	for id, more := range map[string]int{"board:B2": 8, "part:lid2": 5, "chassis:lid": 2, "bond:bond1": 2} {
		l, _ := d.list(1400, 900, Options{Selected: id})
		if n := len(l.Shapes) - len(plain.Shapes); n < more-1 {
			t.Errorf("selected, %s has %d shapes more, wanted %d", id, n, more)
		}
	}
}

// One tier alone has the boards and parts of its own modules.
func TestFittings_OfOneTierAlone(t *testing.T) {
	d := drawn(func(c *fault.Case, r *facts.Result) {
		fitted(c, r)
		c.Layout.Stacks[1].Tier = 1
	})
	d.ShowFittings(true)
	tier := 1
	l, _ := d.list(1400, 900, Options{Tier: &tier})
	shown := map[string]bool{}
	for _, k := range l.Targets {
		shown[k.ID] = true
	}
	if shown["board:B1"] || !shown["board:B6"] || shown["part:plate"] || !shown["part:strap"] {
		t.Errorf("tier 1 alone shows %v", shown)
	}
}

// Of invented packs no board hides a module or another board, and none moves when
// something far away does.
func TestFittings_BoardsLieClear(t *testing.T) {
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 1))
		l := topology.Layout{SeenFrom: "above", Stacks: []topology.Stack{{ID: "A"}, {ID: "Z", X: 9000}}}
		n := 2 + rng.IntN(12)
		gap := 10 + 60*rng.Float64()
		for i := range n {
			l.Modules = append(l.Modules, topology.Module{ID: fmt.Sprintf("M%02d", i+1), Stack: "A", Series: 6, X: float64(i) * (150 + gap), W: 150, H: 200 + 200*rng.Float64(), Minus: "top"})
			if i > 0 && rng.IntN(2) == 0 {
				l.Boards = append(l.Boards, topology.Board{ID: fmt.Sprintf("B%02d", len(l.Boards)+1), Taps: []string{l.Modules[i-1].ID + "-", l.Modules[i].ID + "+"}})
			}
		}
		l.Modules = append(l.Modules, topology.Module{ID: "M99", Stack: "Z", Series: 6, W: 150, H: 300, Minus: "top"})
		places := func() []BoardPlace {
			net, _ := topology.Compile(l)
			return NewDrawn(net).Fittings.Boards
		}
		all := places()
		net, _ := topology.Compile(l)
		geo := NewDrawn(net)
		for i, b := range all {
			for m, o := range geo.Modules {
				if o.Box().Overlaps(b.Box) {
					t.Errorf("seed %d: %s lies over %s", seed, b.ID, l.Modules[m].ID)
				}
			}
			for _, c := range all[:i] {
				if c.Box.Overlaps(b.Box) {
					t.Errorf("seed %d: %s lies over %s", seed, b.ID, c.ID)
				}
			}
		}
		l.Modules[n].Y += 50
		if again := places(); !reflect.DeepEqual(all, again) {
			t.Errorf("seed %d: boards moved with a module far away", seed)
		}
	}
}

// What cannot be placed has no place, and takes nothing else with it: taps and modules
// that are not there, parts over each other in a ring, bonds of unknown pieces.
func TestFittings_WhatIsWrongHasNoPlace(t *testing.T) {
	l := topology.Layout{Stacks: []topology.Stack{{ID: "A"}}, Modules: []topology.Module{{ID: "M01", Stack: "A", Series: 4, W: 150, H: 300, Minus: "top"}},
		Boards:  []topology.Board{{ID: "B1"}, {ID: "B2", Taps: []string{"M09-", "nonsense"}}, {ID: "B3", Taps: []string{"M01-"}}},
		Parts:   []topology.Part{{ID: "p1", Over: []string{"p2"}}, {ID: "p2", Over: []string{"p1", "M01"}}, {ID: "p3", Over: []string{"M77"}}, {ID: "p4"}},
		Chassis: []topology.ChassisPiece{{ID: "tray"}}, Bonds: []topology.Bond{{ID: "x", From: "tray", To: "none"}, {ID: "y", From: "tray", To: "tray"}}}
	net, _ := topology.Compile(l)
	p := NewDrawn(net).Fittings
	if len(p.Boards) != 1 || p.Boards[0].ID != "B3" || len(p.Parts) != 2 || len(p.Chassis) != 1 || len(p.Bonds) != 0 {
		t.Errorf("placed are %+v", p)
	}
}

// A large pack stays within the shapes that move with the finger.
func TestFittings_OfALargePack(t *testing.T) {
	l := many(1000).Pack.Net.Layout
	for i := range 100 {
		l.Boards = append(l.Boards, topology.Board{ID: fmt.Sprintf("B%03d", i+1), Taps: []string{l.Modules[10*i].ID + "-", l.Modules[10*i+9].ID + "+"}})
	}
	k := facts.New(fault.Case{Layout: l, Now: "s", States: []fault.State{{ID: "s"}}}, facts.Result{})
	d := New(k, NewDrawn(k.Net))
	d.ShowFittings(true)
	v := d.Fit(900, 600)
	for _, zoom := range []float64{1, 3, 8, 20} {
		if n := len(d.Scene(v.Zoomed(zoom, mgl64.Vec2{450, 300}, true, true), Options{Mode: ByPath, Bare: true}, golden.Mono).Shapes); n > mostShapes+300 {
			t.Errorf("zoomed %g times there are %d shapes", zoom, n)
		}
	}
}
