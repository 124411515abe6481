package locate

import (
	"context"
	"slices"
	"testing"

	"halfsplit/assets"
	"halfsplit/fault"
	"halfsplit/fault/format"
)

// A reading that a person kept as read counts, whatever speaks against it; the
// doubt is told all the same.
func TestFind_AReadingThatStandsIsNotLeftOut(t *testing.T) {
	c, _, err := format.ReadCase("the demo case", assets.Demo, nil)
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(c.Readings, func(r fault.Reading) bool { return r.ID == "r10" })
	find := func(stands string) (fault.Finding, bool) {
		c.Readings = slices.Clone(c.Readings)
		r := &c.Readings[at]
		r.Value, r.Raw, r.Stands = -59.63, "", stands
		f, err := Find(context.Background(), c, nil)
		if err != nil {
			t.Fatal(err)
		}
		return f, slices.Contains(f.Used, "r10")
	}
	doubted := func(f fault.Finding) bool {
		return slices.ContainsFunc(f.Doubts, func(d fault.Doubt) bool { return d.Reading == "r10" && d.Kind == "sign" })
	}
	if f, used := find(""); used || !doubted(f) {
		t.Fatalf("reversed and not kept: used %v, doubts %+v", used, f.Doubts)
	}
	f, used := find("read twice")
	if !used || !doubted(f) {
		t.Errorf("kept as read: used %v, left out %+v, doubts %+v", used, f.LeftOut, f.Doubts)
	}
	if f.Verdict == fault.Located || f.Verdict == fault.Narrowed {
		t.Errorf("with a reading that nothing fits the verdict is %s: %s", f.Verdict, f.Statement)
	}
	for i, d := range f.Doubts {
		for _, o := range f.Doubts[:i] {
			if d.Reading == o.Reading && d.Kind == o.Kind && d.With == o.With {
				t.Errorf("%s of %s is told twice", d.Kind, d.Reading)
			}
		}
	}
}
