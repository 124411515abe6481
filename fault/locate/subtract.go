package locate

import (
	"math"
	"slices"

	"halfsplit/fault"
)

// subtractions compares every section that was read before and after one board
// was unplugged or one module removed, everything else alike:
//
//	G = Gb − Ga,  u = (Gb·ub − Ga·ua) / G
//
// Below two standard deviations no change was detected, and no place is given.
func (a *analysis) subtractions() []fault.Subtraction {
	out := []fault.Subtraction{}
	for b := range a.c.States {
		for c := range a.c.States {
			away, ok := a.tookAway(b, c)
			if !ok {
				continue
			}
			for s := range a.d.slots {
				if sl := &a.d.slots[s]; sl.sec == nil || sl.state != b || !a.numbers[s].ok {
					continue
				}
				if after := a.remains(s, c); len(after) > 0 {
					out = append(out, a.subtract(s, c, after, away))
				}
			}
		}
	}
	return out
}

// tookAway is the one board or module that a later state lacks, where the two
// states differ in nothing else that is recorded.
func (a *analysis) tookAway(before, after int) (string, bool) {
	b, c := a.c.States[before], a.c.States[after]
	if before == after || b.Contactors != c.Contactors || b.Monitor != c.Monitor || b.Boards != c.Boards || a.d.differ(before, after) != "" ||
		!slices.Equal(b.Connected, c.Connected) {
		return "", false
	}
	boards, okB := oneMore(b.Unplugged, c.Unplugged)
	mods, okM := oneMore(b.Removed, c.Removed)
	switch {
	case okB && mods == "" && slices.Equal(b.Removed, c.Removed) && sameSet(b.Open, c.Open):
		return boards, true
	case okM && boards == "" && slices.Equal(b.Unplugged, c.Unplugged):
		return mods, true // its links are open then, too
	}
	return "", false
}

// oneMore is what a longer list has more, if that is one thing.
func oneMore(short, long []string) (string, bool) {
	more := ""
	for _, id := range long {
		if slices.Contains(short, id) {
			continue
		}
		if more != "" {
			return more, false
		}
		more = id
	}
	return more, more != "" && len(long) == len(short)+1
}

func sameSet(a, b []string) bool {
	x, y := slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b))
	return slices.Equal(x, y)
}

// remains lists the sections of a later state that together hold what is left
// of a section, all with known numbers; none where some of it was not read.
func (a *analysis) remains(s, later int) []int {
	whole := &a.d.slots[s]
	gone := a.c.States[later].Removed
	want := map[int]bool{}
	for _, g := range whole.sec.Groups {
		if !slices.Contains(gone, a.net.Layout.Modules[a.net.Groups[g].Module].ID) {
			want[g] = true
		}
	}
	var out []int
	have := 0
	for p := range a.d.slots {
		sl := &a.d.slots[p]
		if sl.sec == nil || sl.state != later || !want[sl.sec.Groups[0]] {
			continue
		}
		for _, g := range sl.sec.Groups {
			if !want[g] {
				return nil
			}
		}
		if !a.numbers[p].ok {
			return nil
		}
		out, have = append(out, p), have+len(sl.sec.Groups)
	}
	if have != len(want) {
		return nil
	}
	return out
}

func (a *analysis) subtract(s, later int, after []int, away string) fault.Subtraction {
	whole, b := &a.d.slots[s], a.numbers[s]
	out := fault.Subtraction{Before: a.c.States[whole.state].ID, After: a.c.States[later].ID, Away: away, Section: a.net.Name(whole.sec.From),
		Ohms:  fault.Bounded{Low: fault.NoNumber, Mid: fault.NoNumber, High: fault.NoNumber, Relation: fault.Greater},
		Volts: fault.Interval{Low: fault.NoNumber, Mid: fault.NoNumber, High: fault.NoNumber}}
	g, q, vg := b.g, b.g*b.u, sq(b.g*b.relSD)
	parts := []twoNumbers{}
	at := []float64{}
	for _, p := range after {
		n := a.numbers[p]
		u := n.u + whole.phi[a.d.slots[p].sec.From]
		g -= n.g
		q -= n.g * u
		vg += sq(n.g * n.relSD)
		parts, at = append(parts, n), append(at, u)
	}
	sd := math.Sqrt(vg)
	if g < 2*sd || g <= 0 {
		out.Ohms.Low = fault.Number(1 / math.Max(1e-12, math.Max(0, g)+2*sd))
		return out
	}
	u := q / g
	vu := sq(b.g*b.uSD) + sq((b.u-u)*b.g*b.relSD)
	for i, n := range parts {
		vu += sq(n.g*n.uSD) + sq((at[i]-u)*n.g*n.relSD)
	}
	su := math.Sqrt(vu) / g
	out.Detected = true
	out.Ohms = fault.Bounded{Low: fault.Number(1 / (g + 1.96*sd)), Mid: fault.Number(1 / g), High: fault.Number(1 / (g - 1.96*sd)), Relation: fault.Equal}
	out.Volts = fault.Interval{Low: fault.Number(u - 1.96*su), Mid: fault.Number(u), High: fault.Number(u + 1.96*su)}
	return out
}

func sq(v float64) float64 { return v * v }
