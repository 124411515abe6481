package circuit

import (
	"cmp"
	"slices"
)

// ref stands for the reference node of a network, the first chassis piece.
const ref = -1

// A branch carries the current g·(v[a] − v[b] + emf) from a to b.
type branch struct {
	a, b   int // nodes, or ref
	g, emf float64
}

// A network is resistive branches between nodes 0 … n−1 and the reference.
type network struct {
	n        int
	branches []branch
}

// reduced collects branches between the same two nodes into one, without
// changing what any node sees.
func (net network) reduced() network {
	type pair struct{ a, b int }
	sums := map[pair]int{}
	out := network{n: net.n}
	for _, br := range net.branches {
		if br.a == br.b || br.g == 0 {
			continue
		}
		if br.a < br.b {
			br.a, br.b, br.emf = br.b, br.a, -br.emf
		}
		k := pair{br.a, br.b}
		i, ok := sums[k]
		if !ok {
			sums[k] = len(out.branches)
			out.branches = append(out.branches, br)
			continue
		}
		o := &out.branches[i]
		g := o.g + br.g
		o.emf += (br.emf - o.emf) * (br.g / g)
		o.g = g
	}
	return out
}

// A half is a branch as one of its nodes sees it.
type half struct {
	to int
	g  float64
}

// solve gives every node's potential above the reference. A part without a
// path to the reference is solved with one of its nodes at zero; float names,
// by node, that node, and is ref for nodes with a path.
//
// Nodes are eliminated one by one, each turning the star of its branches into
// a mesh between its neighbours (Rosen, "A new network theorem", 1924). Only
// positive conductances are added and multiplied, nothing is subtracted, so
// 1000 S of busbar beside 10⁻¹⁰ S of insulation costs no digits, which the
// diagonal of a nodal matrix would. Whether a part has a path to the reference
// is exact for the same reason.
func (net network) solve() (v []float64, float []int) {
	adj := make([][]half, net.n)
	ground := make([]float64, net.n)
	inject := make([]float64, net.n)
	for _, br := range net.branches {
		if br.a == br.b || br.g == 0 {
			continue
		}
		link(adj, ground, br.a, br.b, br.g)
		link(adj, ground, br.b, br.a, br.g)
		if br.a >= 0 {
			inject[br.a] -= br.g * br.emf
		}
		if br.b >= 0 {
			inject[br.b] += br.g * br.emf
		}
	}
	order := byDegree(adj)
	total := make([]float64, net.n)
	for _, k := range order {
		total[k] = ground[k]
		for _, h := range adj[k] {
			total[k] += h.g
		}
		for i, h := range adj[k] {
			unlink(adj, h.to, k)
			if total[k] == 0 {
				continue // conductances too small to tell from none
			}
			share := h.g / total[k]
			inject[h.to] += share * inject[k]
			ground[h.to] += share * ground[k]
			for _, o := range adj[k][:i] {
				link(adj, ground, h.to, o.to, share*o.g)
				link(adj, ground, o.to, h.to, share*o.g)
			}
		}
	}
	v, float = make([]float64, net.n), make([]int, net.n)
	for _, k := range slices.Backward(order) {
		float[k] = ref
		if total[k] == 0 {
			float[k] = k
			continue
		}
		sum := inject[k]
		for _, h := range adj[k] {
			sum += h.g * v[h.to]
			if ground[k] == 0 {
				float[k] = float[h.to]
			}
		}
		v[k] = sum / total[k]
	}
	return v, float
}

// link adds conductance to the half of a branch that a sees.
func link(adj [][]half, ground []float64, a, b int, g float64) {
	switch {
	case a == ref:
	case b == ref:
		ground[a] += g
	default:
		for i := range adj[a] {
			if adj[a][i].to == b {
				adj[a][i].g += g
				return
			}
		}
		adj[a] = append(adj[a], half{b, g})
	}
}

func unlink(adj [][]half, a, b int) {
	for i := range adj[a] {
		if adj[a][i].to == b {
			adj[a] = slices.Delete(adj[a], i, i+1)
			return
		}
	}
}

// byDegree puts nodes with few branches first: chains of groups stay chains,
// and chassis pieces that many leaks lead to come last.
func byDegree(adj [][]half) []int {
	order := make([]int, len(adj))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(len(adj[a]), len(adj[b])) })
	return order
}
