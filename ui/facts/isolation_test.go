package facts_test

import (
	"math"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/facts"
	"halfsplit/ui/sample"
)

func TestExpectAt_ByLayoutAndState(t *testing.T) {
	for name, x := range map[string]struct {
		point  string
		edit   func(*fault.Case)
		known  bool
		joined bool
		poles  bool // are known
		why    string
	}{
		"contactors open":         {"", nil, true, false, false, ""},
		"contactors closed":       {"", func(c *fault.Case) { c.States[0].Contactors, c.Now = fault.Closed, c.States[0].ID }, true, true, true, ""},
		"closed, disconnect open": {"", func(c *fault.Case) { c.States[1].Contactors = fault.Closed }, true, true, false, ""},
		"one contactor open": {"", func(c *fault.Case) {
			c.States[0].Contactors, c.States[0].Open, c.Now = fault.Closed, []string{"K+"}, c.States[0].ID
		}, true, true, false, ""},
		"contactors not recorded": {"", func(c *fault.Case) { c.States[1].Contactors = "" }, false, false, false, "contactors are not recorded"},
		"state not known":         {"", func(c *fault.Case) { c.Now = "" }, false, false, false, "present state is not recorded"},
		"partial layout":          {"", func(c *fault.Case) { c.Layout.Links[0].To = "M99-" }, false, false, false, "leaves open"},
		"no modules":              {"", func(c *fault.Case) { *c = fault.Case{} }, false, false, false, "leaves open"},
		"no outer terminals":      {"", func(c *fault.Case) { c.Layout.Links = c.Layout.Links[:len(c.Layout.Links)-2] }, false, false, false, "draws no path from pack+ and pack-"},
		"a place in words":        {"the inverter", nil, false, false, false, "does not say what this place is joined to"},
	} {
		t.Run(name, func(t *testing.T) {
			f, c := sample.Finding(), sample.Case()
			if x.edit != nil {
				x.edit(&c)
			}
			e := facts.New(c, facts.Result{Status: facts.Ready, Finding: &f}).ExpectAt(x.point)
			if e.Known != x.known || e.Joined != x.joined || !math.IsNaN(e.Poles) != x.poles || !strings.Contains(e.Why, x.why) || x.why == "" && e.Why != "" {
				t.Errorf("%+v", e)
			}
			if x.poles && (e.Poles < 380 || e.Poles > 420 || e.Within <= 0) {
				t.Errorf("pole to pole %g V within %g V", e.Poles, e.Within)
			}
		})
	}
}

// A path that is not complete stands before the order of removal, and so does a pack
// of which nothing is drawn.
func TestLacking_ThePath(t *testing.T) {
	c := sample.Case()
	if open := facts.New(c, facts.Result{}).PathOpen(); len(open) != 0 {
		t.Errorf("open: %q", open)
	}
	c.Layout.Links[0].To = "M99-"
	if p := facts.New(c, facts.Result{}); len(p.PathOpen()) == 0 || len(p.Lacking("")) <= len(p.PathOpen()) {
		t.Errorf("open: %q", p.PathOpen())
	}
	if open := facts.New(fault.Case{}, facts.Result{}).PathOpen(); len(open) != 1 {
		t.Errorf("open: %q", open)
	}
}
