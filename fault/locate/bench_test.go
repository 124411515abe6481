package locate

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// A load is one case to time: a pack and how it was read.
type load struct {
	modules, series int
	read            string // "closed", "split", "once" or "readings=24"
	slip            bool   // one entry's sign is reversed
}

func (l load) groups() int { return l.modules * l.series }

func (l load) name() string {
	out := fmt.Sprintf("groups=%d/%s", l.groups(), l.read)
	if l.read != "readings=24" {
		return out
	}
	if l.slip {
		return out + "/one slip"
	}
	return out + "/clean"
}

// loads are what is timed: an unbroken string with its four readings, the same
// after a split with ten, a split string with boards of which one half was read once
// only, and a whole repair's readings at a drawn pack, as they should be and with a
// slip that makes every kind of doubt be weighed.
func loads() []load {
	var out []load
	for _, s := range [][2]int{{12, 8}, {18, 12}, {50, 8}, {84, 12}} {
		for _, read := range []string{"closed", "split"} {
			out = append(out, load{modules: s[0], series: s[1], read: read})
		}
	}
	return append(out,
		load{modules: 18, series: 12, read: "once"},
		load{modules: 84, series: 12, read: "once"},
		load{modules: 18, series: 12, read: "readings=24"},
		load{modules: 18, series: 12, read: "readings=24", slip: true})
}

// trial simulates a load's pack and takes its readings.
func (l load) trial(tb testing.TB) *trial {
	rng := rand.New(rand.NewPCG(5, 5))
	tr := newTrial(rng, l.modules, l.series)
	// A long string's volts take a probe that divides them for the meter.
	meter := &tr.c.Instruments[0]
	meter.Ranges = append(meter.Ranges, fault.Range{Max: 6000, Count: 1})
	n := len(tr.volts)
	tr.leak(n*7/10, 180e3, 0)
	if l.read != "closed" {
		tr.leak(n/5, 90e3, 0)
	}
	if l.read == "readings=24" || l.read == "once" {
		tr.drawBoards()
	}
	bench := tr.bench(tb, rng)
	switch l.read {
	case "closed":
		tr.readClosed(tb, bench)
	case "split":
		tr.readClosed(tb, bench)
		tr.readSplit(tb, bench)
	case "once":
		tr.readSplit(tb, bench)
		first := tr.c.Readings // both ends of the lower half, then of the upper
		tr.c.Readings = append(slices.Clone(first[:2]), first[4])
	default:
		tr.readAll(tb, bench)
	}
	if l.slip {
		r := &tr.c.Readings[9]
		r.Value, r.Raw = -r.Value, ""
	}
	return tr
}

// drawBoards gives every module its monitoring board, with a lead at every tap,
// and the pack its tray and lid.
func (tr *trial) drawBoards() {
	l := &tr.layout
	for i, m := range l.Modules {
		b := topology.Board{ID: fmt.Sprintf("B%02d", i+1)}
		for k := 0; k <= m.Series; k++ {
			b.Taps = append(b.Taps, fmt.Sprintf("%s.%d", m.ID, k))
		}
		l.Boards = append(l.Boards, b)
	}
	tr.net, _ = topology.Compile(*l)
	tr.pack.Net, tr.c.Layout = tr.net, *l
}

// readAll takes 24 readings a minute apart: both ends of the closed string and
// the first of them again, with the resistor at either; both halves of the split
// string at either end, plain and with the resistor; places inside both; and the
// volts of every section.
func (tr *trial) readAll(tb testing.TB, b *circuit.Bench) {
	neg, pos := tr.ends("closed")
	n, half := len(tr.layout.Modules), len(tr.layout.Modules)/2
	low, high := tr.layout.Modules[half-1].ID+"+", tr.layout.Modules[half].ID+"-"
	inside := func(part int) string { return tr.layout.Modules[n*part/8].ID + ".3" }
	for _, r := range [][4]string{
		{"closed", pos, neg}, {"closed", pos, "chassis"}, {"closed", neg, "chassis"}, {"closed", pos, "chassis"},
		{"closed", pos, "chassis", "R200k"}, {"closed", neg, "chassis", "R200k"}, {"closed", inside(2), "chassis"}, {"closed", inside(5), "chassis"},
		{"split", low, neg}, {"split", neg, "chassis"}, {"split", low, "chassis"}, {"split", neg, "chassis"},
		{"split", neg, "chassis", "R200k"}, {"split", low, "chassis", "R200k"}, {"split", inside(1), "chassis"}, {"split", inside(3), "chassis"},
		{"split", pos, high}, {"split", high, "chassis"}, {"split", pos, "chassis"}, {"split", high, "chassis"},
		{"split", high, "chassis", "R200k"}, {"split", pos, "chassis", "R200k"}, {"split", inside(5), "chassis"}, {"split", inside(7), "chassis"},
	} {
		tr.read(tb, b, r[0], r[1], r[2], r[3])
		last := &tr.c.Readings[len(tr.c.Readings)-1]
		last.At = time.Date(2026, 3, 2, 10, len(tr.c.Readings), 0, 0, time.UTC).Format(time.RFC3339)
	}
}

// BenchmarkFind is a whole finding with all pairs.
func BenchmarkFind(b *testing.B) {
	for _, l := range loads() {
		b.Run(l.name(), func(b *testing.B) {
			timeFind(b, l.trial(b).c)
		})
	}
}

func timeFind(b *testing.B, c fault.Case) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Find(context.Background(), c, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkGrowth reports how much longer a finding takes with twice the groups.
func BenchmarkGrowth(b *testing.B) {
	for _, read := range []string{"closed", "split"} {
		before := 0.0
		for _, modules := range []int{25, 50, 100, 200} {
			l := load{modules: modules, series: 5, read: read}
			b.Run(fmt.Sprintf("%s/groups=%d", read, l.groups()), func(b *testing.B) {
				timeFind(b, l.trial(b).c)
				each := b.Elapsed().Seconds() / float64(b.N)
				if before > 0 {
					b.ReportMetric(each/before, "x-of-half")
				}
				before = each
			})
		}
	}
}
