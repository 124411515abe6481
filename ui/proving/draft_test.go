package proving_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"halfsplit/fault"
	"halfsplit/ui/facts"
	"halfsplit/ui/proving"
	"halfsplit/ui/sample"
)

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.FixedZone("", 3600))

func pack(edit func(*fault.Case)) *facts.Pack {
	f, c := sample.Finding(), sample.Case()
	if edit != nil {
		edit(&c)
	}
	return facts.New(c, facts.Result{Status: facts.Ready, Finding: &f})
}

// fill types a text into each field.
func fill(d proving.Draft, texts ...string) proving.Draft {
	for i, t := range texts {
		d.At = i
		for _, r := range t {
			d = d.Type(r)
		}
	}
	return d
}

func num(v float64) *float64 { return &v }

func TestEntry_ReadsWhatWasTyped(t *testing.T) {
	known := func(c *fault.Case) {
		c.MakeSafe = []fault.MakeSafe{{ID: "k1", Item: fault.SafeProver, Text: "unit 3", Value: num(690), TolPct: num(2)}, {ID: "k2", Item: fault.SafeMeter, Instrument: "dmm"}, {ID: "k3", Item: fault.SafePoint, Text: "the inverter"}}
	}
	for name, x := range map[string]struct {
		item  string
		texts []string
		want  fault.MakeSafe
	}{
		"a name":          {fault.SafeAuthorised, []string{" A. Novak "}, fault.MakeSafe{Text: "A. Novak", At: "2026-03-02T12:00:00+01:00"}},
		"gloves":          {fault.SafeGloves, []string{"class 0", "2026-01-10"}, fault.MakeSafe{Text: "class 0", Date: "2026-01-10", At: "2026-03-02T12:00:00+01:00"}},
		"the meter":       {fault.SafeMeter, []string{"", "CAT III 1000 V", "2026-09-01"}, fault.MakeSafe{Instrument: "dmm", Text: "CAT III 1000 V", Date: "2026-09-01", At: "2026-03-02T12:00:00+01:00"}},
		"the source":      {fault.SafeProver, []string{"unit 3", "690", "2,5"}, fault.MakeSafe{Text: "unit 3", Value: num(690), Raw: "690", TolPct: num(2.5), At: "2026-03-02T12:00:00+01:00"}},
		"the wait":        {fault.SafeWait, []string{"5", "sheet 12"}, fault.MakeSafe{Value: num(5), Raw: "5", Text: "sheet 12", At: "2026-03-02T12:00:00+01:00"}},
		"it begins now":   {fault.SafeBegan, nil, fault.MakeSafe{At: "2026-03-02T12:00:00+01:00"}},
		"it began":        {fault.SafeBegan, []string{"10:42"}, fault.MakeSafe{At: "2026-03-02T10:42:00+01:00"}},
		"it began before": {fault.SafeBegan, []string{"2026-03-01 22:10"}, fault.MakeSafe{At: "2026-03-01T22:10:00+01:00"}},
		"what decays":     {fault.SafeDecay, []string{"1000", "30k", "the maker"}, fault.MakeSafe{Value: num(1e-3), Raw: "1000", Ohms: num(30e3), Text: "the maker", At: "2026-03-02T12:00:00+01:00"}},
		"a reading":       {fault.SafePlus, []string{"-0,2 V", "11:05"}, fault.MakeSafe{Value: num(-0.2), Raw: "-0,2 V", Point: "the inverter", Instrument: "dmm", At: "2026-03-02T11:05:00+01:00"}},
		"an exponent":     {fault.SafePlus, []string{"1.2e2V", "11:05"}, fault.MakeSafe{Value: num(120), Raw: "1.2e2V", Point: "the inverter", Instrument: "dmm", At: "2026-03-02T11:05:00+01:00"}},
		"a proving":       {fault.SafeAfter, []string{"689"}, fault.MakeSafe{Value: num(689), Raw: "689", Point: "the inverter", Instrument: "dmm", Known: num(690), TolPct: num(2), At: "2026-03-02T12:00:00+01:00"}},
		"the poles again": {fault.SafePoint, nil, fault.MakeSafe{At: "2026-03-02T12:00:00+01:00"}},
	} {
		t.Run(name, func(t *testing.T) {
			p := pack(known)
			d := fill(proving.Begin(p, x.item), x.texts...)
			got, err := d.Entry(p, noon)
			if err != nil {
				t.Fatal(err)
			}
			x.want.Item, x.want.State = x.item, "split"
			if g, w := got.Name()+proving.Said(got)+got.At+got.State+got.Instrument+got.Point+got.Raw+got.Date, x.want.Name()+proving.Said(x.want)+x.want.At+x.want.State+x.want.Instrument+x.want.Point+x.want.Raw+x.want.Date; g != w {
				t.Errorf("got  %s\nwant %s", g, w)
			}
			for _, v := range [][2]*float64{{got.Value, x.want.Value}, {got.Known, x.want.Known}, {got.TolPct, x.want.TolPct}, {got.Ohms, x.want.Ohms}} {
				if (v[0] == nil) != (v[1] == nil) || v[0] != nil && *v[0] != *v[1] {
					t.Errorf("numbers %+v, want %+v", got, x.want)
				}
			}
		})
	}
}

// A bare number is volts, and nothing but volts is taken where a proving counts.
func TestEntry_RefusesPlainly(t *testing.T) {
	for name, x := range map[string]struct {
		item  string
		texts []string
		at    int
		words string
	}{
		"millivolts":               {fault.SafePoles, []string{"12 mV"}, 0, "takes volts, without \"m\": write 0.012"},
		"a bare prefix":            {fault.SafePoles, []string{"12m"}, 0, "without \"m\""},
		"kilovolts":                {fault.SafeBefore, []string{"0.69k"}, 0, "without \"k\": write 690"},
		"an overflow":              {fault.SafePlus, []string{"OL"}, 0, "choose a higher range"},
		"a bound":                  {fault.SafePlus, []string{"<1"}, 0, "a bound is no reading"},
		"two decimal marks":        {fault.SafePlus, []string{"1.2.3"}, 0, "more than one decimal mark"},
		"a thousand or a decimal":  {fault.SafePlus, []string{"1,234"}, 0, "may be a thousand or a decimal"},
		"nothing":                  {fault.SafeMinus, nil, 0, "nothing was typed"},
		"ahead of the clock":       {fault.SafeMinus, []string{"0", "12:01"}, 1, "ahead of the clock"},
		"no time":                  {fault.SafeBegan, []string{"25:00"}, 0, "a time is written like"},
		"no date":                  {fault.SafeGloves, []string{"class 0", "1.2.2026"}, 1, "a date is written like"},
		"a wait without source":    {fault.SafeWait, []string{"5"}, 1, "nothing was typed"},
		"a limit in millivolts":    {fault.SafeLimit, []string{"500m", "sheet"}, 0, "without \"m\": write 0.5"},
		"a limit below zero":       {fault.SafeLimit, []string{"-5", "sheet"}, 0, "below zero"},
		"a source of no volts":     {fault.SafeProver, []string{"unit", "0"}, 1, "zero is no value"},
		"a source of millivolts":   {fault.SafeProver, []string{"unit", "690m"}, 1, "without \"m\""},
		"a tolerance beyond sense": {fault.SafeProver, []string{"unit", "690", "120"}, 2, "no tolerance"},
		"no capacitance":           {fault.SafeDecay, []string{"0", "30k", "x"}, 0, "zero is no value"},
		"no resistance":            {fault.SafeDecay, []string{"1", "0", "x"}, 1, "above zero"},
		"a nameless person":        {fault.SafeAuthorised, []string{"   "}, 0, "nothing was typed"},
	} {
		t.Run(name, func(t *testing.T) {
			p := pack(nil)
			d := fill(proving.Begin(p, x.item), x.texts...)
			_, err := d.Entry(p, noon)
			if err == nil || !strings.Contains(err.Error(), x.words) || d.At != x.at {
				t.Errorf("field %d: %v", d.At, err)
			}
		})
	}
	p := pack(func(c *fault.Case) { c.Instruments = nil })
	d := proving.Begin(p, fault.SafeMeter)
	if _, err := d.Entry(p, noon); err == nil || !strings.Contains(err.Error(), "no voltmeter is described") {
		t.Error(err)
	}
}

// The meter's own description fills its fields, and another meter's takes its place.
func TestBegin_TheMetersDescription(t *testing.T) {
	p := pack(func(c *fault.Case) {
		c.Instruments[0].Ratings, c.Instruments[0].CalDue = []fault.Rating{{Category: "III", Volts: 1000}}, "2026-09-01"
		other := c.Instruments[0]
		other.ID, other.Ratings, other.CalDue = "second", nil, ""
		c.Instruments = append(c.Instruments, other)
	})
	d := proving.Begin(p, fault.SafeMeter)
	m, err := d.Entry(p, noon)
	if err != nil || m.Text != "CAT III 1000 V" || m.Date != "2026-09-01" || m.Instrument != "dmm" {
		t.Errorf("%+v, %v", m, err)
	}
	d.At = 0
	d = d.Choose(&p.Case, 1)
	if m, err := d.Entry(p, noon); err != nil || m.Text != "" || m.Date != "" || m.Instrument != "second" {
		t.Errorf("%+v, %v", m, err)
	}
}

// Without a clock a time has to be written whole, and is never made up.
func TestEntry_WithoutAClock(t *testing.T) {
	p := pack(nil)
	d := fill(proving.Begin(p, fault.SafePoles), "0.1")
	if m, err := d.Entry(p, time.Time{}); err != nil || m.At != "" {
		t.Errorf("%q, %v", m.At, err)
	}
	d = fill(d, "", "10:42")
	if _, err := d.Entry(p, time.Time{}); err == nil {
		t.Error("a time of no day was taken")
	}
}

// Every item has fields, and what comes next leads through all that a record needs.
func TestNext_LeadsThroughTheRecord(t *testing.T) {
	c := sample.Case()
	var order []string
	for from := ""; ; {
		next := proving.Next(&c, from)
		if next == "" {
			break
		}
		if slices.Contains(order, next) {
			t.Fatalf("%s comes twice: %q", next, order)
		}
		order = append(order, next)
		c.MakeSafe = append(c.MakeSafe, fault.MakeSafe{Item: next, Text: "x", Value: num(1)})
		from = next
	}
	want := []string{fault.SafeAuthorised, fault.SafeMeter, fault.SafeProver, fault.SafeLock, fault.SafeKey, fault.SafeWait, fault.SafeBegan,
		fault.SafeBefore, fault.SafePoles, fault.SafePlus, fault.SafeMinus, fault.SafeAfter}
	if !slices.Equal(order, want) {
		t.Errorf("order %q", order)
	}
	for _, item := range append(proving.Items(), fault.SafeReason) {
		if d := proving.Begin(pack(nil), item); len(d.Fields) == 0 {
			t.Errorf("%s has no field", item)
		}
	}
	if n := len(proving.Items()) + 1; n != len(fault.SafeItems) {
		t.Errorf("%d items on the page, %d in the record", n, len(fault.SafeItems))
	}
}

// No character that was typed falls out of a number: it is refused by its name.
func TestType_NoCharacterIsDropped(t *testing.T) {
	for _, x := range []struct{ item, text, says string }{
		{fault.SafePlus, "1x5", `"x" does not belong`}, {fault.SafeWait, "1q5", `"q" does not belong`}, {fault.SafeLimit, "6a0", `"a" does not belong`}, {fault.SafePlus, "1200 mV", `without "m"`},
	} {
		d := fill(proving.Begin(pack(nil), x.item), x.text)
		if _, err := d.Entry(pack(nil), noon); err == nil || !strings.Contains(err.Error(), x.says) || d.Fields[0].Text != x.text {
			t.Errorf("%s: %q is read, %v", x.text, d.Fields[0].Text, err)
		}
	}
}
