package listing

import (
	"fmt"
	"strings"

	"halfsplit/fault/lists"
	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// shownRows is how many rows are drawn at a time: the others are a key away.
const shownRows = 100

// A kind of rows that are shown.
type kind uint8

const (
	everyRow kind = iota
	unreadRows
	twiceRows
	kinds
)

var kindNames = [kinds]string{"All rows", "Rows that were not read", "Rows whose place was read before"}

var kindButtons = [kinds]string{"all", "not read", "read twice"}

// rows are those that are shown, of the kind that is chosen.
func (p *Page) rows() []lists.Row {
	all := p.v.p.Rows
	if p.kind == everyRow {
		return all
	}
	if p.sorted == nil {
		p.sorted = map[kind][]lists.Row{}
		for _, r := range all {
			if r.Status == lists.Listed || r.Status == lists.Partly {
				p.sorted[unreadRows] = append(p.sorted[unreadRows], r)
			}
			if r.Twice != "" {
				p.sorted[twiceRows] = append(p.sorted[twiceRows], r)
			}
		}
	}
	return p.sorted[p.kind]
}

const (
	side    = 14.0
	leading = 1.34
)

// drawRows draws the rows: the line's number, what stands in it, and what becomes of it.
func (p *Page) drawRows(width float64) (*scene.List, float64) {
	l := &scene.List{}
	rows := p.rows()
	y := 12.0
	put := func(s string, x, size float64, bold bool, ink theme.Role) {
		l.Text("", scene.At(x, y+size*leading/2), scene.Start, scene.Middle, scene.Ink(ink), size, bold, scene.Shorten(words.Plain(s), width-x-side, size, bold, easel.Measure))
		y += size * leading
	}
	if !p.has() {
		put("Nothing was read yet.", side, theme.Text, false, theme.Soft)
		return l, y + 12
	}
	put(p.rowsTitle(len(rows)), side, theme.Section, true, theme.Ink)
	y += 8
	if len(rows) == 0 {
		put("There are none.", side, theme.Text, false, theme.Soft)
	}
	const number = 64
	for _, r := range rows[min(p.from, len(rows)):min(p.from+shownRows, len(rows))] {
		top := y
		text := strings.ReplaceAll(strings.ReplaceAll(r.Text, "\t", "  |  "), "\n", " ")
		if strings.TrimSpace(text) == "" {
			text = "(empty)"
		}
		put(text, side+number, theme.Text, false, theme.Ink)
		l.Text("", scene.At(side, top+theme.Text*leading/2), scene.Start, scene.Middle, scene.Ink(theme.Soft), theme.Small, false, fmt.Sprintf("line %d", r.Line))
		for _, s := range told(r) {
			bold := strings.HasPrefix(s, "Not read") || strings.HasPrefix(s, "In part")
			for _, part := range scene.Wrap(words.Plain(s), width-2*side-number, theme.Small+1, bold, easel.Measure) {
				put(part, side+number, theme.Small+1, bold, map[bool]theme.Role{true: theme.Ink, false: theme.Soft}[bold])
			}
		}
		y += 5
		l.Line("", scene.Ink(theme.Hairline), 1, scene.At(side, y), scene.At(width-side, y))
		y += 5
	}
	return l, y + 12
}

// told is what becomes of a row, in lines.
func told(r lists.Row) (out []string) {
	switch r.Status {
	case lists.Taken:
		out = append(out, "Stored as "+r.Says)
	case lists.Partly:
		out = append(out, "Stored: "+r.Says, "In part not read: "+r.Why)
	case lists.Listed:
		out = append(out, "Not read: "+r.Why)
	case lists.Waiting:
		out = append(out, "Waits: "+r.Why)
	case lists.Heading:
		out = append(out, "The headings")
	}
	if r.Twice != "" {
		out = append(out, "Twice: "+r.Twice)
	}
	return out
}

func (p *Page) rowsTitle(n int) string {
	s := fmt.Sprintf("%s: %d", kindNames[p.kind], n)
	if n > shownRows {
		s += fmt.Sprintf(", shown from %d to %d", p.from+1, min(p.from+shownRows, n))
	}
	return s
}

// listing is every row that was not read, as text.
func (p *Page) listing() string {
	var b strings.Builder
	for _, r := range p.v.p.Listing() {
		fmt.Fprintf(&b, "line %d\t%s\t%s\n", r.Line, strings.NewReplacer("\t", " ", "\n", " ").Replace(r.Text), r.Why)
	}
	return b.String()
}
