// Halfsplit locates insulation faults in high-voltage battery packs: the window
// on a case, or one of the commands of package cli.
package main

import (
	"context"
	"flag"
	"fmt"
	"io"
	"os"
	"runtime"

	"fyne.io/fyne/v2/app"

	"halfsplit/fault"
	"halfsplit/fault/cli"
	"halfsplit/fault/format"
	"halfsplit/fault/locate"
	"halfsplit/ui"
	"halfsplit/ui/casefile"
	_ "halfsplit/ui/locale" // before the toolkit looks for a language
	"halfsplit/ui/theme"
)

const usage = "usage: halfsplit [-theme system|light|dark|contrast] [CASE.json]; halfsplit -h lists the commands"

func main() { os.Exit(run(context.Background(), os.Args[1:])) }

func run(ctx context.Context, args []string) int {
	if len(args) > 0 && cli.IsCommand(args[0]) {
		return cli.Run(ctx, args, os.Stdout, os.Stderr)
	}
	flags := flag.NewFlagSet("halfsplit", flag.ContinueOnError)
	flags.SetOutput(io.Discard)
	look := flags.String("theme", theme.System.String(), "")
	err := flags.Parse(args)
	variant, ok := theme.ParseVariant(*look)
	if err != nil || !ok || flags.NArg() > 1 {
		fmt.Fprintln(os.Stderr, usage)
		return 2
	}
	c, err := casefile.Demo()
	if flags.NArg() == 1 {
		c, err = casefile.Open(flags.Arg(0))
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, format.OneLine(err.Error()))
		return 2
	}
	if runtime.GOOS != "windows" && runtime.GOOS != "darwin" && os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
		if flags.NArg() == 0 {
			return cli.Demo(ctx, os.Stdout, os.Stderr)
		}
		fmt.Fprintln(os.Stderr, "The window needs a display, and there is none; this is the case's finding.")
		return cli.Run(ctx, []string{"locate", flags.Arg(0)}, os.Stdout, os.Stderr)
	}
	app.SetMetadata(ui.Metadata())
	ui.Run(app.NewWithID(ui.Metadata().ID), c, variant, func(ctx context.Context, c fault.Case) (fault.Finding, error) {
		return locate.Find(ctx, c, nil)
	})
	return 0
}
