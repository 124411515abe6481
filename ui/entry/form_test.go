package entry_test

import (
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/entry"
	"halfsplit/ui/facts"
	"halfsplit/ui/golden"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
)

func pack() *facts.Pack {
	f := sample.Finding()
	return facts.New(sample.Case(), facts.Result{Status: facts.Ready, Finding: &f})
}

func typed(f entry.Form, s string) entry.Form {
	for _, r := range s {
		f, _ = f.Type(r)
	}
	return f
}

func text(p *facts.Pack, f entry.Form) string {
	return strings.ReplaceAll(sheet.Text(f.Blocks(p, "")), "\u2009", " ")
}

func kind(p *facts.Pack, f entry.Form, k entry.Kind) entry.Form {
	for f.Kind != k {
		f = f.Change(p, entry.What, 1)
	}
	return f
}

func TestForm_Golden(t *testing.T) {
	p := pack()
	for name, f := range map[string]entry.Form{
		"module":     typed(entry.Begin(p, "module:M04", entry.Form{}), "29.2"),
		"doubt":      typed(entry.Begin(p, "module:M04", entry.Form{}), "292"),
		"resistor":   typed(kind(p, entry.Begin(p, "node:M08-", entry.Form{}), entry.WithResistor), "-39.9"),
		"insulation": typed(kind(p, entry.Begin(p, "module:M04", entry.Form{}), entry.Insulation), ">2G"),
		"correction": entry.Begin(p, "reading:r8", entry.Form{}),
	} {
		t.Run(name, func(t *testing.T) {
			golden.Text(t, name+".txt", text(p, f))
			l, _ := sheet.Draw(f.Blocks(p, ""), 360, golden.Mono)
			golden.Text(t, name+".drawing.txt", l.Dump(scene.View{ScaleX: 1, ScaleY: 1, W: 360, H: 900}))
		})
	}
}

func TestForm_DoubtAsks(t *testing.T) {
	p := pack()
	chassis := kind(p, entry.Begin(p, "node:M08-", entry.Form{}), entry.ToChassis)
	with := kind(p, chassis, entry.WithResistor)
	group := kind(p, entry.Begin(p, "module:M12", entry.Form{}), entry.GroupVolts)
	for name, c := range map[string]struct {
		form entry.Form
		raw  string
		want string
	}{
		"as expected":      {chassis, "-68.1", ""},
		"other sign":       {chassis, "68.1", "The other sign?"},
		"ten times":        {chassis, "-681", "10 times too much?"},
		"far":              {chassis, "-20", "Far from what is expected"},
		"with resistor":    {with, "-39.9", ""},
		"as if without it": {with, "-68.1", "Far from what is expected"},
		"group in mV":      {group, "3652", "1000 times too much?"},
		"group":            {group, "3.652", ""},
		"a bound":          {chassis, ">20", ""},
	} {
		t.Run(name, func(t *testing.T) {
			got := typed(c.form, c.raw).Doubt(p)
			if (c.want == "") != (got == "") || !strings.Contains(got, c.want) {
				t.Errorf("%s: %q, want %q", c.raw, got, c.want)
			}
		})
	}
}

func TestForm_LockedRange(t *testing.T) {
	p := pack()
	f := kind(p, entry.Begin(p, "node:M08-", entry.Form{}), entry.ToChassis)
	f = f.Change(p, entry.Lock, 1)
	if f.Range != 6 {
		t.Fatalf("first range %g", f.Range)
	}
	f = typed(f, "-68.1")
	if d := f.Doubt(p); !strings.Contains(d, "6 V range that is locked on dmm") {
		t.Errorf("doubt %q", d)
	}
	if e, err := typed(entry.Form{Kind: f.Kind, Red: f.Red, Black: f.Black, Instrument: "dmm", Range: 6}, "OL").Parse(p); err != nil || e.Value != 6 || e.Relation != fault.Greater {
		t.Errorf("OL is %+v, %v", e, err)
	}
}

// The red lead reaches every tap by its own row.
func TestForm_RedLeadReachesEveryTap(t *testing.T) {
	p := pack()
	f := kind(p, entry.Begin(p, "node:M01-", entry.Form{}), entry.ToChassis)
	seen := map[string]bool{}
	for range 200 {
		seen[f.Red] = true
		f = f.Change(p, entry.RedLead, 1)
	}
	for _, want := range []string{"M01-", "M03.4", "M10+", "M14+", "pack+", "pack-"} {
		if !seen[want] {
			t.Errorf("%s is not reached", want)
		}
	}
}

func TestForm_RunsEndWhereTheStringDoes(t *testing.T) {
	p := pack()
	f := entry.Begin(p, "module:M13", entry.Form{})
	f, ok := f.Step(p, 1)
	if !ok || f.Red != "M14+" {
		t.Fatalf("after M13 comes %s", f.Red)
	}
	if g, ok := f.Step(p, 1); ok {
		t.Errorf("after the last comes %s", g.Red)
	}
	g := kind(p, entry.Begin(p, "module:M10", entry.Form{}), entry.GroupVolts)
	for range 6 {
		g, _ = g.Step(p, 1)
	}
	if g.Module != "M11" || g.Group != 1 {
		t.Errorf("after six groups of M10: %s group %d", g.Module, g.Group)
	}
	if g, _ = g.Step(p, -1); g.Module != "M10" || g.Group != 6 {
		t.Errorf("back at %s group %d", g.Module, g.Group)
	}
}

func TestForm_StateNotKnown(t *testing.T) {
	c := sample.Case()
	c.Now = ""
	p := facts.New(c, facts.Result{})
	if _, err := typed(entry.Begin(p, "module:M01", entry.Form{}), "29").Reading(p); err == nil || !strings.Contains(err.Error(), "state is not known") {
		t.Errorf("got %v", err)
	}
}

// After the last module the run goes on to chassis, from the end that it has
// reached; a single reading of a module in the middle of the string goes on with
// the next module.
func TestForm_AfterTheLastModuleComesChassis(t *testing.T) {
	p := pack()
	f := typed(entry.Begin(p, "module:M14", entry.Form{}), "29.2").Saved(p, "M14 29.2 V")
	if f.Kind != entry.ToChassis || f.Red != "M14+" || f.Black != "chassis" || f.Raw != "" {
		t.Errorf("after the last module comes %+v", f)
	}
	if f = typed(entry.Begin(p, "module:M13", entry.Form{}), "29.2").Saved(p, "M13 29.2 V"); f.Kind != entry.ModuleVolts || f.Module != "M14" {
		t.Errorf("after M13 comes %+v", f)
	}
}

// Out of a run of modules the leads go to the end of a section where the module
// has one.
func TestForm_ToChassisBeginsAtAnEnd(t *testing.T) {
	p := pack()
	for module, want := range map[string]string{"M01": "M01-", "M07": "M07+", "M08": "M08-", "M05": "M05+", "M14": "M14+"} {
		f := entry.Begin(p, "module:"+module, entry.Form{})
		for _, k := range []entry.Kind{entry.GroupVolts, entry.ToChassis} {
			f = kind(p, f, k)
		}
		if f.Red != want || f.Black != "chassis" {
			t.Errorf("%s: %s to %s, want %s", module, f.Red, f.Black, want)
		}
	}
}

func TestForm_ResistorByOneKey(t *testing.T) {
	p := pack()
	f := entry.Begin(p, "node:M08+", entry.Form{})
	f, ok := f.SwitchResistor()
	if !ok || f.Kind != entry.WithResistor || f.Red != "M08+" {
		t.Fatalf("R gives %+v", f)
	}
	if f, ok = f.SwitchResistor(); !ok || f.Kind != entry.ToChassis {
		t.Errorf("R again gives %+v", f)
	}
	if _, ok = entry.Begin(p, "module:M04", entry.Form{}).SwitchResistor(); ok {
		t.Error("module volts take a test resistor")
	}
}

// The third reading is offered once both ends of every section are read.
func TestForm_OffersTheTestResistor(t *testing.T) {
	c := sample.Case()
	c.Readings = nil
	at := func() entry.Form {
		return entry.Begin(facts.New(c, facts.Result{}), "node:M08+", entry.Form{})
	}
	for _, red := range []string{"M07+", "M01-", "M14+", "M08-"} {
		if s := at().Next(facts.New(c, facts.Result{})); s != "" {
			t.Errorf("before %s: %q", red, s)
		}
		c.Readings = append(c.Readings, fault.Reading{ID: "a" + red, State: c.Now, Quantity: fault.Volts, Red: red, Black: "chassis", Value: 1})
	}
	if s := at().Next(facts.New(c, facts.Result{})); !strings.Contains(s, "R puts the test resistor") {
		t.Errorf("after all: %q", s)
	}
	c.Readings = append(c.Readings, fault.Reading{ID: "b", State: c.Now, Quantity: fault.Volts, Red: "M14+", Black: "chassis", Value: 1, Resistor: &fault.Fitted{ID: "R200k"}})
	if s := at().Next(facts.New(c, facts.Result{})); s != "" {
		t.Errorf("with the third reading: %q", s)
	}
}

func TestForm_DecimalComma(t *testing.T) {
	p := pack()
	f := typed(entry.Begin(p, "module:M04", entry.Form{}), "28,967")
	if e, err := f.Parse(p); err != nil || e.Value != 28.967 { // 28967 V is more than the meter shows
		t.Errorf("28,967 is %+v, %v", e, err)
	}
	if e, err := typed(entry.Form{Kind: f.Kind, Module: "M04", Instrument: "dmm"}, "0,361").Parse(p); err != nil || e.Value != 0.361 {
		t.Errorf("0,361 is %+v, %v", e, err)
	}
	if _, err := typed(entry.Form{Kind: entry.ToChassis, Red: "M04+", Black: "chassis"}, "3,622").Parse(p); err == nil {
		t.Error("3,622 is taken although the instrument, and with it what it shows, is not known")
	}
	if g := f.Saved(p, ""); !g.Comma {
		t.Error("the comma is not remembered")
	}
}

func TestForm_MoreThanTheInstrumentShows(t *testing.T) {
	p := pack()
	f := entry.Begin(p, "node:M05.3", entry.Form{})
	if d := typed(f, "210k").Doubt(p); d == "" {
		t.Error("210 kV is not doubted")
	}
}

// What is typed into the field is kept whole: a letter that belongs into no number is
// refused by its name, and an exponent is read and said.
func TestForm_NoCharacterIsDropped(t *testing.T) {
	p := pack()
	for raw, want := range map[string]struct {
		kind      entry.Kind
		value     float64
		says      string
		echo, how string
	}{
		"1x5":    {entry.ToChassis, 0, `"x" does not belong`, "", ""},
		"q15":    {entry.ToChassis, 0, `"q" does not belong`, "", ""},
		"1e3":    {entry.ToChassis, 1000, "", "1000 V", "(read as 1 × 10^3)"},
		"2.1E5":  {entry.Insulation, 210e3, "", "210 kΩ", "(read as 2.1 × 10^5)"},
		">2.1E9": {entry.Insulation, 2.1e9, "", "> 2.1 GΩ", "(read as 2.1 × 10^9) (bound)"},
	} {
		f := entry.Form{Kind: want.kind}
		for _, r := range raw {
			var ok bool
			if f, ok = f.Type(r); !ok {
				t.Fatalf("%q is not taken: the field has %q", r, f.Raw)
			}
		}
		e, err := f.Parse(p)
		if want.says != "" {
			if err == nil || !strings.Contains(err.Error(), want.says) {
				t.Errorf("%s: read as %g, %v", raw, e.Value, err)
			}
			continue
		}
		if echo, how := f.EchoParts(e); err != nil || e.Value != want.value || echo != want.echo || how != want.how {
			t.Errorf("%s: %g, %v: %q %q", raw, e.Value, err, echo, how)
		}
		if full := f.Echo(e); !strings.Contains(full, "× 10^") {
			t.Errorf("%s: the echo is %q", raw, full)
		}
	}
}

// In a run of millivolts an exponent is no unit: the number is millivolts still.
func TestForm_ExponentInARunOfMillivolts(t *testing.T) {
	f := entry.Form{Kind: entry.ModuleVolts, Millivolts: true, Raw: "3.6e3"}
	e, err := f.Parse(pack())
	if echo, how := f.EchoParts(e); err != nil || e.Value != 3.6 || echo != "3.6 V" || how != "(read as 3.6 × 10^3) (read as mV)" {
		t.Errorf("%g, %v: %q %q", e.Value, err, echo, how)
	}
	f = entry.Form{Kind: entry.Insulation, Prefix: "M", Raw: "2.1e1"}
	if e, err := f.Parse(pack()); err != nil || e.Value != 21e6 {
		t.Errorf("%g, %v", e.Value, err)
	}
}
