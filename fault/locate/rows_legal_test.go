package locate_test

import (
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
)

// A complainer is a test, or a run of a row.
type complainer interface {
	Errorf(format string, args ...any)
}

// legal checks what every finding must be.
func legal(t complainer, c fault.Case, f fault.Finding) {
	if !slices.Contains(fault.Verdicts, f.Verdict) || f.Statement == "" {
		t.Errorf("verdict %q, statement %q", f.Verdict, f.Statement)
	}
	if strings.Contains(f.Statement+f.WouldTell, "NaN") || strings.Contains(f.Statement, "%!") {
		t.Errorf("statement: %s", f.Statement)
	}
	sum := 0.0
	for _, h := range f.Hypotheses {
		share(t, "hypothesis "+h.Kind, h.Share)
		sum += float64(h.Share)
	}
	if len(f.Hypotheses) > 0 && math.Abs(sum-1) > 1e-6 {
		t.Errorf("hypotheses sum to %.9f: %v", sum, f.Hypotheses)
	}
	for _, s := range f.Suspicion {
		share(t, "suspicion of "+s.ID, s.Share)
	}
	for i := range f.Leaks {
		legalLeak(t, f.Leaks[i])
	}
	for _, s := range f.Sections {
		bounded(t, "section "+s.From, s.Ohms, true)
	}
	for _, d := range f.Doubts {
		if !(d.Odds >= 20) || d.Kind == "" {
			t.Errorf("doubt %+v", d)
		}
	}
	accounted(t, c, f)
}

func share(t complainer, what string, s fault.Number) {
	if !(s >= 0 && s <= 1+1e-9) {
		t.Errorf("%s has a share of %g", what, float64(s))
	}
}

func legalLeak(t complainer, l fault.Leak) {
	share(t, "several", l.Several)
	sum := 0.0
	for _, p := range l.Places {
		share(t, "place "+p.ID, p.Share)
		sum += float64(p.Share)
	}
	if math.Abs(sum-1) > 1e-3 {
		t.Errorf("places sum to %g: %v", sum, l.Places)
	}
	for _, iv := range []fault.Interval{l.Position, l.Electrical, l.Volts} {
		if !(iv.Low <= iv.Mid && iv.Mid <= iv.High) {
			t.Errorf("interval %+v of %+v", iv, l)
		}
	}
	bounded(t, "leak", l.Ohms, false)
}

// bounded wants ohms of zero or more, in order, with no number only where a
// bound has none. A section that was not read has none at all.
func bounded(t complainer, what string, b fault.Bounded, mayLack bool) {
	low, mid, high := float64(b.Low), float64(b.Mid), float64(b.High)
	if mayLack && math.IsNaN(low) && math.IsNaN(mid) && math.IsNaN(high) {
		return
	}
	ok := false
	switch b.Relation {
	case fault.Equal:
		ok = 0 <= low && low <= mid && mid <= high && !math.IsInf(high, 0)
	case fault.Less:
		ok = low == 0 && high > 0
	case fault.Greater:
		ok = low >= 0
	}
	if !ok {
		t.Errorf("%s: ohms %+v", what, b)
	}
}

// accounted wants every reading once among those used or left out.
func accounted(t complainer, c fault.Case, f fault.Finding) {
	seen := map[string]int{}
	for _, id := range f.Used {
		seen[id]++
	}
	for _, l := range f.LeftOut {
		if seen[l.Reading]++; l.Why == "" {
			t.Errorf("%s is left out without a reason", l.Reading)
		}
	}
	for _, r := range c.Readings {
		if seen[r.ID] != 1 {
			t.Errorf("%s is accounted for %d times", r.ID, seen[r.ID])
		}
		delete(seen, r.ID)
	}
	if len(seen) > 0 {
		t.Errorf("readings that nobody took: %v", seen)
	}
}
