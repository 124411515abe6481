package facts_test

import (
	"errors"
	"math"
	"regexp"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/sample"
	"halfsplit/ui/words"
)

func ready() *facts.Pack {
	f := sample.Finding()
	return facts.New(sample.Case(), facts.Result{Status: facts.Ready, Finding: &f})
}

func plain(s string) string { return strings.ReplaceAll(s, words.Thin, " ") }

func TestStateLine(t *testing.T) {
	c := sample.Case()
	for name, x := range map[string]struct {
		edit func(*fault.Case)
		want string
	}{
		"split":     {func(*fault.Case) {}, "Recorded: SD open, contactors open, monitor disconnected."},
		"nothing":   {func(c *fault.Case) { c.Now = "" }, "State: not known."},
		"not said":  {func(c *fault.Case) { c.States[1].Contactors = ""; c.States[1].Monitor = "" }, "Recorded: SD open, contactors not recorded, monitor not recorded."},
		"unplugged": {func(c *fault.Case) { c.States[1].Unplugged = []string{"B1"} }, "Recorded: SD open, B1 unplugged, contactors open, monitor disconnected."},
		"boards out": {func(c *fault.Case) { c.States[1].Unplugged, c.States[1].Boards = []string{"B1"}, fault.BoardsOut },
			"Recorded: SD open, all boards unplugged or none fitted, contactors open, monitor disconnected."},
		"removed":     {func(c *fault.Case) { c.States[1].Removed = []string{"M03"} }, "Recorded: SD open, M03 removed, contactors open, monitor disconnected."},
		"empty":       {func(c *fault.Case) { c.Layout = topology.Layout{} }, "State: no modules drawn."},
		"no such one": {func(c *fault.Case) { c.Now = "later" }, "State: not known."},
	} {
		t.Run(name, func(t *testing.T) {
			c := c
			c.States = append([]fault.State(nil), c.States...)
			x.edit(&c)
			if got := facts.New(c, facts.Result{}).StateLine(); got != x.want {
				t.Errorf("got %q, want %q", got, x.want)
			}
		})
	}
}

func TestLiveLine(t *testing.T) {
	p := ready()
	want := "Live, expected not measured: M01-…M07+ 205 V; M08-…M14+ 197 V; up to 240 V between exposed points. Modules cannot be switched off."
	if got := plain(p.LiveLine()); got != want {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	c := sample.Case()
	c.Now = ""
	if got := facts.New(c, facts.Result{}).LiveLine(); got != "Live: not known; treat all as live. Modules cannot be switched off." {
		t.Errorf("unknown state: %q", got)
	}
	c = sample.Case()
	c.Layout.Links[0].To = "M99-"
	if got := facts.New(c, facts.Result{}).LiveLine(); !strings.HasPrefix(got, "Live: not known; treat all as live.") {
		t.Errorf("partial layout: %q", got)
	}
	c = sample.Case()
	c.GroupVolts = nil
	if got := plain(facts.New(c, facts.Result{}).LiveLine()); !strings.Contains(got, "about 205 V (nominal)") {
		t.Errorf("without group volts: %q", got)
	}
}

// One module's value with its point in the wrong place takes no volts off the modules
// that nobody read.
func TestLiveLine_ASlipLowersNobodyElsesVolts(t *testing.T) {
	c := sample.Case()
	c.GroupVolts = []fault.GroupVolts{{State: c.Now, Module: "M02", Volts: []float64{0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3}}}
	p := facts.New(c, facts.Result{})
	if n := len(p.Case.Layout.Modules); n != 14 {
		t.Fatalf("the sample has %d modules", n)
	}
	all := 402.0 / 14
	for i := range p.Sections {
		s := &p.Sections[i]
		if s.Volts < 5*all || !s.Rough {
			t.Errorf("%s to %s: %g V, rough %v", s.From, s.To, s.Volts, s.Rough)
		}
	}
	if got := plain(p.LiveLine()); !strings.Contains(got, "(nominal)") {
		t.Errorf("it says %q", got)
	}
	if along := p.Along[0]; along[len(along)-1] < 13*all {
		t.Errorf("the ruler ends at %g V", along[len(along)-1])
	}
}

// The largest voltage lies between two sections: the top of one and the bottom
// of the other, each at the bad end of its chassis interval.
func TestLargestVolts(t *testing.T) {
	p := ready()
	lo, hi := p.Sections[0], p.Sections[1]
	want := math.Max(lo.Volts-94+69.6, hi.Volts-68.6+111)
	if got, ok := p.LargestVolts(); !ok || math.Abs(got-want) > 1e-9 {
		t.Errorf("got %g, %v; want %g", got, ok, want)
	}
	if _, ok := facts.New(sample.Case(), facts.Result{}).LargestVolts(); ok {
		t.Error("known without a finding")
	}
}

func TestGapOf(t *testing.T) {
	p := ready()
	link, _ := p.Net.Link("SD")
	g := p.GapOf(link)
	lo, hi := p.Sections[0], p.Sections[1]
	mid := (lo.Volts - 102.3) + 69.1 // top of the lower half above chassis, chassis above the bottom of the upper
	if !g.Known || g.Red != "M07+" || g.Black != "M08-" || math.Abs((g.Low+g.High)/2-mid) > 1e-9 {
		t.Errorf("got %+v, want about %g V with red on M07+", g, mid)
	}
	want := mid * 10e6 / (10e6 + 78.1e6 + 139.9e3)
	if math.Abs(g.OnMeter-want) > 1e-9 || g.Meter != "dmm" {
		t.Errorf("on the meter %g V by %q, want %g by dmm", g.OnMeter, g.Meter, want)
	}
	if hi.Volts < 190 || hi.Volts > 200 {
		t.Errorf("upper half %g V", hi.Volts)
	}
	if facts.New(sample.Case(), facts.Result{}).GapOf(link).Known {
		t.Error("a gap is known without a finding")
	}
}

func TestModule_MissingIsNotZero(t *testing.T) {
	p := ready()
	m, _ := p.Net.Module("M12")
	if mod := p.Modules[m]; mod.Measured != 0 || !math.IsNaN(mod.Volts) || !math.IsNaN(mod.Mean) {
		t.Errorf("M12 was not measured, got %+v", mod)
	}
	m, _ = p.Net.Module("M10")
	if mod := p.Modules[m]; mod.Measured != 6 || mod.Mean > -0.02 || mod.Place != 9 {
		t.Errorf("M10: %+v", mod)
	}
}

func TestAlong_GrowsAndSaysWhereItWasNotMeasured(t *testing.T) {
	p := ready()
	along := p.Along[0]
	for i := 1; i < len(along); i++ {
		if along[i] <= along[i-1] {
			t.Fatalf("tap %d lies at %g V, below tap %d", i, along[i], i-1)
		}
	}
	if !p.Equal[0] {
		t.Error("M12 was not measured, yet every step is said to be")
	}
	c := sample.Case()
	c.GroupVolts, c.Layout.NominalVolts, c.Layout.WorkingVolts = nil, 0, 0
	if p := facts.New(c, facts.Result{}); !p.CountsGroups(0) || p.Along[0][110] != 110 {
		t.Errorf("without any volts the ruler counts groups, got %g", p.Along[0][110])
	}
}

func TestChassis_ZeroLiesInsideTheLeakingSection(t *testing.T) {
	p := ready()
	at := func(ref string) float64 { n, _ := p.Net.Node(ref); return p.Chassis[n] }
	if at("M08-") > -60 || at("M14+") < 120 {
		t.Errorf("ends of the upper half at %g and %g V", at("M08-"), at("M14+"))
	}
	if !math.IsNaN(at("pack+")) {
		t.Errorf("pack+ lies beyond open contactors, yet has %g V", at("pack+"))
	}
}

func TestFlags(t *testing.T) {
	use := map[string]facts.Use{}
	now := map[string]bool{}
	for _, f := range ready().Flags() {
		use[f.Reading.ID], now[f.Reading.ID] = f.Use, f.Now
	}
	if use["r1"] != facts.Used || use["r9"] != facts.LeftOut || now["r1"] || !now["r9"] {
		t.Errorf("got %v, now %v", use, now)
	}
}

func TestFindingLine(t *testing.T) {
	f := sample.Finding()
	for want, r := range map[string]facts.Result{
		"Finding: none yet.":                                    {},
		"Finding: being computed.":                              {Status: facts.Computing},
		"Finding failed: " + errors.New("no path").Error():      {Status: facts.Failed, Err: "no path"},
		"Finding: cancelled before it was ready.":               {Status: facts.Cancelled},
		"Narrowed. " + f.Statement:                              {Status: facts.Ready, Finding: &f},
		"Being computed again: Narrowed. " + f.Statement:        {Status: facts.Computing, Finding: &f},
		"Older than the last reading: Narrowed. " + f.Statement: {Status: facts.Computing, Finding: &f, Stale: true},
	} {
		if got := facts.New(sample.Case(), r).FindingLine(); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

var forbidden = regexp.MustCompile(`(?i)\b(safe|dead|ok to touch)\b`)

func TestWords_NeverSayThatAThingMayBeTouched(t *testing.T) {
	p := ready()
	for _, s := range []string{p.StateLine(), p.LiveLine(), p.FindingLine()} {
		if forbidden.MatchString(s) {
			t.Errorf("%q", s)
		}
	}
}
