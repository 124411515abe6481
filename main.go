// Halfsplit locates insulation faults in high-voltage battery packs: the window
// on a casebook or a case file, or one of the commands of package cli.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"fyne.io/fyne/v2/app"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/cells"
	"halfsplit/fault/cli"
	"halfsplit/fault/format"
	"halfsplit/fault/locate"
	"halfsplit/ui"
	"halfsplit/ui/casefile"
	"halfsplit/ui/easel"
	_ "halfsplit/ui/locale" // before the toolkit looks for a language
	"halfsplit/ui/picture"
	"halfsplit/ui/shell"
	"halfsplit/ui/theme"
)

const usage = "usage: halfsplit [-theme system|light|dark|contrast] [CASEBOOK | CASE.json]; halfsplit -h lists the commands"

func main() { os.Exit(run(context.Background(), os.Args[1:])) }

func run(ctx context.Context, args []string) int {
	if len(args) > 0 && cli.IsCommand(args[0]) {
		return cli.Run(ctx, args, os.Stdout, os.Stderr)
	}
	if len(args) > 0 && args[0] == "picture" {
		return picture.Command(args[1:], time.Now(), os.Stdout, os.Stderr)
	}
	flags := flag.NewFlagSet("halfsplit", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	look := flags.String("theme", theme.System.String(), "")
	frames := flags.Bool("frames", false, "") // for whoever measures the window; no part of the help
	err := flags.Parse(args)
	variant, ok := theme.ParseVariant(*look)
	if err != nil || !ok || flags.NArg() > 1 {
		return bad(usage)
	}
	data := dataFolder()
	deps := shell.Deps{Demo: casefile.Demo, Variant: variant, Path: flags.Arg(0), Open: openBook, Folder: homeFolder(), Remember: filepath.Join(data, "window.json"),
		Find: func(ctx context.Context, c fault.Case) (fault.Finding, error) {
			return locate.Find(ctx, c, cells.All(c))
		},
		FindIf: func(ctx context.Context, c fault.Case, q locate.WhatIf) (fault.Finding, error) {
			return locate.FindIf(ctx, c, cells.All(c), q)
		}}
	switch {
	case flags.NArg() == 0:
		first := &beginning{}
		deps.Path, deps.Open, deps.Begin = filepath.Join(data, "casebook.halfsplit"), first.open, first.demo
	case strings.EqualFold(filepath.Ext(deps.Path), ".json"):
		c, err := casefile.Open(deps.Path)
		if err != nil {
			return bad(format.OneLine(err.Error()))
		}
		deps.Case = &c
	}
	if runtime.GOOS != "windows" && runtime.GOOS != "darwin" && os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
		return withoutDisplay(ctx, deps, flags.NArg() == 0)
	}
	if *frames {
		easel.WatchFrames(os.Stderr)
	}
	app.SetMetadata(ui.Metadata())
	if err := shell.Run(app.NewWithID(ui.Metadata().ID), deps); err != nil {
		return bad(format.OneLine(err.Error()))
	}
	return 0
}

func bad(line string) int {
	fmt.Fprintln(os.Stderr, line)
	return 2
}

// withoutDisplay prints what can be said without a window.
func withoutDisplay(ctx context.Context, d shell.Deps, demo bool) int {
	switch {
	case demo:
		return cli.Demo(ctx, os.Stdout, os.Stderr)
	case d.Case == nil:
		return bad("The window needs a display, and there is none; halfsplit -h lists what works without one.")
	}
	fmt.Fprintln(os.Stderr, "The window needs a display, and there is none; this is the case's finding.")
	return cli.Run(ctx, []string{"locate", d.Path}, os.Stdout, os.Stderr)
}

// dataFolder is where the program keeps what is this user's.
func dataFolder() string {
	dir, err := os.UserConfigDir()
	if err != nil {
		dir = homeFolder()
	}
	return filepath.Join(dir, "halfsplit")
}

func homeFolder() string {
	dir, err := os.UserHomeDir()
	if err != nil {
		return "."
	}
	return dir
}

// openBook opens a casebook, or makes an empty one.
func openBook(path string, create bool) (*casebook.Book, error) {
	if create {
		return casebook.Create(path, casebook.Options{})
	}
	return casebook.Open(path, casebook.Options{})
}

// A beginning is the first start: the demo case that a new casebook begins with.
type beginning struct{ id string }

func (f *beginning) demo() string { return f.id }

// open opens the user's own casebook. On the first start there is none: it is
// made, with the demo case in it.
func (f *beginning) open(path string, create bool) (*casebook.Book, error) {
	b, err := openBook(path, create)
	if create || casebook.KindOf(err) != casebook.Missing || path != filepath.Join(dataFolder(), "casebook.halfsplit") {
		return b, err
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return nil, &casebook.Error{Kind: casebook.ReadOnly, Path: path, Text: "cannot be made: its folder cannot be", Err: err}
	}
	if b, err = openBook(path, true); err != nil {
		return nil, err
	}
	demo, err := casefile.Demo()
	if err == nil {
		f.id, err = b.ImportCase(demo, nil, casebook.By{})
	}
	if err != nil {
		return nil, errors.Join(err, b.Close())
	}
	return b, nil
}
