package cli

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"halfsplit/fault/format"
)

// width of a printed page, in characters: a terminal's usual 80.
const width = 80

// A page writes headings and items in plain text, wrapped to the width. Text
// out of a file cannot break its lines.
type page struct {
	out   io.Writer
	begun bool
}

// heading begins a part of the page.
func (p *page) heading(text string, args ...any) {
	p.gap()
	p.wrap("", "", fmt.Sprintf(text, args...))
}

// gap leaves a line free, except at the top.
func (p *page) gap() {
	if p.begun {
		fmt.Fprintln(p.out)
	}
}

// labels stand left of their text in a column of this width.
const labelWidth = 15

// item writes a text with a label to its left, both indented. Without a label
// the text takes the whole line.
func (p *page) item(label, text string, args ...any) {
	p.labelled("  ", label, labelWidth, fmt.Sprintf(text, args...))
}

// under is item one step further in, for what belongs to the item above.
func (p *page) under(label, text string, args ...any) {
	p.labelled("    ", label, labelWidth, fmt.Sprintf(text, args...))
}

func (p *page) labelled(indent, label string, column int, text string) {
	if label == "" {
		p.wrap(indent, indent, text)
		return
	}
	label = format.OneLine(label)
	rest := indent + strings.Repeat(" ", column)
	if n := utf8.RuneCountInString(label); n < column {
		p.wrap(indent+label+strings.Repeat(" ", column-n), rest, text)
		return
	}
	p.wrap(indent+label+"  ", rest, text)
}

// wrap writes text in lines of at most the page's width, the first after first
// and the others after next. A word longer than a line stands alone; a number
// and its unit stay together.
func (p *page) wrap(first, next, text string) {
	p.begun = true
	line, empty := first, true
	for _, word := range words(format.OneLine(text)) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			p.line(line)
			line, empty = next, true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	p.line(line)
}

func (p *page) line(text string) {
	fmt.Fprintln(p.out, strings.TrimRight(strings.ReplaceAll(text, glue, " "), " "))
}

// glue is a space that a line may not break at; it is printed as a plain one.
const glue = "\u00a0"

// words splits a text where a line may break.
func words(text string) []string {
	var out []string
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\t' }) {
		if n := len(out); n > 0 && isUnit(w) {
			out[n-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

func isUnit(w string) bool {
	switch strings.TrimRight(w, ".,;:)") {
	case "%", "V", "mV", "Ω", "kΩ", "MΩ", "GΩ", "A", "mA", "W", "°C":
		return true
	}
	return false
}

// bullet is an item with a dash before it.
func (p *page) bullet(text string) { p.wrap("  - ", "    ", text) }

// items is a list under one label.
func (p *page) items(label string, texts []string) {
	for i, t := range texts {
		if i > 0 {
			label = " "
		}
		p.item(label, "%s", t)
	}
}

// notes lists what the reader of a file noted.
func (p *page) notes(notes []format.Note) {
	if len(notes) == 0 {
		return
	}
	p.heading("Notes on the file")
	for _, n := range notes {
		p.item("", "%s %s.", n.Place, n.Text)
	}
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
