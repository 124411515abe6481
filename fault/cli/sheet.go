package cli

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"

	"halfsplit/fault/report"
	"halfsplit/fault/series"
	"halfsplit/fault/whole"
)

const sheetUsage = "[-paper a4|letter] [-what module|group|chassis|insulation|joint] [-order electrical|snake|reverse] [-expected] CASE.json OUT.pdf"

// whatKinds are the kinds of series as the command names them.
var whatKinds = map[string]series.Kind{
	"module": series.ModuleVolts, "group": series.GroupVolts, "chassis": series.ToChassis, "insulation": series.Insulation, "joint": series.Joint,
}

// sheetOrders are the orders that the command offers.
var sheetOrders = []series.Order{series.Electrical, series.Snake, series.Reverse}

// sheet writes a bench sheet for the present state of a case.
func (p Program) sheet(ctx context.Context, args []string, out io.Writer) (int, error) {
	r := report.Request{Kind: series.ToChassis}
	in, to, err := sheetArgs(args, &r)
	if err != nil {
		return exitBad, err
	}
	c, _, err := ReadCase(in)
	if err != nil {
		return exitBad, err
	}
	if r.Expected && r.Kind == series.ToChassis {
		f, err := p.Find(ctx, c, nil)
		if err != nil {
			return exitBad, fmt.Errorf("%s: %w", in, err)
		}
		r.Finding = &f
	}
	if len(c.Instruments) == 1 {
		r.Instrument = c.Instruments[0].ID
	}
	s, err := report.New(c, r)
	if err != nil {
		return exitBad, fmt.Errorf("%s: %w", in, err)
	}
	var data bytes.Buffer
	if err := s.WritePDF(&data); err != nil {
		return exitBad, fmt.Errorf("%s: %w", in, err)
	}
	if err := whole.Write(to, data.Bytes()); err != nil {
		return exitBad, fmt.Errorf("%s: cannot be written: %w", to, err)
	}
	state := "no recorded state"
	if s.State != "" {
		state = "state " + s.State
	}
	fmt.Fprintf(out, "%s: sheet %s for %s, %d boxes\n", to, s.Number, state, len(s.Boxes))
	return exitDone, nil
}

// sheetArgs takes the options and the two files.
func sheetArgs(args []string, r *report.Request) (in, to string, err error) {
	bad := func(text string, a ...any) (string, string, error) {
		return "", "", fmt.Errorf("halfsplit sheet: "+text+"; usage: halfsplit sheet "+sheetUsage, a...)
	}
	var files []string
	for i := 0; i < len(args); i++ {
		name, isOption := strings.CutPrefix(args[i], "-")
		if !isOption {
			files = append(files, args[i])
			continue
		}
		name, value, joined := strings.Cut(strings.TrimPrefix(name, "-"), "=")
		if name == "expected" && !joined {
			r.Expected = true
			continue
		}
		if !slices.Contains([]string{"paper", "what", "order"}, name) {
			return bad("unknown option %q", args[i])
		}
		if !joined {
			if i++; i == len(args) {
				return bad("-%s needs a value", name)
			}
			value = args[i]
		}
		if wrong := setSheet(r, name, value); wrong != "" {
			return bad("-%s %s", name, wrong)
		}
	}
	if len(files) != 2 {
		return bad("a case and the PDF to write are expected, and %d files are given", len(files))
	}
	if !strings.HasSuffix(strings.ToLower(files[1]), ".pdf") {
		return bad("the second file is the PDF to write and ends in .pdf, and is %q", files[1])
	}
	if wrong := folderWrong(files[1]); wrong != "" {
		return bad("the PDF %s", wrong)
	}
	return files[0], files[1], nil
}

// setSheet takes one option's value; what it returns says what is wrong with it.
func setSheet(r *report.Request, name, value string) (wrong string) {
	switch name {
	case "paper":
		p, err := report.ParsePaper(value)
		if err != nil {
			return fmt.Sprintf("is a4 or letter, and not %q", value)
		}
		r.Paper = p
	case "what":
		k, ok := whatKinds[value]
		if !ok {
			return fmt.Sprintf("is module, group, chassis, insulation or joint, and not %q", value)
		}
		r.Kind = k
	case "order":
		r.Order = series.Order(value)
		if !slices.Contains(sheetOrders, r.Order) {
			return fmt.Sprintf("is electrical, snake or reverse, and not %q", value)
		}
	}
	return ""
}
