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

	"halfsplit/fault/casebook"
)

const auditUsage = "[-head HASH] CASEBOOK"

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
				return "", nil, errors.New("halfsplit audit: -head needs the hash; usage: halfsplit audit " + auditUsage)
			}
			value = args[i]
		}
		expected = strings.ToLower(strings.TrimSpace(value))
		if len(expected) != 64 || strings.Trim(expected, "0123456789abcdef") != "" {
			return "", nil, fmt.Errorf("halfsplit audit: %q is no hash of an event, which has 64 characters from 0-9 and a-f", value)
		}
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
		w.item("", "The hash of the newest event is")
	} else {
		w.heading("The event log of %s does not hold.", path)
		w.item("", "%s.", capital(r.Problem))
		w.item("", "The chain holds up to event %d, the hash of which is", r.Events)
	}
	w.item("", "%s", r.Head)
	if len(r.Notes) > 0 {
		w.heading("Notes")
		for _, n := range r.Notes {
			w.bullet(capital(n) + ".")
		}
	}
	w.gap()
	w.item("", "This is about the file and says nothing about the pack.")
	w.item("", "Whoever writes a whole file anew can make a log that holds in itself. "+
		"Keep the hash of the newest event somewhere else, and give it to a later audit with -head.")
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
