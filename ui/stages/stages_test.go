package stages_test

import (
	"regexp"
	"strings"
	"testing"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/ui/facts"
	"halfsplit/ui/golden"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/stages"
)

func pack(edit func(*fault.Case, *facts.Result)) *facts.Pack {
	c, f := sample.Case(), sample.Finding()
	r := facts.Result{Status: facts.Ready, Finding: &f}
	if edit != nil {
		edit(&c, &r)
	}
	return facts.New(c, r)
}

func TestStanding_SaysHowFarTheCaseIs(t *testing.T) {
	for name, c := range map[string]struct {
		stage int
		edit  func(*fault.Case, *facts.Result)
		want  string
	}{
		"one module lacks volts": {stages.Baseline, nil, "lacks 1"},
		"all have volts": {stages.Baseline, func(c *fault.Case, _ *facts.Result) {
			c.Readings = append(c.Readings, fault.Reading{ID: "r20", State: "split", Quantity: fault.Volts, Red: "M12+", Black: "M12-", Value: 29.2})
		}, "complete"},
		"no modules": {stages.Baseline, func(c *fault.Case, _ *facts.Result) {
			c.Layout.Modules, c.Layout.Links, c.Layout.Boards, c.Readings, c.GroupVolts = nil, nil, nil, nil, nil
		}, "nothing drawn"},
		"narrowed":     {stages.Locate, nil, "narrowed"},
		"older":        {stages.Locate, func(_ *fault.Case, r *facts.Result) { r.Stale = true }, "older"},
		"none yet":     {stages.Locate, func(_ *fault.Case, r *facts.Result) { *r = facts.Result{} }, "no finding"},
		"drawn":        {2, nil, "14 modules"},
		"to look at":   {2, func(c *fault.Case, _ *facts.Result) { c.Layout.Links[0].To = "M99-" }, "to look at"},
		"not kept yet": {0, nil, "not kept yet"},
	} {
		t.Run(name, func(t *testing.T) {
			if got := stages.Standing(pack(c.edit), c.stage); !strings.Contains(got, c.want) {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

// Every verdict has its words; a verdict without any would stand as nothing.
func TestStanding_EveryVerdict(t *testing.T) {
	for _, v := range []string{fault.TooFewReadings, fault.Inconsistent, fault.NotInString, fault.NoLeakTestProved, fault.NoLeakTestNotProved, fault.BeyondMethod, fault.EquivalentOnly, fault.Located, fault.NotDistinguishable, fault.Narrowed} {
		if got := stages.Standing(pack(func(_ *fault.Case, r *facts.Result) { r.Finding.Verdict = v }), stages.Locate); got == "" {
			t.Errorf("%s has no words", v)
		}
	}
}

// A stage whose records are not kept says so, and has nothing to press.
func TestSheet_SaysWhatIsNotKept(t *testing.T) {
	for i, s := range stages.All {
		if s.Works || i == 2 {
			continue
		}
		b := stages.Sheet(pack(nil), i)
		text := sheet.Text(b)
		if !strings.Contains(text, "keeps no records of this stage") || len(s.Records) == 0 {
			t.Errorf("%s says\n%s", s.Name, text)
		}
		for _, k := range b {
			if k.ID != "" || k.Kind == sheet.Action {
				t.Errorf("%s has something to press: %+v", s.Name, k)
			}
		}
		if regexp.MustCompile(`(?i)\b(safe|dead|ok to touch)\b`).MatchString(text) {
			t.Errorf("%s says what it must not", s.Name)
		}
	}
}

func TestColumn_EveryStageCanBePressed(t *testing.T) {
	l, high := stages.Column(pack(nil), stages.Locate, stages.Wide, 44, golden.Mono)
	if high < 44*11 {
		t.Errorf("eleven stages in %g pixels", high)
	}
	for i := range stages.All {
		at := mgl64.Vec2{70, 6 + 44*(float64(i)+0.5)}
		if got := l.Hit(scene.View{ScaleX: 1, ScaleY: 1}, at); got != stages.ID(i) {
			t.Errorf("stage %d is hit as %q", i, got)
		}
	}
}
