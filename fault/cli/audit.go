package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
)

const auditUsage = "[-head SEQ:HASH] CASEBOOK"

// audit checks the event log of a casebook. It exits 0 if log and rows belong
// together, 1 if they do not, 2 if the file cannot be read.
func (p Program) audit(ctx context.Context, args []string, out io.Writer) (int, error) {
	expected, rest, err := headOf(args)
	if err != nil {
		return exitBad, err
	}
	path, err := oneFile("audit", auditUsage, rest, nil)
	if err != nil {
		return exitBad, err
	}
	r, err := casebook.AuditFile(ctx, path, expected)
	if err != nil {
		return exitBad, err
	}
	printReport(&page{out: out}, path, r)
	if !r.Holds() {
		return exitProblem, nil
	}
	return exitDone, nil
}

// headOf takes the head that the log must contain out of the arguments.
func headOf(args []string) (expected string, rest []string, err error) {
	for i := 0; i < len(args); i++ {
		name, value, joined := strings.Cut(args[i], "=")
		if name != "-head" && name != "--head" {
			rest = append(rest, args[i])
			continue
		}
		if !joined {
			if i++; i == len(args) {
				return "", nil, errors.New("halfsplit audit: -head needs the number and the hash; usage: halfsplit audit " + auditUsage)
			}
			value = args[i]
		}
		if _, err := fault.ParseHead(value); err != nil {
			return "", nil, fmt.Errorf("halfsplit audit: -head: %w", err)
		}
		expected = value
	}
	return expected, rest, nil
}

func printReport(w *page, path string, r casebook.Report) {
	if r.Holds() {
		w.heading("The event log of %s holds, and the rows are what it recorded.", path)
		w.item("events", "%d, from %s to %s", r.Events, moment(r.First), moment(r.Last))
		if r.Since >= 0 {
			w.item("since -head", "%s", count(int(r.Since), "event"))
		}
		w.item("", "The newest event, by its number and its hash, is")
	} else {
		w.heading("The event log of %s does not hold.", path)
		w.item("", "%s.", capital(r.Problem))
		w.item("", "The chain holds up to event %d, which is", r.Events)
	}
	h := fault.Head{Seq: r.Events, Hash: r.Head}
	w.item("", "%s", h)
	w.item("", "or in short %s.", h.Short())
	if len(r.Notes) > 0 {
		w.heading("Notes")
		for _, n := range r.Notes {
			w.bullet(capital(n) + ".")
		}
	}
	w.gap()
	w.item("", "This is about the file and says nothing about the pack.")
	w.item("", "Whoever writes a whole file anew can make a log that holds in itself. "+
		"Keep the number and hash of the newest event somewhere else, on paper or with an export, and give them to a later audit with -head.")
}

// moment is a time of the log, to the second.
func moment(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return at
	}
	return t.UTC().Format("2006-01-02 15:04:05")
}

func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}
