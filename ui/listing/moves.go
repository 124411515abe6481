package listing

import (
	"fyne.io/fyne/v2"
)

// back ends what is under way, leaves the search, or leaves the page.
func (p *Page) back() {
	switch {
	case p.work == storing:
		p.Say("It is being stored; a moment.")
	case p.choosing:
		p.choosing = false
		p.show()
		p.Focus()
	case p.end():
	default:
		p.deps.Back()
	}
}

// Paste takes in a text that was copied.
func (p *Page) Paste(text string) {
	if p.work == storing {
		return
	}
	if text == "" {
		p.Say("Nothing was copied that could be pasted: copy the columns first.")
		return
	}
	p.begin("pasted columns", func() ([]byte, error) { return []byte(text), nil })
	p.Focus()
}

func (p *Page) paste() {
	if p.deps.Clipboard == nil {
		p.Say("There is no clipboard here: open a file.")
		return
	}
	p.Paste(p.deps.Clipboard())
}

func (p *Page) enter() {
	if p.choosing {
		p.pickFile(p.file.chosen)
		return
	}
	p.keep()
}

// pick is a press on a line.
func (p *Page) pick(id string) {
	switch id {
	case "":
	case pasteID:
		p.paste()
	case openID:
		p.choose()
	default:
		p.at = id
		p.change(id, 1)
	}
}

// change takes the next option of a line.
func (p *Page) change(id string, by int) {
	if !p.has() || p.work == storing || p.choosing {
		return
	}
	p.again(p.v.change(id, by))
}

// step goes to another line, or to another file.
func (p *Page) step(by int) {
	if p.choosing {
		p.stepFile(by)
		return
	}
	if !p.has() {
		return
	}
	all := p.v.lines()
	for i, l := range all {
		if l.id == p.at && i+by >= 0 && i+by < len(all) {
			p.at = all[i+by].id
			break
		}
	}
	p.show()
	p.left.Reveal(p.at)
}

func hasLine(all []line, id string) bool {
	for _, l := range all {
		if l.id == id {
			return true
		}
	}
	return false
}

// nextKind shows the next kind of rows; where there is room for the lines alone it goes
// from them to the rows and back.
func (p *Page) nextKind() {
	p.kind, p.over = p.next()
	p.from = 0
	p.showRows()
}

func (p *Page) next() (k kind, over bool) {
	if p.low && !p.over {
		return everyRow, true
	}
	k = kind(turn(int(p.kind), 1, int(kinds)))
	return k, p.low && k != everyRow
}

func (p *Page) kindLabel() string {
	k, over := p.next()
	if p.low && !over {
		return "Show the lines"
	}
	return "Show " + kindButtons[k]
}

func (p *Page) moreRows(by int) {
	if at := p.from + by*shownRows; at >= 0 && at < len(p.rows()) {
		p.from = at
	}
	p.showRows()
}

func (p *Page) showRows() {
	p.right.Page().Roll.Offset = fyne.NewPos(0, 0)
	p.show()
	p.Focus()
}

func (p *Page) copy() {
	if !p.has() {
		return
	}
	p.deps.Copy(p.listing())
	p.Say(counted(len(p.v.p.Listing()), "row that was not read is copied as text.", "rows that were not read are copied as text."))
}
