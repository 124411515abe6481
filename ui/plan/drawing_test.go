package plan

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/golden"
	"halfsplit/ui/palette"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
)

func drawn(edit func(*fault.Case, *facts.Result)) *Drawing {
	c, f := sample.Case(), sample.Finding()
	r := facts.Result{Status: facts.Ready, Finding: &f}
	if edit != nil {
		edit(&c, &r)
	}
	return New(facts.New(c, r), nil)
}

func (d *Drawing) list(w, h float64, o Options) (*scene.List, scene.View) {
	v := d.Fit(w, h)
	return d.Scene(v, o, golden.Mono), v
}

// recordedToo adds what the modes of records show: insulation readings, times,
// volts across a module whose groups were not measured.
func recordedToo(c *fault.Case, _ *facts.Result) {
	add := func(id, red, black, at string, v float64, quantity, relation string) {
		c.Readings = append(c.Readings, fault.Reading{ID: id, At: at, State: "split", Quantity: quantity, Red: red, Black: black, Value: v, Relation: relation, TestVolts: 500})
	}
	add("r10", "M09+", "chassis", "2026-03-02T10:00:00Z", 34100, fault.Insulation, "")
	add("r11", "M03+", "chassis", "2026-03-01T10:00:00Z", 2e9, fault.Insulation, fault.Greater)
	add("r12", "M04-", "chassis", "2026-02-20T10:00:00Z", 4.1e6, fault.Insulation, "")
	add("r13", "M12+", "M12-", "2026-03-02T09:40:00Z", 29.21, fault.Volts, "")
}

func labels(l *scene.List, id string) []string {
	var out []string
	for _, s := range l.Shapes {
		if s.Kind == scene.Label && (id == "" || s.ID == id) {
			out = append(out, s.Text)
		}
	}
	return out
}

func TestScene_Golden(t *testing.T) {
	for i, name := range []string{"suspicion", "median", "potential", "insulation", "charge", "age", "missing"} {
		t.Run(name, func(t *testing.T) {
			l, v := drawn(recordedToo).list(1000, 620, Options{Mode: Mode(i), Selected: "module:M10"})
			golden.Text(t, name+".txt", l.Dump(v))
		})
	}
}

func TestScene_EveryModuleIsHitWhereItIsDrawn(t *testing.T) {
	d := drawn(nil)
	for name, view := range map[string]scene.View{
		"fit":       d.Fit(900, 480),
		"zoomed in": d.Fit(900, 480).Zoomed(3, mgl64.Vec2{400, 200}, true, true),
		"far off":   d.Fit(900, 480).Zoomed(0.1, mgl64.Vec2{400, 200}, true, true),
	} {
		t.Run(name, func(t *testing.T) {
			l := d.Scene(view, Options{}, golden.Mono)
			seen := 0
			for m, o := range d.Geo.Modules {
				p := view.Screen(world(o.Center))
				if p.X() < 0 || p.Y() < 0 || p.X() > view.W || p.Y() > view.H {
					continue
				}
				seen++
				if got, want := l.Hit(view, p), "module:"+d.Pack.Net.Layout.Modules[m].ID; got != want {
					t.Errorf("a press on %s hits %q", want, got)
				}
			}
			if seen == 0 {
				t.Error("no module is in view")
			}
		})
	}
}

func TestScene_MissingIsHatchedAndSaysSo(t *testing.T) {
	l, _ := drawn(nil).list(1600, 1000, Options{Mode: ByMedian})
	hatch := 0
	for _, s := range l.Shapes {
		if s.ID != "module:M12" {
			continue
		}
		if s.Fill.Scale != palette.NoScale {
			t.Errorf("M12 was not measured, yet has the colour %s", s.Fill)
		}
		if s.Kind == scene.Path {
			hatch++
		}
	}
	if hatch < 12 {
		t.Errorf("only %d lines on M12", hatch)
	}
	if got := strings.Join(labels(l, "module:M12"), " "); !strings.Contains(got, "not measured") {
		t.Errorf("M12 says %q", got)
	}
}

func TestScene_WithoutFindingNothingIsShadedAsZero(t *testing.T) {
	d := drawn(func(_ *fault.Case, r *facts.Result) { *r = facts.Result{} })
	l, _ := d.list(1000, 620, Options{Mode: BySuspicion})
	for _, s := range l.Shapes {
		if strings.HasPrefix(s.ID, "module:") && s.Fill.Scale == palette.Suspicion {
			t.Fatalf("%s is shaded %s without a finding", s.ID, s.Fill)
		}
	}
	if got := strings.Join(labels(l, ""), "\n"); !strings.Contains(got, "No finding yet.") || !strings.Contains(got, "gap volts not known") {
		t.Errorf("the legend or the gap does not say so:\n%s", got)
	}
}

func TestScene_OpenLinkSaysExpectedNotMeasured(t *testing.T) {
	l, _ := drawn(nil).list(1000, 620, Options{})
	got := strings.ReplaceAll(strings.Join(labels(l, "link:SD"), "\n"), "\u2009", " ")
	want := regexp.MustCompile(`^SD recorded open\ngap \d+(\.\d+)? to \d+(\.\d+)? V\nexpected, not measured$`)
	if !want.MatchString(got) {
		t.Errorf("SD says\n%s", got)
	}
	// The wire is cut: no part of it passes through its seat.
	d := drawn(nil)
	for _, w := range d.Geo.Wires {
		if d.Pack.Net.Layout.Links[w.Link].ID != "SD" {
			continue
		}
		l, v := d.list(1000, 620, Options{})
		seat := v.Screen(world(w.Seat))
		for _, s := range l.Shapes {
			if s.ID != "link:SD" || s.Kind != scene.Path || s.Width != wireWidth {
				continue
			}
			for i := 1; i < len(s.Points); i++ {
				if scene.SegmentDistance(v.Screen(s.Points[i-1]), v.Screen(s.Points[i]), seat) < 5 {
					t.Error("copper runs through the gap of the open link")
				}
			}
		}
	}
}

func TestScene_BeyondTheScaleABarAndTheNumber(t *testing.T) {
	d := drawn(func(c *fault.Case, _ *facts.Result) { c.GroupVolts[9].Volts[0] = 3.2 }) // M10 group 1
	l, _ := d.list(1600, 1000, Options{Mode: ByMedian})
	bar := false
	for _, s := range l.Shapes {
		bar = bar || (s.ID == "module:M10" && s.Fill.OnData && s.Kind == scene.Box)
	}
	if !bar {
		t.Error("no bar along the edge")
	}
	if got := strings.Join(labels(l, "module:M10"), " "); !strings.Contains(got, "-45") {
		t.Errorf("M10 says %q, without its number", got)
	}
}

func TestScene_ZeroCrossingIsDrawn(t *testing.T) {
	l, _ := drawn(nil).list(1000, 620, Options{Mode: ByPotential})
	lines := 0
	for _, s := range l.Shapes {
		if s.Kind == scene.Path && s.Width == 3 && strings.HasPrefix(s.ID, "module:") {
			lines++
		}
	}
	if lines != 2 { // one in each section
		t.Errorf("%d zero crossings, want one in each of two sections", lines)
	}
	if got := strings.Join(labels(l, ""), " "); !strings.Contains(got, "between points up to") {
		t.Error("the legend does not say how far apart points can be")
	}
}

func TestScene_Empty(t *testing.T) {
	d := drawn(func(c *fault.Case, _ *facts.Result) { c.Layout = topology.Layout{} })
	l, _ := d.list(800, 400, Options{})
	if got := strings.Join(labels(l, ""), " "); !strings.Contains(got, "No modules drawn") {
		t.Errorf("got %q", got)
	}
	if id := l.Hit(d.Fit(800, 400), mgl64.Vec2{400, 200}); id != "" {
		t.Errorf("hit %q", id)
	}
}

func TestScene_SeenFromAndFrontInWords(t *testing.T) {
	for name, c := range map[string]struct {
		edit func(*topology.Layout)
		want []string
	}{
		"recorded":     {func(*topology.Layout) {}, []string{"FRONT", "seen from above"}},
		"below":        {func(l *topology.Layout) { l.SeenFrom = "below" }, []string{"seen from below"}},
		"not recorded": {func(l *topology.Layout) { l.Front = "" }, []string{"FRONT not recorded"}},
		"nothing":      {func(l *topology.Layout) { l.Front, l.SeenFrom = "", "" }, []string{"seen from: not recorded"}},
		"schematic":    {func(l *topology.Layout) { l.Modules[3].W = 0 }, []string{"Not to scale"}},
	} {
		t.Run(name, func(t *testing.T) {
			d := drawn(func(k *fault.Case, _ *facts.Result) { c.edit(&k.Layout) })
			l, _ := d.list(900, 500, Options{})
			got := strings.Join(labels(l, ""), " ")
			for _, w := range c.want {
				if !strings.Contains(got, w) {
					t.Errorf("%q is missing in %q", w, got)
				}
			}
		})
	}
}

// thousands is a pack of 417 modules of 12 groups.
func thousands() *Drawing {
	l := topology.Layout{NominalVolts: 18000}
	for i := 0; i < 417; i++ {
		c, r := i/12, i%12
		if c%2 == 1 {
			r = 11 - r
		}
		l.Modules = append(l.Modules, topology.Module{ID: fmt.Sprintf("M%03d", i+1), Series: 12, Parallel: 1, W: 300, H: 140, X: float64(c) * 420, Y: float64(r) * 154, Minus: alternate(i)})
		if i > 0 {
			l.Links = append(l.Links, topology.Link{ID: fmt.Sprintf("L%03d", i), Kind: topology.Busbar, From: fmt.Sprintf("M%03d+", i), To: fmt.Sprintf("M%03d-", i+1)})
		}
	}
	c := fault.Case{Now: "s", Layout: l, States: []fault.State{{ID: "s", Contactors: fault.Open}}}
	for i, m := range l.Modules {
		v := make([]float64, 12)
		for k := range v {
			v[k] = 3.6 + 0.05*math.Sin(float64(i*12+k))
		}
		if i%5 > 0 { // every fifth module is not measured
			c.GroupVolts = append(c.GroupVolts, fault.GroupVolts{Module: m.ID, State: "s", Volts: v})
		}
	}
	return New(facts.New(c, facts.Result{}), nil)
}

func TestScene_StaysWithinItsShapes(t *testing.T) {
	d := thousands()
	fit := d.Fit(920, 450)
	for zoom := 0.5; zoom < 60; zoom *= 1.3 {
		for mode := BySuspicion; mode < modes; mode++ {
			v := fit.Zoomed(zoom, mgl64.Vec2{460, 225}, true, true)
			l := d.Scene(v, Options{Mode: mode}, golden.Mono)
			n, text := 0, 0
			for _, s := range l.Shapes {
				switch s.Kind {
				case scene.Path:
					n += len(s.Points) - 1
				case scene.Label:
					text++
				default:
					n++
				}
			}
			if n > mostShapes || text > 500 {
				t.Errorf("zoom %.1f, mode %d: %d shapes and %d labels", zoom, mode, n, text)
			}
		}
	}
}

func BenchmarkScene_FiveThousandGroups(b *testing.B) {
	d := thousands()
	fit := d.Fit(920, 450)
	for name, zoom := range map[string]float64{"whole": 1, "numbers": 4, "groups": 12} {
		b.Run(name, func(b *testing.B) {
			v := fit.Zoomed(zoom, mgl64.Vec2{460, 225}, true, true)
			for b.Loop() {
				d.Scene(v, Options{Mode: ByMedian}, golden.Mono)
			}
		})
	}
}

func BenchmarkGeometry_FiveThousandGroups(b *testing.B) {
	for name, minus := range map[string]func(int) string{"alternating": alternate, "every link goes round": func(int) string { return "left" }} {
		l := thousands().Pack.Net.Layout
		for i := range l.Modules {
			l.Modules[i].Minus = minus(i)
		}
		n, _ := topology.Compile(l)
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				NewGeometry(n)
			}
		})
	}
}

func TestScene_RecordsShowWhatTheyAre(t *testing.T) {
	d := drawn(recordedToo)
	for name, c := range map[string]struct {
		mode Mode
		id   string
		want string
	}{
		"ohms":              {ByInsulation, "module:M09", "34.1 kΩ"},
		"a bound":           {ByInsulation, "module:M03", "> 2.00 GΩ"},
		"never measured":    {ByInsulation, "module:M10", "not measured"},
		"no curve":          {ByCharge, "module:M10", "not known"},
		"fresh":             {ByAge, "module:M09", "0 min"},
		"a day":             {ByAge, "module:M03", "24 h"},
		"no time":           {ByAge, "module:M10", "no time recorded"},
		"groups":            {ByMissing, "module:M10", "groups measured"},
		"module volts only": {ByMissing, "module:M12", "module volts only"},
	} {
		t.Run(name, func(t *testing.T) {
			l, _ := d.list(1600, 1000, Options{Mode: c.mode})
			got := strings.ReplaceAll(strings.Join(labels(l, c.id), "; "), "\u2009", " ")
			if !strings.Contains(got, c.want) {
				t.Errorf("%s says %q, want %q", c.id, got, c.want)
			}
		})
	}
}

// A module whose volts were read across its ends is shaded by them.
func TestScene_OwnVoltsShadeTheModule(t *testing.T) {
	d := drawn(recordedToo)
	l, _ := d.list(1600, 1000, Options{Mode: ByMedian})
	if got := strings.Join(labels(l, "module:M12"), "; "); !strings.Contains(got, "mV") || strings.Contains(got, "not measured") {
		t.Errorf("M12 says %q", got)
	}
}

// The ends stay where they are put, whatever the finding does.
func TestOptions_EndsAreLocked(t *testing.T) {
	with := drawn(nil)
	without := drawn(func(_ *fault.Case, r *facts.Result) { *r = facts.Result{} })
	if with.PotentialEnds()[0] != 250 || without.PotentialEnds()[0] != 250 {
		t.Errorf("ends at %g and %g", with.PotentialEnds()[0], without.PotentialEnds()[0])
	}
	l, _ := with.list(1000, 620, Options{Mode: ByMedian, MedianEnd: 0.5})
	if got := strings.ReplaceAll(strings.Join(labels(l, ""), ";"), "\u2009", " "); !strings.Contains(got, "+500 mV") {
		t.Errorf("the legend does not say the end: %s", got)
	}
}

// A stack's name stays within its stack, however far away: those of its neighbours
// would lie over it.
func TestScene_StackNamesKeepToTheirStacks(t *testing.T) {
	d, whole := drawn(func(c *fault.Case, _ *facts.Result) {
		first := c.Layout.Modules[0]
		c.Layout = topology.Layout{}
		for k := range 20 {
			c.Layout.Stacks = append(c.Layout.Stacks, topology.Stack{ID: fmt.Sprint("S", k), X: float64(340 * k)})
			for i := range 60 {
				m := first
				m.ID, m.Stack, m.X, m.Y, m.W, m.H = fmt.Sprintf("M%04d", 60*k+i), fmt.Sprint("S", k), 0, float64(160*i), 300, 150
				c.Layout.Modules = append(c.Layout.Modules, m)
			}
		}
	}), 0
	for far := 1.0; far > 0.004; far /= 1.5 {
		v := d.Fit(1200, 800)
		v.ScaleX, v.ScaleY = v.ScaleX*math.Sqrt(far), v.ScaleY*far // wider and narrower ones
		l := d.Scene(v, Options{}, golden.Mono)
		for _, s := range d.Geo.Stacks {
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, c := range s.Corners {
				x := v.Screen(world(c)).X()
				lo, hi = math.Min(lo, x), math.Max(hi, x)
			}
			for _, label := range l.Shapes {
				if label.Kind != scene.Label || label.Text != "Stack "+s.ID && label.Text != s.ID {
					continue
				}
				if w := golden.Mono(label.Text, label.Size, label.Bold); w > hi-lo+1e-9 {
					t.Errorf("%q is %g wide on a stack of %g", label.Text, w, hi-lo)
				}
				whole++
			}
		}
	}
	if whole == 0 {
		t.Error("no stack was named")
	}
}
