//go:build ignore

// Casebook prints what a casebook holds of its newest case, one line a thing, so
// that a script can compare it: the states, every reading in the order in which it
// was recorded, and the finding that follows from them. The casebook is opened for
// reading only, also while the program has it open.
//
//	casebook FILE          everything
//	casebook -count FILE   the number of readings
//	casebook -known FILE   whether a finding of the case as it is was kept: yes or no
//	casebook -run FILE     the point that a run of readings goes on at, by what is kept of
//	                       it in the casebook; "none" where none was begun
//	casebook -half -lead W FILE
//	                       what is typed there and not yet accepted, by what is kept of the
//	                       run and by the window's memory W, which may be a moment newer
//	casebook -typed FILE   what was typed for each value of a list of group volts, by the
//	                       log, oldest first
//	casebook -lead W FILE  where the red lead of the reading in the making is, by the
//	                       window's memory W; "none" where none is being entered
package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/locate"
	"halfsplit/ui/entry"
	"halfsplit/ui/facts"
	"halfsplit/ui/store"
)

func main() {
	count := flag.Bool("count", false, "")
	known := flag.Bool("known", false, "")
	running := flag.Bool("run", false, "")
	half := flag.Bool("half", false, "")
	typed := flag.Bool("typed", false, "")
	lead := flag.String("lead", "", "")
	flag.Parse()
	ask := show
	switch {
	case *running:
		ask = run
	case *half:
		ask = halfTyped
	case *typed:
		ask = keystrokes
	}
	if err := ask(flag.Arg(0), *count, *known, *lead); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(2)
	}
}

func show(path string, count, known bool, memory string) error {
	return newest(path, func(b *casebook.Book, id string) error {
		if known {
			f, ok, err := b.LastFinding(id)
			fmt.Println(map[bool]string{true: "yes", false: "no"}[ok && f.Current])
			return err
		}
		if memory != "" {
			return lead(memory, id)
		}
		c, _, err := b.Case(id)
		switch {
		case err != nil:
			return err
		case count:
			fmt.Println(len(c.Readings))
			return nil
		}
		return list(c)
	})
}

// list writes a case line by line.
func list(c fault.Case) error {
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
	for _, g := range c.GroupVolts {
		fmt.Println("groups", g.State, g.Module, strings.Trim(fmt.Sprint(g.Volts), "[]"), g.Instrument)
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

// newest opens a casebook and its newest case.
func newest(path string, do func(b *casebook.Book, id string) error) error {
	b, err := casebook.Open(path, casebook.Options{ReadOnly: true})
	if err != nil {
		return err
	}
	defer b.Close()
	all, err := b.Cases("")
	if err != nil || len(all) == 0 {
		return fmt.Errorf("%s: no case: %v", path, err)
	}
	return do(b, all[0].ID)
}

func run(path string, _, _ bool, _ string) error {
	return kept(path, func(r *entry.Run, why string) {
		if r == nil {
			fmt.Println("none", why)
			return
		}
		pt, _ := r.Point()
		fmt.Println(pt.Name())
	})
}

func halfTyped(path string, _, _ bool, memory string) error {
	var newer map[string]place
	if raw, err := os.ReadFile(memory); err == nil {
		if newer, err = places(raw); err != nil {
			return err
		}
	}
	return kept(path, func(r *entry.Run, _ string) {
		if r == nil {
			return
		}
		pt, _ := r.Point()
		half := r.Raw
		for _, p := range newer {
			if f := p.Form; f.Raw != "" && f.Red == pt.Red && f.Black == pt.Black && f.AfterS == pt.AfterS {
				half = f.Raw
			}
		}
		fmt.Println(half)
	})
}

// A place is where a person was in a case.
type place struct {
	Entering bool
	Form     entry.Form
}

// places are those that the window remembers, by the case's id.
func places(raw []byte) (map[string]place, error) {
	var kept struct{ Places map[string]place }
	err := json.Unmarshal(raw, &kept)
	return kept.Places, err
}

// kept is the run of readings that is kept; nil = none, and why.
func kept(path string, do func(r *entry.Run, why string)) error {
	return newest(path, func(b *casebook.Book, id string) error {
		s, err := store.NewBook(b, id)
		if err == nil {
			do(entry.RestoreRun(facts.New(s.Case(), facts.Result{}), s.Draft(entry.RunName)))
		}
		return err
	})
}

func keystrokes(path string, _, _ bool, _ string) error {
	return newest(path, func(b *casebook.Book, id string) error {
		all, err := b.History(id, 0)
		for _, e := range slices.Backward(all) {
			if text, ok := strings.CutPrefix(e.Why, "typed "); ok {
				fmt.Println(text)
			}
		}
		return err
	})
}

func lead(memory, id string) error {
	raw, err := os.ReadFile(memory)
	if err != nil {
		return err
	}
	kept, err := places(raw)
	if err != nil {
		return err
	}
	if p := kept[id]; p.Entering {
		fmt.Println(p.Form.Red)
	} else {
		fmt.Println("none")
	}
	return nil
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
