package plan

import (
	"math"
	"slices"
	"strings"
	"testing"

	"halfsplit/ui/facts"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
)

func TestNewFlipped_mirrorsPlacesAndKeepsTargets(t *testing.T) {
	c, f := sample.Case(), sample.Finding()
	p := facts.New(c, facts.Result{Status: facts.Ready, Finding: &f})
	above, below := New(p, nil), NewFlipped(p, nil)
	for m, o := range above.Geo.Modules {
		b := below.Geo.Modules[m]
		if math.Abs(o.Center.X()+b.Center.X()) > 1e-6 || math.Abs(o.Center.Y()-b.Center.Y()) > 1e-6 {
			t.Errorf("module %d at %v is mirrored to %v", m, o.Center, b.Center)
		}
		if p, q := o.Plus(), b.Plus(); math.Abs(p.X()+q.X()) > 1e-6 || math.Abs(p.Y()-q.Y()) > 1e-6 {
			t.Errorf("the plus end of module %d at %v is mirrored to %v", m, p, q)
		}
	}
	l, v := below.list(1000, 620, Options{})
	for m, mod := range p.Net.Layout.Modules {
		at := v.Screen(scene.Point{World: below.Geo.Modules[m].Center})
		if got, want := l.Hit(v, at), "module:"+mod.ID; got != want {
			t.Errorf("a press on the middle of %s hits %q", want, got)
		}
	}
	if texts := labels(l, ""); !slices.Contains(texts, "seen from below") || slices.Contains(texts, "seen from above") {
		t.Errorf("the sheet does not say that it is seen from below: %q", texts)
	}
	if p.Case.Layout.SeenFrom != "above" {
		t.Errorf("the case itself was turned: seen from %q", p.Case.Layout.SeenFrom)
	}
}

// Where no side is recorded, mirrored is all that can be said.
func TestNewFlipped_ofAnUnknownSideSaysMirrored(t *testing.T) {
	c := sample.Case()
	c.Layout.SeenFrom = ""
	p := facts.New(c, facts.Result{})
	l, _ := NewFlipped(p, nil).list(1000, 620, Options{})
	if texts := strings.Join(labels(l, ""), "; "); !strings.Contains(texts, "mirrored; seen from: not recorded") {
		t.Errorf("it says %q", texts)
	}
	l, _ = New(p, nil).list(1000, 620, Options{})
	if texts := strings.Join(labels(l, ""), "; "); strings.Contains(texts, "mirrored") {
		t.Errorf("as drawn it says %q", texts)
	}
}

// A geometry that is handed on is used as it is.
func TestNewFlipped_takesTheGeometryThatWasWorkedOut(t *testing.T) {
	p := facts.New(sample.Case(), facts.Result{})
	g := FlippedGeometry(p.Net.Layout)
	if d := NewFlipped(p, g); d.Geo != g {
		t.Error("it was worked out again")
	}
}
