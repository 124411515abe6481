package path

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"halfsplit/topology"
)

// What a column of a pasted table holds.
const (
	BenchColumn = "bench number"
	LabelColumn = "maker's label"
	FirstColumn = "first index"
	LastColumn  = "last index"
	RangeColumn = "indices" // first to last in one cell
	OtherColumn = ""        // not used
)

// headings are words by which a column is known, in lower case and without signs.
var headings = map[string]string{
	"module": BenchColumn, "bench": BenchColumn, "bench number": BenchColumn, "number": BenchColumn, "no": BenchColumn, "id": BenchColumn,
	"label": LabelColumn, "makers label": LabelColumn, "serial": LabelColumn, "serial number": LabelColumn, "part": LabelColumn, "marking": LabelColumn,
	"first": FirstColumn, "from": FirstColumn, "first index": FirstColumn, "start": FirstColumn, "first cell": FirstColumn,
	"last": LastColumn, "to": LastColumn, "last index": LastColumn, "end": LastColumn, "last cell": LastColumn,
	"index": RangeColumn, "indices": RangeColumn, "indexes": RangeColumn, "cells": RangeColumn, "monitor": RangeColumn, "monitor index": RangeColumn,
}

// A Row is what one line says of one module. Label "" and indices nil are not said.
type Row struct {
	Line   int // from 1
	Module string
	Label  string
	Index  []int // first and last
}

// A Line is what became of one line of the text.
type Line struct {
	Number int // from 1
	Text   string
	Used   bool
	Said   string
}

// A Table is what a pasted text was understood as. Nothing is stored by it.
type Table struct {
	Separator string   // in words
	Columns   []string // what each holds
	Guessed   bool     // without words at their head
	Rows      []Row
	Lines     []Line // every line of the text, in order
	Notes     []Note // what the rows together have wrong
}

// ReadTable reads columns that were pasted: tab, semicolon, comma or spaces between
// them, with words at their head or without. Without, what a column holds is guessed
// by which of the layout's module ids and whole numbers stand in it. Every line of the
// text is in Lines, with what it was taken as or why it was not.
func ReadTable(text string, l topology.Layout) Table {
	var t Table
	text = strings.TrimPrefix(strings.ReplaceAll(text, "\r\n", "\n"), "\ufeff")
	text = strings.ReplaceAll(text, "\r", "\n")
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	separator := separatorOf(lines)
	t.Separator = map[rune]string{'\t': "tab", ';': "semicolon", ',': "comma", ' ': "spaces"}[separator]
	cells := make([][]string, len(lines))
	head := -1
	for i, line := range lines {
		cells[i] = split(line, separator)
		if head < 0 && strings.TrimSpace(line) != "" {
			head = i
		}
	}
	if head >= 0 {
		t.Columns = headed(cells[head])
	}
	if t.Columns == nil {
		t.Columns, t.Guessed, head = guessed(cells, l), true, -1
	}
	for i, line := range lines {
		t.line(i, line, cells[i], head, l)
	}
	t.together(l)
	return t
}

// separatorOf is the first of tab, semicolon and comma that most lines have.
func separatorOf(lines []string) rune {
	for _, c := range "\t;," {
		with, filled := 0, 0
		for _, line := range lines {
			if strings.TrimSpace(line) != "" {
				filled++
			}
			if strings.ContainsRune(line, c) {
				with++
			}
		}
		if with > 0 && 2*with >= filled {
			return c
		}
	}
	return ' '
}

func split(line string, separator rune) []string {
	if separator == ' ' {
		return strings.Fields(line)
	}
	r := csv.NewReader(strings.NewReader(line))
	r.Comma, r.LazyQuotes, r.FieldsPerRecord = separator, true, -1
	fields, err := r.Read()
	if err != nil {
		fields = strings.Split(line, string(separator))
	}
	for i := range fields {
		fields[i] = strings.TrimSpace(fields[i])
	}
	return fields
}

// headed reads words at the head of columns; nil if fewer than two are known, or if
// no column names modules.
func headed(cells []string) []string {
	out, known := make([]string, len(cells)), 0
	for i, c := range cells {
		word := strings.Join(strings.Fields(strings.NewReplacer("'", "", "’", "", ".", "", "_", " ", "-", " ").Replace(strings.ToLower(c))), " ")
		if kind := headings[word]; kind != "" && !slices.Contains(out, kind) {
			out[i] = kind
			known++
		}
	}
	if known < 2 || !slices.Contains(out, BenchColumn) {
		return nil
	}
	if slices.Contains(out, FirstColumn) != slices.Contains(out, LastColumn) {
		return nil
	}
	return out
}

// guessed says what columns hold by what most of their cells are.
func guessed(cells [][]string, l topology.Layout) []string {
	wide := 0
	for _, row := range cells {
		wide = max(wide, len(row))
	}
	out := make([]string, wide)
	for i := range out {
		ids, whole, ranges, filled := 0, 0, 0, 0
		for _, row := range cells {
			if i >= len(row) || row[i] == "" {
				continue
			}
			filled++
			_, isWhole := index(row[i])
			_, isRange := span(row[i])
			switch {
			case moduleOf(l, row[i]) != "" && !isWhole:
				ids++
			case isWhole:
				whole++
			case isRange:
				ranges++
			}
		}
		out[i] = column(out[:i], ids, whole, ranges, filled)
	}
	if slices.Contains(out, FirstColumn) && !slices.Contains(out, LastColumn) {
		out[slices.Index(out, FirstColumn)] = OtherColumn // one number alone is no range
	}
	return out
}

func column(before []string, ids, whole, ranges, filled int) string {
	have := func(kind string) bool { return slices.Contains(before, kind) }
	switch {
	case filled == 0:
		return OtherColumn
	case 2*ids > filled && !have(BenchColumn):
		return BenchColumn
	case 2*ranges > filled && !have(RangeColumn):
		return RangeColumn
	case 2*whole > filled && !have(FirstColumn):
		return FirstColumn
	case 2*whole > filled && !have(LastColumn):
		return LastColumn
	case 2*(whole+ranges) <= filled && !have(LabelColumn):
		return LabelColumn
	}
	return OtherColumn
}

// moduleOf is the module that a cell names: by its id, whatever the case, or by the
// number in it where one module alone has that number.
func moduleOf(l topology.Layout, cell string) string {
	found := ""
	for _, m := range l.Modules {
		if strings.EqualFold(m.ID, cell) {
			return m.ID
		}
	}
	n, err := strconv.Atoi(cell)
	for _, m := range l.Modules {
		if k, e := strconv.Atoi(strings.TrimLeft(m.ID, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz_")); err == nil && e == nil && k == n {
			if found != "" {
				return ""
			}
			found = m.ID
		}
	}
	return found
}

func index(s string) (int, bool) {
	n, err := strconv.Atoi(s)
	return n, err == nil && n >= 0 && n <= 1_000_000
}

// span reads "9-16", "9 … 16", "9..16" and "9 to 16".
func span(s string) ([]int, bool) {
	for _, between := range []string{"...", "..", "…", "–", "-", "to", ":"} {
		if a, b, ok := strings.Cut(s, between); ok {
			x, okX := index(strings.TrimSpace(a))
			y, okY := index(strings.TrimSpace(b))
			return []int{x, y}, okX && okY
		}
	}
	return nil, false
}

// line takes one line in, and says what became of it.
func (t *Table) line(i int, text string, cells []string, head int, l topology.Layout) {
	say := func(used bool, format string, args ...any) {
		t.Lines = append(t.Lines, Line{i + 1, text, used, fmt.Sprintf(format, args...)})
	}
	switch {
	case strings.TrimSpace(text) == "":
		say(false, "Empty.")
		return
	case i == head:
		say(false, "Words at the head of the columns.")
		return
	case !slices.Contains(t.Columns, BenchColumn):
		say(false, "No column names a module of this layout.")
		return
	}
	r, wrong := t.row(i+1, cells, l)
	switch {
	case wrong != "":
		say(false, "%s", wrong)
	case r.Label == "" && r.Index == nil:
		say(false, "%s is named, but neither a label nor indices.", r.Module)
	case slices.ContainsFunc(t.Rows, func(o Row) bool { return o.Module == r.Module }):
		say(false, "%s is in an earlier line already; that one is taken.", r.Module)
	default:
		t.Rows = append(t.Rows, r)
		say(true, "%s%s", r.words(), t.leftOver(cells))
	}
}

// leftOver says what of a line is not used.
func (t *Table) leftOver(cells []string) string {
	var out []string
	for i, c := range cells {
		if c != "" && (i >= len(t.Columns) || t.Columns[i] == OtherColumn) {
			out = append(out, strconv.Quote(c))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return " Not used: " + strings.Join(out, ", ") + "."
}

func (r Row) words() string {
	out := r.Module
	if r.Label != "" {
		out += ", label " + r.Label
	}
	if r.Index != nil {
		out += fmt.Sprintf(", indices %d to %d", r.Index[0], r.Index[1])
	}
	return out + "."
}

// row reads the cells of a line; wrong says why it cannot be used.
func (t *Table) row(line int, cells []string, l topology.Layout) (r Row, wrong string) {
	r.Line = line
	first, last := "", ""
	for i, kind := range t.Columns {
		if i >= len(cells) || cells[i] == "" {
			continue
		}
		switch c := cells[i]; kind {
		case BenchColumn:
			if r.Module = moduleOf(l, c); r.Module == "" {
				return r, fmt.Sprintf("%q names no module of this layout, or more than one.", c)
			}
		case LabelColumn:
			r.Label = c
		case FirstColumn:
			first = c
		case LastColumn:
			last = c
		case RangeColumn:
			x, ok := span(c)
			if n, one := index(c); one {
				x, ok = []int{n, n}, true
			}
			if !ok {
				return r, fmt.Sprintf("%q is no range of indices, such as 9 to 16.", c)
			}
			r.Index = x
		}
	}
	if r.Module == "" {
		return r, "No module is named."
	}
	if first != "" || last != "" {
		a, okA := index(first)
		b, okB := index(last)
		if !okA || !okB {
			return r, fmt.Sprintf("%q to %q is no range of whole indices.", first, last)
		}
		r.Index = []int{a, b}
	}
	return r, ""
}

// together looks at all rows at once: labels that two modules have, and indices.
func (t *Table) together(l topology.Layout) {
	labels := map[string]string{}
	var ranges []Range
	for _, r := range t.Rows {
		if at, ok := labels[r.Label]; ok && r.Label != "" {
			t.Notes = append(t.Notes, Note{r.Module, fmt.Sprintf("%s and %s have the same label %s.", at, r.Module, r.Label)})
		}
		labels[r.Label] = r.Module
		if r.Index != nil {
			ranges = append(ranges, Range{r.Module, r.Index[0], r.Index[1]})
		}
	}
	if len(ranges) > 0 {
		t.Notes = append(t.Notes, Check(l, ranges)...)
	}
}

// Apply writes what the rows say into a copy of the layout. What a row leaves out
// stays as it is.
func (t Table) Apply(l topology.Layout) topology.Layout {
	l.Modules = slices.Clone(l.Modules)
	for i, m := range l.Modules {
		for _, r := range t.Rows {
			if r.Module != m.ID {
				continue
			}
			if r.Label != "" {
				l.Modules[i].Label = r.Label
			}
			if r.Index != nil {
				l.Modules[i].MonitorIndex = slices.Clone(r.Index)
			}
		}
	}
	return l
}
