package lists

import (
	"fmt"
	"math"
	"slices"
	"time"

	"halfsplit/fault"
)

// A Status is what becomes of a line.
type Status uint8

// The statuses. Of a row that is Partly taken some values were read and others not. A
// row Waits that was read, and whose place hangs on what is asked.
const (
	Taken Status = iota
	Partly
	Listed // not read: Why says the reason
	Heading
	Empty
	Waiting
)

// A Row is one line of the text, or the lines that one quoted field goes over, and
// what becomes of it.
type Row struct {
	Line, Last int
	Text       string // as it stands in the text
	Status     Status
	Says       string // what would be stored
	Why        string // why it, or a part of it, was not read, or what it waits for
	Twice      string // where the same place was read before
}

// A Preview is what a list would store, and what it would not.
type Preview struct {
	Rows     []Row // every line, in the order of the text
	Readings []fault.Reading
	Groups   []fault.GroupVolts
	Asks     []Ask
	Notes    []string // what was understood besides, as sentences

	Lines  int       // of the text
	Count  [6]int    // lines, by Status; they sum to Lines
	Values int       // single values that would be stored
	Blanks int       // places of a table that say nothing: not measured, and no error
	Twice  int       // rows whose place was read before
	List   []float64 // V by monitor index, the first that came; NaN = none; nil = not by index
}

// Options are what Build is told besides the text.
type Options struct {
	Name string         // of the list: a file's name, or "pasted"
	Zone *time.Location // of times that name none; nil = UTC
	Now  string         // RFC 3339: when it is taken in, which Mapping.Stamp may take for the time of reading; "" = not known
}

// Stored is how many records would be made: readings, and lists of a module.
func (p Preview) Stored() int { return len(p.Readings) + len(p.Groups) }

// Ready says that nothing is asked any more and that there is something to store.
func (p Preview) Ready() bool { return len(p.Asks) == 0 && p.Stored() > 0 }

// Build says what a text would store when it is read by a mapping. It changes
// nothing; the same text, mapping and case give the same preview.
func Build(t Text, m Mapping, c fault.Case, o Options) Preview {
	b := newBuilder(t, m, c, o)
	for i, r := range b.records {
		b.take(i, r)
	}
	return b.finish()
}

// Listing gives the rows that were not read, wholly or in part.
func (p Preview) Listing() (out []Row) {
	for _, r := range p.Rows {
		if r.Status == Listed || r.Status == Partly {
			out = append(out, r)
		}
	}
	return out
}

func (b *builder) finish() Preview {
	p := &b.p
	p.Lines = len(b.text.Lines)
	for _, r := range p.Rows {
		p.Count[r.Status] += r.Last - r.Line + 1
		if r.Twice != "" {
			p.Twice++
		}
	}
	for _, l := range b.lists {
		if slices.ContainsFunc(l.Volts, func(v float64) bool { return !math.IsNaN(v) }) {
			p.Groups = append(p.Groups, *l)
		}
	}
	b.asks()
	b.notes()
	return b.p
}

// notes are what was understood of the text as a whole.
func (b *builder) notes() {
	p := &b.p
	p.Notes = append(p.Notes, fmt.Sprintf("%s, %s.", counted(p.Lines, "line", "lines"), b.text.Encoding))
	if b.m.Mark == CommaMark {
		p.Notes = append(p.Notes, "Commas are read as decimal marks.")
	}
	if p.List != nil {
		lacks, highest := 0, 0
		for i, v := range p.List {
			if math.IsNaN(v) {
				lacks++
			} else {
				highest = i + 1
			}
		}
		if highest < len(p.List) {
			p.Notes = append(p.Notes, fmt.Sprintf("The list has values for %d of %d groups, counted from its first: an order that counts from the positive end begins at the pack's last group, which the list may not do.", highest, len(p.List)))
		}
		if lacks > 0 {
			p.Notes = append(p.Notes, fmt.Sprintf("Of %d monitor indices %d have no value: their groups stay not measured.", b.pack(), lacks))
		}
		if b.m.FromZero {
			p.Notes = append(p.Notes, "An index 0 is there: the indices count from 0.")
		}
	}
	if p.Blanks > 0 {
		p.Notes = append(p.Notes, fmt.Sprintf("%s of the table say nothing: not measured.", counted(p.Blanks, "place", "places")))
	}
	if b.small > 0 {
		p.Notes = append(p.Notes, fmt.Sprintf("%s over whole modules and no more than one group has: look whether a column holds the group.", counted(b.small, "value is", "values are")))
	}
	if p.Twice > 0 {
		p.Notes = append(p.Notes, fmt.Sprintf("%s read a place that was read before in this list: both are kept.", counted(p.Twice, "row", "rows")))
	}
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
