package reach

import (
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"halfsplit/fault"
	"halfsplit/topology"
)

// pack is a string of equal modules with a disconnect in its middle; every link
// takes 5 minutes and the disconnect one.
func pack(t testing.TB, modules, series int) topology.Layout {
	t.Helper()
	l, err := topology.Make(topology.MakeSpec{Name: "drawn", Modules: modules, Series: series, Parallel: 2, PerRow: 4, W: 300, H: 150, Gap: 20, Disconnect: modules / 2})
	if err != nil {
		t.Fatal(err)
	}
	for i := range l.Links {
		m := 5.0
		if l.Links[i].ID == "SD" {
			m = 1
		}
		l.Links[i].Minutes = &m
	}
	return l
}

func small(t testing.TB) Question {
	return Question{Layout: pack(t, 4, 4), Ohms: []float64{3e3, 200e3, 5e6}, Trials: 3, Seed: 7}
}

func run(t testing.TB, q Question) Answer {
	t.Helper()
	a, err := Run(context.Background(), q, nil)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func TestRun_SameWhateverTheCores(t *testing.T) {
	q := small(t)
	q.Cores = 1
	one := run(t, q)
	q.Cores = 5
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(4))
	if five := run(t, q); !reflect.DeepEqual(one, five) {
		t.Errorf("one core\n%+v\nfive\n%+v", one, five)
	}
	q.Seed++
	if other := run(t, q); reflect.DeepEqual(one.Cells, other.Cells) {
		t.Error("another seed draws the same packs")
	}
}

// A pack is the same one whatever else is asked about: more trials only add to it.
func TestDraw_TrialsStandByThemselves(t *testing.T) {
	p, err := small(t).prepare()
	if err != nil {
		t.Fatal(err)
	}
	places := map[[2]int]bool{}
	for i := range 40 {
		a, err := p.draw(nil, 1, i)
		if err != nil {
			t.Fatal(err)
		}
		b, _ := p.draw(nil, 1, i)
		if a.at != b.at || a.str != b.str || !reflect.DeepEqual(a.volts, b.volts) {
			t.Fatalf("pack %d is drawn as two", i)
		}
		places[[2]int{a.str, a.at}] = true
	}
	if len(places) < 10 {
		t.Errorf("40 leaks sit at %d of 17 taps", len(places))
	}
}

func TestRun_SmallLeaksArePinnedAndRight(t *testing.T) {
	a := run(t, Question{Layout: pack(t, 8, 6), Ohms: []float64{1e3, 50e3, 5e6}, Trials: 8, Seed: 3})
	if len(a.States) != 3 || a.States[1].Name != "SD open" || !slices.Equal(a.States[2].Choice, []string{"L02", "L06"}) {
		t.Fatalf("states %+v", a.States)
	}
	if s := a.States[2]; s.Least != 6 || s.Most != 6 || len(s.Unrecorded) != 0 {
		t.Errorf("minutes %+v", s)
	}
	for s, row := range a.Cells {
		for k, c := range row[:2] {
			if c.Trials != 8 || c.Named < 7 || c.Half.Median > 1.5 || c.Modules > 3 || c.First < 6 || c.Inside < 7 {
				t.Errorf("state %d, leak %g: %+v", s, a.Ohms[k], c)
			}
		}
	}
	soft, hard := a.Cells[0][2], a.Cells[0][0]
	if !(soft.Half.Median > 1.5*hard.Half.Median) {
		t.Errorf("a leak of 5 MΩ is as narrow from the unbroken string as one of 1 kΩ: %g and %g groups", soft.Half.Median, hard.Half.Median)
	}
	if a.Cells[0][0].Verdicts[0].What != fault.EquivalentOnly || a.Cells[1][0].Verdicts[0].What == fault.EquivalentOnly {
		t.Errorf("verdicts %v, %v", a.Cells[0][0].Verdicts, a.Cells[1][0].Verdicts)
	}
	if got := [3]float64{a.Cells[0][0].Readings, a.Cells[1][0].Readings, a.Cells[2][0].Readings}; got != [3]float64{4, 10, 16} {
		t.Errorf("readings %v", got)
	}
}

func TestRun_ProgressRisesToItsEnd(t *testing.T) {
	var seen []int
	_, err := Run(context.Background(), small(t), func(done, total int) {
		if total != 9 {
			t.Errorf("total %d", total)
		}
		seen = append(seen, done)
	})
	if err != nil || !slices.Equal(seen, []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}) {
		t.Errorf("%v, %v", seen, err)
	}
}

func TestRun_CancelReturnsSoonAndLeavesNothing(t *testing.T) {
	before := runtime.NumGoroutine()
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	var at time.Time
	a, err := Run(ctx, Question{Layout: pack(t, 16, 8), Trials: 500}, func(done, _ int) {
		if done == 1 {
			at = time.Now()
			cancel()
		}
	})
	if !errors.Is(err, context.Canceled) || len(a.Cells) != 0 {
		t.Errorf("%v, %+v", err, a)
	}
	if took := time.Since(at); at.IsZero() || took > 15*time.Second {
		t.Errorf("it took %v", took)
	}
	for i := 0; runtime.NumGoroutine() > before && i < 100; i++ {
		time.Sleep(10 * time.Millisecond)
	}
	if n := runtime.NumGoroutine(); n > before {
		t.Errorf("%d goroutines, %d before", n, before)
	}
}

func TestRun_RefusesInPlainWords(t *testing.T) {
	shorted := pack(t, 4, 4)
	shorted.Links = append(shorted.Links, topology.Link{ID: "L99", Kind: topology.Cable, From: "M01-", To: "M03+"})
	for name, c := range map[string]struct {
		q    Question
		want string
	}{
		"empty":             {Question{}, "has no groups"},
		"cells shorted":     {Question{Layout: shorted}, "short"},
		"no trials":         {Question{Layout: pack(t, 4, 4), Trials: -1}, "number of trials"},
		"too many":          {Question{Layout: pack(t, 4, 4), Trials: 1 << 30}, "number of trials"},
		"falling sizes":     {Question{Layout: pack(t, 4, 4), Ohms: []float64{2e3, 1e3}}, "must rise"},
		"no size":           {Question{Layout: pack(t, 4, 4), Ohms: []float64{math.NaN()}}, "not asked about"},
		"only a tester":     {Question{Layout: pack(t, 4, 4), Instruments: []fault.Instrument{{ID: "iso", Kind: "insulation-tester"}}}, "voltmeter"},
		"ladder of nothing": {Question{Layout: pack(t, 4, 4), Ohms: []float64{}}, "no leak size"},
	} {
		if _, err := Run(context.Background(), c.q, nil); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

func TestWriteCSV_OneRowForStateAndSize(t *testing.T) {
	a := run(t, small(t))
	var out bytes.Buffer
	if err := a.WriteCSV(&out); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil || len(rows) != 1+len(a.States)*3 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	at := func(name string) int { return slices.Index(rows[0], name) }
	for i, row := range rows[1:] {
		c := a.Cells[i/3][i%3]
		if row[at("state")] != a.States[i/3].Name || row[at("leak (ohm)")] != figure(a.Ohms[i%3]) || row[at("half-width median (groups)")] != figure(c.Half.Median) ||
			row[at("true module first (%)")] != share(c.First, 3) || row[at("kind")] != "simulated: expected, not measured" {
			t.Errorf("row %d: %v", i, row)
		}
	}
}
