package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/user"
	"strings"

	"halfsplit/fault/casebook"
	"halfsplit/fault/csvout"
	"halfsplit/fault/format"
	"halfsplit/fault/whole"
)

const (
	exportUsage = "CASEBOOK CASE OUT"
	importUsage = "CASEBOOK FILE [CASE]"
	csvUsage    = "CASEBOOK CASE OUT.csv"
)

// export writes a case as one file. It reads the casebook and changes nothing in it.
func (p Program) export(ctx context.Context, args []string, out io.Writer) (int, error) {
	return ofCase("export", exportUsage, args, 3, func(a []string, b *casebook.Book, c casebook.CaseSummary) error {
		from, file, err := b.WriteOne(ctx, c.ID, a[2], false, operator())
		if err != nil {
			return err
		}
		w := &page{out: out}
		w.heading("Written: %s holds the case %s.", a[2], quoted(c.Title))
		headItem(w, "casebook at", from)
		headItem(w, "file at", file)
		w.gap()
		w.item("", "These are the newest events of the two logs. halfsplit audit -head %s %s says later whether the casebook still contains what went out.", from.Short(), a[0])
		return nil
	})
}

// ofCase reads a case of a casebook, named by the first two of so many arguments, and
// changes nothing in it.
func ofCase(command, usage string, args []string, n int, do func(a []string, b *casebook.Book, c casebook.CaseSummary) error) (int, error) {
	a, err := plainArgs(command, usage, args, n, n)
	if err != nil {
		return exitBad, err
	}
	err = withBook(a[0], true, func(b *casebook.Book) error {
		c, err := chosen(a[0], b.Cases, a[1])
		if err != nil {
			return err
		}
		return do(a, b, c)
	})
	return codeOf(err), err
}

// importCase takes a case in from another casebook.
func (p Program) importCase(ctx context.Context, args []string, out io.Writer) (int, error) {
	a, err := plainArgs("import", importUsage, args, 2, 3)
	if err != nil {
		return exitBad, err
	}
	which := ""
	if len(a) == 3 {
		which = a[2]
	}
	c, err := chosen(a[1], func(string) ([]casebook.CaseSummary, error) { return casebook.CasesIn(a[1]) }, which)
	if err != nil {
		return exitBad, err
	}
	err = withBook(a[0], false, func(b *casebook.Book) error {
		got, err := b.TakeIn(ctx, a[1], c.ID, operator())
		if err != nil {
			return err
		}
		printBrought(&page{out: out}, a[1], got)
		h, err := b.Head()
		if err == nil && !got.Nothing {
			headItem(&page{out: out}, "casebook at", h)
		}
		return err
	})
	return codeOf(err), err
}

func printBrought(w *page, file string, got casebook.Brought) {
	if got.Nothing {
		w.heading("Everything in %s is here already: nothing was changed.", file)
		w.item("case", "%s", quoted(got.Title))
		return
	}
	if got.New {
		w.heading("Taken in: the case %s, with its history.", quoted(got.Title))
	} else {
		w.heading("Taken in: what the case %s did not have yet.", quoted(got.Title))
	}
	w.item("new", "%s", got.What())
	w.item("history", "%s of the other log", count(got.Events, "event"))
	for i, s := range got.Said {
		label := " "
		if i == 0 {
			label = "to know"
		}
		w.item(label, "%s", s)
	}
	headItem(w, "it came from", got.From)
	if got.File.Known() {
		headItem(w, "the file at", got.File)
	}
}

// headItem is a head in full: it has a line to itself.
func headItem(w *page, label string, h casebook.Head) {
	w.item(label, "event %d, with the hash", h.Seq)
	w.item("", "%s", h)
}

// csv writes all readings and group volts of a case as a table.
func (p Program) csv(_ context.Context, args []string, out io.Writer) (int, error) {
	return ofCase("csv", csvUsage, args, 3, func(a []string, b *casebook.Book, c casebook.CaseSummary) error {
		r, err := b.Record(c.ID)
		if err != nil {
			return err
		}
		var data bytes.Buffer
		if err := csvout.Write(&data, r); err != nil {
			return err
		}
		if _, err := os.Lstat(a[2]); !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("%s: is there already, and was left as it is", a[2])
		}
		if err := whole.Write(a[2], data.Bytes()); err != nil {
			return fmt.Errorf("%s: cannot be written: %w", a[2], err)
		}
		w := &page{out: out}
		w.heading("Written: %s has %s and %s of the case %s.", a[2], count(len(r.Readings), "reading"), count(len(r.Volts), "group value"), quoted(c.Title))
		headItem(w, "casebook at", r.Head)
		return nil
	})
}

func codeOf(err error) int {
	if err != nil {
		return exitBad
	}
	return exitDone
}

// plainArgs are the arguments of a command that has no options.
func plainArgs(name, usage string, args []string, least, most int) ([]string, error) {
	for _, a := range args {
		if strings.HasPrefix(a, "-") {
			return nil, fmt.Errorf("halfsplit %s: unknown option %q; usage: halfsplit %s %s", name, a, name, usage)
		}
	}
	if len(args) < least || len(args) > most {
		return nil, fmt.Errorf("halfsplit %s: %s given; usage: halfsplit %s %s", name, count(len(args), "argument"), name, usage)
	}
	return args, nil
}

// withBook opens a casebook for a command.
func withBook(path string, readOnly bool, f func(*casebook.Book) error) error {
	b, err := casebook.Open(path, casebook.Options{ReadOnly: readOnly, NoCopies: true})
	if err != nil {
		return err
	}
	return errors.Join(f(b), b.Close())
}

// chosen is the case that a person names by its title, or by its key or the beginning
// of it; "" is the one that is there.
func chosen(path string, cases func(string) ([]casebook.CaseSummary, error), name string) (casebook.CaseSummary, error) {
	all, err := cases("")
	if err != nil {
		return casebook.CaseSummary{}, err
	}
	var found []casebook.CaseSummary
	for _, c := range all {
		switch {
		case c.ID == name:
			return c, nil
		case name == "", c.Title == name, len(name) >= 8 && strings.HasPrefix(c.ID, name):
			found = append(found, c)
		}
	}
	switch {
	case len(found) == 1:
		return found[0], nil
	case len(all) == 0:
		return casebook.CaseSummary{}, fmt.Errorf("%s: holds no case", path)
	case len(found) == 0:
		return casebook.CaseSummary{}, fmt.Errorf("%s: no case has the title or key %s; it holds %s", path, quoted(name), titles(all))
	case name == "":
		return casebook.CaseSummary{}, fmt.Errorf("%s: holds more than one case; name one by its title or key: %s", path, titles(found))
	}
	return casebook.CaseSummary{}, fmt.Errorf("%s: more than one case is called %s; name one by its key: %s", path, quoted(name), titles(found))
}

func titles(all []casebook.CaseSummary) string {
	const most = 8
	var out []string
	for i, c := range all {
		if i == most {
			out = append(out, fmt.Sprintf("and %d more", len(all)-most))
			break
		}
		out = append(out, quoted(c.Title)+" ("+c.ID+")")
	}
	return strings.Join(out, ", ")
}

func quoted(title string) string { return "“" + format.OneLine(title) + "”" }

// operator is who runs the command, as far as the machine knows.
func operator() casebook.By {
	u, err := user.Current()
	if err != nil {
		return casebook.By{}
	}
	if u.Name != "" {
		return casebook.By{Who: u.Name}
	}
	return casebook.By{Who: u.Username}
}
