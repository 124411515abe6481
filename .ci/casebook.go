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
//
// And of its newest layout:
//
//	casebook -drawing FILE         its modules, stacks, photos and links, what should be
//	                               looked at in it, and what can be undone and redone
//	casebook -path FILE            the electrical path alone, by which two drawings can be
//	                               compared
//	casebook -layout FILE          the layout as a file
//	casebook -at P -pane R FILE    where the place P of the drawing is in the window, in
//	                               pixels, the whole being shown; R is the rectangle of the
//	                               drawing's pane, "x y wide high"; P is a terminal, "photo
//	                               x y" in the photo's pixels or "mm x y"; several are
//	                               parted by commas
package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/format"
	"halfsplit/fault/locate"
	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/drafting"
	"halfsplit/ui/entry"
	"halfsplit/ui/facts"
	"halfsplit/ui/plan"
	"halfsplit/ui/scene"
	"halfsplit/ui/store"
)

func main() {
	count := flag.Bool("count", false, "")
	known := flag.Bool("known", false, "")
	running := flag.Bool("run", false, "")
	half := flag.Bool("half", false, "")
	typed := flag.Bool("typed", false, "")
	lead := flag.String("lead", "", "")
	drawing := flag.Bool("drawing", false, "")
	path := flag.Bool("path", false, "")
	file := flag.Bool("layout", false, "")
	at := flag.String("at", "", "")
	pane := flag.String("pane", "", "")
	flag.Parse()
	ask := show
	switch {
	case *running:
		ask = run
	case *half:
		ask = halfTyped
	case *typed:
		ask = keystrokes
	case *drawing:
		ask = ofLayout(drawn)
	case *path:
		ask = ofLayout(joined)
	case *file:
		ask = ofLayout(written)
	case *at != "":
		ask = ofLayout(onScreen(*at, *pane))
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

// ofLayout asks something of the newest layout.
func ofLayout(do func(s store.Layouts) error) func(string, bool, bool, string) error {
	return func(path string, _, _ bool, _ string) error {
		b, err := casebook.Open(path, casebook.Options{ReadOnly: true})
		if err != nil {
			return err
		}
		defer b.Close()
		all, err := b.Layouts()
		if err != nil || len(all) == 0 {
			return fmt.Errorf("%s: no layout: %v", path, err)
		}
		newest := slices.MaxFunc(all, func(a, b casebook.LayoutInfo) int { return strings.Compare(a.ID, b.ID) })
		s, err := store.NewLayoutBook(b, newest.ID)
		if err != nil {
			return err
		}
		return do(s)
	}
}

// drawn lists a drawing line by line.
func drawn(s store.Layouts) error {
	l := s.Layout()
	_, problems := topology.Compile(l)
	for _, x := range l.Stacks {
		fmt.Printf("stack %s %g %g tier=%d angle=%g\n", x.ID, x.X, x.Y, x.Tier, x.Angle)
	}
	for i, p := range edit.Places(l) {
		m := l.Modules[i]
		fmt.Printf("module %s stack=%s %gs%gp middle=%.1f,%.1f size=%gx%g angle=%g minus=%s\n", m.ID, m.Stack, float64(m.Series), float64(m.Parallel), p.Center.X(), p.Center.Y(), p.W, p.H, p.Angle, m.Minus)
	}
	for _, u := range l.Underlays {
		fmt.Printf("photo %s %gx%g at %g,%g corners=%v\n", u.ID, u.W, u.H, u.X, u.Y, u.Corners)
	}
	for _, k := range l.Links {
		fmt.Println("link", k.ID, k.Kind, k.From, k.To)
	}
	for _, p := range problems {
		fmt.Println("problem", p.GoTo, p.Text)
	}
	st := s.Steps()
	fmt.Printf("undo %s\nredo %s\n", st.Undo, st.Redo)
	return nil
}

// joined is the path: every string's modules in order, the links by their ends, and
// whether anything should be looked at.
func joined(s store.Layouts) error {
	net, problems := topology.Compile(s.Layout())
	for _, str := range net.Strings {
		fmt.Print("string")
		for _, m := range str.Modules {
			fmt.Print(" ", net.Layout.Modules[m].ID)
		}
		fmt.Println()
	}
	var ends []string
	for _, k := range net.Layout.Links {
		two := []string{k.From, k.To}
		slices.Sort(two)
		ends = append(ends, fmt.Sprintln("link", k.ID, k.Kind, two[0], two[1]))
	}
	slices.Sort(ends)
	fmt.Print(strings.Join(ends, ""))
	fmt.Println("problems", len(problems))
	return nil
}

func written(s store.Layouts) error {
	raw, err := format.WriteLayout(s.Layout())
	if err == nil {
		_, err = os.Stdout.Write(raw)
	}
	return err
}

// onScreen are places of the drawing in the window.
func onScreen(list, pane string) func(store.Layouts) error {
	return func(s store.Layouts) error {
		var x, y, w, h float64
		if _, err := fmt.Sscan(pane, &x, &y, &w, &h); err != nil {
			return fmt.Errorf("the pane is %q: %v", pane, err)
		}
		d := drafting.NewDraft(s.Layout())
		view := d.Whole(w, h)
		for _, one := range strings.Split(list, ",") {
			mm, err := spot(d, one)
			if err != nil {
				return err
			}
			p := view.Screen(scene.At(mm.X(), mm.Y()))
			fmt.Printf("%.0f %.0f\n", x+p.X(), y+p.Y())
		}
		return nil
	}
}

// spot is a place of the drawing in mm.
func spot(d *drafting.Draft, name string) (mm mgl64.Vec2, err error) {
	if rest, ok := strings.CutPrefix(name, "mm "); ok {
		_, err = fmt.Sscan(rest, &mm[0], &mm[1])
		return mm, err
	}
	if rest, ok := strings.CutPrefix(name, "photo "); ok {
		if len(d.Layout.Underlays) == 0 {
			return mm, fmt.Errorf("no photo lies below the drawing")
		}
		var at [2]float64
		if _, err = fmt.Sscan(rest, &at[0], &at[1]); err != nil {
			return mm, err
		}
		to, err := edit.PhotoToPack(d.Layout.Underlays[0])
		return edit.Through(to, at), err
	}
	n, ok := d.Net.Node(name)
	m, tap, is := d.Net.ModuleAt(n)
	if !ok || !is {
		return mm, fmt.Errorf("%q is no module's terminal", name)
	}
	o := plan.NewDrawn(d.Net).Modules[m]
	if tap == 0 {
		return o.Minus(), nil
	}
	return o.Plus(), nil
}
