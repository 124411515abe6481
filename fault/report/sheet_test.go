package report_test

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"halfsplit/assets"
	"halfsplit/fault"
	"halfsplit/fault/format"
	"halfsplit/fault/report"
	"halfsplit/fault/series"
	"halfsplit/topology"
)

var update = flag.Bool("update", false, "rewrite the drawn sheets in testdata")

func demo(t testing.TB) fault.Case {
	t.Helper()
	c, _, err := format.ReadCase("demo", assets.Demo, nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// made is a pack of equal modules with a disconnect in its middle, recorded open.
func made(t testing.TB, modules, groups int) fault.Case {
	t.Helper()
	l, err := topology.Make(topology.MakeSpec{Name: "made", Modules: modules, Series: groups, Parallel: 2, PerRow: min(modules, 8),
		W: 300, H: 150, Gap: 20, Disconnect: modules / 2, NominalVolts: 3.65 * float64(modules*groups)})
	if err != nil {
		t.Fatal(err)
	}
	return fault.Case{Title: "Made", Now: "split", Layout: l,
		Instruments: []fault.Instrument{{ID: "dmm", Kind: "voltmeter", GainPct: 0.5, Counts: 2, Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}, {Max: 600, Count: 0.1}}}},
		Resistors:   []fault.Resistor{{ID: "R200k", Ohms: 200e3, Watts: 2, MaxVolts: 1000}, {ID: "R10k", Ohms: 10e3, Watts: 2, MaxVolts: 100}},
		States: []fault.State{
			{ID: "whole", Contactors: fault.Open}, {ID: "split", Open: []string{"SD"}, Contactors: fault.Open, Monitor: fault.MonitorDisconnected}}}
}

func sheet(t testing.TB, c fault.Case, r report.Request) *report.Sheet {
	t.Helper()
	s, err := report.New(c, r)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func pdf(t *testing.T, s *report.Sheet) pdfFile {
	t.Helper()
	var b bytes.Buffer
	if err := s.WritePDF(&b); err != nil {
		t.Fatal(err)
	}
	return readPDF(t, b.Bytes())
}

func said(f pdfFile) string {
	var all []string
	for _, p := range f.pages {
		all = append(all, texts(p)...)
	}
	return strings.Join(all, "\n")
}

func TestWritePDF_OpensAndIsGrey(t *testing.T) {
	for paper, size := range map[report.Paper]string{report.A4: "0 0 595.28 841.89", report.Letter: "0 0 612.00 792.00"} {
		for _, k := range series.Kinds {
			s := sheet(t, demo(t), report.Request{Paper: paper, Kind: k, Expected: true})
			f := pdf(t, s)
			if len(f.pages) != len(s.Pages()) {
				t.Errorf("%s %s: %d pages, drawn %d", paper, k, len(f.pages), len(s.Pages()))
			}
			for i, p := range f.pages {
				if f.boxes[i] != size {
					t.Errorf("%s %s: page %d is %s, want %s", paper, k, i+1, f.boxes[i], size)
				}
				if c := coloured(p); c != "" {
					t.Errorf("%s %s: page %d has a colour: %s", paper, k, i+1, c)
				}
				words := texts(p)
				for _, must := range []string{"Sheet " + s.Number, fmt.Sprintf("page %d of %d", i+1, len(f.pages))} {
					if !slices.Contains(words, must) {
						t.Errorf("%s %s: page %d lacks %q", paper, k, i+1, must)
					}
				}
				if all := strings.Join(words, " "); !strings.Contains(all, "State split: SD recorded open") || !strings.Contains(all, "Local codes") {
					t.Errorf("%s %s: page %d does not say its state or what comes first", paper, k, i+1)
				}
			}
		}
	}
}

func TestWritePDF_SameBytes(t *testing.T) {
	var a, b bytes.Buffer
	r := report.Request{Kind: series.ToChassis, At: time.Date(2026, 3, 2, 10, 4, 0, 0, time.UTC)}
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := sheet(t, demo(t), r).WritePDF(w); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same sheet has other bytes")
	}
}

// Whatever is drawn lies on the paper, and every box is as large as it must be.
func TestPages_WithinThePaper(t *testing.T) {
	cases := map[string]fault.Case{"demo": demo(t), "made": made(t, 12, 8), "empty": {Title: "Nothing drawn"}, "long": long(t)}
	for name, c := range cases {
		for _, paper := range []report.Paper{report.A4, report.Letter} {
			for _, k := range series.Kinds {
				for n, p := range sheet(t, c, report.Request{Paper: paper, Kind: k, Expected: true}).Pages() {
					for _, m := range p.Marks {
						for _, q := range m.Points {
							if q[0] < 0 || q[0] > p.W || q[1] < 0 || q[1] > p.H {
								t.Errorf("%s %s %s page %d: %v lies outside", name, paper, k, n+1, m)
							}
						}
					}
				}
			}
		}
	}
}

// long has names and a title as nobody should give them.
func long(t testing.TB) fault.Case {
	c := made(t, 6, 2)
	name := strings.NewReplacer("M0", "Module_with_a_very_long_name_indeed_0").Replace
	for i := range c.Layout.Modules {
		c.Layout.Modules[i].ID = name(c.Layout.Modules[i].ID)
	}
	for i := range c.Layout.Links {
		c.Layout.Links[i].From, c.Layout.Links[i].To = name(c.Layout.Links[i].From), name(c.Layout.Links[i].To)
	}
	c.Title = strings.Repeat("Gewässerschaden 水 an einem sehr langen Namen ", 6)
	return c
}

func TestPages_LongNamesAreWhole(t *testing.T) {
	f := pdf(t, sheet(t, long(t), report.Request{Kind: series.ModuleVolts}))
	all := strings.ReplaceAll(said(f), "\n", "")
	for i := 1; i <= 6; i++ {
		if name := fmt.Sprintf("Module_with_a_very_long_name_indeed_0%d", i); !strings.Contains(all, name) {
			t.Errorf("no box is named %s", name)
		}
	}
	if !strings.Contains(all, "Gewässerschaden □ an") {
		t.Errorf("a letter that the font lacks is not shown as a square")
	}
}

func TestPages_ThousandGroups(t *testing.T) {
	s := sheet(t, made(t, 125, 8), report.Request{Kind: series.GroupVolts})
	if len(s.Boxes) != 1000 {
		t.Fatalf("%d boxes", len(s.Boxes))
	}
	f := pdf(t, s)
	if len(f.pages) < 15 || len(f.pages) > 30 {
		t.Errorf("%d pages", len(f.pages))
	}
	all := said(f)
	for _, must := range []string{"M001 group 1", "M125 group 8", "\n1000\n", "End of the sheet: 1000 boxes."} {
		if !strings.Contains(all, must) {
			t.Errorf("no %q", must)
		}
	}
}

// Boxes stand in the order in which the same series is typed in.
func TestPages_BoxesInTheOrderOfEntry(t *testing.T) {
	c := made(t, 12, 4)
	net, _ := topology.Compile(c.Layout)
	for _, o := range []series.Order{series.Electrical, series.Snake, series.Reverse} {
		s := sheet(t, c, report.Request{Kind: series.ModuleVolts, Order: o})
		var want, got []string
		for _, p := range series.Points(net, series.ModuleVolts, o, series.Options{}) {
			want = append(want, p.Module)
		}
		for _, b := range s.Boxes {
			got = append(got, b.Module)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", o, got, want)
		}
	}
}

func TestPages_EmptyPack(t *testing.T) {
	f := pdf(t, sheet(t, fault.Case{}, report.Request{Kind: series.GroupVolts}))
	if all := said(f); len(f.pages) != 1 || !strings.Contains(all, "No modules are drawn") || !strings.Contains(all, "State: not recorded") {
		t.Errorf("%d pages: %s", len(f.pages), all)
	}
}

func TestExpected_HiddenUnlessAsked(t *testing.T) {
	c := made(t, 12, 8)
	hidden := said(pdf(t, sheet(t, c, report.Request{Kind: series.ModuleVolts})))
	if strings.Contains(hidden, "29.20") || !strings.Contains(hidden, "What is expected is left out on purpose") {
		t.Errorf("what is expected shows: %s", hidden)
	}
	shown := said(pdf(t, sheet(t, c, report.Request{Kind: series.ModuleVolts, Expected: true})))
	for _, must := range []string{"about 29.20 V", "expected, not measured"} {
		if !strings.Contains(shown, must) {
			t.Errorf("no %q in %s", must, shown)
		}
	}
	// To chassis nothing is expected without a finding, and joints never.
	for _, k := range []series.Kind{series.ToChassis, series.Joint, series.Insulation} {
		for _, b := range sheet(t, c, report.Request{Kind: k, Expected: true}).Boxes {
			if b.Expected != "" {
				t.Errorf("%s: %q is expected at %s", k, b.Expected, b.Red)
			}
		}
	}
	f := fault.Finding{Sections: []fault.SectionFinding{{State: "split", From: "M01-", ChassisVolts: fault.Interval{Low: 60, Mid: 61, High: 62}}}}
	boxes := sheet(t, c, report.Request{Kind: series.ToChassis, Expected: true, Finding: &f}).Boxes
	if got := boxes[0].Expected; got != "-62.00 to -60.00 V" {
		t.Errorf("M01- should show %q", got)
	}
	if got := boxes[len(boxes)-1].Expected; got != "" {
		t.Errorf("a section that the finding lacks should show %q", got)
	}
}

func TestCautions_HaveThisJobsNumbers(t *testing.T) {
	c := made(t, 12, 8)
	all := strings.ReplaceAll(said(pdf(t, sheet(t, c, report.Request{Kind: series.ToChassis, Instrument: "dmm", Resistor: "R10k"}))), "\n", " ")
	for _, must := range []string{"M01- to M06+ about 175.2 V; M07- to M12+ about 175.2 V", "Modules cannot be switched off.", "Test resistor: yes, R10k", "10.0 kΩ, 2 W, 100 V",
		"more than its 2 W", "R10k is rated for 100 V; up to 175.2 V lie between its points", "Rating of dmm not recorded.", "Range to lock: 600 V (one count is 0.1 V)", "RED on the terminal", "BLACK on chassis", "Serial", "Calibration due", "Initials"} {
		if !strings.Contains(all, must) {
			t.Errorf("no %q in\n%s", must, all)
		}
	}
	for _, never := range []string{"safe", "dead", "OK to", "!"} {
		if strings.Contains(all, never) {
			t.Errorf("the sheet says %q", never)
		}
	}
	c.Now = ""
	c.States = nil
	if all := said(pdf(t, sheet(t, c, report.Request{Kind: series.ToChassis}))); !strings.Contains(all, "Live: not known") {
		t.Errorf("an unknown state is not said to be live: %s", all)
	}
}

// What is recorded of the instrument and of the state's condition is printed; the rest
// is left to be written.
func TestSetUp_HasWhatIsRecorded(t *testing.T) {
	c := made(t, 4, 2)
	twelve, wet := 12.5, true
	c.Instruments[0].Serial, c.Instruments[0].CalDue = "K-0815-µ", "2026-09-30"
	c.States[1].Celsius, c.States[1].Wet, c.States[1].Coolant = &twelve, &wet, fault.CoolantOut
	all := strings.ReplaceAll(said(pdf(t, sheet(t, c, report.Request{Kind: series.GroupVolts, Instrument: "dmm"}))), "\n", " ")
	for _, must := range []string{"Serial K-0815-µ", "Calibration due 2026-09-30", "12.5 °C", "recorded wet", "coolant recorded " + fault.CoolantOut, "Range to lock: 6 V"} {
		if !strings.Contains(all, must) {
			t.Errorf("no %q in\n%s", must, all)
		}
	}
	c.Instruments[0].Functions = []fault.Function{{Quantity: fault.Volts, Ranges: []fault.Range{{Max: 20, Count: 0.01}}}}
	if all := said(pdf(t, sheet(t, c, report.Request{Kind: series.GroupVolts, Instrument: "dmm"}))); !strings.Contains(all, "Range to lock: 20 V") {
		t.Errorf("the range is not that of its volts:\n%s", all)
	}
}

// An overdue calibration is marked in the instrument's box and among the cautions, by
// the day of printing; what is not recorded says so, and no day is judged without one.
func TestSetUp_MarksAnOverdueCalibration(t *testing.T) {
	c := made(t, 4, 2)
	day := func(s string) time.Time {
		at, err := time.Parse(time.DateOnly, s)
		if err != nil {
			t.Fatal(err)
		}
		return at
	}
	for name, x := range map[string]struct {
		due    string
		at     time.Time
		box    string
		marked bool
	}{
		"overdue":      {"2026-01-14", day("2026-01-15"), "Calibration due 2026-01-14, overdue", true},
		"the last day": {"2026-01-14", day("2026-01-14"), "Calibration due 2026-01-14 ", false},
		"no day":       {"2026-01-14", time.Time{}, "Calibration due 2026-01-14 ", false},
		"not recorded": {"", day("2026-01-15"), "Calibration due not recorded", false},
	} {
		c.Instruments[0].CalDue = x.due
		all := strings.ReplaceAll(said(pdf(t, sheet(t, c, report.Request{Kind: series.GroupVolts, Instrument: "dmm", At: x.at}))), "\n", " ")
		if !strings.Contains(all, x.box) || strings.Contains(all, "overdue on the day of printing, it was due "+x.due) != x.marked {
			t.Errorf("%s: no %q, or marked otherwise, in\n%s", name, x.box, all)
		}
	}
	if all := said(pdf(t, sheet(t, c, report.Request{Kind: series.GroupVolts}))); strings.Contains(all, "not recorded\nInitials") {
		t.Errorf("an instrument that was not chosen is judged:\n%s", all)
	}
}

func TestHead_IsPrinted(t *testing.T) {
	r := report.Request{Kind: series.ModuleVolts, Head: "3f9a77c0", At: time.Date(2026, 3, 2, 10, 4, 0, 0, time.UTC)}
	if all := said(pdf(t, sheet(t, demo(t), r))); !strings.Contains(all, "Printed 2026-03-02 10:04. Head of the event log: 3f9a77c0") {
		t.Error(all)
	}
}

func TestNew_Refuses(t *testing.T) {
	c := made(t, 4, 2)
	for want, r := range map[string]report.Request{
		`no state "x"`:                  {Kind: series.ModuleVolts, State: "x"},
		`no test resistor "x"`:          {Kind: series.ToChassis, Resistor: "x"},
		`has no place in a run`:         {Kind: series.ModuleVolts, Resistor: "R10k"},
		`no instrument "x"`:             {Kind: series.ModuleVolts, Instrument: "x"},
		`no stack "x"`:                  {Kind: series.ModuleVolts, Order: series.OneStack, Stack: "x"},
		`cannot have the order`:         {Kind: series.ModuleVolts, Order: series.Missing},
		`no kind of series`:             {Kind: "x"},
		`"chassis:x" is no chassis`:     {Kind: series.ToChassis, Chassis: "chassis:x"},
		`"M01-" is no chassis point of`: {Kind: series.ToChassis, Chassis: "M01-"},
	} {
		if _, err := report.New(c, r); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v, want %s", r, err, want)
		}
	}
}

func TestPages_Golden(t *testing.T) {
	pages := sheet(t, made(t, 4, 3), report.Request{Kind: series.ToChassis, Instrument: "dmm", Order: series.Snake}).Pages()
	var got strings.Builder
	for _, p := range pages {
		got.WriteString(p.Dump())
	}
	file := filepath.Join("testdata", "sheet.txt")
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(got.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got.String() != string(want) {
		t.Errorf("the sheet is drawn otherwise; -update rewrites %s: then read the difference", file)
	}
}

func BenchmarkPages_ThousandGroups(b *testing.B) {
	c := made(b, 125, 8)
	for b.Loop() {
		sheet(b, c, report.Request{Kind: series.GroupVolts}).Pages()
	}
}
