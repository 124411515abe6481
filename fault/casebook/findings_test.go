package casebook_test

import (
	"slices"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/format"
)

// findingJSON is a finding with one leak in a module.
func findingJSON(verdict, module string) []byte {
	raw, err := format.WriteFinding(fault.Finding{
		Engine: "engine 1", Verdict: verdict, Statement: "A leak in " + module + ".", Used: []string{"r1", "r2"},
		Leaks: []fault.Leak{{String: "M01", Places: []fault.Share{{ID: "B1", Kind: fault.PlaceBoard, Share: .01}, {ID: module, Kind: fault.PlaceModule, Share: .97}},
			Ohms: fault.Bounded{Low: 1, Mid: 2, High: 3, Relation: fault.Equal}}},
	})
	if err != nil {
		panic(err)
	}
	return raw
}

func TestFindings_AreFrozenAndGoStale(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	if _, ok, err := b.LastFinding(id); ok || err != nil {
		t.Fatal("a finding of a case that has none", err)
	}
	_, info, err := b.Case(id)
	check(t, err)
	raw := findingJSON("narrowed", "M02")
	check(t, b.SaveFinding(id, info.Revision, raw))
	f, ok, err := b.LastFinding(id)
	if !ok || err != nil || !f.Current || string(f.JSON) != string(raw) || f.Engine != "engine 1" || !slices.Equal(f.Used, []string{"r1", "r2"}) {
		t.Fatalf("%+v %v", f, err)
	}
	before := must(b.Head()).or(t)
	check(t, b.SaveFinding(id, info.Revision, raw))
	if after := must(b.Head()).or(t); after != before {
		t.Error("the same finding of the same case was kept twice")
	}
	must(b.AddReading(id, volts("M01+", "M01-", 7.2), anna)).or(t)
	if f, _, err = b.LastFinding(id); err != nil || f.Current {
		t.Error("the finding looks current after another reading", err)
	}
	if s := must(b.Cases("")).or(t)[0]; !s.Stale || s.Verdict != "narrowed" || !slices.Equal(s.Places, []string{"M02"}) {
		t.Errorf("%+v", s)
	}
	_, now, err := b.Case(id)
	check(t, err)
	check(t, b.SaveFinding(id, now.Revision, findingJSON("located", "M03")))
	if f, _, err = b.LastFinding(id); err != nil || !f.Current || f.Verdict != "located" {
		t.Errorf("%+v %v", f, err)
	}
	wantKind(t, b.SaveFinding(id, now.Revision, []byte(`{"format": "halfsplit-finding/1"}`)), casebook.Refused, "cannot be kept")
	holds(t, b)
}
