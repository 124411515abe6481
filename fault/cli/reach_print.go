package cli

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"halfsplit/fault"
	"halfsplit/fault/format"
	"halfsplit/fault/reach"
)

// printReach writes an answer: what can be reached in words, what it rests on, and a
// table for every state.
func printReach(out io.Writer, o reachOrder, a reach.Answer, notes []format.Note) {
	w := &page{out: out}
	w.heading("%s", orElse(a.Layout, o.file))
	w.item("", "%s, %s, %s. Read with %s.", count(a.Modules, "module"), count(a.Groups, "group"), count(a.Strings, "string"), plainSpaces(a.With()))
	w.heading("What can be reached, expected, not measured")
	for _, h := range a.Headlines() {
		w.bullet(plainSpaces(h))
	}
	w.heading("What this rests on")
	w.bullet(a.Basis())
	for _, t := range a.Takes {
		w.bullet(plainSpaces(t))
	}
	w.bullet("Minutes are those of opening the links; the readings are counted beside them. Whatever is opened, the inside stays live.")
	for s := range a.States {
		reachTable(w, a, s)
	}
	w.gap()
	w.item("", "± groups: half the width of the 95 %% interval of the place, in half of the packs and in 9 of 10; none: no place is named. Modules: in the 95 %% set, as a mean. First, in set: in how many of %s the true module leads the set, and is in it. Ohms: a value, or only a bound. Limited by the leak path: by its own potential, which no meter narrows.", count(a.Trials, "pack"))
	for _, f := range []string{o.csv, o.plot} {
		if f != "" {
			w.item("", "Written: %s", f)
		}
	}
	w.notes(notes)
}

// plainSpaces is for terminals, whose fonts may lack the thin space.
func plainSpaces(s string) string { return strings.ReplaceAll(s, fault.ThinSpace, glue) }

// columns of the table; the last is as wide as it likes.
var reachColumns = []struct {
	head  string
	wide  int
	right bool
}{{"leak", 7, true}, {"± groups", 9, true}, {"9 of 10", 8, true}, {"modules", 8, true}, {"first", 6, true}, {"in set", 7, true}, {"  ohms", 13, false}, {"limited by", 0, false}}

// reachTable is one state's table.
func reachTable(w *page, a reach.Answer, s int) {
	state := a.States[s]
	heading := strings.ToUpper(state.Name[:1]) + state.Name[1:]
	if s > 0 {
		heading += ": " + state.MinutesWords()
	}
	w.heading("%s; %.3g readings", heading, a.Cells[s][len(a.Cells[s])-1].Readings)
	var head []string
	for _, c := range reachColumns {
		head = append(head, c.head)
	}
	tableRow(w, head)
	for k, c := range a.Cells[s] {
		tableRow(w, []string{strings.ReplaceAll(reach.Size(a.Ohms[k]), fault.ThinSpace, " "), reach.Groups(c.Half.Median), reach.Groups(c.Half.P90), fmt.Sprintf("%.1f", c.Modules),
			fmt.Sprint(c.First), fmt.Sprint(c.Inside), "  " + c.OhmsWords(), reach.Most(c.Limited, c.Trials)})
	}
	w.item("Verdicts", "%s", verdictCounts(a.Cells[s]))
}

// tableRow writes cells aligned under their headings.
func tableRow(w *page, cells []string) {
	var b strings.Builder
	b.WriteString("  ")
	for i, c := range cells {
		gap := strings.Repeat(" ", max(0, reachColumns[i].wide-utf8.RuneCountInString(c)))
		if reachColumns[i].right {
			c = gap + c
		} else {
			c += gap
		}
		b.WriteString(c)
	}
	w.begun = true
	w.line(b.String())
}

// verdictCounts are the verdicts of a state's packs, in the order of the ladder.
func verdictCounts(cells []reach.Cell) string {
	n, all := map[string]int{}, 0
	for _, c := range cells {
		all += c.Trials
		for _, v := range c.Verdicts {
			n[v.What] += v.N
		}
	}
	var out []string
	for _, v := range fault.Verdicts {
		if n[v] > 0 {
			out = append(out, strings.ReplaceAll(v, "-", " ")+" in "+fmt.Sprint(n[v]))
		}
	}
	return fmt.Sprintf("%s of %d packs.", strings.Join(out, ", "), all)
}
