package timeline_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/probing"
	"halfsplit/ui/facts"
	"halfsplit/ui/golden"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/timeline"
)

var start = time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)

// dried is the sample case, read again and again while it dries: five states with a
// finding's ohms each, a series that settles, one that steps, one with a slip that
// was corrected, and temperatures.
func dried() *facts.Pack {
	c, f := sample.Case(), sample.Finding()
	c.Readings, f.Sections, f.Used, f.LeftOut = nil, nil, nil, nil
	n := 0
	add := func(r fault.Reading, sec float64) string {
		n++
		r.ID = fmt.Sprintf("r%d", n)
		r.At = start.Add(time.Duration(sec * float64(time.Second))).Format(time.RFC3339)
		if r.Quantity == "" {
			r.Quantity, r.Black, r.Instrument, r.Range = fault.Volts, "chassis", "dmm", 600
		}
		if r.State == "" {
			r.State = "split"
		}
		c.Readings = append(c.Readings, r)
		return r.ID
	}
	for i, minute := range []float64{2, 20, 40, 60, 120} {
		state := fmt.Sprintf("s%d", i)
		c.States = append(c.States, fault.State{ID: state, Contactors: fault.Open})
		id := add(fault.Reading{State: state, Red: "M14+", Value: 103.7 - minute/40}, 60*minute)
		add(fault.Reading{State: state, Red: "M06+", Quantity: fault.Celsius, Value: 8 + minute/12}, 60*minute+60)
		ohms := 155e3 * math.Exp(0.92*minute/60)
		f.Sections = append(f.Sections, fault.SectionFinding{State: state, From: "M01-", To: "M14+", Readings: []string{id},
			Ohms: fault.Bounded{Low: fault.Number(0.99 * ohms), Mid: fault.Number(ohms), High: fault.Number(1.01 * ohms), Relation: fault.Equal}})
		f.Used = append(f.Used, id)
	}
	for _, s := range []float64{2, 5, 10, 20, 30, 40} {
		add(fault.Reading{Red: "M08-", Value: math.Round(10*(-60-40*math.Exp(-s/6.5))) / 10, AfterTouchS: &s}, 9000+s)
	}
	for i, v := range []float64{50.1, 50, 80.2, 80.1, 50.2, 80} {
		add(fault.Reading{Red: "M04+", Value: v}, 9300+30*float64(i))
	}
	add(fault.Reading{Red: "M03+", Value: -44}, 9600)
	slip := add(fault.Reading{Red: "M03+", Value: -4.2}, 9700)
	add(fault.Reading{Red: "M03+", Value: -42, Supersedes: slip, Why: "typed wrong"}, 9710)
	add(fault.Reading{Red: "M03+", Value: -40, Relation: fault.Equal}, 9820)
	add(fault.Reading{Red: "M02+", Value: -75}, 9900)
	return facts.New(c, facts.Result{Status: facts.Ready, Finding: &f})
}

func named(t *testing.T, p *facts.Pack, name string) timeline.Series {
	t.Helper()
	var have []string
	for _, s := range timeline.Gather(p) {
		if s.Name == name {
			return s
		}
		have = append(have, s.Name)
	}
	t.Fatalf("there is no series %q: %q", name, have)
	return timeline.Series{}
}

func plain(s string) string { return strings.ReplaceAll(s, "\u2009", " ") }

func TestGather_WhatWasReadMoreThanOnceComesFirst(t *testing.T) {
	all := timeline.Gather(dried())
	once := false
	for _, s := range all {
		if len(s.Values) == 1 {
			once = true
		} else if once {
			t.Errorf("%s with %d values comes after a single one", s.Name, len(s.Values))
		}
	}
	if all[0].Name != "M01- to M14+, ohms to chassis" || !all[0].Section || !all[0].Log() || len(all[0].Values) != 5 {
		t.Errorf("first: %+v", all[0])
	}
	touch := named(t, dried(), "M08- to chassis, since touching")
	if !touch.Touch || touch.Values[0].T != 2 || touch.Values[5].T != 40 {
		t.Errorf("%+v", touch.Values)
	}
	if got := timeline.Gather(facts.New(fault.Case{Layout: sample.Layout()}, facts.Result{})); len(got) != 0 {
		t.Errorf("without readings: %+v", got)
	}
}

func TestSays(t *testing.T) {
	p := dried()
	for name, want := range map[string][]string{
		"M01- to M14+, ohms to chassis":   {"The ohms grow by 1.5 % a minute: they double in 45 min", "A leak that dries does so"},
		"M14+ to chassis":                 {"Drift: a straight line, -0.025 V a minute"},
		"M08- to chassis, since touching": {"Settling: an exponential with a time constant of 6.", "heading for -60", "expected, not measured"},
		"M04+ to chassis":                 {"Steps: 3 times between two levels, 50.1 V and 80.1 V", "their mean is neither"},
		"M03+ to chassis":                 {"Drift: a straight line, +1.1 V a minute", "-2.6 % of the value"},
		"M02+ to chassis":                 {timeline.OneValue},
	} {
		got := plain(named(t, p, name).Says())
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%s: %q is missing in %q", name, w, got)
			}
		}
	}
}

// A value that was superseded is struck, stays in the table, and moves no line.
func TestSeries_WhatWasSupersededIsStruckAndCountsNot(t *testing.T) {
	p := dried()
	s := named(t, p, "M03+ to chassis")
	struck := 0
	for _, v := range s.Values {
		if v.Struck() {
			struck++
			if v.Counts(false) || !strings.Contains(v.Why, "typed wrong") {
				t.Errorf("%+v", v)
			}
		}
	}
	if struck != 1 || s.Shape().Kind != probing.Drifts {
		t.Errorf("%d struck, shape %+v", struck, s.Shape())
	}
	table := plain(s.Text(time.UTC))
	for _, want := range []string{"struck: -4.2 V", "replaced by", "2026-03-02 11:40:00", "-44 V, state split"} {
		if !strings.Contains(table, want) {
			t.Errorf("%q is missing in\n%s", want, table)
		}
	}
	for _, v := range s.Values { // ± 2 counts of 0.1 V
		if math.Abs(v.High-v.Low-0.4) > 1e-9 {
			t.Errorf("%s has the error %g to %g", v.Reading, v.Low, v.High)
		}
	}
}

func TestSeries_ValuesWithoutATimeAreInTheTableOnly(t *testing.T) {
	p := dried()
	for i := range p.Case.Readings {
		if p.Case.Readings[i].Red == "M04+" {
			p.Case.Readings[i].At = ""
		}
	}
	s := named(t, p, "M04+ to chassis")
	if len(s.Timed()) != 0 || len(s.Values) != 6 || !strings.Contains(s.Text(time.UTC), "no time recorded") || !strings.Contains(s.Says(), "None of its values is a number with a time") {
		t.Errorf("%s", s.Text(time.UTC))
	}
	l := timeline.NewPlot(s, nil, time.UTC, golden.Mono).Scene(scene.View{ScaleX: 1, ScaleY: 1, W: 600, H: 300})
	if d := l.Dump(scene.View{ScaleX: 1, ScaleY: 1, W: 600, H: 300}); !strings.Contains(d, "Nothing to draw") {
		t.Errorf("the plot says\n%s", d)
	}
}

func TestBeside_TemperaturesOfTheSameTime(t *testing.T) {
	p := dried()
	all := timeline.Gather(p)
	if b := timeline.Beside(all, named(t, p, "M14+ to chassis")); len(b) != 1 || b[0].Values[0].T != 60 {
		t.Errorf("%+v", b)
	}
	for _, name := range []string{"M03+ to chassis", "M08- to chassis, since touching", "Temperature, M06+"} {
		if b := timeline.Beside(all, named(t, p, name)); len(b) != 0 {
			t.Errorf("beside %s: %+v", name, b)
		}
	}
}

func TestPlot_Golden(t *testing.T) {
	p := dried()
	all := timeline.Gather(p)
	for file, name := range map[string]string{"ohms": "M01- to M14+, ohms to chassis", "settling": "M08- to chassis, since touching", "steps": "M04+ to chassis", "struck": "M03+ to chassis", "one": "M02+ to chassis"} {
		t.Run(file, func(t *testing.T) {
			s := named(t, p, name)
			pl := timeline.NewPlot(s, timeline.Beside(all, s), time.UTC, golden.Mono)
			pl.Selected = "reading:" + s.Values[0].Reading
			v := pl.Fit(720, 420)
			l := pl.Scene(v)
			golden.Text(t, file+".txt", l.Dump(v))
			for _, val := range s.Timed() { // each can be pressed, and is in view
				at := pl.Spot(val, v)
				if got := l.Hit(v, at); got != "reading:"+val.Reading {
					t.Errorf("a press on %s hits %q", val.Reading, got)
				}
				if at.X() < 0 || at.X() > 720 || at.Y() < 0 || at.Y() > 420 {
					t.Errorf("%s lies outside at %v", val.Reading, at)
				}
			}
		})
	}
}

// What a stranger must be able to tell apart without colour: a bound, a struck value,
// another state.
func TestPlot_ShapesTellApart(t *testing.T) {
	p := dried()
	f := *p.Result.Finding
	f.Sections[4].Ohms = fault.Bounded{Low: 2e6, Mid: fault.NoNumber, High: fault.NoNumber, Relation: fault.Greater}
	p = facts.New(p.Case, facts.Result{Status: facts.Ready, Finding: &f})
	s := named(t, p, "M01- to M14+, ohms to chassis")
	if s.Values[4].Relation != fault.Greater || s.Values[4].Counts(false) {
		t.Fatalf("%+v", s.Values[4])
	}
	pl := timeline.NewPlot(s, nil, time.UTC, golden.Mono)
	v := pl.Fit(720, 420)
	byID := map[string]map[string]bool{}
	for _, sh := range pl.Scene(v).Shapes {
		if sh.ID != "" {
			if byID[sh.ID] == nil {
				byID[sh.ID] = map[string]bool{}
			}
			byID[sh.ID][fmt.Sprint(sh.Kind, len(sh.Points), sh.Round)] = true
		}
	}
	round, square, bound := byID["reading:"+s.Values[0].Reading], byID["reading:"+s.Values[1].Reading], byID["reading:"+s.Values[4].Reading]
	if fmt.Sprint(round) == fmt.Sprint(square) || fmt.Sprint(bound) == fmt.Sprint(square) || fmt.Sprint(bound) == fmt.Sprint(round) {
		t.Errorf("first state %v, second %v, bound %v", round, square, bound)
	}
	if !strings.Contains(plain(s.Text(time.UTC)), "more than 2.00 MΩ") {
		t.Errorf("%s", s.Text(time.UTC))
	}
}

func TestWords_HaveTheirGlyphs(t *testing.T) {
	glyphs, err := theme.NewGlyphs()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range timeline.Gather(dried()) {
		if miss := glyphs.Missing(strings.ReplaceAll(s.Text(time.UTC), "\n", "")); len(miss) > 0 {
			t.Errorf("%s: the font lacks %q", s.Name, string(miss))
		}
	}
}
