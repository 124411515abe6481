package locate

import (
	"context"
	"fmt"
	"sort"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A WhatIf is a question put to the readings: what would be found without some
// of them, with another input resistance of a meter, or given that there are so
// many leaks. It changes nothing that is recorded.
type WhatIf struct {
	Leave []string           // readings to leave out
	Input map[string]float64 // instrument -> ohms that its input is taken for
	Leaks int                // 1 or 2: that many leaks in the string; 0 = not assumed
}

// Empty says that nothing is asked.
func (w WhatIf) Empty() bool { return len(w.Leave) == 0 && len(w.Input) == 0 && w.Leaks == 0 }

// String puts the question into one sentence.
func (w WhatIf) String() string {
	var parts []string
	if len(w.Leave) > 0 {
		parts = append(parts, "without "+join(w.Leave, "and"))
	}
	var ids []string
	for id := range w.Input {
		ids = append(ids, id)
	}
	sort.Strings(ids)
	for _, id := range ids {
		parts = append(parts, fmt.Sprintf("with an input resistance of %s for %s", ohmsText(w.Input[id]), id))
	}
	switch w.Leaks {
	case 1:
		parts = append(parts, "given that there is one leak")
	case 2:
		parts = append(parts, "given that there are two leaks")
	}
	return join(parts, "and")
}

// FindIf is Find under a question. Slips are not looked for: what the person
// asks is what is answered. The finding says in WhatIf what it rests on, and no
// caution of what is live may be taken from it.
func FindIf(ctx context.Context, c fault.Case, ev []fault.Evidence, w WhatIf) (fault.Finding, error) {
	if w.Empty() {
		return Find(ctx, c, ev)
	}
	net, _ := topology.Compile(c.Layout)
	given := premise{only: w.Leaks, inputs: map[string]float64{}}
	for _, id := range w.Leave {
		given = given.except(id, "left out in a what-if")
	}
	for id, ohms := range w.Input {
		if in, ok := c.Instrument(id); ok && in.InputOhms > 0 && ohms > 0 {
			given.inputs[id] = ohms / in.InputOhms
		}
	}
	a := analyse(ctx, &c, net, ev, given)
	if ctx.Err() == nil && a.po != nil {
		a.po.integrate(ctx)
	}
	if ctx.Err() != nil {
		return fault.Finding{}, context.Cause(ctx)
	}
	f := a.finding(ctx)
	if ctx.Err() != nil {
		return fault.Finding{}, context.Cause(ctx)
	}
	f.WhatIf, f.Cautions, f.Next = w.String(), []string{}, []fault.NextTest{}
	f.Statement = "What if, " + f.WhatIf + ": " + f.Statement
	return f, nil
}
