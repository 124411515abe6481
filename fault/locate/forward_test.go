package locate

import (
	"math"
	"math/rand/v2"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
)

// TestProbe_AgreesWithCircuit puts random leaks, meters, resistors and gaps on
// random packs in both states: the two-number model must give what the exact
// circuit gives, within 1e-9 of the string's volts.
func TestProbe_AgreesWithCircuit(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 1))
	for n := 0; n < trials(300, 3000); n++ {
		tr := newTrial(rng, 2+rng.IntN(12), 1+rng.IntN(12))
		groups := len(tr.volts)
		tr.pack.BackgroundPerGroup = math.Exp(logUniform(rng, 12, 24))
		for k := rng.IntN(4); k >= 0; k-- {
			tr.leak(rng.IntN(groups+1), math.Exp(logUniform(rng, 0, 16)), rng.NormFloat64())
		}
		tr.c.GroupVolts = exactVolts(tr)
		nodes := []string{"chassis"}
		for _, m := range tr.layout.Modules {
			nodes = append(nodes, m.ID+"-", m.ID+"+")
		}
		pick := func() string { return nodes[rng.IntN(len(nodes))] }
		r := fault.Reading{ID: "r1", State: []string{"closed", "split"}[rng.IntN(2)], Quantity: fault.Volts, Red: pick(), Black: pick(), Instrument: "dmm"}
		if rng.IntN(2) == 0 {
			r.Resistor = &fault.Fitted{ID: "R200k", From: pick(), To: "chassis"}
		}
		tr.c.Readings = []fault.Reading{r}
		d := prepare(&tr.c, tr.net, premise{})
		if len(d.obs) == 0 || d.obs[0].within {
			continue
		}
		g, q := trueNumbers(tr, d)
		p := newProbe(&d.obs[0])
		buf := make([]float64, 2*len(p.slots))
		got := p.eval(g, q, buf, buf[len(p.slots):])
		els := []circuit.Element{{From: r.Red, To: r.Black, Ohms: 1e7}}
		if r.Resistor != nil && r.Resistor.From != "chassis" {
			els = append(els, circuit.Element{From: r.Resistor.From, To: "chassis", Ohms: 200e3})
		}
		st, _ := tr.c.State(r.State)
		sol, err := tr.pack.Solve(st.Setting(), nil, els)
		if err != nil {
			t.Fatal(err)
		}
		want, err := sol.Volts(r.Red, r.Black)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got-want) > 1e-9*float64(groups)*4 {
			t.Fatalf("%s to %s in %s with %v: model %.12g V, circuit %.12g V", r.Red, r.Black, r.State, r.Resistor, got, want)
		}
	}
}

func exactVolts(tr *trial) []fault.GroupVolts {
	var out []fault.GroupVolts
	g := 0
	for _, m := range tr.layout.Modules {
		out = append(out, fault.GroupVolts{Module: m.ID, State: "closed", Volts: tr.volts[g : g+m.Series]})
		g += m.Series
	}
	return out
}

// trueNumbers sums the hidden leaks and the background of every section.
func trueNumbers(tr *trial, d *data) (g, q []float64) {
	g, q = make([]float64, len(d.slots)), make([]float64, len(d.slots))
	for s := range d.slots {
		sl := &d.slots[s]
		for _, l := range tr.leaks {
			id, _ := tr.net.Node(l.At)
			if u := sl.phi[id]; !math.IsNaN(u) {
				g[s] += 1 / l.Ohms
				q[s] += (u + l.Shift) / l.Ohms
			}
		}
		for _, k := range sl.sec.Groups {
			grp := tr.net.Groups[k]
			bg := 1 / tr.pack.BackgroundPerGroup
			g[s] += bg
			q[s] += bg * (sl.phi[grp.Lo] + sl.phi[grp.Hi]) / 2
		}
	}
	return g, q
}
