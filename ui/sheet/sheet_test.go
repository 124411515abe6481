package sheet

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/cells"
	"halfsplit/topology"
	"halfsplit/ui/doubt"
	"halfsplit/ui/facts"
	"halfsplit/ui/golden"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
)

func pack(edit func(*fault.Case, *facts.Result)) *facts.Pack {
	c, f := sample.Case(), sample.Finding()
	r := facts.Result{Status: facts.Ready, Finding: &f}
	if edit != nil {
		edit(&c, &r)
	}
	return facts.New(c, r)
}

// whole opens every part.
func whole() Folds {
	f := Folds{}
	for _, p := range Parts {
		f[p.ID] = true
	}
	return f
}

func plain(s string) string { return strings.ReplaceAll(s, "\u2009", " ") }

func TestText_Golden(t *testing.T) {
	p := pack(nil)
	for name, b := range map[string][]Block{
		"finding": Finding(p, nil), "whole": Finding(p, whole()), "doubt": Doubted(p, p.Result.Finding.Doubts[0], ""), "module": Selection(p, "module:M10"), "link": Selection(p, "link:SD"),
		"reading": Selection(p, "reading:r8"), "section": Selection(p, "section:M08-"), "nothing": Selection(p, ""),
	} {
		t.Run(name, func(t *testing.T) { golden.Text(t, name+".txt", plain(Text(b))) })
	}
}

func TestFinding_SaysHowItStands(t *testing.T) {
	for name, c := range map[string]struct {
		edit func(*fault.Case, *facts.Result)
		want []string
		not  string
	}{
		"computing": {func(_ *fault.Case, r *facts.Result) { *r = facts.Result{Status: facts.Computing} }, []string{"Computing the finding", "Escape cancels"}, "older than"},
		"failed": {func(_ *fault.Case, r *facts.Result) {
			*r = facts.Result{Status: facts.Failed, Err: "two states are mixed"}
		}, []string{"The finding failed", "two states are mixed", "R computes"}, ""},
		"cancelled": {func(_ *fault.Case, r *facts.Result) { r.Status = facts.Cancelled }, []string{"The finding was cancelled", "What follows is the last finding", "Narrowed"}, ""},
		"stale":     {func(_ *fault.Case, r *facts.Result) { r.Stale = true }, []string{"older than the last reading", "Narrowed"}, ""},
		"none":      {func(_ *fault.Case, r *facts.Result) { *r = facts.Result{} }, []string{"No finding yet"}, ""},
		"empty": {func(c *fault.Case, r *facts.Result) {
			c.Layout = topology.Layout{}
			*r = facts.Result{}
		}, []string{"No modules drawn"}, "No finding yet"},
		"ready":   {nil, []string{"Narrowed", "M10"}, "older than"},
		"problem": {func(c *fault.Case, _ *facts.Result) { c.Layout.Links[0].To = "M99-" }, []string{"To look at in the layout", "M99-"}, ""},
	} {
		t.Run(name, func(t *testing.T) {
			got := Text(Finding(pack(c.edit), nil))
			for _, w := range c.want {
				if !strings.Contains(got, w) {
					t.Errorf("%q is missing in\n%s", w, got)
				}
			}
			if c.not != "" && strings.Contains(got, c.not) {
				t.Errorf("%q stands in\n%s", c.not, got)
			}
		})
	}
}

// From an unbroken string no module is named large.
func TestFinding_NoPlaceInHandFromAnEquivalent(t *testing.T) {
	p := pack(func(_ *fault.Case, r *facts.Result) { r.Finding.Verdict = fault.EquivalentOnly })
	for _, b := range Finding(p, nil) {
		if b.Kind == Big && b.Text != "" {
			t.Errorf("%q stands large under an equivalent", b.Text)
		}
	}
}

func TestFinding_BothNumbersOfASection(t *testing.T) {
	got := plain(Text(Finding(pack(nil), whole())))
	for _, want := range []string{"Physical: all leaks in parallel: 139.9 kΩ (136.0 to 144.0)", "By the standards' sum, for limits: 216 kΩ"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
}

func TestFinding_WhyOpensAndCloses(t *testing.T) {
	p := pack(nil)
	line := p.Result.Finding.Why[0].Worked
	if strings.Contains(Text(Finding(p, nil)), line) || !strings.Contains(Text(Finding(p, whole())), line) {
		t.Error("the worked lines belong behind Why?")
	}
}

// Every word of every block is set, in any width, and no line is wider than the
// sheet.
func TestDraw_NothingIsCutOff(t *testing.T) {
	p := pack(nil)
	q := pack(checked)
	for _, blocks := range [][]Block{Finding(p, whole()), Finding(q, whole()), Selection(p, "module:M10"), Selection(p, "link:SD"), Selection(q, "board:B3"), Doubted(p, p.Result.Finding.Doubts[0], "there is no room")} {
		for _, width := range []float64{200, 280, 320, 360, 700} {
			l, high := Draw(blocks, width, golden.Mono)
			var set strings.Builder
			for _, s := range l.Shapes {
				if s.Kind != scene.Label {
					continue
				}
				set.WriteString(s.Text)
				x := s.Points[0].World.X() + golden.Mono(s.Text, s.Size, s.Bold)*(1-float64(1+s.H)/2)
				if x > width && len([]rune(s.Text)) > 1 {
					t.Errorf("width %g: %q ends at %.0f", width, s.Text, x)
				}
				if y := s.Points[0].World.Y(); y > high {
					t.Errorf("width %g: %q lies at %.0f below the sheet's %.0f", width, s.Text, y, high)
				}
			}
			got := squeeze(set.String())
			for _, b := range blocks {
				for _, text := range []string{b.Text, b.Value} {
					if !strings.Contains(got, squeeze(text)) {
						t.Errorf("width %g: %q is not set whole", width, text)
					}
				}
			}
		}
	}
}

var spaces = regexp.MustCompile(`[\s\x{2009}]+`)

func squeeze(s string) string { return spaces.ReplaceAllString(s, "") }

func TestDraw_LinesKeepApart(t *testing.T) {
	for _, width := range []float64{280, 360} {
		l, _ := Draw(Finding(pack(nil), whole()), width, golden.Mono)
		var rects []scene.Rect
		var names []string
		for _, s := range l.Shapes {
			if s.Kind != scene.Label {
				continue
			}
			p := s.Points[0].World
			w, h := golden.Mono(s.Text, s.Size, s.Bold), s.Size*0.9
			x, y := p.X()-w*float64(1+s.H)/2, p.Y()-h/2
			r := scene.Around(scene.At(x, y).World, scene.At(x+w, y+h).World)
			for i, o := range rects {
				if r.Overlaps(o) {
					t.Errorf("width %g: %q lies on %q", width, s.Text, names[i])
				}
			}
			rects, names = append(rects, r), append(names, s.Text)
		}
	}
}

func TestDraw_TouchHeightOfTheFold(t *testing.T) {
	l, _ := Draw(Finding(pack(nil), nil), 360, golden.Mono)
	for _, tg := range l.Targets {
		if tg.ID == WhyFold {
			if h := tg.Area[2].World.Y() - tg.Area[0].World.Y(); h < 44 {
				t.Errorf("Why? is %g pixels high", h)
			}
			return
		}
	}
	t.Error("Why? cannot be pressed")
}

func TestSelection_Module(t *testing.T) {
	got := plain(Text(Selection(pack(nil), "module:M12")))
	for _, want := range []string{"Module M12", "Group volts: not measured.", "r9  M12+ to chassis: 6.7 V, left out"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
}

func TestSelection_GapIsExpectedNotMeasured(t *testing.T) {
	p := pack(nil)
	got := plain(Text(Selection(p, "link:SD")))
	l, _ := p.Net.Link("SD")
	g := p.GapOf(l)
	for _, want := range []string{"Across the gap, expected, not measured", "Red M07+, black M08-", "Behind", fmt.Sprintf("On dmm, 10.0 MΩ: %.1f V", g.OnMeter)} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
	got = Text(Selection(pack(func(_ *fault.Case, r *facts.Result) { *r = facts.Result{} }), "link:SD"))
	if !strings.Contains(got, "Not known") {
		t.Errorf("without a finding:\n%s", got)
	}
}

// checked is the sample with boards, what went with one, and what speaks besides
// readings.
func checked(c *fault.Case, r *facts.Result) {
	c.Layout.Boards = []topology.Board{{ID: "B3", Taps: []string{"M09.0", "M09.1", "M10.6"}}, {ID: "B4", Taps: []string{"M11.0"}}}
	c.Noted = []fault.Noted{{ID: "n1", Place: "M10", What: fault.NotedWet, Why: "drops under the cover", Who: "Ada"}, {ID: "n2", Place: "B3", What: fault.NotedMark}, {ID: "n3", Place: "M09.1", What: fault.NotedSmell}}
	r.Signs = []cells.Signature{{Kind: cells.GroupLow, Place: "M05", Text: "Group M05.3 by itself is 65 mV low."}}
	r.Finding.Suspicion = append(r.Finding.Suspicion, fault.Share{ID: "B3", Kind: fault.PlaceBoard, Share: 0.01}, fault.Share{ID: "rail+", Kind: fault.PlaceRail, Share: 0.01}, fault.Share{ID: "load+", Kind: fault.PlaceLoad, Share: 0.01})
	r.Finding.Subtraction = []fault.Subtraction{
		{Before: "closed", After: "split", Away: "B3", Section: "M01-", Detected: true, Ohms: fault.Bounded{Low: 1e6, Mid: 1.1e6, High: 1.2e6, Relation: fault.Equal}, Volts: fault.Interval{Low: 200, Mid: 210, High: 220}},
		{Before: "closed", After: "split", Away: "B4", Section: "M01-", Ohms: fault.Bounded{Low: 5e6, Mid: fault.NoNumber, High: fault.NoNumber, Relation: fault.Greater}, Volts: fault.Interval{Low: fault.NoNumber, Mid: fault.NoNumber, High: fault.NoNumber}}}
}

func TestFinding_NamesPlacesAsWhatTheyAre(t *testing.T) {
	got := plain(Text(Finding(pack(checked), whole())))
	for _, want := range []string{"\nM10: 71 %", "Link L10: 2 %", "Board B3: 1 %", "Rail rail+: 1 %", "Load side, load+: 1 %", "Limited by: the leak path's own potential"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
}

func TestFinding_WhatWentAndWhatSpeaksBesides(t *testing.T) {
	got := plain(Text(Finding(pack(checked), whole())))
	for _, want := range []string{"What went with board B3", "Went with it: 1.10 MΩ (1.00 to 1.20)", "Above M01-: 210 V (200 to 220)",
		"What went with board B4", "no detectable change from state closed to split. What went is more than 5.00 MΩ.",
		"What the cell volts say", "Group M05.3 by itself is 65 mV low.", "What persons noted", "M10: Wet: drops under the cover (Ada; weight 3)", "B3: Burn or corrosion (not named; weight 10)"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
	if strings.Contains(plain(Text(Finding(pack(nil), whole()))), "What the cell volts say") {
		t.Error("where there is nothing, nothing is said")
	}
}

func TestSelection_Board(t *testing.T) {
	p := pack(checked)
	got := plain(Text(Selection(p, "board:B3")))
	for _, want := range []string{"Board B3", "Suspicion: 1 %", "M09.0 to M10.6, 3 of them", "minutes not recorded", "What went with board B3", "n2  B3: Burn or corrosion"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
	if got = plain(Text(Selection(p, "module:M09"))); !strings.Contains(got, "Board B3: taps M09.0 to M10.6") || !strings.Contains(got, "n3  M09.1: Smell") || strings.Contains(got, "n1") {
		t.Errorf("at M09:\n%s", got)
	}
}

// A doubt that was answered by keeping the reading stands there, quietly.
func TestFinding_ADoubtThatWasAnswered(t *testing.T) {
	keep := func(c *fault.Case, r *facts.Result) {
		was, _ := c.Reading("r9")
		was.ID, was.Supersedes, was.Why, was.Stands = "r10", "r9", "kept as read: read twice", "read twice"
		c.Readings = append(c.Readings, was)
		r.Finding.Doubts[0].Reading = "r10"
	}
	got := plain(Text(Finding(pack(keep), nil)))
	for _, want := range []string{"Doubts, answered", "r10, 6.7 V: Kept as read: read twice. It would fit if its sign is reversed"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is missing in\n%s", want, got)
		}
	}
	if strings.Contains(got, "to answer") || strings.Contains(got, "Nothing is changed by itself") {
		t.Errorf("it is asked again:\n%s", got)
	}
	if got = plain(Text(Selection(pack(keep), "reading:r10"))); !strings.Contains(got, "Kept as read: Read twice.") || !strings.Contains(got, "In place of: r9") {
		t.Errorf("the reading's page:\n%s", got)
	}
}

// Every kind of doubt offers something to do, and a value only where one follows.
func TestRemedies_OfEveryKind(t *testing.T) {
	p := pack(nil)
	for kind, want := range map[string][]string{
		doubt.Sign: {UseCorrected, ReadAgain, KeepAsRead, ShowReading}, doubt.Copied: {ReadAgain, KeepAsRead, ShowReading}, doubt.Range: {ReadAgain, KeepAsRead, ShowReading},
		doubt.Input: {GoDescribe}, doubt.Mirrored: {GoDescribe}, doubt.Turned: {GoDescribe}, doubt.TwoMeters: {GoDescribe, ReadAgain, KeepAsRead, ShowReading},
	} {
		var got []string
		for _, a := range Remedies(p, fault.Doubt{Reading: "r9", Kind: kind, With: "dmm"}) {
			got = append(got, a.ID)
		}
		if strings.Join(got, " ") != strings.Join(want, " ") {
			t.Errorf("%s offers %v, want %v", kind, got, want)
		}
	}
}

func TestFinding_NamesTheLayoutsVersion(t *testing.T) {
	got := plain(Text(Finding(pack(func(_ *fault.Case, r *facts.Result) { r.Finding.LayoutVersion = "3" }), whole())))
	if !strings.Contains(got, "Layout: version 3") {
		t.Errorf("it is missing in\n%s", got)
	}
}

// Small shares do not push the rest of the page down; they stand with the
// explanations.
func TestFinding_SmallSharesOnRequest(t *testing.T) {
	many := func(_ *fault.Case, r *facts.Result) {
		r.Finding.Suspicion = []fault.Share{{ID: "M09", Kind: fault.PlaceModule, Share: 0.9}}
		for _, id := range []string{"M08", "M10", "M07", "M11", "M12"} {
			r.Finding.Suspicion = append(r.Finding.Suspicion, fault.Share{ID: id, Kind: fault.PlaceModule, Share: 0.012})
		}
	}
	got := plain(Text(Finding(pack(many), nil)))
	if strings.Contains(got, "M11: 1 %") || !strings.Contains(got, "M10: 1 %") || !strings.Contains(got, "3 more places of 1 % or less: key E.") {
		t.Errorf("closed:\n%s", got)
	}
	if got = plain(Text(Finding(pack(many), Folds{ExplainFold: true}))); !strings.Contains(got, "More places\nM07: 1 %\nM11: 1 %\nM12: 1 %") {
		t.Errorf("open:\n%s", got)
	}
}

// The picture of a proposed reading stays inside the page and sets all of its words,
// in any width.
func TestLead_NothingIsCutOff(t *testing.T) {
	p := pack(nil)
	tests := append(sample.Finding().Next, fault.NextTest{Red: "M08-", Black: "M07+", Instrument: "dmm", Range: 60},
		fault.NextTest{Red: "M01-", Black: "chassis:tray", Resistor: "R200k", ResistorFrom: "M14+", ResistorTo: "chassis:lid", Watts: 0.1, Across: 200},
		fault.NextTest{Red: "pack+", Black: "chassis", State: fault.StateChange{Open: []string{"L02", "L10"}}},
		fault.NextTest{Red: "nowhere", Black: "chassis", Resistor: "none"})
	for _, n := range tests {
		lead := NewLead(p, n)
		for _, width := range []float64{200, 240, 320, 360, 700} {
			l, high := Draw([]Block{{Kind: LeadPicture, Lead: lead}}, width, golden.Mono)
			var set strings.Builder
			for _, s := range l.Shapes {
				if s.Kind == scene.Label {
					set.WriteString(s.Text + " ")
					w := golden.Mono(s.Text, s.Size, s.Bold)
					x0 := s.Points[0].World.X() - w*float64(1+s.H)/2
					if x0 < -1 || x0+w > width+1 {
						t.Errorf("%s, width %g: %q goes from %.0f to %.0f", n.Red, width, s.Text, x0, x0+w)
					}
					continue
				}
				for _, q := range s.Points {
					if q.World.X() < 0 || q.World.X() > width || q.World.Y() > high {
						t.Errorf("%s, width %g: a shape at %v", n.Red, width, q.World)
					}
				}
			}
			got := squeeze(set.String())
			for _, want := range append([]string{"RED", "BLACK", lead.Red.Name, lead.Black.Name, lead.Meter, lead.Resistor, lead.From, lead.To}, ends(lead)...) {
				if !strings.Contains(got, squeeze(want)) {
					t.Errorf("%s, width %g: %q is not set whole in %q", n.Red, width, want, set.String())
				}
			}
		}
	}
}

func ends(l *Lead) (out []string) {
	for _, b := range l.Bands {
		out = append(out, b.From, b.To, b.Gap)
	}
	return out
}
