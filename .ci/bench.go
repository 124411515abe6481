//go:build ignore

// Bench is the pack on the table for a script that drives the window: a simulated
// pack with a hidden fault, measured only where the window asks for it.
//
//	bench make KIND BOOK           a new casebook with the pack's case, read at the ends
//	                               of the unbroken string; KIND is one, two or board
//	bench bare BOOK                a new casebook with the pack's case and nothing read
//	bench asks BOOK                what the finding asks for next: "read", "open …"
//	                               or "unplug …" and the test resistor; or "stop"
//	bench reads KIND BOOK RED RES  what the meter shows there in the present state; RES
//	                               is a test resistor's id or "-"
//	bench place KIND BOOK          "found", and the finding in words, if the parts under
//	                               most suspicion are those that hold the fault
//
// The program's own finding decides what is asked.
package main

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/cells"
	"halfsplit/fault/circuit"
	"halfsplit/fault/locate"
	"halfsplit/topology"
)

func main() {
	a := append(os.Args[1:], "", "", "", "", "")
	var err error
	switch a[0] {
	case "make":
		err = begin(a[1], a[2])
	case "bare":
		err = bare(a[1])
	case "asks":
		err = asks(a[1])
	case "reads":
		err = reads(a[1], a[2], a[3], a[4])
	case "place":
		err = place(a[1], a[2])
	default:
		err = fmt.Errorf("no such request: %q", a[0])
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(2)
	}
}

// hidden is what is wrong with the pack of a kind, and the parts that hold it.
func hidden(kind string) (leaks []circuit.Leak, parts []string, err error) {
	switch kind {
	case "one":
		return []circuit.Leak{{At: "M09.3", Ohms: 180e3, Shift: 0.9}}, []string{"M09"}, nil
	case "two":
		return []circuit.Leak{{At: "M03.5", Ohms: 60e3, Shift: -1.1}, {At: "M11.2", Ohms: 95e3, Shift: 0.7}}, []string{"M03", "M11"}, nil
	case "board":
		return []circuit.Leak{{At: "M08.4", Ohms: 40e3, OnlyWithBoard: "B08"}}, []string{"B08"}, nil
	}
	return nil, nil, fmt.Errorf("no pack of the kind %q", kind)
}

// layout is twelve modules of eight groups in two rows, a board on each.
func layout() (topology.Layout, error) {
	l, err := topology.Make(topology.MakeSpec{Name: "Twelve modules with boards", Modules: 12, Series: 8, Parallel: 2, PerRow: 6, W: 300, H: 150, Gap: 12, Alternate: true, Disconnect: 6, NominalVolts: 350, WorkingVolts: 403})
	if err != nil {
		return l, err
	}
	minutes := func(v float64) *float64 { return &v }
	for i := range l.Links {
		l.Links[i].Minutes = minutes(12)
		if l.Links[i].Kind == topology.Disconnect {
			l.Links[i].Minutes = minutes(2)
		}
	}
	for i, m := range l.Modules {
		b := topology.Board{ID: fmt.Sprintf("B%02d", i+1), Minutes: minutes(4)}
		for k := 0; k <= m.Series; k++ {
			b.Taps = append(b.Taps, fmt.Sprintf("%s.%d", m.ID, k))
		}
		l.Boards = append(l.Boards, b)
	}
	return l, nil
}

// kit is the case as it begins, with nothing read.
func kit() (fault.Case, error) {
	l, err := layout()
	return fault.Case{Title: "Twelve modules, warning when wet", Now: "closed", Layout: l,
		Instruments: []fault.Instrument{{ID: "dmm", Kind: "voltmeter", GainPct: 0.5, Counts: 2, InputOhms: 1e7, InputTolPct: 1,
			Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}, {Max: 600, Count: 0.1}, {Max: 1000, Count: 1}}}},
		Resistors: []fault.Resistor{{ID: "R200k", Ohms: 200e3, TolPct: 1, Watts: 2, MaxVolts: 1000}},
		States:    []fault.State{{ID: "closed", Contactors: fault.Open, Monitor: fault.MonitorDisconnected}}}, err
}

// table is the bench for a case of a kind, its instruments the same every time; so
// many readings were taken at it before.
func table(kind string, c fault.Case, before int) (*circuit.Bench, error) {
	leaks, _, err := hidden(kind)
	if err != nil {
		return nil, err
	}
	net, _ := topology.Compile(c.Layout)
	cells := rand.New(rand.NewPCG(7, 3))
	volts := make([]float64, len(net.Groups))
	for i := range volts {
		volts[i] = 3.62 + 0.006*cells.NormFloat64()
	}
	b, err := circuit.NewBench(rand.New(rand.NewPCG(7, 5)), circuit.Pack{Net: net, GroupVolts: volts, Leaks: leaks, BackgroundPerModule: 400e6}, c)
	for range before { // the counts of every reading are its own
		if err == nil {
			_, err = b.Read(fault.Reading{ID: "before", State: c.Now, Quantity: fault.Volts, Red: "M01+", Black: "M01-", Instrument: "dmm"})
		}
	}
	return b, err
}

func begin(kind, path string) error {
	c, err := kit()
	if err != nil {
		return err
	}
	b, err := table(kind, c, 0)
	if err != nil {
		return err
	}
	if c.GroupVolts, err = b.GroupVolts("closed", ""); err != nil {
		return err
	}
	for i, red := range []string{"M12+", "M01-"} {
		r, err := b.Read(fault.Reading{ID: fmt.Sprintf("r%d", i+1), State: "closed", Quantity: fault.Volts, Red: red, Black: "chassis", Instrument: "dmm"})
		if err != nil {
			return err
		}
		c.Readings = append(c.Readings, r)
	}
	return keep(c, path)
}

// bare is the case before anything was read.
func bare(path string) error {
	c, err := kit()
	if err != nil {
		return err
	}
	return keep(c, path)
}

func keep(c fault.Case, path string) error {
	book, err := casebook.Create(path, casebook.Options{NoCopies: true})
	if err != nil {
		return err
	}
	defer book.Close()
	_, err = book.ImportCase(c, nil, casebook.By{})
	return err
}

// kept is the newest case of a casebook and the finding that follows from it, which
// is the one that the window shows.
func kept(path string) (c fault.Case, f fault.Finding, err error) {
	b, err := casebook.Open(path, casebook.Options{ReadOnly: true})
	if err != nil {
		return c, f, err
	}
	defer b.Close()
	all, err := b.Cases("")
	if err != nil || len(all) == 0 {
		return c, f, fmt.Errorf("%s: no case: %v", path, err)
	}
	if c, _, err = b.Case(all[0].ID); err != nil {
		return c, f, err
	}
	f, err = locate.Find(context.Background(), c, cells.All(c))
	return c, f, err
}

func asks(path string) error {
	_, f, err := kept(path)
	if err != nil {
		return err
	}
	if f.Stop != "" || len(f.Next) == 0 {
		fmt.Println("stop", f.Stop)
		return nil
	}
	n := f.Next[0]
	changes := len(n.State.Open) + len(n.State.Unplugged)
	with := "-"
	if n.Resistor != "" {
		with = n.Resistor
	}
	fmt.Println(n.Kind, changes, with, n.Action)
	return nil
}

func reads(kind, path, red, with string) error {
	c, _, err := kept(path)
	if err != nil {
		return err
	}
	b, err := table(kind, c, len(c.Readings))
	if err != nil {
		return err
	}
	r := fault.Reading{ID: "asked", State: c.Now, Quantity: fault.Volts, Red: red, Black: "chassis", Instrument: "dmm"}
	if with != "-" && with != "" {
		r.Resistor = &fault.Fitted{ID: with, From: red, To: "chassis"}
	}
	if r, err = b.Read(r); err == nil {
		fmt.Println(r.Raw)
	}
	return err
}

func place(kind, path string) error {
	_, f, err := kept(path)
	if err != nil {
		return err
	}
	_, parts, err := hidden(kind)
	if err != nil {
		return err
	}
	if len(f.Suspicion) < len(parts) {
		return fmt.Errorf("%s: %s", f.Verdict, f.Statement)
	}
	for _, s := range f.Suspicion[:len(parts)] {
		if !strings.Contains(" "+strings.Join(parts, " ")+" ", " "+s.ID+" ") {
			return fmt.Errorf("%s leads, the fault is in %s: %s", s.ID, strings.Join(parts, " and "), f.Statement)
		}
	}
	fmt.Println("found", f.Verdict+":", f.Stop, f.Statement)
	return nil
}
