package topology

import (
	"cmp"
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
// least-squares closure of the loop. The time is linear in groups, and for
// strings tied to each other in order in the joints between them too.
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
	at := make([]meeting, n.Len())
	for _, g := range sec.Groups {
		at[j.class[n.Groups[g].Lo]].add(g)
		at[j.class[n.Groups[g].Hi]].add(g)
	}
	used := make([]bool, len(n.Groups))
	groups, signs := make([]int, 0, len(sec.Groups)), make([]float64, 0, len(sec.Groups)) // of all chains: every group is in one
	out := &chainGraph{}
	follow := func(start, g int) {
		ch := chain{from: start}
		first := len(groups)
		for cur := start; ; {
			used[g] = true
			a, b := j.class[n.Groups[g].Lo], j.class[n.Groups[g].Hi]
			sign, next := 1.0, b
			if cur != a {
				sign, next = -1, a
			}
			groups, signs = append(groups, g), append(signs, sign)
			ch.emf += sign * volts[g]
			ch.ohm += n.groupResistance(g)
			cur = next
			if at[cur].n != 2 || cur == start {
				ch.to = cur
				break
			}
			if g = at[cur].two[0]; used[g] {
				g = at[cur].two[1]
			}
			if used[g] {
				ch.to = cur
				break
			}
		}
		ch.groups, ch.sign = groups[first:], signs[first:]
		out.list = append(out.list, ch)
	}
	for _, joints := range []bool{true, false} { // a ring without joints starts anywhere
		for _, g := range sec.Groups {
			for _, c := range [2]int{j.class[n.Groups[g].Lo], j.class[n.Groups[g].Hi]} {
				if !used[g] && (!joints || at[c].n != 2) {
					follow(c, g)
				}
			}
		}
	}
	return out
}

// A meeting is how many groups meet at a conductor, and two of them.
type meeting struct {
	n   int
	two [2]int
}

func (m *meeting) add(g int) {
	if m.n < len(m.two) {
		m.two[m.n] = g
	}
	m.n++
}

// solve gives the joints' potentials: the running sum along the chains that
// reach them first, and what currents around loops add to it.
func (g *chainGraph) solve() map[int]float64 {
	order, at := g.reach()
	index := make(map[int]int, len(order))
	for i, c := range order {
		index[c] = i - 1 // the first joint stays at zero
	}
	width, loops := 0, false
	for _, ch := range g.list {
		if i, o := index[ch.from], index[ch.to]; i >= 0 && o >= 0 {
			width = max(width, i-o, o-i)
		}
		loops = loops || g.over(ch, at) != 0
	}
	if k := len(order) - 1; loops && k > 0 {
		added := g.circulate(mat.NewSymBandDense(k, width, nil), index, at)
		for i, c := range order[1:] {
			at[c] += added.AtVec(i)
		}
	}
	return at
}

// over is what a chain has left over between the potentials at its ends.
func (g *chainGraph) over(ch chain, at map[int]float64) float64 {
	return at[ch.from] + ch.emf - at[ch.to]
}

// circulate solves the current balance of the joints, every chain a source of
// what it has left over behind its resistance. Joints are numbered outward from
// one end, which keeps chains between neighbours close to the diagonal: strings
// tied at every module still make a narrow band, for which a is room.
func (g *chainGraph) circulate(a *mat.SymBandDense, index map[int]int, at map[int]float64) *mat.VecDense {
	k, _ := a.Dims()
	b, x := mat.NewVecDense(k, nil), mat.NewVecDense(k, nil)
	for _, ch := range g.list {
		i, o := index[ch.from], index[ch.to]
		if i == o {
			continue
		}
		cond := 1 / ch.ohm
		amps := cond * g.over(ch, at)
		if i >= 0 {
			a.SetSymBand(i, i, a.At(i, i)+cond)
			b.SetVec(i, b.AtVec(i)-amps)
		}
		if o >= 0 {
			a.SetSymBand(o, o, a.At(o, o)+cond)
			b.SetVec(o, b.AtVec(o)+amps)
		}
		if i >= 0 && o >= 0 {
			a.SetSymBand(i, o, a.At(i, o)-cond)
		}
	}
	var c mat.BandCholesky
	if c.Factorize(a) { // else resistances lie further apart than any cells'
		_ = c.SolveVecTo(x, b) // an error only warns that they lie far apart
	}
	return x
}

// reach lists the joints outward from one that few chains end at, and gives
// each the running sum along the chains by which it was reached.
func (g *chainGraph) reach() (order []int, at map[int]float64) {
	type way struct {
		to  int
		emf float64
	}
	ways := map[int][]way{}
	var joints []int
	for _, ch := range g.list {
		for _, c := range []int{ch.from, ch.to} {
			if ways[c] == nil {
				ways[c] = []way{}
				joints = append(joints, c)
			}
		}
		ways[ch.from] = append(ways[ch.from], way{ch.to, ch.emf})
		ways[ch.to] = append(ways[ch.to], way{ch.from, -ch.emf})
	}
	at = make(map[int]float64, len(joints))
	if len(joints) == 0 {
		return nil, at
	}
	start := slices.MinFunc(joints, func(a, b int) int { return cmp.Compare(len(ways[a]), len(ways[b])) })
	order, at[start] = []int{start}, 0
	for i := 0; i < len(order); i++ {
		c := order[i]
		for _, w := range ways[c] {
			if _, seen := at[w.to]; !seen {
				at[w.to] = at[c] + w.emf
				order = append(order, w.to)
			}
		}
	}
	return order, at
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
