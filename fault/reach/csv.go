package reach

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// column is one column of the table as a file.
type column struct {
	heading string
	of      func(a Answer, s State, ohms float64, c Cell) string
}

func figure(v float64) string {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return "" // no place is named
	}
	return strconv.FormatFloat(v, 'g', 6, 64)
}

func share(n, of int) string { return figure(100 * float64(n) / float64(max(1, of))) }

func said(counts []Count) string {
	var out []string
	for _, c := range counts {
		out = append(out, fmt.Sprintf("%s %d", c.What, c.N))
	}
	return strings.Join(out, "; ")
}

func columns() []column {
	return []column{
		{"state", func(_ Answer, s State, _ float64, _ Cell) string { return s.Name }},
		{"links open", func(_ Answer, s State, _ float64, _ Cell) string { return strings.Join(s.Open, " ") }},
		{"one more of", func(_ Answer, s State, _ float64, _ Cell) string { return strings.Join(s.Choice, " ") }},
		{"opening at least (min)", func(_ Answer, s State, _ float64, _ Cell) string { return figure(s.Least) }},
		{"opening at most (min)", func(_ Answer, s State, _ float64, _ Cell) string { return figure(s.Most) }},
		{"minutes not recorded for", func(_ Answer, s State, _ float64, _ Cell) string { return strings.Join(s.Unrecorded, " ") }},
		{"leak (ohm)", func(_ Answer, _ State, r float64, _ Cell) string { return figure(r) }},
		{"packs", func(_ Answer, _ State, _ float64, c Cell) string { return strconv.Itoa(c.Trials) }},
		{"a place named (%)", func(_ Answer, _ State, _ float64, c Cell) string { return share(c.Named, c.Trials) }},
		{"half-width 5 % (groups)", func(_ Answer, _ State, _ float64, c Cell) string { return figure(c.Half.P5) }},
		{"half-width median (groups)", func(_ Answer, _ State, _ float64, c Cell) string { return figure(c.Half.Median) }},
		{"half-width 90 % (groups)", func(_ Answer, _ State, _ float64, c Cell) string { return figure(c.Half.P90) }},
		{"half-width 95 % (groups)", func(_ Answer, _ State, _ float64, c Cell) string { return figure(c.Half.P95) }},
		{"95 % set mean (modules)", func(_ Answer, _ State, _ float64, c Cell) string { return figure(c.Modules) }},
		{"95 % set mean (places)", func(_ Answer, _ State, _ float64, c Cell) string { return figure(c.Places) }},
		{"true module first (%)", func(_ Answer, _ State, _ float64, c Cell) string { return share(c.First, c.Trials) }},
		{"true module in the 95 % set (%)", func(_ Answer, _ State, _ float64, c Cell) string { return share(c.Inside, c.Trials) }},
		{"position covers (%)", func(_ Answer, _ State, _ float64, c Cell) string { return share(c.Covered, c.Trials) }},
		{"ohms given (%)", func(_ Answer, _ State, _ float64, c Cell) string { return share(c.Measured, c.Trials) }},
		{"ohms only bounded (%)", func(_ Answer, _ State, _ float64, c Cell) string { return share(c.Bounded, c.Trials) }},
		{"limited by (packs)", func(_ Answer, _ State, _ float64, c Cell) string { return said(c.Limited) }},
		{"verdicts (packs)", func(_ Answer, _ State, _ float64, c Cell) string { return said(c.Verdicts) }},
		{"readings mean", func(_ Answer, _ State, _ float64, c Cell) string { return figure(c.Readings) }},
		{"instrument", func(a Answer, _ State, _ float64, _ Cell) string { return a.Instrument.ID }},
		{"test resistor (ohm)", func(a Answer, _ State, _ float64, _ Cell) string {
			if a.Resistor == nil {
				return ""
			}
			return figure(a.Resistor.Ohms)
		}},
		{"seed", func(a Answer, _ State, _ float64, _ Cell) string { return strconv.FormatUint(a.Seed, 10) }},
		{"kind", func(Answer, State, float64, Cell) string { return "simulated: expected, not measured" }},
	}
}

// WriteCSV writes one row for every state and leak size, units in the headings. A
// half-width is empty where no place is named in so many of the packs.
func (a Answer) WriteCSV(out io.Writer) error {
	w := csv.NewWriter(out)
	var head []string
	for _, c := range columns() {
		head = append(head, c.heading)
	}
	if err := w.Write(head); err != nil {
		return err
	}
	for s, state := range a.States {
		for k, ohms := range a.Ohms {
			var row []string
			for _, c := range columns() {
				row = append(row, c.of(a, state, ohms, a.Cells[s][k]))
			}
			if err := w.Write(row); err != nil {
				return err
			}
		}
	}
	w.Flush()
	return w.Error()
}
