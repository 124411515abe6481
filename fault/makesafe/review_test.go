package makesafe_test

import (
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/makesafe"
)

// meter is the voltmeter of these tests: ± 0.5 % and 2 counts.
var meter = fault.Instrument{ID: "dmm", Kind: "voltmeter", GainPct: 0.5, Counts: 2,
	Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}, {Max: 600, Count: 0.1}, {Max: 1000, Count: 1}}}

func num(v float64) *float64 { return &v }

// whole is a record in which nothing is lacking.
func whole() fault.Case {
	shown := func(item, clock string, v float64) fault.MakeSafe {
		return fault.MakeSafe{Item: item, At: "2026-03-02T" + clock + ":00+01:00", State: "s1", Value: num(v), Instrument: "dmm"}
	}
	proving := func(item, clock string, v float64) fault.MakeSafe {
		m := shown(item, clock, v)
		m.Known = num(690)
		return m
	}
	c := fault.Case{Now: "s1", Instruments: []fault.Instrument{meter, {ID: "other", Kind: "voltmeter", GainPct: 1, Counts: 1, Ranges: meter.Ranges}},
		States: []fault.State{{ID: "s1", Open: []string{"SD"}, Contactors: fault.Open}}}
	c.MakeSafe = []fault.MakeSafe{
		{Item: fault.SafeAuthorised, Text: "A. Novak"}, {Item: fault.SafeLock, Text: "14"}, {Item: fault.SafeKey, Text: "A. Novak"},
		{Item: fault.SafeGloves, Text: "class 0", Date: "2026-01-10"}, {Item: fault.SafeMeter, Text: "CAT III 1000 V", Date: "2026-09-01", Instrument: "dmm"},
		{Item: fault.SafeWait, Value: num(5), Text: "service sheet 12"}, {Item: fault.SafeBegan, At: "2026-03-02T10:00:00+01:00"},
		{Item: fault.SafeLimit, Value: num(5), Text: "work order 7"},
		proving(fault.SafeBefore, "10:02", 689), shown(fault.SafePoles, "10:06", 0.012), shown(fault.SafePlus, "10:07", 0.005), shown(fault.SafeMinus, "10:08", -0.004),
		proving(fault.SafeAfter, "10:09", 689),
	}
	return c
}

func apart(string) makesafe.Expected { return makesafe.Expected{Known: true} }

func joined(string) makesafe.Expected {
	return makesafe.Expected{Known: true, Joined: true, Poles: 347, Plus: 104, Minus: -243, Within: 3}
}

// set gives an item of the record another value.
func set(item string, v float64) func(*fault.Case) {
	return edit(item, func(m *fault.MakeSafe) { m.Value = num(v) })
}

func edit(item string, f func(*fault.MakeSafe)) func(*fault.Case) {
	return func(c *fault.Case) {
		for i := range c.MakeSafe {
			if c.MakeSafe[i].Item == item {
				f(&c.MakeSafe[i])
			}
		}
	}
}

func without(item string) func(*fault.Case) {
	return func(c *fault.Case) {
		c.MakeSafe = slices.DeleteFunc(c.MakeSafe, func(m fault.MakeSafe) bool { return m.Item == item })
	}
}

func both(fs ...func(*fault.Case)) func(*fault.Case) {
	return func(c *fault.Case) {
		for _, f := range fs {
			f(c)
		}
	}
}

func clock(item, at string) func(*fault.Case) {
	return edit(item, func(m *fault.MakeSafe) { m.At = "2026-03-02T" + at + ":00+01:00" })
}

func TestLacking_NothingInAWholeRecord(t *testing.T) {
	c := whole()
	if l := makesafe.Lacking(&c, apart, "2026-03-02", nil); len(l) != 0 {
		t.Errorf("lacking: %q", makesafe.Texts(l))
	}
}

// Everything that can be lacking or not fit is told, and nothing beside it.
func TestLacking_SaysWhatDoesNotFit(t *testing.T) {
	for name, x := range map[string]struct {
		edit   func(*fault.Case)
		expect func(string) makesafe.Expected
		want   []string // one for each sentence
	}{
		"no authorised person": {without(fault.SafeAuthorised), apart, []string{"No authorised person"}},
		"no lock":              {without(fault.SafeLock), apart, []string{"No lock"}},
		"nobody has the key":   {edit(fault.SafeKey, func(m *fault.MakeSafe) { m.Text = "  " }), apart, []string{"Who holds the key"}},
		"no wait":              {without(fault.SafeWait), apart, []string{"maker's wait is not recorded"}},
		"wait without source":  {edit(fault.SafeWait, func(m *fault.MakeSafe) { m.Text = "" }), apart, []string{"Where the maker's wait of 5 min stands"}},
		"wait not begun":       {without(fault.SafeBegan), apart, []string{"When the wait began"}},
		"began at no time":     {edit(fault.SafeBegan, func(m *fault.MakeSafe) { m.At = "" }), apart, []string{"When the wait began"}},
		"read too early":       {set(fault.SafeWait, 7), apart, []string{"first reading is of 10:06, and the maker's wait of 7 min that began at 10:00 ends at 10:07"}},
		"no poles":             {without(fault.SafePoles), apart, []string{"Pole to pole: not measured"}},
		"no plus":              {without(fault.SafePlus), apart, []string{"+ to chassis: not measured"}},
		"no minus":             {without(fault.SafeMinus), apart, []string{"- to chassis: not measured"}},
		"not proved before":    {without(fault.SafeBefore), apart, []string{"Proving before: not recorded. Nothing says that the meter would have shown voltage"}},
		"not proved after":     {without(fault.SafeAfter), apart, []string{"Proving after: not recorded"}},
		"proved too late":      {clock(fault.SafeBefore, "10:30"), apart, []string{"Proving before is of 10:30, after the first reading of 10:06"}},
		"proved too early":     {clock(fault.SafeAfter, "10:07"), apart, []string{"Proving after is of 10:07, before the last reading of 10:08"}},
		"proving not timed":    {edit(fault.SafeAfter, func(m *fault.MakeSafe) { m.At = "" }), apart, []string{"Proving after: its time is not recorded"}},
		"reading not timed":    {edit(fault.SafePlus, func(m *fault.MakeSafe) { m.At = "" }), apart, []string{"+ to chassis: when it was read is not recorded"}},
		"source not shown":     {set(fault.SafeAfter, 0.4), apart, []string{"Proving after: 0.4 V was shown of a known 690 V"}},
		"source a little off":  {set(fault.SafeAfter, 660), apart, []string{"outside the meter's error of 5.3 V. The tolerance of the source is not recorded"}},
		"outside the tolerance": {both(set(fault.SafeAfter, 610), edit(fault.SafeAfter, func(m *fault.MakeSafe) { m.TolPct = num(5) })), apart,
			[]string{"the tolerance of the source, 39.55 V together"}},
		"known volts unknown": {edit(fault.SafeBefore, func(m *fault.MakeSafe) { m.Known = nil }), apart, []string{"volts of the known source are not recorded"}},
		"known volts nothing": {edit(fault.SafeBefore, func(m *fault.MakeSafe) { m.Known = num(0) }), apart, []string{"volts of the known source are not recorded"}},
		"not closing": {set(fault.SafePlus, 5.5), apart, []string{"do not close: + to chassis less - to chassis is 5.504 V, pole to pole is 0.012 V",
			"+ to chassis: 5.5 V is above the limit of 5 V (work order 7). By the recorded state no path leads to modules"}},
		"no limit": {without(fault.SafeLimit), apart, []string{"Pole to pole: 0.012 V was read, and no limit with its source", "+ to chassis: 0.005 V", "- to chassis: -0.004 V"}},
		"not closing, no limit": {both(without(fault.SafeLimit), set(fault.SafePoles, 0.001), set(fault.SafePlus, 0.001), set(fault.SafeMinus, 1)), apart,
			[]string{"do not close", "- to chassis: 1 V was read, and no limit"}},
		"another meter proved": {edit(fault.SafeAfter, func(m *fault.MakeSafe) { m.Instrument = "other" }), apart, []string{"not the one that was read: dmm for proving before, pole to pole, + to chassis, - to chassis; other for proving after"}},
		"meter of a proving":   {edit(fault.SafeAfter, func(m *fault.MakeSafe) { m.Instrument = "" }), apart, []string{"689 V was shown of 690 V. By which meter"}},
		"meter of a reading":   {edit(fault.SafePlus, func(m *fault.MakeSafe) { m.Instrument = "" }), apart, []string{"By which meter is not recorded, or it has no range for this: whether they close is not known"}},
		"above the limit": {both(set(fault.SafePoles, 12), set(fault.SafePlus, 3), set(fault.SafeMinus, -9)), func(string) makesafe.Expected { return makesafe.Unknown("no layout") },
			[]string{"Pole to pole: 12 V is above the limit of 5 V (work order 7).", "- to chassis: -9 V is above"}},
		"joined, and reads zero":    {nil, joined, []string{"Pole to pole: 0.012 V was read where 347 V is expected", "+ to chassis: 0.005 V", "- to chassis: -0.004 V", "it is not isolated"}},
		"joined, reads as foretold": {both(set(fault.SafePoles, 346), set(fault.SafePlus, 103.5), set(fault.SafeMinus, -242.4)), joined, []string{"it is not isolated", "Pole to pole: 346 V is above the limit", "+ to chassis: 103.5 V is", "- to chassis: -242.4 V is"}},
		"apart, and reads volts":    {both(set(fault.SafePoles, 347), set(fault.SafePlus, 104), set(fault.SafeMinus, -243)), apart, []string{"Pole to pole: 347 V is above the limit of 5 V (work order 7). By the recorded state no path leads to modules: a contactor that did not open", "+ to chassis: 104 V", "- to chassis: -243 V"}},
		"contactors closed since": {func(c *fault.Case) {
			c.States = append(c.States, fault.State{ID: "s2", Open: []string{"SD"}, Contactors: fault.Closed})
			c.Now = "s2"
		}, apart, []string{"Recorded since the readings of 10:06: contactors closed"}},
		"disconnect closed since": {func(c *fault.Case) {
			c.States = append(c.States, fault.State{ID: "s2", Contactors: fault.Open, Connected: []string{"charger"}})
			c.Now = "s2"
		}, apart, []string{"SD closed, charger connected"}},
		"state not known now": {func(c *fault.Case) { c.Now = "" }, apart, []string{"whether it still holds is not known"}},
	} {
		t.Run(name, func(t *testing.T) {
			c := whole()
			if x.edit != nil {
				x.edit(&c)
			}
			got := makesafe.Texts(makesafe.Lacking(&c, x.expect, "2026-03-02", nil))
			if len(got) != len(x.want) {
				t.Errorf("%d sentences, want %d: %q", len(got), len(x.want), got)
			}
			for _, w := range x.want {
				if !slices.ContainsFunc(got, func(s string) bool { return strings.Contains(s, w) }) {
					t.Errorf("%q is not told: %q", w, got)
				}
			}
		})
	}
}

// What opens further takes nothing back from the readings.
func TestLacking_OpeningMoreIsNoneOfIt(t *testing.T) {
	c := whole()
	c.States = append(c.States, fault.State{ID: "s2", Open: []string{"SD", "L03"}, Contactors: fault.Open, Unplugged: []string{"B1"}})
	c.Now = "s2"
	if l := makesafe.Lacking(&c, apart, "", nil); len(l) != 0 {
		t.Errorf("lacking: %q", makesafe.Texts(l))
	}
	said := strings.Join(makesafe.Texts(makesafe.Review(&c, apart, "")), " ")
	if !strings.Contains(said, "were taken in state s1; the present state is s2") {
		t.Error(said)
	}
}

// Three zeros are told to be worth no more than the provings.
func TestReview_ThreeZeros(t *testing.T) {
	c := whole()
	without(fault.SafeLimit)(&c)
	said := func() string { return strings.Join(makesafe.Texts(makesafe.Review(&c, apart, "2026-03-02")), "\n") }
	if got := said(); !strings.Contains(got, "agree by themselves: a meter whose leads are off shows the same") {
		t.Error(got)
	}
	both(set(fault.SafePoles, 12), set(fault.SafePlus, 6), set(fault.SafeMinus, -6))(&c)
	if got := said(); strings.Contains(got, "agree by themselves") || !strings.Contains(got, "The readings close") {
		t.Error(got)
	}
}

// Dates that have passed are marked and stand before nothing.
func TestReview_OverdueIsMarked(t *testing.T) {
	c := whole()
	edit(fault.SafeGloves, func(m *fault.MakeSafe) { m.Date = "" })(&c)
	list := makesafe.Review(&c, apart, "2027-01-01")
	said := strings.Join(makesafe.Texts(list), "\n")
	for _, want := range []string{"Meter: calibration was due on 2026-09-01", "test date is not recorded"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not told:\n%s", want, said)
		}
	}
	if slices.ContainsFunc(list, func(r makesafe.Remark) bool { return r.Lacks }) {
		t.Error("something stands before the next step")
	}
}

// What is described of the meter is held against the pack, and stands before nothing.
func TestReview_TheMetersOwnDescription(t *testing.T) {
	c := whole()
	c.Layout.WorkingVolts = 800
	c.Instruments[0].Ratings, c.Instruments[0].CalDue = []fault.Rating{{Category: "III", Volts: 600}, {Category: "II", Volts: 700}}, "2026-02-01"
	said := func() string { return strings.Join(makesafe.Texts(makesafe.Review(&c, apart, "2026-03-02")), "\n") }
	if got := said(); !strings.Contains(got, "Meter dmm is rated for 700 V at most, and the pack's working volts are 800 V.") || strings.Contains(got, "overdue") {
		t.Error(got)
	}
	edit(fault.SafeMeter, func(m *fault.MakeSafe) { m.Date = "" })(&c)
	if got := said(); !strings.Contains(got, "Meter dmm: calibration overdue: it was due 2026-02-01.") {
		t.Error(got)
	}
	if l := makesafe.Lacking(&c, apart, "2026-03-02", nil); len(l) != 0 {
		t.Errorf("lacking: %q", makesafe.Texts(l))
	}
	c.Layout.WorkingVolts, c.Instruments[0].Ratings = 700, append(c.Instruments[0].Ratings, fault.Rating{Category: "II", Volts: 1000})
	if got := said(); strings.Contains(got, "is rated for") {
		t.Error(got)
	}
}

// Two places are each looked at by themselves.
func TestLacking_ASecondPlace(t *testing.T) {
	c := whole()
	c.MakeSafe = append(c.MakeSafe, fault.MakeSafe{Item: fault.SafePoint, Text: "the inverter"},
		fault.MakeSafe{Item: fault.SafePoles, Point: "the inverter", At: "2026-03-02T10:20:00+01:00", State: "s1", Value: num(0.1), Instrument: "dmm"})
	if p := makesafe.Points(&c); !slices.Equal(p, []string{"", "the inverter"}) {
		t.Errorf("places %q", p)
	}
	if r, p := makesafe.Count(&c); r != 1 || p != 0 {
		t.Errorf("%d readings and %d provings at the inverter", r, p)
	}
	got := makesafe.Texts(makesafe.Lacking(&c, func(at string) makesafe.Expected {
		if at == "" {
			return apart(at)
		}
		return makesafe.Unknown("the layout does not say what this place is joined to")
	}, "", nil))
	if len(got) != 4 || !strings.Contains(strings.Join(got, " "), "+ to chassis at the inverter: not measured") {
		t.Errorf("%q", got)
	}
}

// Nothing that is said may be read as leave to touch.
func TestReview_SaysNothingThatItMust(t *testing.T) {
	word := regexp.MustCompile(`(?i)\b(safe|dead|ok|only just|harmless|discharged)\b|!`)
	for _, expect := range []func(string) makesafe.Expected{apart, joined, func(string) makesafe.Expected { return makesafe.Unknown("no layout") }} {
		for _, drop := range append(slices.Clone(fault.SafeItems), "") {
			c := whole()
			without(drop)(&c)
			for _, r := range makesafe.Review(&c, expect, "2027-01-01") {
				if word.MatchString(r.Text) {
					t.Errorf("it says %q", r.Text)
				}
			}
		}
	}
}

func TestClose_ByHand(t *testing.T) {
	for name, x := range map[string]struct {
		poles, plus, minus float64
		closes             bool
		hint               string
	}{
		"zeros":                {0, 0, 0, true, ""},
		"a leak of 180 kΩ":     {347.2, 103.6, -237.5, false, "less to chassis"}, // 341.1 of 347.2: the meter loads it
		"a hard leak":          {355.6, 177.8, -177.8, true, ""},
		"signs as typed":       {355.6, 177.8, 177.8, false, "- to chassis is reversed"},
		"both as magnitudes":   {355.6, -177.8, -177.8, false, "+ to chassis is reversed"},
		"floating and healthy": {350.4, 87.6, -87.6, false, "a meter that is moved on a floating circuit"},
		"more than there is":   {10, 100, -100, false, ""},
	} {
		t.Run(name, func(t *testing.T) {
			c := whole()
			both(set(fault.SafePoles, x.poles), set(fault.SafePlus, x.plus), set(fault.SafeMinus, x.minus))(&c)
			k, bounded, all := makesafe.Close(&c, "")
			if !bounded || !all || k.Closes != x.closes || !strings.Contains(k.Hint, x.hint) || x.hint == "" && k.Hint != "" {
				t.Errorf("%+v, %v, %v", k, bounded, all)
			}
		})
	}
}

// 347.2 V on the 600 V range: 0.5 % is 1.736 V, two counts 0.2 V.
func TestBound_ByHand(t *testing.T) {
	got, ok := makesafe.Bound(meter, fault.MakeSafe{Value: num(-347.2), Raw: "-347.2"})
	if !ok || math.Abs(got-1.936) > 1e-12 {
		t.Errorf("%g, %v", got, ok)
	}
	if _, ok := makesafe.Bound(meter, fault.MakeSafe{Value: num(1200)}); ok {
		t.Error("a range beyond the meter's")
	}
}

// 1 mF and 30 kΩ: 57 s from 400 V to 60 V, 78 s from 800 V.
func TestDecay_ByHand(t *testing.T) {
	for from, want := range map[float64]float64{400: 56.9136, 800: 77.7080, 60: 0, 10: 0} {
		if got := makesafe.Decay(1e-3, 30e3, from, 60); math.Abs(got-want) > 1e-3 {
			t.Errorf("from %g V: %g s, want %g", from, got, want)
		}
	}
	for _, bad := range [][2]float64{{0, 1}, {1, 0}, {math.NaN(), 1}, {-1, 1}} {
		if got := makesafe.Decay(bad[0], bad[1], 400, 60); got != 0 {
			t.Errorf("%v gives %g s", bad, got)
		}
	}
}

func TestCopied_DoubtsWhatIsTheSameToTheLastDigit(t *testing.T) {
	c := whole()
	both(set(fault.SafePoles, 347), set(fault.SafePlus, 104.2))(&c)
	for name, x := range map[string]struct {
		m    fault.MakeSafe
		want string
	}{
		"as computed":       {fault.MakeSafe{Item: fault.SafePoles, Value: num(347)}, "exactly what is computed"},
		"a little beside":   {fault.MakeSafe{Item: fault.SafePoles, Value: num(346.9)}, ""},
		"as its source":     {fault.MakeSafe{Item: fault.SafeAfter, Value: num(690), Known: num(690)}, "exactly the volts of the known source"},
		"as before":         {fault.MakeSafe{Item: fault.SafeAfter, Value: num(689), Known: num(690)}, ""},
		"as the one before": {fault.MakeSafe{Item: fault.SafeMinus, Value: num(104.2)}, "the same number as + to chassis"},
		"zeros":             {fault.MakeSafe{Item: fault.SafeMinus, Value: num(0)}, ""},
	} {
		if got := makesafe.Copied(&c, x.m, joined("")); !strings.Contains(got, x.want) || x.want == "" && got != "" {
			t.Errorf("%s: %q", name, got)
		}
	}
}

func TestReason_NeedsANameAndASentence(t *testing.T) {
	good := "The key is held by the shift leader, who decided to go on."
	if err := makesafe.Reason("A. Novak", good); err != nil {
		t.Error(err)
	}
	for _, bad := range [][2]string{{"", good}, {"  ", good}, {"A", ""}, {"A", "ok"}, {"A", "go on now"}, {"A", "yes yes yes yes yes"}} {
		if makesafe.Reason(bad[0], bad[1]) == nil {
			t.Errorf("%q by %q is taken for a reason", bad[1], bad[0])
		}
	}
}

// A reason answers what was lacking when it was written and nothing after it.
func TestUncovered_AReasonAnswersWhatWasLacking(t *testing.T) {
	c := whole()
	without(fault.SafeLock)(&c)
	lacking := func() []makesafe.Remark { return makesafe.Lacking(&c, apart, "", []string{"L03 ends nowhere."}) }
	if n := len(makesafe.Uncovered(&c, lacking())); n != 2 {
		t.Fatalf("%d uncovered", n)
	}
	c.MakeSafe = append(c.MakeSafe, fault.MakeSafe{Item: fault.SafeReason, Who: "A. Novak", Text: "The lock was taken over from the shift before.", Lacked: makesafe.Texts(lacking())})
	if left := makesafe.Uncovered(&c, lacking()); len(left) != 0 {
		t.Errorf("left: %q", makesafe.Texts(left))
	}
	without(fault.SafeAfter)(&c)
	if left := makesafe.Uncovered(&c, lacking()); len(left) != 1 || left[0].Item != fault.SafeAfter {
		t.Errorf("left: %q", makesafe.Texts(left))
	}
	c.MakeSafe[len(c.MakeSafe)-1].Who = ""
	if left := makesafe.Uncovered(&c, lacking()); len(left) != 3 {
		t.Errorf("by nobody: %q", makesafe.Texts(left))
	}
}

// Leads that pick up a little close within the limit of the procedure, and that is
// told with both numbers.
func TestReview_ALittleNoiseClosesWithinTheLimit(t *testing.T) {
	c := whole()
	both(set(fault.SafePoles, 0.2), set(fault.SafePlus, 0.5), set(fault.SafeMinus, 0.4))(&c)
	if l := makesafe.Lacking(&c, apart, "", nil); len(l) != 0 {
		t.Errorf("lacking: %q", makesafe.Texts(l))
	}
	said := strings.Join(makesafe.Texts(makesafe.Review(&c, apart, "")), "\n")
	if !strings.Contains(said, "by less than the limit of 5 V (work order 7): + to chassis less - to chassis is 0.1 V, pole to pole is 0.2 V") {
		t.Error(said)
	}
}
