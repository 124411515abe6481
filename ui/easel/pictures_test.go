package easel_test

import (
	"image"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"halfsplit/fault"
	"halfsplit/ui/casefile"
	"halfsplit/ui/easel"
	"halfsplit/ui/facts"
	"halfsplit/ui/golden"
	"halfsplit/ui/plan"
	"halfsplit/ui/ruler"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// kept is where the pictures are.
const kept = "../../testdata/golden"

// A picture is a drawing of a case as the window shows it.
type picture struct {
	variant theme.Variant
	size    fyne.Size
	pack    func() *facts.Pack
	ruler   bool // instead of the plan
	look    plan.Options
	lift    *plan.Lift // the lifted view instead of the plan
	behind  bool       // from the other side
	others  bool       // with boards, chassis pieces and parts
}

type planOf struct {
	d *plan.Drawing
	o plan.Options
}

func (p planOf) Fit(w, h float64) scene.View    { return p.d.Fit(w, h) }
func (p planOf) Scene(v scene.View) *scene.List { return p.d.Scene(v, p.o, easel.Measure) }

type liftedOf struct {
	planOf
	l plan.Lift
}

func (p liftedOf) Fit(w, h float64) scene.View    { return p.d.LiftedFit(w, h, p.l) }
func (p liftedOf) Scene(v scene.View) *scene.List { return p.d.Lifted(v, p.o, p.l, easel.Measure) }

type rulerOf struct {
	r *ruler.Ruler
	o ruler.Options
}

func (r rulerOf) Fit(w, h float64) scene.View    { return r.r.Fit(w, h) }
func (r rulerOf) Scene(v scene.View) *scene.List { return r.r.Scene(v, r.o, easel.Measure) }

// draw paints the picture as the window would, without a screen.
func (p picture) draw(t *testing.T) image.Image {
	t.Helper()
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Force: p.variant})
	d := plan.New(p.pack(), nil)
	if p.behind {
		d = plan.NewFlipped(p.pack(), nil)
	}
	d.ShowFittings(p.others)
	var s easel.Subject = planOf{d, p.look}
	if p.lift != nil {
		s = liftedOf{planOf{plan.New(p.pack(), nil), p.look}, *p.lift}
	}
	if p.ruler {
		s = rulerOf{ruler.New(p.pack()), ruler.Options{Selected: p.look.Selected, Red: p.look.Red, Black: p.look.Black}}
	}
	w := test.NewTempWindow(t, easel.NewPane(s))
	w.SetPadded(false)
	w.Resize(p.size)
	return w.Canvas().Capture()
}

// demo is the demo case with a finding of its own, which no engine changes.
func demo() *facts.Pack {
	c, err := casefile.Demo()
	if err != nil {
		panic(err)
	}
	f := fault.Finding{Verdict: fault.Narrowed, Suspicion: []fault.Share{{ID: "M12", Kind: fault.PlaceModule, Share: 0.7},
		{ID: "M13", Kind: fault.PlaceModule, Share: 0.2}, {ID: "L12", Kind: fault.PlaceLink, Share: 0.08}, {ID: "M14", Kind: fault.PlaceModule, Share: 0.02}}}
	return facts.New(c, facts.Result{Status: facts.Ready, Finding: &f})
}

// invented is the sample case, changed by edit.
func invented(edit func(*fault.Case)) func() *facts.Pack {
	return func() *facts.Pack {
		c, f := sample.Case(), sample.Finding()
		if edit != nil {
			edit(&c)
		}
		return facts.New(c, facts.Result{Status: facts.Ready, Finding: &f})
	}
}

// tiers puts the second stack above the first.
func tiers(c *fault.Case) {
	stacks := append(c.Layout.Stacks[:0:0], c.Layout.Stacks...)
	stacks[1].Tier = 1
	c.Layout.Stacks = stacks
}

func in(state string) func(*fault.Case) { return func(c *fault.Case) { c.Now = state } }

var (
	ofPlan  = fyne.NewSize(772, 434)
	ofRuler = fyne.NewSize(772, 188)
)

// pictures are what is kept, each with a change that it must show.
var pictures = map[string]struct {
	picture
	changed func(*picture)
}{
	"plan-demo-light": {picture{variant: theme.Light, size: ofPlan, pack: demo}, func(p *picture) {
		p.pack = func() *facts.Pack {
			k := demo()
			k.Result.Finding.Suspicion[1].Share = 0.1
			return facts.New(k.Case, k.Result)
		}
	}},
	"plan-demo-dark": {picture{variant: theme.Dark, size: ofPlan, pack: demo}, func(p *picture) { p.look.Selected = "link:L12" }},
	"plan-open-link": {picture{variant: theme.Contrast, size: ofPlan, pack: invented(nil), look: plan.Options{Selected: "module:M10"}}, func(p *picture) {
		p.pack = invented(in("closed"))
	}},
	"plan-missing": {picture{variant: theme.Light, size: ofPlan, pack: invented(nil), look: plan.Options{Mode: plan.ByMissing}}, func(p *picture) {
		p.pack = invented(func(c *fault.Case) { c.GroupVolts = c.GroupVolts[1:] })
	}},
	"plan-median": {picture{variant: theme.Light, size: ofPlan, pack: invented(nil), look: plan.Options{Mode: plan.ByMedian}}, func(p *picture) {
		p.look.MedianEnd = 0.2
	}},
	"plan-potential": {picture{variant: theme.Dark, size: ofPlan, pack: invented(nil), look: plan.Options{Mode: plan.ByPotential}}, func(p *picture) {
		p.look.PotentialEnd = 100
	}},
	"plan-leads": {picture{variant: theme.Dark, size: ofPlan, pack: invented(nil), look: plan.Options{Red: "M08-", Black: "M07+"}}, func(p *picture) {
		p.look.Red, p.look.Black = p.look.Black, p.look.Red
	}},
	"plan-other-side":   {picture{variant: theme.Light, size: ofPlan, pack: demo, behind: true}, func(p *picture) { p.behind = false }},
	"plan-boards-light": {picture{variant: theme.Light, size: ofPlan, pack: demo, others: true, look: plan.Options{Selected: "board:B4"}}, func(p *picture) { p.look.Selected = "part:cover_B" }},
	"plan-boards-dark":  {picture{variant: theme.Dark, size: ofPlan, pack: demo, others: true, behind: true}, func(p *picture) { p.others = false }},
	"plan-one-tier":     {picture{variant: theme.Light, size: ofPlan, pack: invented(tiers), look: plan.Options{Tier: new(int)}}, func(p *picture) { p.look.Tier = nil }},
	"lifted-light":      {picture{variant: theme.Light, size: ofPlan, pack: demo, lift: &plan.FirstLift, look: plan.Options{Selected: "module:M12"}}, func(p *picture) { p.lift = &plan.Lift{Turn: 45, Apart: 0.5} }},
	"lifted-tiers-dark": {picture{variant: theme.Dark, size: ofPlan, pack: invented(tiers), lift: &plan.Lift{Turn: 30, Apart: 1}}, func(p *picture) {
		p.lift = &plan.Lift{Turn: 30}
	}},
	"ruler-leads": {picture{variant: theme.Light, size: ofRuler, pack: invented(nil), ruler: true, look: plan.Options{Red: "M08-", Black: "M07+"}}, func(p *picture) {
		p.look.Red = ""
	}},
	"ruler-split": {picture{variant: theme.Light, size: ofRuler, pack: invented(nil), ruler: true}, func(p *picture) {
		p.pack = invented(func(c *fault.Case) { c.Readings[6].Value = -68.9 })
	}},
	"ruler-closed": {picture{variant: theme.Light, size: ofRuler, pack: invented(in("closed")), ruler: true}, func(p *picture) {
		p.look.Selected = "module:M03"
	}},
}

func TestPictures(t *testing.T) {
	for name, p := range pictures {
		t.Run(name, func(t *testing.T) { golden.Picture(t, filepath.Join(kept, name+".png"), p.draw(t)) })
	}
}

// A picture that stayed the same when the drawing changes would keep nothing.
func TestPictures_ShowChanges(t *testing.T) {
	for name, p := range pictures {
		t.Run(name, func(t *testing.T) {
			other := p.picture
			p.changed(&other)
			before, after := p.draw(t), other.draw(t)
			if golden.Same(before, after) {
				t.Errorf("only %d pixels differ", golden.Differing(before, after))
			}
			if again := p.draw(t); golden.Differing(before, again) != 0 {
				t.Error("the same drawing is not drawn the same twice")
			}
		})
	}
}
