package locate

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"testing"

	"halfsplit/fault"
)

// What people do without a plan, on the same packs, with the same meter and minutes,
// judged by the same engine: its finding says where they look next, and when it stops
// proposing they stop. Of reading one end of a side or both, each has what costs it
// less: by the middle both, one by one a single one.

// A habit does the next thing on a job; false where it has nothing left to do.
type habit func(t testing.TB, j *job, f fault.Finding) bool

// propose does what the finding proposes first, and notes what came of its foretelling.
func (o *foretelling) propose(t testing.TB, j *job, f fault.Finding) bool {
	if len(f.Next) == 0 {
		return false
	}
	n := f.Next[0]
	j.do(t, n)
	lo, hi := float64(n.Expected.Low), float64(n.Expected.High)
	if n.Red == "" || !(lo < hi) {
		return true
	}
	v := j.c.Readings[len(j.c.Readings)-1].Value
	if v < lo {
		o.below++
	} else if v > hi {
		o.above++
	}
	if (v < lo || v > hi) && len(o.missed) < 4 {
		o.missed = append(o.missed, fmt.Sprintf("%s %.4g to %.4g V foretold, %.4g V read (%s)", n.Action, lo, hi, v, f.Verdict))
	}
	return true
}

// midpoint opens the link nearest the middle of the section under most suspicion, the
// disconnect first, and reads both ends of each side. A module that stands alone loses
// its board, and is read again.
func midpoint(t testing.TB, j *job, f fault.Finding) bool {
	weight := j.weights(f)
	best, at := 0.0, -1
	parts := j.parts()
	for i, p := range parts {
		w := 0.0
		for m := p[0]; m < p[1]; m++ {
			w += weight[m]
		}
		if lone := p[1] == p[0]+1; lone && !j.plugged(p[0]) {
			continue // nothing more can be done to it
		}
		if w > best {
			best, at = w, i
		}
	}
	if at < 0 || best < worthWords {
		return false
	}
	p := parts[at]
	switch {
	case p[1] == p[0]+1:
		j.unplug(t, p[0])
	default: // of the whole string it is the disconnect
		middle := (p[0] + p[1]) / 2
		j.open(t, middle)
		j.readHigh(t, middle)
		j.readLow(t, p[0])
		j.readHigh(t, p[1])
		j.readLow(t, middle)
	}
	return true
}

// oneByOne parts module after module from the negative end, and unplugs the board of
// one that stands alone and is suspected more than all the rest.
func oneByOne(t testing.TB, j *job, f fault.Finding) bool {
	weight := j.weights(f)
	sum := 0.0
	for _, w := range weight {
		sum += w
	}
	parts := j.parts()
	for _, p := range parts {
		if p[1] == p[0]+1 && j.plugged(p[0]) && weight[p[0]] > sum/2 {
			j.unplug(t, p[0])
			return true
		}
	}
	if last := parts[len(parts)-1]; last[1] > last[0]+1 {
		j.open(t, last[0]+1)
		j.readLow(t, last[0])
		j.readHigh(t, last[1])
		return true
	}
	for _, p := range parts {
		if j.plugged(p[0]) && weight[p[0]] > worthWords {
			j.unplug(t, p[0])
			return true
		}
	}
	return false
}

// weights are the suspicion of every module with its board.
func (j *job) weights(f fault.Finding) []float64 {
	out := make([]float64, len(j.layout.Modules))
	for _, s := range f.Suspicion {
		for m := range out {
			if s.ID == j.layout.Modules[m].ID || s.ID == j.layout.Boards[m].ID {
				out[m] += float64(s.Share)
			}
		}
	}
	return out
}

// now is the present state.
func (j *job) now() fault.State {
	s, _ := j.c.State(j.c.Now)
	return s
}

// parts are the runs of modules between opened links: from, and one past the last.
func (j *job) parts() (out [][2]int) {
	from := 0
	for m := 1; m <= len(j.layout.Modules); m++ {
		if m == len(j.layout.Modules) || slices.Contains(j.now().Open, j.linkAbove(m)) {
			out = append(out, [2]int{from, m})
			from = m
		}
	}
	return out
}

func (j *job) plugged(module int) bool { return j.now().Plugged(j.layout.Boards[module].ID) }

// open opens the link after so many modules.
func (j *job) open(t testing.TB, modules int) {
	id := j.linkAbove(modules)
	for _, l := range j.layout.Links {
		if l.ID == id {
			j.alter(t, fault.StateChange{Open: []string{id}}, *l.Minutes)
		}
	}
}

// unplug takes the board off a module that stands alone, and reads it again.
func (j *job) unplug(t testing.TB, module int) {
	b := j.layout.Boards[module]
	j.alter(t, fault.StateChange{Unplugged: []string{b.ID}}, *b.Minutes)
	j.readHigh(t, module+1)
	j.readLow(t, module)
}

func (j *job) alter(t testing.TB, change fault.StateChange, minutes float64) {
	j.do(t, fault.NextTest{State: change, Minutes: fault.Number(minutes), GapVolts: noRange, Expected: noRange})
}

// readLow reads the negative end of what begins after so many modules, readHigh the
// positive end of what ends there.
func (j *job) readLow(t testing.TB, modules int)  { j.readEnd(t, j.layout.Modules[modules].ID+"-") }
func (j *job) readHigh(t testing.TB, modules int) { j.readEnd(t, j.layout.Modules[modules-1].ID+"+") }

func (j *job) readEnd(t testing.TB, red string) {
	j.do(t, fault.NextTest{Red: red, Black: "chassis", Minutes: readMinutes, GapVolts: noRange, Expected: noRange})
}

// A way is what one habit came to over many packs.
type way struct {
	name                string
	do                  habit // nil = by proposals
	packs, right, stuck int
	minutes, paid       float64
	changes, readings   int
}

func (w *way) add(o outcome) {
	w.packs++
	w.minutes += o.spent
	w.paid += o.spent
	if o.job.right(o.f) {
		w.right++
	} else {
		w.paid += wrongMinutes
	}
	if o.f.Stop == "" {
		w.stuck++
	}
	w.changes += len(o.c.States) - 1
	w.readings += len(o.c.Readings) - 2
}

func (w *way) String() string {
	n := float64(w.packs)
	least, most := binomial95(w.right, w.packs)
	return fmt.Sprintf("%-12s %.1f min (%.1f with %.0f min for each wrong part), %.1f changes and %.1f readings; right in %.1f %% (%.1f to %.1f) of %d; ended without the engine's stop in %d",
		w.name, w.minutes/n, w.paid/n, wrongMinutes, float64(w.changes)/n, float64(w.readings)/n, 100*float64(w.right)/n, 100*least, 100*most, w.packs, w.stuck)
}

// mostSteps ends a job that goes round in circles.
const mostSteps = 40

// An outcome is a job carried through, with what was found in the end.
type outcome struct {
	*job
	f    fault.Finding
	told *foretelling
}

// done is a job carried through by a habit, or by proposals where there is none.
func done(t testing.TB, seed, pack uint64, do habit) outcome {
	rng := rand.New(rand.NewPCG(seed, pack))
	kind := statedMix().pick(rng, func(kind string) bool {
		return kind == fault.One || kind == fault.Two || kind == fault.BoardLeak
	})
	o := outcome{job: newJob(t, rng, kind), told: &foretelling{}}
	if do == nil {
		do = o.told.propose
	}
	o.f = find(t, o.trial)
	for steps := 0; o.f.Stop == "" && steps < mostSteps && do(t, o.job, o.f); steps++ {
		o.f = find(t, o.trial)
	}
	return o
}

// TestHonest_ProposalsAgainstHabits: from two readings of the unbroken string to what
// must come out, by the finding's proposals, by the middle, one by one. One leak, two,
// or a board's, as often as the stated mixture has them.
func TestHonest_ProposalsAgainstHabits(t *testing.T) {
	n := trials(3, 500)
	ways := []*way{{name: "proposals"}, {name: "midpoint", do: midpoint}, {name: "one by one", do: oneByOne}}
	foretold := map[string]*foretelling{fault.One: {}, fault.Two: {}, fault.BoardLeak: {}}
	for _, w := range ways {
		t.Run(w.name, func(t *testing.T) {
			jobs := make([]outcome, n)
			inParallel(n, func(i int) { jobs[i] = done(t, 44, uint64(i), w.do) })
			for i, o := range jobs {
				w.add(o)
				if w.do == nil {
					foretold[o.kind].add(o.job, o.told)
				}
				if w.do == nil && !o.right(o.f) {
					t.Logf("pack %d, %s: %v had to come out (%v); %s %s", i, o.kind, o.out, o.pack.Leaks, o.f.Verdict, o.f.Stop)
				}
			}
			t.Log(w)
			if w.do != nil {
				return
			}
			var all foretelling
			for _, k := range []string{fault.One, fault.Two, fault.BoardLeak} {
				t.Logf("%s: %v", k, foretold[k])
				all.join(foretold[k])
			}
			t.Logf("of all: %v", &all)
			for what, y := range map[string]tally{"readings": all.readings, "gaps": all.gaps} {
				if float64(y.in) < (0.88-slack(y.all, 0.88))*float64(y.all) {
					t.Errorf("%d of %d %s lay within what was foretold, want 95 %%", y.in, y.all, what)
				}
			}
		})
	}
	us := ways[0]
	for _, w := range ways[1:] {
		if us.packs == n && w.packs == n && us.paid >= w.paid {
			t.Errorf("a habit costs no more than the proposals: %v; %v", us, w)
		}
	}
}

// inParallel does so many things on all cores.
func inParallel(n int, do func(i int)) {
	var wg sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	wg.Wait()
}

// A foretelling is how many readings, and gaps, lay within what was foretold of them.
type foretelling struct {
	readings, gaps tally
	below, above   int // readings outside
	missed         []string
}

func (o *foretelling) add(j *job, own *foretelling) {
	o.readings.in, o.readings.all = o.readings.in+j.inside.in, o.readings.all+j.inside.all
	o.gaps.in, o.gaps.all = o.gaps.in+j.gaps.in, o.gaps.all+j.gaps.all
	o.below, o.above = o.below+own.below, o.above+own.above
	if len(o.missed) < 12 {
		o.missed = append(o.missed, own.missed...)
	}
}

// join adds another's counts.
func (o *foretelling) join(p *foretelling) {
	o.readings.in, o.readings.all = o.readings.in+p.readings.in, o.readings.all+p.readings.all
	o.gaps.in, o.gaps.all = o.gaps.in+p.gaps.in, o.gaps.all+p.gaps.all
	o.below, o.above = o.below+p.below, o.above+p.above
}

func (t tally) String() string {
	if t.all == 0 {
		return "none"
	}
	least, most := binomial95(t.in, t.all)
	return fmt.Sprintf("%.1f %% (%.1f to %.1f) of %d", 100*float64(t.in)/float64(t.all), 100*least, 100*most, t.all)
}

func (o *foretelling) String() string {
	text := fmt.Sprintf("readings within what was foretold %v, %d below and %d above; gaps %v", o.readings, o.below, o.above, o.gaps)
	for _, m := range o.missed {
		text += "\n  " + m
	}
	return text
}
