package cli_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"halfsplit/fault"
)

// An expect is what must be found in the case file beside it: NAME.expect.json
// for NAME.case.json. It states the truth that the readings were made from, and
// how closely it must be found; a field that is left out is not checked.
//
//	about                what the case is, for people
//	verdict              one of these must be stated
//	leaks                exactly these leaks, in order; [] is none, left out is not checked
//	  if                 the condition that the leak must be stated under
//	  first              the place that must lead
//	  first_share        the least share of that place
//	  among              a place that must be listed
//	  position, electrical, ohms, chassis_volts
//	    truth            must lie in the interval
//	    slack            the interval may miss it by this much (ohms: a part of it)
//	    widest           the interval may be this wide at most (ohms: a part of the truth)
//	    below            the interval's upper end must be below this
//	sections             state and negative end; both numbers
//	leading_share_below  no place may reach this share of suspicion
//	never_leading        places that may not have the largest suspicion
//	not_a_place          places that may not be listed for any leak
//	never_say            words that may not be printed
//	says                 words that must be printed
//	closure              the states must be compared, and agree
//	reference_proved     whether the chassis reference is proved
type expect struct {
	About             string
	Verdict           []string
	Leaks             []expectLeak
	Sections          []expectSection
	LeadingShareBelow float64  `json:"leading_share_below"`
	NeverLeading      []string `json:"never_leading"`
	NotAPlace         []string `json:"not_a_place"`
	NeverSay          []string `json:"never_say"`
	Says              []string
	Closure           bool
	ReferenceProved   *bool `json:"reference_proved"`
}

type expectLeak struct {
	If                         string
	First, Among               string
	FirstShare                 float64 `json:"first_share"`
	Position, Electrical, Ohms *band
}

type expectSection struct {
	State, From  string
	Ohms         *band
	ChassisVolts *band `json:"chassis_volts"`
}

type band struct{ Truth, Slack, Widest, Below float64 }

// expected loads every case with its expectation; one without the other is an
// error of the test data.
func expected(t *testing.T) map[string]expect {
	t.Helper()
	cases, _ := filepath.Glob(filepath.Join(casesDir, "*.case.json"))
	expects, _ := filepath.Glob(filepath.Join(casesDir, "*.expect.json"))
	if len(cases) == 0 || len(cases) != len(expects) {
		t.Fatalf("%d cases, %d expectations", len(cases), len(expects))
	}
	out := map[string]expect{}
	for _, path := range expects {
		raw, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		var e expect
		d := json.NewDecoder(strings.NewReader(string(raw)))
		d.DisallowUnknownFields()
		if err := d.Decode(&e); err != nil || len(e.Verdict) == 0 || e.About == "" {
			t.Fatalf("%s: %v", path, err)
		}
		out[strings.TrimSuffix(filepath.Base(path), ".expect.json")] = e
	}
	return out
}

// holds checks an interval of groups or volts.
func (b *band) holds(t *testing.T, what string, low, high fault.Number) {
	t.Helper()
	if b == nil {
		return
	}
	lo, hi := float64(low), float64(high)
	if !(lo-b.Slack <= b.Truth && b.Truth <= hi+b.Slack) {
		t.Errorf("%s: [%g, %g] misses the truth %g", what, lo, hi, b.Truth)
	}
	if b.Widest > 0 && hi-lo > b.Widest {
		t.Errorf("%s: [%g, %g] is wider than %g", what, lo, hi, b.Widest)
	}
}

// resistance checks an interval of ohms, whose ends may be open.
func (b *band) resistance(t *testing.T, what string, o fault.Bounded) {
	t.Helper()
	if b == nil {
		return
	}
	lo, hi := float64(o.Low), float64(o.High)
	if o.Relation == fault.Greater && hi != hi {
		hi = b.Truth * 1e9
	}
	if !(lo <= b.Truth*(1+b.Slack) && b.Truth*(1-b.Slack) <= hi) {
		t.Errorf("%s: [%g, %g] ohms misses the truth %g", what, lo, hi, b.Truth)
	}
	if b.Widest > 0 && hi-lo > b.Widest*b.Truth {
		t.Errorf("%s: [%g, %g] ohms is wider than %g of the truth", what, lo, hi, b.Widest)
	}
	if b.Below > 0 && !(hi < b.Below) {
		t.Errorf("%s: upper end %g ohms is not below %g", what, hi, b.Below)
	}
}
