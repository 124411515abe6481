package doubt_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/locate"
	"halfsplit/ui/casefile"
	"halfsplit/ui/doubt"
	"halfsplit/ui/sample"
)

func TestMended_WhatWouldTakeItsPlace(t *testing.T) {
	for name, c := range map[string]struct {
		d    fault.Doubt
		want []fault.Reading // value, state and what it supersedes
	}{
		"sign":       {fault.Doubt{Reading: "r7", Kind: doubt.Sign}, []fault.Reading{{Value: 68.1, State: "split", Supersedes: "r7", Range: 600}}},
		"scale":      {fault.Doubt{Reading: "r7", Kind: doubt.Scale, FitsIf: "it is a tenth of what was entered: -6.81 V"}, []fault.Reading{{Value: -6.81, State: "split", Supersedes: "r7"}}},
		"transposed": {fault.Doubt{Reading: "r7", Kind: doubt.Transposed, With: "r8"}, []fault.Reading{{Value: -39.9, State: "split", Supersedes: "r7", Range: 600}, {Value: -68.1, State: "split", Supersedes: "r8", Range: 600}}},
		"stale":      {fault.Doubt{Reading: "r6", Kind: doubt.Stale, With: "closed"}, []fault.Reading{{Value: 125.9, State: "closed", Supersedes: "r6", Range: 600}}},
	} {
		t.Run(name, func(t *testing.T) {
			cas := sample.Case()
			got, err := doubt.Mended(&cas, c.d)
			if err != nil || len(got) != len(c.want) {
				t.Fatalf("%+v, %v", got, err)
			}
			for i, w := range c.want {
				was, _ := cas.Reading(w.Supersedes)
				g := got[i]
				if math.Abs(g.Value-w.Value) > 1e-9 || g.State != w.State || g.Supersedes != w.Supersedes || g.Range != w.Range || g.ID != "" || g.Raw != "" ||
					g.Red != was.Red || g.Black != was.Black || g.Instrument != was.Instrument || g.At != was.At {
					t.Errorf("%+v for %+v", g, was)
				}
			}
		})
	}
}

func TestMended_SaysWhyThereIsNone(t *testing.T) {
	cas := sample.Case()
	for name, c := range map[string]struct {
		d    fault.Doubt
		want string
	}{
		"copied":           {fault.Doubt{Reading: "r3", Kind: doubt.Copied, With: "r1"}, "read it again"},
		"no such reading":  {fault.Doubt{Reading: "r99", Kind: doubt.Sign}, "no reading"},
		"no such state":    {fault.Doubt{Reading: "r3", Kind: doubt.Stale, With: "wet"}, "no state"},
		"no such partner":  {fault.Doubt{Reading: "r3", Kind: doubt.Transposed, With: "r99"}, "no reading"},
		"factor not given": {fault.Doubt{Reading: "r3", Kind: doubt.Scale, FitsIf: "it is otherwise"}, "by how much"},
	} {
		if got, err := doubt.Mended(&cas, c.d); err == nil || got != nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, %v", name, got, err)
		}
	}
	cas.Readings[7].TogetherWith = "r7"
	if _, err := doubt.Mended(&cas, fault.Doubt{Reading: "r7", Kind: doubt.Sign}); err == nil || !strings.Contains(err.Error(), "correct r8 first") {
		t.Errorf("a pair is torn apart: %v", err)
	}
}

// What the engine doubts of a spoilt entry can be mended, and then it is doubted no
// more.
func TestMended_AnswersTheEngine(t *testing.T) {
	for name, spoil := range map[string]func(*fault.Reading){
		doubt.Sign:  func(r *fault.Reading) { r.Value, r.Raw = -r.Value, "" },
		doubt.Scale: func(r *fault.Reading) { r.Value, r.Raw, r.Range = r.Value/10, "", 0 },
	} {
		t.Run(name, func(t *testing.T) {
			c, err := casefile.Demo()
			if err != nil {
				t.Fatal(err)
			}
			c.Readings = append([]fault.Reading(nil), c.Readings...)
			at := -1
			for i, r := range c.Readings {
				if r.State == c.Now && r.Black == "chassis" && math.Abs(r.Value) > 20 && r.Resistor == nil {
					at = i
				}
			}
			was := c.Readings[at]
			spoil(&c.Readings[at])
			f, err := locate.Find(context.Background(), c, nil)
			if err != nil {
				t.Fatal(err)
			}
			d := of(f, was.ID)
			if d.Kind != name {
				t.Fatalf("%s of %s is doubted as %+v", name, was.ID, f.Doubts)
			}
			m, err := doubt.Mended(&c, d)
			if err != nil || len(m) != 1 || math.Abs(m[0].Value-was.Value) > 1e-9 {
				t.Fatalf("mended to %+v, %v; it was %g", m, err, was.Value)
			}
			m[0].ID, m[0].Why = "mended", doubt.Why(d)
			if c, err = c.With(m[0]); err != nil {
				t.Fatal(err)
			}
			if f, err = locate.Find(context.Background(), c, nil); err != nil || of(f, "mended").Kind != "" {
				t.Errorf("doubted again: %+v, %v", f.Doubts, err)
			}
		})
	}
}

// of is the doubt that a finding has of a reading.
func of(f fault.Finding, id string) fault.Doubt {
	for _, d := range f.Doubts {
		if d.Reading == id {
			return d
		}
	}
	return fault.Doubt{}
}

func TestStanding_KeepsTheKeystrokesAndNeedsANote(t *testing.T) {
	cas := sample.Case()
	if _, err := doubt.Standing(&cas, "r9", " "); err == nil {
		t.Error("kept without a note")
	}
	r, err := doubt.Standing(&cas, "r9", " read twice ")
	if err != nil || r.Value != 6.7 || r.Raw != "6.7" || r.Stands != "read twice" || r.Supersedes != "r9" || r.ID != "" {
		t.Errorf("%+v, %v", r, err)
	}
	r.ID, r.Why = "r10", doubt.WhyKept(r.Stands)
	cas, err = cas.With(r)
	if err != nil {
		t.Fatal(err)
	}
	if k := doubt.Kept(&cas); len(k) != 1 || k[0].ID != "r10" {
		t.Errorf("kept are %+v", k)
	}
	if !doubt.Stands(&cas, fault.Doubt{Reading: "r8", Kind: doubt.Transposed, With: "r10"}) || doubt.Stands(&cas, fault.Doubt{Reading: "r8", Kind: doubt.Copied, With: "r10"}) {
		t.Error("what is exchanged with one that stands is answered; what was copied from it is not")
	}
	if !doubt.Stands(&cas, fault.Doubt{Reading: "r10", Kind: doubt.Sign}) || doubt.Stands(&cas, fault.Doubt{Reading: "r9", Kind: doubt.Sign}) ||
		doubt.Stands(&cas, fault.Doubt{Reading: "r10", Kind: doubt.Input, With: "dmm"}) {
		t.Error("what stands is not told")
	}
}

func TestWords_EveryKindIsSaid(t *testing.T) {
	for d, want := range map[fault.Doubt]string{
		{Reading: "r9", Kind: doubt.Sign}:                          "r9: its sign may be reversed",
		{Reading: "r9", Kind: doubt.Transposed, With: "r8"}:        "r9: it and r8 may be exchanged",
		{Reading: "r9", Kind: doubt.Stale, With: "closed"}:         "r9: it may belong to state closed",
		{Reading: "r9", Kind: doubt.Input, With: "dmm"}:            "The input resistance of dmm may be another",
		{Reading: "r9", Kind: doubt.Mirrored, With: "group_volts"}: "The list of cell volts may run the other way",
		{Reading: "r9", Kind: "something new"}:                     "r9: something new",
	} {
		if got := doubt.Words(d); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	for want, odds := range map[string]float64{"85 to 1": 85, "about 12 thousand to 1": 12345, "more than a million to 1": 1e12, "": math.NaN()} {
		if got := doubt.Odds(fault.Doubt{Odds: fault.Number(odds)}); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
