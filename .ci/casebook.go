//go:build ignore

// Casebook prints what a casebook holds of its newest case, one line a thing, so
// that a script can compare it: the states, every reading in the order in which it
// was recorded, and the finding that follows from them. The casebook is opened for
// reading only, also while the program has it open.
//
//	casebook FILE          everything
//	casebook -count FILE   the number of readings
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/locate"
)

func main() {
	count := flag.Bool("count", false, "")
	flag.Parse()
	if err := show(flag.Arg(0), *count); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
}

func show(path string, count bool) error {
	b, err := casebook.Open(path, casebook.Options{ReadOnly: true})
	if err != nil {
		return err
	}
	defer b.Close()
	all, err := b.Cases("")
	if err != nil || len(all) == 0 {
		return fmt.Errorf("%s: no case: %v", path, err)
	}
	c, _, err := b.Case(all[0].ID)
	if err != nil {
		return err
	}
	if count {
		fmt.Println(len(c.Readings))
		return nil
	}
	fmt.Println("case", c.Title)
	for _, s := range c.States {
		fmt.Printf("state %s open=%s\n", s.ID, strings.Join(s.Open, ","))
	}
	fmt.Println("now", c.Now)
	for _, i := range c.Instruments {
		fmt.Printf("instrument %s input=%g gain=%g counts=%g ranges=%d\n", i.ID, i.InputOhms, i.GainPct, i.Counts, len(i.Ranges))
	}
	for _, r := range c.Resistors {
		fmt.Printf("resistor %s ohms=%g tol=%g watts=%g volts=%g\n", r.ID, r.Ohms, r.TolPct, r.Watts, r.MaxVolts)
	}
	for _, r := range c.Readings {
		with := "-"
		if r.Resistor != nil {
			with = r.Resistor.ID
		}
		fmt.Println("reading", r.State, r.Red, r.Black, with, r.Raw, r.Instrument)
	}
	return found(c)
}

func found(c fault.Case) error {
	f, err := locate.Find(context.Background(), c, nil)
	if err != nil {
		return err
	}
	fmt.Println("verdict", f.Verdict)
	for _, l := range f.Leaks {
		fmt.Println("leak", l.Places[0].ID)
	}
	fmt.Println("left out", len(f.LeftOut))
	return nil
}
