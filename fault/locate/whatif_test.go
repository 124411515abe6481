package locate

import (
	"context"
	"math/rand/v2"
	"strings"
	"testing"

	"halfsplit/fault"
)

// TestFindIf asks the same readings under other premises.
func TestFindIf(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 1))
	tr := newTrial(rng, 12, 8)
	tr.leak(67, 180e3, 0)
	b := tr.bench(t, rng)
	tr.readClosed(t, b)
	tr.readSplit(t, b)
	ask := func(w WhatIf) fault.Finding {
		f, err := FindIf(context.Background(), tr.c, nil, w)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	share := func(f fault.Finding, kind string) float64 {
		for _, h := range f.Hypotheses {
			if h.Kind == kind {
				return float64(h.Share)
			}
		}
		return 0
	}
	if f := ask(WhatIf{}); f.WhatIf != "" || marshal(t, f) != marshal(t, mustFind(t, tr.c)) {
		t.Error("no question gives another finding than Find")
	}
	f := ask(WhatIf{Leave: []string{"r5"}})
	if has(f.Used, "r5") || !strings.Contains(f.Statement, "without r5") || len(f.Cautions) > 0 {
		t.Errorf("without r5: used %v, %q, cautions %v", f.Used, f.Statement, f.Cautions)
	}
	if f = ask(WhatIf{Leaks: 2}); share(f, fault.Two) < 0.9999 {
		t.Errorf("given two leaks: %v", f.Hypotheses)
	}
	if f = ask(WhatIf{Leaks: 1}); share(f, fault.One) < 0.9 || share(f, fault.Two) > 0 || share(f, fault.None) > 0 {
		t.Errorf("given one leak: %v", f.Hypotheses)
	}
	if f = ask(WhatIf{Input: map[string]float64{"dmm": 1e6}}); f.Verdict != fault.Inconsistent || !strings.Contains(f.Statement, "1.00 MΩ") {
		t.Errorf("another input resistance: %s %s", f.Verdict, f.Statement)
	}
	tr.c.Readings = tr.c.Readings[:2]
	if f = ask(WhatIf{Leaks: 2}); f.Verdict == "" {
		t.Error("too few readings give no verdict")
	}
}
