package casebook_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/topology"
)

func TestProvings_AddedTogetherAndUndone(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	known := 690.0
	log := []fault.Proving{{At: "2026-03-02T09:05:00Z", Who: "Ben", Instrument: "dmm", When: fault.ProvedAfter, Source: "prover 3", Known: &known, Point: "high", Shown: 689.5, Raw: "689.5", Note: "warm",
		Extra: topology.Extra{"later": json.RawMessage("1")}}, {Instrument: "dmm", Shown: -9.1, Answer: "-9.1E+00", AnsweredBy: "A,B,C,D"}}
	must(b.AddProvings(id, log, anna)).or(t)
	b = reopen(t, b)
	if got := theCase(t, b, id).Provings; !cmp.Equal(got, log) {
		t.Error(cmp.Diff(log, got))
	}
	for _, harm := range []string{`UPDATE provings SET shown_volts = 0`, `DELETE FROM provings`} {
		if _, err := b.Writer().Exec(harm); err == nil || !strings.Contains(err.Error(), "only added to") {
			t.Errorf("%s: %v", harm, err)
		}
	}
	if name := must(b.Undo(id, anna)).or(t); name != "proving of dmm after, 689.5 V and -9.1 V" || len(theCase(t, b, id).Provings) != 0 {
		t.Error(name)
	}
	must(b.Redo(id, anna)).or(t)
	if got := theCase(t, b, id).Provings; len(got) != 2 {
		t.Errorf("%+v", got)
	}
	holds(t, b)
}

func TestProvings_Refused(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	for want, log := range map[string][]fault.Proving{
		"nothing to record":   nil,
		"none":                {{Instrument: "none", Shown: 9}},
		"must be one of":      {{Instrument: "dmm", When: "during"}},
		"must lie between":    {{Instrument: "dmm", Shown: 1e9}},
		"is not a time":       {{Instrument: "dmm", At: "this morning"}},
		"must not be missing": {{Shown: 9}},
	} {
		if _, err := b.AddProvings(id, log, anna); casebook.KindOf(err) != casebook.Refused {
			t.Errorf("%s: %v", want, err)
		}
	}
	if c := theCase(t, b, id); len(c.Provings) != 0 {
		t.Errorf("recorded %+v", c.Provings)
	}
	holds(t, b)
}

func TestInstrument_EverythingDescribedComesBack(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	in := calibrated(theCase(t, b, id).Instruments[0])
	check(t, b.ReviseInstrument(id, in, anna))
	b = reopen(t, b)
	if got := theCase(t, b, id).Instruments[0]; !cmp.Equal(got, in) {
		t.Error(cmp.Diff(in, got))
	}
	in.CalDue = "2024-01-01"
	wantKind(t, b.ReviseInstrument(id, in, anna), casebook.Refused, "before it was calibrated on 2025-01-15")
	in.CalDue = "2026-02-30"
	wantKind(t, b.ReviseInstrument(id, in, anna), casebook.Refused, "February 2026 has 28 days")
	holds(t, b)
}
