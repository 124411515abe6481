package listing

import (
	"fmt"
	"slices"
	"strings"

	"halfsplit/fault/lists"
	"halfsplit/ui/sheet"
)

// Blocks are what the page says at left.
func (p *Page) Blocks() []sheet.Block {
	switch {
	case p.choosing:
		return p.chooseBlocks()
	case p.work == reading && !p.has():
		return []sheet.Block{{Kind: sheet.Title, Text: "Reading " + p.name + " …", Bold: true}, {Kind: sheet.Para, Text: "Esc ends it."}}
	case p.work == storing:
		return []sheet.Block{{Kind: sheet.Title, Text: "Storing …", Bold: true}, {Kind: sheet.Para, Text: p.stores() + ". All of it is recorded, or nothing."}}
	case !p.has():
		return p.emptyBlocks()
	}
	b := []sheet.Block{{Kind: sheet.Title, Text: "Take in " + p.name, Bold: true}}
	if p.wrong != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: p.wrong})
	}
	b = append(b, sheet.Block{Kind: sheet.Row, Text: "Would be stored", Value: p.stores()}, sheet.Block{Kind: sheet.Row, Text: "Not read", Value: p.unread()})
	if p.work == reading {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: "Reading again …"})
	}
	for _, a := range p.v.p.Asks {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: a.Text})
	}
	for _, l := range p.v.lines() {
		k := sheet.Block{Kind: sheet.Action, ID: l.id, Text: l.name + ": " + l.value, Value: l.note, On: l.id == p.at}
		if p.asked(l) {
			k.Text = "? " + k.Text
			how := " This is asked: choose with left and right, or by a press."
			if l.id == sepLine {
				how = " This is asked: Enter keeps it, left and right or a press choose another."
			}
			k.Value = strings.TrimSpace(k.Value + how)
		}
		b = append(b, k)
		if l.id == orderLine {
			b = append(b, p.orderBlocks()...)
		}
	}
	for _, n := range p.v.p.Notes {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: n})
	}
	if p.said != "" {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: p.said})
	}
	return b
}

func (p *Page) emptyBlocks() []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Take in a list", Bold: true}}
	if p.wrong != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: p.wrong})
	}
	return append(b,
		sheet.Block{Kind: sheet.Para, Text: "Copy columns out of a table and paste them here, or open a CSV or text file; a file may also be dropped on the window."},
		sheet.Block{Kind: sheet.Action, ID: pasteID, Text: "Paste what was copied", Value: "Ctrl V"},
		sheet.Block{Kind: sheet.Action, ID: openID, Text: "Open a file …", Value: "O"},
		sheet.Block{Kind: sheet.Soft, Text: "Cell volts of a monitor, module volts, terminals to chassis, insulation: with headings such as “U [mV]”, or a bare column. What was understood is shown before anything is stored, and every row that was not read is listed."})
}

// orderBlocks are what the readings say of the monitor's order.
func (p *Page) orderBlocks() (b []sheet.Block) {
	for i, s := range p.v.orders.Says {
		if i == 6 {
			break
		}
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: s})
	}
	if p.v.orders.Tell != "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: p.v.orders.Tell})
	}
	return b
}

// asked says that a line answers something that is still asked.
func (p *Page) asked(l line) bool {
	return l.ask != "" && slices.ContainsFunc(p.v.p.Asks, func(a lists.Ask) bool { return a.Key == l.ask })
}

// stores says what would be stored.
func (p *Page) stores() string {
	x := p.v.p
	var parts []string
	if n := len(x.Groups); n > 0 {
		parts = append(parts, counted(n, "list of group volts", "lists of group volts"))
	}
	if n := len(x.Readings); n > 0 {
		parts = append(parts, counted(n, "reading", "readings"))
	}
	if len(parts) == 0 {
		return "nothing yet"
	}
	return counted(x.Values, "value", "values") + ": " + strings.Join(parts, ", ")
}

// unread says how many lines are not read.
func (p *Page) unread() string {
	x := p.v.p
	s := fmt.Sprintf("%d of %s", x.Count[lists.Listed], counted(x.Lines, "line", "lines"))
	if n := x.Count[lists.Waiting]; n > 0 {
		s += fmt.Sprintf("; %d wait for what is asked", n)
	}
	if n := x.Count[lists.Partly]; n > 0 {
		s += fmt.Sprintf(", and parts of %d", n)
	}
	return s
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
