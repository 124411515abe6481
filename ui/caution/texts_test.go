package caution_test

import (
	"regexp"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/caution"
	"halfsplit/ui/facts"
	"halfsplit/ui/sample"
	"halfsplit/ui/sheet"
)

func pack(edit func(*fault.Case)) *facts.Pack {
	f, c := sample.Finding(), sample.Case()
	if edit != nil {
		edit(&c)
	}
	return facts.New(c, facts.Result{Status: facts.Ready, Finding: &f})
}

// small is the pack at a tenth of its volts, without a finding.
func small() *facts.Pack {
	c := sample.Case()
	for i := range c.GroupVolts {
		v := append([]float64(nil), c.GroupVolts[i].Volts...)
		for k := range v {
			v[k] /= 10
		}
		c.GroupVolts[i].Volts = v
	}
	c.Readings, c.Layout.WorkingVolts, c.Layout.NominalVolts = nil, 46, 40
	return facts.New(c, facts.Result{})
}

func plain(s string) string { return strings.ReplaceAll(s, "\u2009", " ") }

func closed(c *fault.Case) { c.Now = c.States[0].ID }

func TestTexts_ThisJobsNumbers(t *testing.T) {
	p := pack(nil)
	for name, x := range map[string]struct {
		text  caution.Text
		short string
		full  []string
		not   string
	}{
		"make safe, split":           {caution.ForMakeSafe(p), " stay inside", []string{"The inside stays live: ", "expected, not measured", "Modules cannot be switched off", "outer terminals says nothing of the inside", "authorised", "come first"}, "With SD open"},
		"make safe, closed":          {caution.ForMakeSafe(pack(closed)), " inside", []string{"With SD open, ", " remain inside"}, "Below 60 V"},
		"make safe, state not known": {caution.ForMakeSafe(pack(func(c *fault.Case) { c.Now = "" })), "Live: not known; treat all as live", []string{"Live: not known; treat all as live.", "Modules cannot be switched off."}, "expected, not measured"},
		"make safe, partial layout":  {caution.ForMakeSafe(pack(func(c *fault.Case) { c.Layout.Links[0].To = "M99-" })), "treat all as live", []string{"Live: not known"}, "expected, not measured"},
		"make safe, small":           {caution.ForMakeSafe(small()), "inside", []string{"Below 60 V a short circuit still burns"}, ""},
		"reading":                    {caution.ForReading(p), "up to 240 V, not measured", []string{"rated for at least 462 V", "clip goes on first and comes off last", "computed, not measured"}, "Below 60 V"},
		"reading, not known":         {caution.ForReading(pack(func(c *fault.Case) { c.Now = "" })), "treat all as live", []string{"rated for at least 462 V"}, "computed"},
		"resistor":                   {caution.ForResistor(p, "R200k"), "R200k, up to 1.2 mA, 0.29 W", []string{"Its rating: 2 W, 1000 V", "chassis end on first and off last"}, "more than it is rated for"},
		"resistor, too weak":         {caution.ForResistor(pack(func(c *fault.Case) { c.Resistors[0].Watts = 0.1 }), "R200k"), "R200k", []string{"more than it is rated for"}, ""},
		"resistor, not known":        {caution.ForResistor(pack(func(c *fault.Case) { c.Now = "" }), "R200k"), "live pole", []string{"treat all as live"}, "mA"},
		"tester on a live section":   {caution.ForTester(p, 500), "in series with the tester", []string{"above a tenth of them, what it shows is no resistance", "boards out"}, ""},
		"tester, small":              {caution.ForTester(small(), -500), "boards out", []string{"discharge after"}, "in series"},
	} {
		t.Run(name, func(t *testing.T) {
			whole := plain(x.text.Whole())
			if !strings.Contains(plain(x.text.Short), x.short) {
				t.Errorf("in short %q", x.text.Short)
			}
			for _, w := range x.full {
				if !strings.Contains(whole, w) {
					t.Errorf("lacks %q: %s", w, whole)
				}
			}
			if x.not != "" && strings.Contains(whole, x.not) {
				t.Errorf("says %q: %s", x.not, whole)
			}
			if regexp.MustCompile(`(?i)\b(safe|dead|ok|only|just)\b|!`).MatchString(whole + x.text.Short) {
				t.Errorf("says what it must not: %s", whole)
			}
		})
	}
}

// The numbers are those of the sections, by hand: 14 modules of 8 groups but one of
// 6, about 3.65 V each, apart at SD.
func TestForMakeSafe_NumbersAreTheSections(t *testing.T) {
	text := plain(caution.ForMakeSafe(pack(closed)).Whole())
	m := regexp.MustCompile(`With SD open, (\d+) V and (\d+) V remain`).FindStringSubmatch(text)
	if m == nil || m[1] != "205" || m[2] != "197" {
		t.Errorf("%v in %s", m, text)
	}
}

// In full once, then one line that can be pressed; asked again of another person.
func TestBlocks_OneLineAfterTheFirstTime(t *testing.T) {
	p, m := pack(nil), &caution.Memory{}
	look := func(visit int, who string) string {
		return plain(sheet.Text(m.Blocks(p, caution.MakeSafe, caution.ForMakeSafe(p), caution.Moment{State: p.Case.Now, Who: who, Visit: visit})))
	}
	if got := look(1, "A"); !strings.HasPrefix(got, "The inside stays live") {
		t.Error(got)
	}
	if got := look(2, "A"); !strings.HasPrefix(got, "Caution: ") || strings.Count(got, "\n") != 1 || !strings.Contains(got, " V") {
		t.Error(got)
	}
	if got := look(3, "B"); !strings.Contains(got, "Is the state still: SD open") || !strings.Contains(got, "The inside stays live") {
		t.Error(got)
	}
}

func TestGiven_TheLeakStandsInTheOneLine(t *testing.T) {
	p, m := pack(nil), &caution.Memory{}
	list := []string{"The inside stays live in state split (expected, not measured): 205 V.", "The leak near M10.1 puts up to 150 V between chassis and M14+, behind about 179 kΩ. A second fault removes that resistance.", "Local codes come first."}
	look := func(visit int) string {
		return plain(sheet.Text(m.Given(p, caution.Finding, list, caution.Moment{State: "split", Visit: visit})))
	}
	if got := look(1); strings.Count(got, "\n") != 3 {
		t.Error(got)
	}
	if got := look(2); got != "Caution: The leak near M10.1 puts up to 150 V between chassis and M14+, behind about 179 kΩ\n" {
		t.Errorf("%q", got)
	}
	if m.Given(p, caution.Finding, nil, caution.Moment{}) != nil {
		t.Error("a caution without words")
	}
}
