package locate

import (
	"fmt"
	"slices"
)

// apart looks for a division of the readings whose parts fit by themselves and
// not together: by the chassis piece that they go to, by the state that they were
// taken in. It says what that means; "" where no division does.
func (a *analysis) apart() string {
	a = beginLike(a.d, a.c, a.net, a.ev, a.given.whole()) // with what was left out on the way
	if names, ok := a.fitApart(func(o *observation) []string {
		var out []string
		for _, e := range o.ends() {
			if e.piece != "" && e.chassis() {
				out = append(out, "chassis:"+e.piece)
			}
		}
		return out
	}); ok {
		return fmt.Sprintf("The readings to %s fit each by themselves, and not together: these are not one metal, or the leak leads to one of them alone. Measure the joint between them, and state a leak by one reference only.", join(names, "and to"))
	}
	if names, ok := a.fitApart(func(o *observation) []string {
		if si := a.d.stateOf(o); si >= 0 {
			return []string{a.c.States[si].ID}
		}
		return nil
	}); ok {
		return fmt.Sprintf("The readings of %s fit each by themselves, and not together: something changed between them, or a state is not as recorded: a leak that dried or moved, a link, a board that bridges. Read the first state again.", statesWords(names))
	}
	return ""
}

func statesWords(names []string) string {
	var out []string
	for _, n := range names {
		out = append(out, "state "+n)
	}
	return join(out, "and")
}

// fitApart says whether the readings of every name fit without those of the
// others, physics alone; readings without a name belong to all.
func (a *analysis) fitApart(namesOf func(o *observation) []string) ([]string, bool) {
	var names []string
	for i := range a.d.obs {
		for _, n := range namesOf(&a.d.obs[i]) {
			if !slices.Contains(names, n) {
				names = append(names, n)
			}
		}
	}
	if len(names) < 2 || len(names) > 6 {
		return nil, false
	}
	for _, n := range names {
		var without []string
		kept := 0
		for i := range a.d.obs {
			o := &a.d.obs[i]
			own := namesOf(o)
			switch {
			case slices.ContainsFunc(own, func(m string) bool { return m != n }):
				without = append(without, o.id)
			case len(own) > 0 && !o.within:
				kept++
			}
		}
		e := a.leaving(a.physics(), without...)
		if kept < 2 || !e.ok || chiBad(e.chi2, e.m.dof()) {
			return nil, false
		}
	}
	return names, true
}
