package printing

import (
	"bytes"
	"errors"
	"path/filepath"
	"strings"

	"halfsplit/fault/report"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/files"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
)

// saving is a file in the making.
type saving struct {
	on, busy bool
	typed    string // the path
	there    bool   // a file of that name is there: writing again replaces it
	wrong    string
	path     *form.Entry
}

// typing is a number being typed, and what it turned out to be.
type typing struct {
	on     bool
	number string
	wrong  string
	match  *report.Match
	field  *form.Entry
}

// save asks where the sheet goes.
func (p *Page) save() {
	if p.sheet == nil || p.saving.on || p.typing.on {
		return
	}
	folder := p.deps.Folder
	if folder == "" {
		folder = "."
	}
	p.saving = saving{on: true, typed: filepath.Join(folder, files.Name("sheet "+p.sheet.Number, ".pdf"))}
	p.showSaving()
}

func (p *Page) showSaving() {
	s := &p.saving
	s.path = form.NewAsked(s.typed, func(t string) { s.typed, s.there = t, false }, p.write, p.deps.Shortcut, p.deps.Key, p.back)
	label := "Write this file"
	if s.there {
		label = "Replace that file"
	}
	p.form(func() []sheet.Block {
		b := []sheet.Block{{Kind: sheet.Title, Text: "Write the sheet", Bold: true}, {Kind: sheet.Para, Text: "The sheet is written as a PDF file. Print it at its full size, so that the boxes keep theirs."}}
		switch {
		case s.busy:
			b = append(b, sheet.Block{Kind: sheet.Soft, Text: "It is being written …"})
		case s.there:
			b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "There is a file of that name already. Write again to replace it, or give it another name."})
		}
		if s.wrong != "" {
			b = append(b, sheet.Block{Kind: sheet.Caution, Text: s.wrong})
		}
		return b
	}, "File, with its folder", s.path, &command.Command{Name: label, Keys: "Enter", Do: p.write})
}

// form shows words, a field, and two buttons below it.
func (p *Page) form(blocks func() []sheet.Block, name string, field *form.Entry, do *command.Command) {
	p.fields.Ask(func(w float64) (*scene.List, float64) { return sheet.Draw(blocks(), w, easel.Measure) }, name, field, p.set, do, p.back)
	p.show()
	p.focusOn(field)
}

// write makes the PDF beside the window and writes it whole or not at all; a file that
// is there is asked about first.
func (p *Page) write() {
	s := &p.saving
	if s.busy || !s.on {
		return
	}
	s.wrong = ""
	path := strings.TrimSpace(s.typed)
	if strings.ToLower(filepath.Ext(path)) != ".pdf" {
		s.wrong = "The name must end in .pdf. Nothing was written."
		p.showSaving()
		return
	}
	s.busy = true
	made, over := p.sheet, s.there
	p.showSaving()
	p.deps.Go(func() {
		var data bytes.Buffer
		err := made.WritePDF(&data)
		if err == nil {
			err = files.Write(path, data.Bytes(), over)
		}
		p.deps.Do(func() { p.written(path, made.Number, err) })
	})
}

func (p *Page) written(path, number string, err error) {
	s := &p.saving
	if !s.on {
		return // the page was left meanwhile; the file is there or not, whole
	}
	s.busy = false
	switch {
	case errors.Is(err, files.ErrThere):
		s.there = true
		p.showSaving()
	case err != nil:
		s.wrong = strings.TrimSuffix(err.Error(), ".") + ". Nothing was written."
		p.showSaving()
	default:
		p.saving = saving{}
		p.leave("Written: " + path + ". Its number is " + number + "; type it here when the sheet is filled in.")
	}
}

// find asks for the number of a printed sheet.
func (p *Page) find() {
	if p.saving.on || p.typing.on || p.deps.Enter == nil {
		return
	}
	p.typing = typing{on: true}
	p.showTyping()
}

func (p *Page) showTyping() {
	t := &p.typing
	t.field = form.NewAsked(t.number, func(s string) { t.number, t.match, t.wrong = s, nil, "" }, p.found, p.deps.Shortcut, p.deps.Key, p.back)
	label := "Find the sheet"
	if t.match != nil {
		label = "Enter its values"
		if t.match.OtherNow {
			label = "Enter its values for state " + t.match.State
		}
	}
	p.form(p.TypingBlocks, "Number of the sheet", t.field, &command.Command{Name: label, Keys: "Enter", Do: p.found})
}

// TypingBlocks are the words above the field of a sheet's number.
func (p *Page) TypingBlocks() []sheet.Block {
	t := &p.typing
	b := []sheet.Block{{Kind: sheet.Title, Text: "Enter a printed sheet", Bold: true}, {Kind: sheet.Para, Text: "The number stands at the top right of every page: digits, with or without the dashes."}}
	if t.wrong != "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: t.wrong})
	}
	if m := t.match; m != nil {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "It is", Value: kindNames[m.Kind]}, sheet.Block{Kind: sheet.Row, Text: "Boxes", Value: boxes(m)},
			sheet.Block{Kind: sheet.Row, Text: "Test resistor", Value: or(m.Resistor, "none")}, sheet.Block{Kind: sheet.Row, Text: "Printed for", Value: or(m.State, "no recorded state")})
		if said := m.Say(); said != "" {
			b = append(b, sheet.Block{Kind: sheet.Caution, Text: said})
		}
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "Enter again goes to its first box."})
	}
	return b
}

func boxes(m *report.Match) string {
	n := len(m.Boxes)
	if n == 0 {
		return "none"
	}
	return m.Boxes[0].Name() + " to " + m.Boxes[n-1].Name()
}

// found looks the number up, and goes on with the sheet when asked once more.
func (p *Page) found() {
	t := &p.typing
	if t.match != nil {
		m := *t.match
		if len(m.Boxes) == 0 || m.State == "" {
			t.wrong = "Values can be entered for a recorded state alone: record the state first."
			if len(m.Boxes) == 0 {
				t.wrong = "This sheet has no boxes."
			}
			t.match = nil
			p.showTyping()
			return
		}
		number := strings.TrimSpace(t.number)
		p.typing = typing{}
		p.fields.Set()
		p.deps.Enter(number, m)
		return
	}
	m, err := report.Recognise(p.deps.Case(), t.number)
	if err != nil {
		t.wrong = ended(err.Error())
	} else {
		t.match = &m
	}
	p.showTyping()
}

func ended(s string) string {
	s = strings.TrimSuffix(s, ".") + "."
	return strings.ToUpper(s[:1]) + s[1:]
}
