package advice_test

import (
	"context"
	"math"
	"regexp"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/cells"
	"halfsplit/fault/locate"
	"halfsplit/ui/advice"
	"halfsplit/ui/casefile"
	"halfsplit/ui/entry"
	"halfsplit/ui/facts"
	"halfsplit/ui/sample"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// world is the sample case, with the leads at a place.
func world(red string, edit func(*fault.Case, *fault.Finding)) advice.World {
	c, f := sample.Case(), sample.Finding()
	if edit != nil {
		edit(&c, &f)
	}
	p := facts.New(c, facts.Result{Status: facts.Ready, Finding: &f})
	form := entry.Begin(p, "node:"+red, entry.Form{})
	form.Kind = entry.ToChassis
	return advice.World{Pack: p, Form: form}
}

// socket is the case that was read at the disconnect's socket, with the engine's own
// finding.
func socket(t *testing.T, edit func(*fault.Case)) advice.World {
	t.Helper()
	c, err := casefile.Open("../../testdata/cases/S1-socket.case.json")
	if err != nil {
		t.Fatal(err)
	}
	if edit != nil {
		edit(&c)
	}
	f, err := locate.Find(context.Background(), c, cells.All(c))
	if err != nil {
		t.Fatal(err)
	}
	p := facts.New(c, facts.Result{Status: facts.Ready, Finding: &f})
	return advice.World{Pack: p, Form: entry.Begin(p, "", entry.Form{})}
}

func text(g advice.Guide, w advice.World) string {
	return strings.ReplaceAll(sheet.Text(g.Blocks(w)), "\u2009", " ")
}

func wants(t *testing.T, got string, want ...string) {
	t.Helper()
	for _, s := range want {
		if !strings.Contains(got, s) {
			t.Errorf("%q is missing in\n%s", s, got)
		}
	}
}

// typed types into a page.
func typed(g advice.Guide, s string) advice.Guide {
	for _, r := range s {
		g, _ = g.Type(r)
	}
	return g
}

// everything is every page in every state that it has words for.
func everything(t *testing.T) map[string]string {
	w, s := world("M14+", nil), socket(t, nil)
	bare := world("M14+", func(c *fault.Case, f *fault.Finding) {
		c.Instruments, c.Resistors, c.GroupVolts, f.Sections = nil, nil, nil, nil
		c.Layout.WorkingVolts, c.Layout.NominalVolts = 0, 0
	})
	closed := socket(t, func(c *fault.Case) { c.States[0].Open, c.Readings = nil, nil })
	none := world("M14+", func(c *fault.Case, _ *fault.Finding) {
		for i := range c.Layout.Links {
			c.Layout.Links[i].Kind = "busbar"
		}
	})
	asked, _ := advice.NewSocket(closed).Pick(closed, "advice:state")
	one, _ := advice.NewInput(w).Pick(w, "advice:straight")
	in := typed(typed(one, "300.0").Move(w, 1), "294.1")
	return map[string]string{
		"list": text(advice.List{}, w), "range": text(advice.Range{}, w), "resistor": text(advice.NewResistor(w), w), "input": text(advice.NewInput(w), w), "both read": text(in, w),
		"settle": text(advice.Settle{}, w), "socket": text(advice.NewSocket(s), s), "closed": text(advice.NewSocket(closed), closed), "asked": text(asked, closed), "no disconnect": text(advice.NewSocket(none), none),
		"bare range": text(advice.Range{}, bare), "bare resistor": text(advice.NewResistor(bare), bare), "bare input": text(advice.NewInput(bare), bare), "bare settle": text(advice.Settle{}, bare),
	}
}

var never = regexp.MustCompile(`(?i)\b(safe|safely|unsafe|dead|harmless|ok|shunt|island)\b|!`)

func TestPages_KeepToTheWordsAndTheFont(t *testing.T) {
	glyphs, err := theme.NewGlyphs()
	if err != nil {
		t.Fatal(err)
	}
	for name, s := range everything(t) {
		if m := never.FindString(s); m != "" {
			t.Errorf("%s says %q:\n%s", name, m, s)
		}
		if miss := glyphs.Missing(strings.ReplaceAll(s, "\n", "")); len(miss) > 0 {
			t.Errorf("%s: the font lacks %q", name, string(miss))
		}
		if len(s) < 60 || strings.Contains(s, "NaN") || strings.Contains(s, "Inf") {
			t.Errorf("%s says too little, or no number:\n%s", name, s)
		}
	}
}

// The whole of the page: what is at hand, and how on.
func TestPages_WhatIsMissingIsSaidWithTheWayOn(t *testing.T) {
	all := everything(t)
	wants(t, all["bare range"], "describe it first")
	wants(t, all["bare resistor"], "The pack's volts are not known: give the layout its working volts")
	wants(t, all["bare input"], "No voltmeter of this case is described with its ranges")
	wants(t, all["bare settle"], "not known", "The timer works all the same")
	wants(t, all["no disconnect"], "This layout has no disconnect")
}

func TestResistor_FollowsTheLeakAndTheWatts(t *testing.T) {
	w := world("M14+", nil)
	r := advice.NewResistor(w)
	wants(t, text(r, w), "For a leak of 139.9 kΩ (136.0 to 144.0), M08- to M14+", "462 V, the pack's working volts", "expected, not measured", "A rating of", "A fused lead, a covered body, no bare ends")
	label, a := r.Primary(w)
	// 462²/130k = 1.64 W, twice that is more than 2 W: the next that bears it.
	if a.Kind != advice.AddResistor || a.Resistor.Ohms != 220e3 || !strings.HasPrefix(label, "Add R220k") || a.Resistor.MaxVolts < 462 || a.Resistor.Watts < 2*462*462/220e3-0.05 {
		t.Errorf("%q: %+v", label, a.Resistor)
	}
	var g advice.Guide = r
	g = g.Move(w, -3) // to the watts
	g = g.Turn(w, 1)  // 5 W
	if _, a = g.Primary(w); a.Resistor.Ohms != 130e3 && a.Resistor.Ohms != 150e3 {
		t.Errorf("with 5 W it proposes %g ohms", a.Resistor.Ohms)
	}
	guess := g.Move(w, -1) // the leak: the first guess is the last of them
	guess = guess.Turn(w, -1)
	if _, a = guess.Primary(w); a.Kind != advice.AddResistor || math.Abs(a.Resistor.Ohms-220e3) > 25e3 {
		t.Errorf("500 ohm/V of 462 V gives %+v", a.Resistor)
	}
	bigger := guess.Move(w, -1).Turn(w, 1) // the value, one preferred value up
	if _, b := bigger.Primary(w); !(b.Resistor.Ohms > a.Resistor.Ohms) || b.Resistor.Ohms > 1.2*a.Resistor.Ohms {
		t.Errorf("one step up from %g is %g", a.Resistor.Ohms, b.Resistor.Ohms)
	}
}

func TestResistor_WhatTheCaseHasIsUsed(t *testing.T) {
	w := world("M14+", func(c *fault.Case, _ *fault.Finding) { c.Resistors[0].Ohms = 219e3 })
	label, a := advice.NewResistor(w).Primary(w)
	if a.Kind != advice.UseResistor || a.Resistor.ID != "R200k" || !strings.Contains(label, "Use R200k") {
		t.Errorf("%q: %+v", label, a)
	}
}

// A bound asks for a smaller one; where none bears the volts, its rating is said.
func TestResistor_OfABoundIsSmaller(t *testing.T) {
	bound := func(_ *fault.Case, f *fault.Finding) {
		f.Sections[1].Ohms = fault.Bounded{Low: 0, Mid: fault.NoNumber, High: 20e3, Relation: fault.Less}
	}
	w := world("M14+", bound)
	wants(t, text(advice.NewResistor(w), w), "only known to be below 20.0 kΩ", "none bears 462 V with 2 W", "asks for a rating of 22 W")
	var g advice.Guide = advice.NewResistor(w)
	g = g.Move(w, -3)
	for range 3 { // 5, 10, 25 W
		g = g.Turn(w, 1)
	}
	wants(t, text(g, w), "smaller than any of the case")
	if _, a := g.Primary(w); a.Resistor.Ohms != 20e3 || a.Resistor.ID != "R20k" {
		t.Errorf("%+v", a.Resistor)
	}
}

func TestRange_IsOfferedWhereTheEndsAreMixed(t *testing.T) {
	w := world("M14+", func(c *fault.Case, _ *fault.Finding) {
		for i := range c.Readings {
			if c.Readings[i].ID == "r7" {
				c.Readings[i].Value = -18.4
			}
		}
	})
	rg, mixed := advice.Mixed(w)
	if !mixed || rg.Max != 600 {
		t.Fatalf("%+v, %v", rg, mixed)
	}
	wants(t, text(advice.Range{}, w), "600 V", "125.9 V, read as r6", "-18.40 V, read as r7", "Each range has a gain error of its own, up to ± 0.5 %", "groups", "In volts", "0.1 V")
	label, a := advice.Range{}.Primary(w)
	if label != "Lock the 600 V range" || a.Kind != advice.LockRange || a.Range != 600 {
		t.Errorf("%q %+v", label, a)
	}
	w.Form.Range = 600
	if _, mixed = advice.Mixed(w); mixed {
		t.Error("what is locked is offered again")
	}
	if label, a = (advice.Range{}).Primary(w); label != "Leave the range to the meter" || a.Range != 0 {
		t.Errorf("%q %+v", label, a)
	}
	same := world("M14+", nil)
	if _, mixed = advice.Mixed(same); mixed {
		t.Error("125.9 V and 68.1 V are on two ranges")
	}
	wants(t, text(advice.Range{}, same), "Both ends fall on the 600 V range")
}

// One end is read: the other can have what the section leaves, and the range holds
// that too.
func TestRange_HoldsWhatIsNotKnownYet(t *testing.T) {
	w := socket(t, nil)
	w.Form = entry.Begin(w.Pack, "node:M06+", entry.Form{Instrument: "dmm"})
	got := text(advice.Range{}, w)
	wants(t, got, "600 V", "11.34 V, read as r1", "not known yet; up to 162 V")
	if strings.Contains(got, "Both ends fall") {
		t.Errorf("it says where an end falls that nobody read:\n%s", got)
	}
}

func TestInput_IsMeasuredAndDescribedAnew(t *testing.T) {
	w := world("M14+", func(c *fault.Case, _ *fault.Finding) {
		c.Resistors = append(c.Resistors, fault.Resistor{ID: "R1M", Ohms: 1e6, TolPct: 0.1})
		c.Instruments[0].InputOhms = 11e6 // wrong
	})
	p := advice.NewInput(w)
	label, a := p.Primary(w)
	if a.Kind != advice.Again || label != "Type the reading straight" {
		t.Fatalf("%q %+v", label, a)
	}
	// 58.00 V through 1 MΩ into 10 MΩ: 58·10/11.
	g := typed(p, "58.00")
	if _, a = g.Primary(w); a.Kind != advice.Again {
		t.Fatalf("%+v", a)
	}
	g = typed(a.Guide, "52.73")
	wants(t, text(g, w), "Rv = Rs · V' / (V - V')", "1.00 MΩ × 52.73 V / (58.00 V - 52.73 V)", "It would be recorded as dmm_2", "dmm stays as it is", "instrument dmm_2")
	label, a = g.Primary(w)
	in := a.Instrument
	if a.Kind != advice.AddInstrument || in.ID != "dmm_2" || math.Abs(in.InputOhms-10e6) > 0.05e6 || !(in.InputTolPct > 0.1) || in.InputTolPct > 5 || !strings.HasPrefix(label, "Record dmm_2 with 10.0") {
		t.Errorf("%q: %+v", label, in)
	}
	wants(t, string(in.Extra[advice.EvidenceKey]), "58.00 V straight", "52.73 V through R1M", "60 V of dmm")
	if old, _ := w.Pack.Case.Instrument("dmm"); old.InputOhms != 11e6 || old.Extra != nil {
		t.Errorf("the old description has changed: %+v", old)
	}
}

func TestInput_RefusesInWords(t *testing.T) {
	w := world("M14+", nil)
	for name, c := range map[string]struct{ straight, through, want string }{
		"more through":  {"50.00", "55.00", "more through the resistor"},
		"above range":   {"70.00", "60.00", "has no range"},
		"over range":    {"OL", "5", "a bound is no reading"},
		"does not move": {"50.00", "50.00", "only a bound"},
	} {
		t.Run(name, func(t *testing.T) {
			g := typed(typed(advice.NewInput(w), c.straight).Move(w, 1), c.through)
			got := text(g, w)
			if !strings.Contains(strings.ToLower(got), c.want) {
				t.Errorf("%q is missing in\n%s", c.want, got)
			}
			if _, a := g.Primary(w); a.Kind == advice.AddInstrument {
				t.Errorf("it would be recorded: %+v", a.Instrument)
			}
		})
	}
}

func TestSettle_EstimatesFromLeakAndMeter(t *testing.T) {
	w := world("M14+", nil)
	tau, wait, leak, known := advice.Settle{}.Estimate(w)
	// 139.9 kΩ and 10 MΩ in parallel times 20 nF.
	want := 20e-9 / (1/139.9e3 + 1/10e6)
	if !known || leak != 139.9e3 || math.Abs(tau-want) > 1e-6*want || !(wait > 5*tau) || !(wait < 9*tau) {
		t.Errorf("τ %g s, wait %g s, leak %g, known %v", tau, wait, leak, known)
	}
	more := advice.Settle{}.Turn(w, 2).(advice.Settle)
	if t2, _, _, _ := more.Estimate(w); math.Abs(t2/tau-22) > 1e-6 {
		t.Errorf("0.44 µF instead of 20 nF: %g times as long", t2/tau)
	}
	bare := world("M14+", func(_ *fault.Case, f *fault.Finding) { f.Sections = nil })
	wants(t, text(advice.Settle{}, bare), "the meter alone is reckoned with, the longest wait")
	if label, a := (advice.Settle{}).Primary(w); a.Kind != advice.StartTimer || !strings.Contains(label, "start the timer") {
		t.Errorf("%q %+v", label, a)
	}
}
