package topology

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Potentials gives the potential of every node of a section above its most
// negative node From, in volts, from the volts of every group (indexed as
// Net.Groups). Nodes of other sections are NaN. Before From is known, the first
// node of the section counts as zero.
//
// In a section without loops this is the running sum of the groups. Where
// strings are tied at both ends their sums seldom agree: a circulating current
// then spreads the difference over the loop in proportion to the groups'
// resistances (taken as 1/(parallel·Ah), the usual scaling), which is the
// least-squares closure of the loop. The time is linear in groups and cubic in
// the number of joints where more than two strings' ends meet.
func (j *Joined) Potentials(sec *Section, volts []float64) []float64 {
	phi := make([]float64, j.Net.Len())
	for i := range phi {
		phi[i] = math.NaN()
	}
	j.fill(phi, sec, volts)
	return phi
}

// fill writes the potentials of a section's nodes and leaves the others alone.
func (j *Joined) fill(phi []float64, sec *Section, volts []float64) {
	if len(sec.Nodes) == 0 {
		return
	}
	g := j.chains(sec, volts)
	at := g.solve()
	for _, ch := range g.list {
		j.along(ch, at, phi, volts)
	}
	base := sec.Nodes[0]
	if sec.From != NoNode {
		base = sec.From
	}
	zero := phi[j.class[base]]
	for _, id := range slices.Backward(sec.Nodes) { // a conductor's smallest node last: the others need it as it is
		phi[id] = phi[j.class[id]] - zero
	}
}

// groupResistance is relative; only ratios within a loop matter.
func (n *Net) groupResistance(g int) float64 {
	m := n.Layout.Modules[n.Groups[g].Module]
	ah := m.CellAh
	if !(ah > 1e-6 && ah < 1e6) { // not given, or not a cell's
		ah = 1
	}
	return 1 / (float64(max(1, m.Parallel)) * ah)
}

// A chain is a run of groups between two joints, sign +1 where a group is
// passed from Lo to Hi.
type chain struct {
	from, to int // conductors
	groups   []int
	sign     []float64
	emf, ohm float64
}

type chainGraph struct{ list []chain }

func (j *Joined) chains(sec *Section, volts []float64) *chainGraph {
	n := j.Net
	at := map[int][]int{} // groups at each conductor
	for _, g := range sec.Groups {
		a, b := j.class[n.Groups[g].Lo], j.class[n.Groups[g].Hi]
		at[a] = append(at[a], g)
		at[b] = append(at[b], g)
	}
	used := make(map[int]bool, len(sec.Groups))
	out := &chainGraph{}
	follow := func(start, g int) {
		ch := chain{from: start}
		for cur := start; ; {
			used[g] = true
			a, b := j.class[n.Groups[g].Lo], j.class[n.Groups[g].Hi]
			sign, next := 1.0, b
			if cur != a {
				sign, next = -1, a
			}
			ch.groups, ch.sign = append(ch.groups, g), append(ch.sign, sign)
			ch.emf += sign * volts[g]
			ch.ohm += n.groupResistance(g)
			cur = next
			if len(at[cur]) != 2 || cur == start {
				ch.to = cur
				break
			}
			if g = at[cur][0]; used[g] {
				g = at[cur][1]
			}
			if used[g] {
				ch.to = cur
				break
			}
		}
		out.list = append(out.list, ch)
	}
	for _, joints := range []bool{true, false} { // a ring without joints starts anywhere
		for _, g := range sec.Groups {
			for _, c := range []int{j.class[n.Groups[g].Lo], j.class[n.Groups[g].Hi]} {
				if !used[g] && (!joints || len(at[c]) != 2) {
					follow(c, g)
				}
			}
		}
	}
	return out
}

// solve gives the joints' potentials: current balance with every chain as a
// source behind its resistance, the first joint at zero.
func (g *chainGraph) solve() map[int]float64 {
	index := map[int]int{}
	var joints []int
	for _, ch := range g.list {
		for _, c := range []int{ch.from, ch.to} {
			if _, ok := index[c]; !ok {
				index[c] = len(joints)
				joints = append(joints, c)
			}
		}
	}
	out := map[int]float64{}
	k := len(joints) - 1
	if k < 0 {
		return out
	}
	out[joints[0]] = 0
	if k == 0 {
		return out
	}
	a, b := mat.NewDense(k, k, nil), mat.NewVecDense(k, nil)
	for _, ch := range g.list {
		i, o := index[ch.from]-1, index[ch.to]-1
		if i == o {
			continue
		}
		cond := 1 / ch.ohm
		add := func(r, c int, v float64) {
			if r >= 0 && c >= 0 {
				a.Set(r, c, a.At(r, c)+v)
			}
		}
		add(i, i, cond)
		add(o, o, cond)
		add(i, o, -cond)
		add(o, i, -cond)
		if i >= 0 {
			b.SetVec(i, b.AtVec(i)-cond*ch.emf)
		}
		if o >= 0 {
			b.SetVec(o, b.AtVec(o)+cond*ch.emf)
		}
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		return out
	}
	for i := 0; i < k; i++ {
		out[joints[i+1]] = x.AtVec(i)
	}
	return out
}

// along fills in the conductors inside a chain.
func (j *Joined) along(ch chain, at map[int]float64, phi, volts []float64) {
	v := at[ch.from]
	phi[ch.from] = v
	current := (ch.emf - (at[ch.to] - v)) / ch.ohm
	for i, g := range ch.groups {
		v += ch.sign[i]*volts[g] - current*j.Net.groupResistance(g)
		end := j.Net.Groups[g].Hi
		if ch.sign[i] < 0 {
			end = j.Net.Groups[g].Lo
		}
		phi[j.class[end]] = v
	}
	phi[ch.to] = at[ch.to]
}
