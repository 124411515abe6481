// Halfsplit locates insulation faults in high-voltage battery packs: the window
// on a case, or one of the commands of package cli.
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"

	"fyne.io/fyne/v2/app"

	"halfsplit/assets"
	"halfsplit/fault"
	"halfsplit/fault/cli"
	"halfsplit/fault/format"
	"halfsplit/fault/locate"
	"halfsplit/ui"
	_ "halfsplit/ui/locale" // before the toolkit looks for a language
	"halfsplit/ui/theme"
)

func main() { os.Exit(run(os.Args[1:])) }

func run(args []string) int {
	ctx := context.Background()
	if len(args) > 0 && cli.IsCommand(args[0]) {
		return cli.Run(ctx, args, os.Stdout, os.Stderr)
	}
	look := flag.String("theme", "system", "system, light, dark or contrast")
	flag.CommandLine.Parse(args)
	variant, ok := theme.ParseVariant(*look)
	if !ok || flag.NArg() > 1 {
		fmt.Fprintln(os.Stderr, "usage: halfsplit [-theme system|light|dark|contrast] [CASE.json]; halfsplit -h lists the commands")
		return 2
	}
	c, err := open(flag.Arg(0))
	if err != nil {
		fmt.Fprintln(os.Stderr, format.OneLine(err.Error()))
		return 2
	}
	if !display() {
		return cli.Demo(ctx, os.Stdout, os.Stderr)
	}
	app.SetMetadata(ui.Metadata())
	ui.Run(app.NewWithID(ui.Metadata().ID), c, variant, func(ctx context.Context, c fault.Case) (fault.Finding, error) {
		return locate.Find(ctx, c, nil)
	})
	return 0
}

// open reads a case file with the layout that it may name; "" is the demo case.
func open(path string) (fault.Case, error) {
	if path == "" {
		c, _, err := format.ReadCase("the demo case", assets.Demo, nil)
		return c, err
	}
	data, err := read(path)
	if err != nil {
		return fault.Case{}, err
	}
	c, _, err := format.ReadCase(path, data, func(p string) ([]byte, error) {
		if !filepath.IsAbs(p) {
			p = filepath.Join(filepath.Dir(path), p)
		}
		return read(p)
	})
	return c, err
}

// read reads a file as far as the format may go, and one byte more.
func read(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, format.MaxBytes+1))
}

func display() bool {
	return runtime.GOOS == "windows" || runtime.GOOS == "darwin" || os.Getenv("DISPLAY") != "" || os.Getenv("WAYLAND_DISPLAY") != ""
}
