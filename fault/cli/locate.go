package cli

import (
	"context"
	"errors"
	"fmt"
	"io"

	"halfsplit/assets"
	"halfsplit/fault"
	"halfsplit/fault/cells"
	"halfsplit/fault/format"
	"halfsplit/topology"
)

// locate prints the finding of a case, for people or as JSON.
func (p Program) locate(ctx context.Context, args []string, out io.Writer) (int, error) {
	asJSON := false
	path, err := oneFile("locate", "[-json] CASE.json", args, map[string]*bool{"json": &asJSON})
	if err != nil {
		return exitBad, err
	}
	c, notes, err := ReadCase(path)
	if err != nil {
		return exitBad, err
	}
	f, err := p.find(ctx, c)
	if err != nil {
		return exitBad, fmt.Errorf("%s: %w", path, err)
	}
	if asJSON {
		raw, err := format.WriteFinding(f)
		if err != nil {
			return exitBad, fmt.Errorf("%s: the finding cannot be written: %w", path, err)
		}
		_, err = out.Write(raw)
		return exitDone, err
	}
	printFinding(out, c, f, notes)
	return exitDone, nil
}

func (p Program) find(ctx context.Context, c fault.Case) (fault.Finding, error) {
	if p.Find == nil {
		return fault.Finding{}, errors.New("this build has no engine")
	}
	return p.Find(ctx, c, cells.All(c))
}

// Demo prints the demo case's finding and one line on the window.
func Demo(ctx context.Context, stdout, stderr io.Writer) int {
	return Program{Find: engine()}.Demo(ctx, stdout, stderr)
}

// Demo prints the demo case's finding and one line on the window.
func (p Program) Demo(ctx context.Context, stdout, stderr io.Writer) int {
	return allOf(stdout, stderr, func(out io.Writer) (int, error) {
		c, _, err := format.ReadCase("the demo case", assets.Demo, nil)
		if err != nil {
			return exitBad, err
		}
		f, err := p.find(ctx, c)
		if err != nil {
			return exitBad, fmt.Errorf("the demo case: %w", err)
		}
		printFinding(out, c, f, nil)
		_, err = fmt.Fprintln(out, "\nThe window needs a display, and there is none; this is the demo case's finding.")
		return exitDone, err
	})
}

// printFinding writes a finding in the order in which a person wants it: what
// is stated, with what to mind; where and how large; what else it could be;
// what it rests on; how to check it with a pocket calculator.
func printFinding(out io.Writer, c fault.Case, f fault.Finding, notes []format.Note) {
	w := &printed{page{out: out}, c, f}
	w.top()
	w.cautions()
	w.leaks()
	w.explanations()
	w.sections()
	w.closure()
	w.subtraction()
	w.doubts()
	w.beside(cells.Signatures(c))
	w.basis()
	w.makeSafe()
	w.next()
	w.why()
	_, problems := topology.Compile(c.Layout)
	w.layout(problems)
	w.page.notes(notes)
}
