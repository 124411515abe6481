package ruler

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/golden"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

func drawn(edit func(*fault.Case, *facts.Result)) *Ruler {
	c, f := sample.Case(), sample.Finding()
	r := facts.Result{Status: facts.Ready, Finding: &f}
	if edit != nil {
		edit(&c, &r)
	}
	return New(facts.New(c, r))
}

func (r *Ruler) list(w, h float64, o Options) (*scene.List, scene.View) {
	v := r.Fit(w, h)
	return r.Scene(v, o, golden.Mono), v
}

func boxOf(l *scene.List, v scene.View, id string, role theme.Role) (x0, x1 float64, ok bool) {
	for _, s := range l.Shapes {
		if s.ID == id && s.Kind == scene.Box && s.Line.Role == role {
			return v.Screen(s.Points[0]).X(), v.Screen(s.Points[1]).X(), true
		}
	}
	return 0, 0, false
}

func texts(l *scene.List) string {
	var out []string
	for _, s := range l.Shapes {
		if s.Kind == scene.Label {
			out = append(out, strings.ReplaceAll(s.Text, "\u2009", " "))
		}
	}
	return strings.Join(out, "\n")
}

func TestScene_Golden(t *testing.T) {
	l, v := drawn(nil).list(920, 190, Options{Selected: "module:M10"})
	golden.Text(t, "sample.txt", l.Dump(v))
}

// Modules are as wide as their volts, and stand in string order.
func TestScene_ToScaleInVolts(t *testing.T) {
	r := drawn(nil)
	l, v := r.list(920, 190, Options{})
	last := 0.0
	for i, m := range r.Pack.Net.Strings[0].Modules {
		id := "module:" + r.Pack.Net.Layout.Modules[m].ID
		x0, x1, ok := boxOf(l, v, id, theme.Soft)
		if !ok {
			t.Fatalf("%s has no band", id)
		}
		lo, hi := (&frame{Ruler: r}).span(0, i)
		if math.Abs((x1-x0)-(hi-lo)*v.ScaleX) > 1e-6 {
			t.Errorf("%s is %.2f pixels wide for %.2f V at %.3f a volt", id, x1-x0, hi-lo, v.ScaleX)
		}
		if x0 < last-1e-6 {
			t.Errorf("%s starts at %g, before the one below it ends", id, x0)
		}
		last = x1
	}
	if last > 920-marginRight+1e-6 {
		t.Errorf("the string ends at %g, outside the pane", last)
	}
}

func TestScene_AnOpenLinkIsARealGap(t *testing.T) {
	gapOf := func(r *Ruler) float64 {
		l, v := r.list(920, 190, Options{})
		_, below, _ := boxOf(l, v, "module:M07", theme.Soft)
		above, _, _ := boxOf(l, v, "module:M08", theme.Soft)
		return above - below
	}
	if got := gapOf(drawn(nil)); got < 40 {
		t.Errorf("the gap at SD is %g pixels", got)
	}
	if got := gapOf(drawn(func(c *fault.Case, _ *facts.Result) { c.Now = "closed" })); math.Abs(got) > 1e-6 {
		t.Errorf("SD is closed, yet the gap is %g pixels", got)
	}
	l, _ := drawn(nil).list(920, 190, Options{})
	got := texts(l)
	for _, want := range []string{"SD recorded open", "expected, not measured"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
}

// The chassis mark of the upper half stands 69.1 V above M08-.
func TestScene_ChassisMarkAtItsVolts(t *testing.T) {
	r := drawn(nil)
	l, v := r.list(920, 190, Options{})
	start, _, _ := boxOf(l, v, "module:M08", theme.Soft)
	found := false
	for _, s := range l.Shapes {
		if s.ID == "section:M08-" && s.Kind == scene.Box { // the interval
			found = true
			x0, x1 := v.Screen(s.Points[0]).X()+1, v.Screen(s.Points[1]).X()-1
			if math.Abs(x0-(start+68.6*v.ScaleX)) > 0.01 || math.Abs(x1-(start+69.6*v.ScaleX)) > 0.01 {
				t.Errorf("the interval lies from %.2f to %.2f V above M08-", (x0-start)/v.ScaleX, (x1-start)/v.ScaleX)
			}
		}
	}
	if !found {
		t.Error("no chassis mark for the upper half")
	}
	if got := texts(l); !strings.Contains(got, "69.1 V (68.6 to 69.6)") {
		t.Errorf("the volts are not written:\n%s", got)
	}
}

func TestScene_SkylineHeightIsTheShare(t *testing.T) {
	r := drawn(nil)
	l, v := r.list(920, 190, Options{})
	lay := r.rows[0].lay
	for id, share := range map[string]float64{"module:M10": 0.71, "module:M09": 0.19, "link:L10": 0.02} {
		found := false
		for _, s := range l.Shapes {
			if s.ID == id && s.Kind == scene.Box && s.Line.Role == theme.Plum {
				found = true
				if h := v.Screen(s.Points[1]).Y() - v.Screen(s.Points[0]).Y(); math.Abs(h-share*lay.sky) > 1e-6 {
					t.Errorf("%s is %.2f high, want %.2f", id, h, share*lay.sky)
				}
			}
		}
		if !found {
			t.Errorf("%s has no bar", id)
		}
	}
}

func TestScene_FlagsOfThisStateFilledWhereUsed(t *testing.T) {
	l, _ := drawn(nil).list(920, 190, Options{})
	fills := map[string]theme.Role{}
	for _, s := range l.Shapes {
		if strings.HasPrefix(s.ID, "reading:") && s.Kind == scene.Area {
			fills[s.ID] = s.Fill.Role
		}
	}
	for id, want := range map[string]theme.Role{"reading:r4": theme.Ink, "reading:r9": theme.Paper} {
		if fills[id] != want {
			t.Errorf("%s is filled with %s, want %s", id, fills[id], want)
		}
	}
	if _, there := fills["reading:r1"]; there {
		t.Error("r1 was taken in another state, yet has a flag")
	}
}

// Nothing that is written lies on anything else that is written.
func TestScene_TextsKeepApart(t *testing.T) {
	for _, w := range []float64{500, 704, 920, 1560} {
		l, v := drawn(nil).list(w, 190, Options{})
		var rects []scene.Rect
		var names []string
		for _, s := range l.Shapes {
			if s.Kind != scene.Label {
				continue
			}
			p := v.Screen(s.Points[0])
			tw, th := golden.Mono(s.Text, s.Size, s.Bold), s.Size*0.8
			x, y := p.X()-tw*float64(1+s.H)/2, p.Y()-th*float64(1+s.V)/2
			r := scene.Around(scene.At(x, y).World, scene.At(x+tw, y+th).World)
			for i, o := range rects {
				if r.Overlaps(o) {
					t.Errorf("at %g: %q lies on %q", w, s.Text, names[i])
				}
			}
			rects, names = append(rects, r), append(names, s.Text)
		}
	}
}

func TestScene_WithoutFindingNoSkylineAndHollowFlags(t *testing.T) {
	l, _ := drawn(func(_ *fault.Case, r *facts.Result) { *r = facts.Result{} }).list(920, 190, Options{})
	for _, s := range l.Shapes {
		if s.Line.Role == theme.Plum {
			t.Error("a share is drawn without a finding")
		}
		if strings.HasPrefix(s.ID, "reading:") && s.Kind == scene.Area && s.Fill.Role != theme.Paper {
			t.Errorf("%s is drawn as used", s.ID)
		}
	}
	if got := texts(l); !strings.Contains(got, "gap not known") || strings.Contains(got, "chassis") {
		t.Errorf("got\n%s", got)
	}
}

func TestScene_EmptyAndUnknown(t *testing.T) {
	l, _ := drawn(func(c *fault.Case, _ *facts.Result) { c.Layout = topology.Layout{} }).list(600, 150, Options{})
	if got := texts(l); !strings.Contains(got, "No string drawn") {
		t.Errorf("got %q", got)
	}
	l, _ = drawn(func(c *fault.Case, r *facts.Result) {
		c.GroupVolts, c.Layout.NominalVolts, c.Layout.WorkingVolts = nil, 0, 0
		*r = facts.Result{}
	}).list(900, 190, Options{})
	if got := texts(l); !strings.Contains(got, "groups") || !strings.Contains(got, "volts not known") {
		t.Errorf("without any volts the scale counts groups, got\n%s", got)
	}
}

// parallel is strings of four modules, the second with more volts.
func parallel(strings int) fault.Case {
	c := fault.Case{Now: "s", States: []fault.State{{ID: "s", Contactors: fault.Open, Monitor: fault.MonitorDisconnected}}, Layout: topology.Layout{NominalVolts: 60}}
	for s := 0; s < strings; s++ {
		for i := 1; i <= 4; i++ {
			id := fmt.Sprintf("%c%d", 'A'+s, i)
			c.Layout.Modules = append(c.Layout.Modules, topology.Module{ID: id, Series: 4, Parallel: 1, W: 200, H: 90, X: float64(s) * 300, Y: float64(i) * 100, Minus: "left"})
			if i > 1 {
				c.Layout.Links = append(c.Layout.Links, topology.Link{ID: fmt.Sprintf("L%c%d", 'A'+s, i), Kind: topology.Busbar, From: fmt.Sprintf("%c%d+", 'A'+s, i-1), To: id + "-"})
			}
			c.GroupVolts = append(c.GroupVolts, fault.GroupVolts{Module: id, State: "s", Volts: []float64{3.6, 3.6, 3.6, 3.6 + 0.4*float64(s)}})
		}
	}
	return c
}

func TestScene_ParallelStringsOnOneScale(t *testing.T) {
	for n := 2; n <= 4; n++ {
		r := New(facts.New(parallel(n), facts.Result{}))
		if len(r.rows) != n {
			t.Fatalf("%d strings drawn of %d", len(r.rows), n)
		}
		l, v := r.list(900, r.High()+10, Options{})
		ax0, ax1, _ := boxOf(l, v, "module:A1", theme.Soft)
		bx0, bx1, _ := boxOf(l, v, "module:B1", theme.Soft)
		if math.Abs(ax0-bx0) > 1e-6 || math.Abs((ax1-ax0)/14.4-(bx1-bx0)/14.8) > 1e-6 {
			t.Errorf("%d strings: A1 from %g to %g, B1 from %g to %g: not one scale", n, ax0, ax1, bx0, bx1)
		}
		if v.OffY+r.High() > r.High()+10 {
			t.Errorf("%d strings do not fit", n)
		}
	}
}

func BenchmarkScene(b *testing.B) {
	r := drawn(nil)
	v := r.Fit(920, 190)
	for b.Loop() {
		r.Scene(v, Options{}, golden.Mono)
	}
}
