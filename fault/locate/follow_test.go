package locate

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// A job is a pack with a hidden fault, measured as somebody proposes.
type job struct {
	*trial
	bench  *circuit.Bench
	out    []string // what must come out
	kind   string
	spent  float64 // minutes
	steps  int
	inside tally // expected readings
	gaps   tally // expected gaps
}

type tally struct{ in, all int }

func (t *tally) count(v float64, r fault.Range2) {
	if lo, hi := float64(r.Low), float64(r.High); lo == lo && hi == hi {
		t.all++
		if v >= lo && v <= hi {
			t.in++
		}
	}
}

// newJob draws a pack of 8 to 12 modules of 8 groups with boards, minutes, and a fault
// of one kind, read at the ends of the unbroken string.
func newJob(t testing.TB, rng *rand.Rand, kind string) *job {
	modules := 8 + rng.IntN(5)
	layout := boardedChain(rng, modules, 8)
	j := &job{trial: trialOf(rng, layout), kind: kind}
	n := len(j.volts)
	size := func() float64 { return math.Exp(logUniform(rng, math.Log(1e3), math.Log(500e3))) }
	switch kind {
	case fault.One:
		j.hide(rng, rng.IntN(n+1), size())
	case fault.Two:
		a := rng.IntN(n + 1)
		b := rng.IntN(n + 1)
		for b/8 == a/8 {
			b = rng.IntN(n + 1)
		}
		j.hide(rng, a, size())
		j.hide(rng, b, size())
	case fault.BoardLeak:
		m := rng.IntN(modules)
		at := m*8 + rng.IntN(9)
		board := layout.Boards[m]
		j.pack.Leaks = append(j.pack.Leaks, circuit.Leak{At: board.Taps[at-m*8], Ohms: size(), Shift: j.shift(rng), OnlyWithBoard: board.ID})
		j.out = append(j.out, board.ID)
	}
	b, err := circuit.NewBench(rng, j.pack, j.c)
	if err != nil {
		t.Fatal(err)
	}
	j.bench = b
	if j.c.GroupVolts, err = b.GroupVolts("closed", ""); err != nil {
		t.Fatal(err)
	}
	neg, pos := j.ends("closed")
	j.read(t, b, "closed", pos, "chassis", "")
	j.read(t, b, "closed", neg, "chassis", "")
	return j
}

// hide puts a leak at a tap; the module that it is in must come out, at a joint either.
func (j *job) hide(rng *rand.Rand, at int, ohms float64) {
	j.leak(at, ohms, j.shift(rng))
	j.out = append(j.out, j.layout.Modules[slices.IndexFunc(j.layout.Modules, func(m topology.Module) bool { return m.ID == j.module(at)[0] })].ID)
	j.pack.Leaks = j.leaks
}

// boardedChain is a chain with a board on every module, and minutes for everything.
func boardedChain(rng *rand.Rand, modules, series int) topology.Layout {
	l := chain(modules, series, modules/2)
	for i := range l.Links {
		m := math.Round(3 + 30*rng.Float64())
		if l.Links[i].Kind == topology.Disconnect {
			m = 1 + float64(rng.IntN(4))
		}
		l.Links[i].Minutes = &m
	}
	for _, m := range l.Modules {
		minutes := 2 + float64(rng.IntN(10))
		b := topology.Board{ID: "B" + m.ID[1:], Minutes: &minutes}
		for k := 0; k <= series; k++ {
			b.Taps = append(b.Taps, fmt.Sprintf("%s.%d", m.ID, k))
		}
		l.Boards = append(l.Boards, b)
	}
	return l
}

// trialOf is a trial of a layout, before any leak is put in.
func trialOf(rng *rand.Rand, l topology.Layout) *trial {
	tr := newTrial(rng, len(l.Modules), l.Modules[0].Series)
	tr.layout = l
	tr.net, _ = topology.Compile(l)
	tr.pack.Net = tr.net
	tr.c.Layout = l
	tr.c.States = tr.c.States[:1]
	return tr
}

// do carries a proposal out: it records the change, and takes the reading.
func (j *job) do(t testing.TB, n fault.NextTest) {
	s, _ := j.c.State(j.c.Now)
	if len(n.State.Open)+len(n.State.Unplugged) > 0 {
		s.ID = fmt.Sprintf("s%d", len(j.c.States)+1)
		s.Open = slices.Concat(s.Open, n.State.Open)
		s.Unplugged = slices.Concat(s.Unplugged, n.State.Unplugged)
		if err := j.bench.Enter(s); err != nil {
			t.Fatal(err)
		}
		j.c.States, j.c.Now = append(slices.Clone(j.c.States), s), s.ID
		j.gap(t, n)
	}
	if n.Red != "" {
		j.read(t, j.bench, s.ID, n.Red, n.Black, n.Resistor)
		j.inside.count(j.c.Readings[len(j.c.Readings)-1].Value, n.Expected)
	}
	j.spent += float64(n.Minutes)
	j.steps++
}

func (j *job) gap(t testing.TB, n fault.NextTest) {
	if len(n.State.Open) != 1 {
		return
	}
	for _, l := range j.layout.Links {
		if l.ID != n.State.Open[0] {
			continue
		}
		r, err := j.bench.Read(fault.Reading{ID: "gap", State: j.c.Now, Quantity: fault.Volts, Red: l.From, Black: l.To, Instrument: "dmm"})
		if err != nil {
			t.Fatal(err)
		}
		j.gaps.count(math.Abs(r.Value), n.GapVolts)
	}
}

// right says that the parts under most suspicion are those that must come out.
func (j *job) right(f fault.Finding) bool {
	if len(f.Suspicion) < len(j.out) {
		return false
	}
	var top []string
	for _, s := range f.Suspicion[:len(j.out)] {
		top = append(top, s.ID)
	}
	for i, id := range j.out {
		if !slices.Contains(top, id) && !(i < len(j.at) && slices.Contains(top, j.module(j.at[i])[1])) {
			return false
		}
	}
	return true
}

// TestFollow: proposals alone, from two readings of the unbroken string until the
// engine says stop.
func TestFollow(t *testing.T) {
	for _, kind := range []string{fault.One, fault.Two, fault.BoardLeak} {
		t.Run(kind, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(31, 1))
			n, right, steps := trials(4, 100), 0, 0
			minutes := 0.0
			var inside, gaps tally
			for i := range n {
				j := newJob(t, rng, kind)
				f := find(t, j.trial)
				for f.Stop == "" && len(f.Next) > 0 && j.steps < 30 {
					j.do(t, f.Next[0])
					f = find(t, j.trial)
				}
				if j.right(f) {
					right++
				} else {
					t.Logf("%d: missed %v (%v at %v): %s; %s %v; %s", i, j.out, j.pack.Leaks, j.at, f.Verdict, f.Statement, f.Suspicion[:min(4, len(f.Suspicion))], f.Stop)
				}
				if testing.Verbose() && i < 8 {
					t.Logf("%d: %v in %d steps, %.0f min: %s %s", i, j.out, j.steps, j.spent, f.Verdict, f.Stop)
				}
				minutes, steps = minutes+j.spent, steps+j.steps
				inside.in, inside.all = inside.in+j.inside.in, inside.all+j.inside.all
				gaps.in, gaps.all = gaps.in+j.gaps.in, gaps.all+j.gaps.all
			}
			t.Logf("right %d of %d, %.1f steps, %.1f min; readings inside %d of %d, gaps %d of %d", right, n, float64(steps)/float64(n), minutes/float64(n), inside.in, inside.all, gaps.in, gaps.all)
		})
	}
}
