package proving_test

import (
	"regexp"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/proving"
	"halfsplit/ui/sample"
	"halfsplit/ui/sheet"
)

func text(b []sheet.Block) string { return strings.ReplaceAll(sheet.Text(b), "\u2009", " ") }

var mustNot = regexp.MustCompile(`(?i)\b(safe|dead|ok|just|tick)\b|!|✓`)

// whole is the sample with a record in which nothing is lacking.
func whole(c *fault.Case) {
	shown := func(item, clock string, v float64) fault.MakeSafe {
		m := fault.MakeSafe{Item: item, At: "2026-03-02T" + clock + ":00+01:00", State: "split", Value: num(v), Instrument: "dmm"}
		if item == fault.SafeBefore || item == fault.SafeAfter {
			m.Known = num(500)
		}
		return m
	}
	c.MakeSafe = []fault.MakeSafe{
		{Item: fault.SafeAuthorised, Text: "A. Novak"}, {Item: fault.SafeLock, Text: "14"}, {Item: fault.SafeKey, Text: "A. Novak"},
		{Item: fault.SafeMeter, Text: "CAT III 1000 V", Instrument: "dmm"}, {Item: fault.SafeProver, Text: "unit 3", Value: num(500)},
		{Item: fault.SafeWait, Value: num(5), Text: "service sheet 12"}, {Item: fault.SafeBegan, At: "2026-03-02T10:00:00+01:00"},
		{Item: fault.SafeLimit, Value: num(5), Text: "work order 7"},
		shown(fault.SafeBefore, "10:02", 499.5), shown(fault.SafePoles, "10:06", 0.012), shown(fault.SafePlus, "10:07", 0.005), shown(fault.SafeMinus, "10:08", -0.004),
		shown(fault.SafeAfter, "10:09", 499.6),
	}
	for i := range c.MakeSafe {
		c.MakeSafe[i].ID = "k" + string(rune('a'+i))
	}
}

func TestPage_SaysWhatIsLackingAndLive(t *testing.T) {
	for name, x := range map[string]struct {
		edit func(*fault.Case)
		want []string
		not  []string
	}{
		"empty":                   {nil, []string{"Nothing recorded. The order of removal lacks 10", "Pole to pole\nnot measured", "Authorised person\nnot recorded", "Modules cannot be switched off.", "Write a reason", "expected, not measured", "Between exposed points"}, []string{"of itself"}},
		"whole":                   {whole, []string{"The wait ends at: 2026-03-02 10:05", "3 readings, 2 of 2 provings", "Nothing that the order of removal asks for is lacking", "agree by themselves: a meter whose leads are off shows the same", "499.5 V shown of a known 500 V", "0.012 V, dmm, 2026-03-02 10:06"}, []string{"Write a reason", "Lacking before"}},
		"state not known":         {func(c *fault.Case) { whole(c); c.Now = "" }, []string{"Live: not known; treat all as live.", "Modules cannot be switched off."}, []string{"M01- to"}},
		"partial layout":          {func(c *fault.Case) { c.Layout.Links[0].To = "M99-" }, []string{"Live: not known; treat all as live."}, nil},
		"nothing drawn":           {func(c *fault.Case) { *c = fault.Case{} }, []string{"Live: not known; treat all as live.", "No modules are drawn"}, nil},
		"contactors not recorded": {func(c *fault.Case) { c.States[1].Contactors = "" }, []string{"Contactors not recorded: treat the outer terminals as live."}, nil},
		"a reason": {func(c *fault.Case) {
			whole(c)
			c.MakeSafe = append(c.MakeSafe[:1:1], c.MakeSafe[2:]...)
			c.MakeSafe = append(c.MakeSafe, fault.MakeSafe{Item: fault.SafeReason, Who: "A. Novak", At: "2026-03-02T11:00:00+01:00", Text: "The lock is the shift leader's.", Lacked: []string{"No lock is recorded."}})
		}, []string{"lacks 1; a reason is recorded for each", "No lock is recorded. (a reason is recorded)", "The lock is the shift leader's. A. Novak, 2026-03-02 11:00"}, []string{"Write a reason"}},
		"two places": {func(c *fault.Case) {
			whole(c)
			c.MakeSafe = append(c.MakeSafe, fault.MakeSafe{ID: "kz", Item: fault.SafePoint, Text: "the inverter"})
		}, []string{"0 of 3 readings, 0 of 2 provings", "On these points: the inverter", "Pole to pole\nnot measured"}, nil},
	} {
		t.Run(name, func(t *testing.T) {
			got := text(proving.Page(pack(x.edit), fault.SafePoles, "2026-03-02"))
			for _, w := range x.want {
				if !strings.Contains(got, w) {
					t.Errorf("lacks %q:\n%s", w, got)
				}
			}
			for _, w := range x.not {
				if strings.Contains(got, w) {
					t.Errorf("says %q:\n%s", w, got)
				}
			}
			if w := mustNot.FindString(got); w != "" {
				t.Errorf("says %q:\n%s", w, got)
			}
		})
	}
}

// A computed decay stands beside the maker's wait where it is longer, and is never
// shown in its place.
func TestPage_DecayWhereItIsLonger(t *testing.T) {
	page := func(micro, ohms float64, edit func(*fault.Case)) string {
		return text(proving.Page(pack(func(c *fault.Case) {
			c.MakeSafe = []fault.MakeSafe{{Item: fault.SafeWait, Value: num(1), Text: "sheet"}, {Item: fault.SafeDecay, Value: num(micro * 1e-6), Ohms: num(ohms), Text: "the maker"}}
			if edit != nil {
				edit(c)
			}
		}), "", ""))
	}
	// 462 V to 60 V through 60 kΩ of 1 mF: 60 s times ln 7.7, two minutes.
	if got := page(1000, 60e3, nil); !strings.Contains(got, "Computed, not measured: 1 mF through 60.0 kΩ from 462 V to the 60 V line, which sorts equipment and is no touch limit take 2 min, longer than the maker's wait of 1 min. The reading decides.") {
		t.Error(got)
	}
	if got := page(100, 60e3, nil); strings.Contains(got, "Computed, not measured: 1") {
		t.Errorf("a shorter time is shown:\n%s", got)
	}
	if got := page(1000, 60e3, func(c *fault.Case) { c.Layout.WorkingVolts, c.Layout.NominalVolts = 0, 0 }); !strings.Contains(got, "working volts are not recorded") {
		t.Error(got)
	}
}

// Nothing that is expected shows before a value is typed; then it does, in its own
// style, and a copy of it is doubted.
func TestBlocks_ExpectedAfterTyping(t *testing.T) {
	p := pack(func(c *fault.Case) {
		whole(c)
		c.MakeSafe = c.MakeSafe[:9]
		c.States[0].Contactors, c.Now = fault.Closed, c.States[0].ID
	})
	d := proving.Begin(p, fault.SafePoles)
	want := strings.ReplaceAll(text(proving.Page(p, "", "")), "\n", " ")
	if before := text(d.Blocks(p, "Ada", noon)); strings.Contains(before, "Expected, not measured") || regexp.MustCompile(`40\d`).MatchString(before) {
		t.Errorf("before anything is typed:\n%s", before)
	}
	after := text(fill(d, "0").Blocks(p, "Ada", noon))
	m := regexp.MustCompile(`Expected, not measured: (\d+) V, from the modules`).FindStringSubmatch(after)
	if m == nil {
		t.Fatalf("after typing:\n%s\n%s", after, want)
	}
	for _, b := range fill(d, "0").Blocks(p, "Ada", noon) {
		if b.Text == "Expected, not measured" && !b.Computed {
			t.Error("what is expected looks like what was read")
		}
	}
	apart := pack(whole)
	if got := text(fill(proving.Begin(apart, fault.SafePoles), "0.3").Blocks(apart, "", noon)); !strings.Contains(got, "no path leads to modules by the recorded state; what is left on capacitors is not known") {
		t.Error(got)
	}
	if got := text(fill(proving.Begin(apart, fault.SafeAfter), "500").Blocks(apart, "", noon)); !strings.Contains(got, "Exactly the volts of the known source, to the last digit") {
		t.Error(got)
	}
}

// What was superseded stays in sight.
func TestBlocks_SupersededStays(t *testing.T) {
	p := pack(func(c *fault.Case) {
		whole(c)
		c.MakeSafe = append(c.MakeSafe, fault.MakeSafe{ID: "kz", Item: fault.SafePoles, Value: num(0.4), Who: "Ben"})
	})
	got := text(proving.Begin(p, fault.SafePoles).Blocks(p, "", noon))
	if !strings.Contains(got, "Stands: 0.4 V, time not recorded, by Ben") || !strings.Contains(got, "Superseded: 0.012 V, dmm, 2026-03-02 10:06") {
		t.Error(got)
	}
}

// Every item's page can be filled by touch: its pad types what its fields take.
func TestBlocks_EveryItemHasAPad(t *testing.T) {
	for _, item := range fault.SafeItems {
		p := pack(nil)
		got := proving.Begin(p, item).Blocks(p, "", noon)
		pads := 0
		for _, b := range got {
			if b.Kind == sheet.Pad && len(b.Keys) > 0 {
				pads++
			}
		}
		if pads != 1 {
			t.Errorf("%s has %d pads", item, pads)
		}
		if w := mustNot.FindString(text(got)); w != "" {
			t.Errorf("%s says %q", item, w)
		}
	}
	c := sample.Case()
	if proving.Standing(&c) != "nothing recorded" {
		t.Error(proving.Standing(&c))
	}
}
