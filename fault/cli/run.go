package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/format"
)

// Exit codes.
const (
	exitDone    = 0
	exitProblem = 1 // check found something
	exitBad     = 2 // bad input or bad use

	exitInterrupted = 130 // by the person, as shells have it
)

// A Find turns a case into a finding; locate.Find is the one in use.
type Find func(context.Context, fault.Case, []fault.Evidence) (fault.Finding, error)

// A Program is the commands with what they need.
type Program struct {
	Find Find

	errs io.Writer // where the progress of long work is shown
}

// A command reads its arguments and writes its output; what it returns besides
// the exit code is the one line that says what is wrong.
type command struct {
	name, args, about string
	run               func(p Program, ctx context.Context, args []string, out io.Writer) (int, error)
}

func commands() []command {
	return []command{
		{"locate", "[-json] CASE.json", "what the readings say about where the leak is", Program.locate},
		{"check", "LAYOUT.json", "what to look at in a layout; exit 1 if there is anything", Program.check},
		{"reach", reachUsage, "how small a place, from which states, how often right (simulated)", Program.reach},
		{"sheet", sheetUsage, "a bench sheet to write readings on, as PDF, for the present state", Program.sheet},
		{"export", exportUsage, "a case as one file, photos and history included, for another casebook", Program.export},
		{"import", importUsage, "a case from such a file, or from any casebook, merged with what is here", Program.importCase},
		{"csv", csvUsage, "all readings and group volts of a case as a table", Program.csv},
		{"signoffs", signOffsUsage, "who signed what of a case, and whether it is still as it was signed", Program.signOffs},
		{"audit", auditUsage, "whether a casebook's log and rows belong together; exit 1 if not", Program.audit},
	}
}

// pictureUsage is listed with the commands; the program itself runs it, with the
// window's drawings.
const pictureUsage = "[-bw] [-seen above|below] [-tier N] [-scale N] [-paper a4|letter|a3|tabloid] [-dpi N] LAYOUT.json|CASE.json OUT.png|OUT.pdf"

// IsCommand says whether a program argument is a command of this package.
func IsCommand(name string) bool {
	for _, c := range commands() {
		if c.name == name {
			return true
		}
	}
	return name == "-h" || name == "-help" || name == "--help" || name == "help"
}

// Run runs a command with the engine of this build and returns the exit code.
// args are the program's arguments without its name.
func Run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	return Program{Find: engine()}.Run(ctx, args, stdout, stderr)
}

// Run runs a command and returns the exit code.
func (p Program) Run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	p.errs = stderr
	return allOf(stdout, stderr, func(out io.Writer) (int, error) { return p.dispatch(ctx, args, out) })
}

// allOf gathers the output of f and writes it at once, or not at all if
// anything went wrong.
func allOf(stdout, stderr io.Writer, f func(io.Writer) (int, error)) int {
	var out bytes.Buffer
	code, err := f(&out)
	if err == nil {
		_, err = stdout.Write(out.Bytes())
	}
	if err == nil {
		return code
	}
	fmt.Fprintln(stderr, format.OneLine(err.Error()))
	if errors.Is(err, context.Canceled) {
		return exitInterrupted
	}
	return exitBad
}

func (p Program) dispatch(ctx context.Context, args []string, out io.Writer) (int, error) {
	if len(args) == 0 {
		return exitBad, errors.New("halfsplit: no command given; halfsplit -h lists them")
	}
	for _, c := range commands() {
		if c.name == args[0] {
			if len(args) == 2 && wantsHelp(args[1]) {
				fmt.Fprintf(out, "usage: halfsplit %s %s\n%s\n", c.name, c.args, c.about)
				return exitDone, nil
			}
			return c.run(p, ctx, args[1:], out)
		}
	}
	if wantsHelp(args[0]) || args[0] == "help" {
		usage(out)
		return exitDone, nil
	}
	return exitBad, fmt.Errorf("halfsplit: %q is no command; halfsplit -h lists them", args[0])
}

func wantsHelp(arg string) bool { return arg == "-h" || arg == "-help" || arg == "--help" }

func usage(out io.Writer) {
	fmt.Fprintln(out, "Halfsplit computes where along a battery pack's series string an insulation fault can sit.")
	fmt.Fprintln(out)
	row(out, "halfsplit [CASEBOOK | CASE.json]", "the window")
	for _, c := range commands() {
		row(out, "halfsplit "+c.name+" "+c.args, c.about)
	}
	row(out, "halfsplit picture "+pictureUsage, "a layout drawn to scale on a page, as PDF or PNG")
	fmt.Fprintln(out)
	fmt.Fprintln(out, "Bad input: one line on standard error with file, place and reason, and exit 2.")
}

// row writes a command and what it is about; a long command has a line to itself.
func row(out io.Writer, left, right string) {
	const column = 38
	if len(left) > column {
		fmt.Fprintf(out, "  %s\n", left)
		left = ""
	}
	fmt.Fprintf(out, "  %-*s %s\n", column, left, right)
}

// oneFile takes the flags and the single file of a command.
func oneFile(name, usage string, args []string, flags map[string]*bool) (string, error) {
	file := ""
	for _, a := range args {
		set, isFlag := flags[strings.TrimPrefix(a, "-")]
		if !isFlag {
			set, isFlag = flags[strings.TrimPrefix(a, "--")]
		}
		switch {
		case strings.HasPrefix(a, "-") && isFlag:
			*set = true
		case strings.HasPrefix(a, "-"):
			return "", fmt.Errorf("halfsplit %s: unknown option %q; usage: halfsplit %s %s", name, a, name, usage)
		case file != "":
			return "", fmt.Errorf("halfsplit %s: one file is expected, and %q is a second; usage: halfsplit %s %s", name, a, name, usage)
		default:
			file = a
		}
	}
	if file == "" {
		return "", fmt.Errorf("halfsplit %s: no file given; usage: halfsplit %s %s", name, name, usage)
	}
	return file, nil
}
