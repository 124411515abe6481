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
