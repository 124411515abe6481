package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"

	"halfsplit/fault/format"
	"halfsplit/fault/reach"
	"halfsplit/fault/reach/chart"
	"halfsplit/fault/whole"
)

const reachUsage = "[-n N] [-seed S] [-csv FILE] [-plot FILE] LAYOUT.json"

// A reachOrder is what a person asked of the reach command.
type reachOrder struct {
	file, csv, plot string
	trials          int
	seed            uint64
}

// reach prints what these instruments can reach on a pack, and writes it as CSV and
// as a picture where that is asked. Interrupted, it writes nothing.
func (p Program) reach(ctx context.Context, args []string, out io.Writer) (int, error) {
	order, err := reachArgs(args)
	if err != nil {
		return exitBad, err
	}
	q, notes, err := readQuestion(order.file)
	if err != nil {
		return exitBad, err
	}
	q.Trials, q.Seed = order.trials, order.seed
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	defer context.AfterFunc(ctx, stop)() // a second interrupt ends the program at once
	bar := progressOn(p.errs)
	a, err := reach.Run(ctx, q, bar.show)
	bar.clear()
	switch {
	case ctx.Err() != nil:
		return exitInterrupted, interrupted(order.file)
	case err != nil:
		return exitBad, fmt.Errorf("%s: %w", order.file, err)
	}
	if err := order.save(a); err != nil {
		return exitBad, err
	}
	printReach(out, order, a, notes)
	return exitDone, nil
}

// interrupted is work on a file that the person ended.
type interrupted string

func (i interrupted) Error() string      { return string(i) + ": interrupted; nothing was written" }
func (interrupted) Is(target error) bool { return target == context.Canceled }

// reachArgs takes the options and the one file.
func reachArgs(args []string) (reachOrder, error) {
	o := reachOrder{seed: 1, trials: reach.DefaultTrials}
	bad := func(text string, a ...any) (reachOrder, error) {
		return o, fmt.Errorf("halfsplit reach: "+text+"; usage: halfsplit reach "+reachUsage, a...)
	}
	for i := 0; i < len(args); i++ {
		name, isOption := strings.CutPrefix(args[i], "-")
		if !isOption {
			if o.file != "" {
				return bad("one file is expected, and %q is a second", args[i])
			}
			o.file = args[i]
			continue
		}
		name, value, joined := strings.Cut(strings.TrimPrefix(name, "-"), "=")
		if !slices.Contains([]string{"n", "seed", "csv", "plot"}, name) {
			return bad("unknown option %q", args[i])
		}
		if !joined {
			if i++; i == len(args) {
				return bad("-%s needs a value", name)
			}
			value = args[i]
		}
		if wrong := o.set(name, value); wrong != "" {
			return bad("-%s %s", name, wrong)
		}
	}
	if o.file == "" {
		return bad("no file given")
	}
	return o, nil
}

// set takes one option's value; what it returns says what is wrong with it.
func (o *reachOrder) set(name, value string) (wrong string) {
	var err error
	switch name {
	case "n":
		if o.trials, err = strconv.Atoi(value); err != nil || o.trials < 1 || o.trials > reach.MostTrials {
			return fmt.Sprintf("must be a whole number from 1 to %d, and is %q", reach.MostTrials, value)
		}
	case "seed":
		if o.seed, err = strconv.ParseUint(value, 10, 64); err != nil {
			return fmt.Sprintf("must be a whole number from 0, and is %q", value)
		}
	case "csv":
		o.csv = value
		return folderWrong(value)
	case "plot":
		o.plot = value
		if !slices.Contains(chart.Endings, strings.ToLower(filepath.Ext(value))) {
			return fmt.Sprintf("takes a file that ends in %s, and is %q", strings.Join(chart.Endings, ", "), value)
		}
		return folderWrong(value)
	}
	return ""
}

// folderWrong looks before the work begins whether a file could be written there.
func folderWrong(file string) string {
	dir := filepath.Dir(file)
	switch info, err := os.Stat(dir); {
	case file == "":
		return "needs the name of a file"
	case err != nil || !info.IsDir():
		return fmt.Sprintf("is %q, and there is no folder %q", file, dir)
	}
	if info, err := os.Stat(file); err == nil && info.IsDir() {
		return fmt.Sprintf("is %q, which is a folder", file)
	}
	return ""
}

// readQuestion reads a layout; of a case it takes the instruments, test resistors
// and the workshop's own minutes too.
func readQuestion(path string) (q reach.Question, notes []format.Note, err error) {
	data, err := readFile(path)
	if err != nil {
		return q, nil, err
	}
	var head struct {
		Format string `json:"format"`
	}
	_ = json.Unmarshal(data, &head) // the reader of the format says what is wrong
	if !strings.HasPrefix(head.Format, "halfsplit-case/") {
		q.Layout, notes, err = format.ReadLayout(path, data)
		return q, notes, err
	}
	c, notes, err := ReadCase(path)
	return reach.Question{Layout: c.Layout, Instruments: c.Instruments, Resistors: c.Resistors, Minutes: c.Minutes}, notes, err
}

// save writes the files that were asked for, each whole or not at all.
func (o reachOrder) save(a reach.Answer) error {
	for _, f := range []struct {
		path  string
		write func(io.Writer) error
	}{
		{o.csv, a.WriteCSV},
		{o.plot, func(w io.Writer) error { return chart.Write(w, a, strings.ToLower(filepath.Ext(o.plot))) }},
	} {
		if f.path == "" {
			continue
		}
		var data bytes.Buffer
		if err := f.write(&data); err != nil {
			return fmt.Errorf("%s: cannot be made: %w", f.path, err)
		}
		if err := whole.Write(f.path, data.Bytes()); err != nil {
			return fmt.Errorf("%s: cannot be written: %w", f.path, err)
		}
	}
	return nil
}
