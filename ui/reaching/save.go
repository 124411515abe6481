package reaching

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"halfsplit/fault/reach/chart"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/files"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
)

// saving is a file in the making.
type saving struct {
	endings []string // that it may have; none = nothing is being saved
	typed   string   // the path
	there   bool     // a file of that name is there: saving again replaces it
	wrong   string
	path    *form.Entry
}

func (s *saving) on() bool { return len(s.endings) > 0 }

// save asks where the table or the picture goes.
func (p *Page) save(ending string) {
	if p.answer == nil || p.work.on() {
		return
	}
	s := saving{endings: []string{".csv"}}
	if ending != ".csv" {
		s.endings = chart.Endings
	}
	s.typed = filepath.Join(p.folder(), files.Name("reach "+p.answer.Layout, ending))
	p.saving = s
	p.showSaving()
}

func (p *Page) folder() string {
	if p.deps.Folder == "" {
		return "."
	}
	return p.deps.Folder
}

// savingBlocks are the words above the field.
func (p *Page) savingBlocks() []sheet.Block {
	s := &p.saving
	text := "The table is saved as CSV, a row for every state and leak size."
	if len(s.endings) > 1 {
		text = "The picture is saved for print, as the name ends: " + strings.Join(s.endings, ", ") + "."
	}
	b := []sheet.Block{{Kind: sheet.Title, Text: "Save", Bold: true}, {Kind: sheet.Para, Text: text}}
	if s.there {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "There is a file of that name already. Save again to replace it, or give it another name."})
	}
	if s.wrong != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: s.wrong})
	}
	return b
}

func (p *Page) showSaving() {
	s := &p.saving
	s.path = form.NewAsked(s.typed, func(t string) { s.typed, s.there = t, false }, p.write, p.deps.Shortcut, p.deps.Key, p.back)
	label := "Save"
	if s.there {
		label = "Replace that file"
	}
	p.fields.Ask(func(w float64) (*scene.List, float64) { return sheet.Draw(p.savingBlocks(), w, easel.Measure) },
		"File, with its folder", s.path, p.set, &command.Command{Name: label, Keys: "Enter", Do: p.write}, p.back)
	p.show()
	p.focusOn(s.path)
}

func (p *Page) leaveSaving(said string) {
	p.saving, p.said = saving{}, said
	p.show()
	p.Focus()
}

// write writes the file, whole or not at all; one that is there is asked about first.
func (p *Page) write() {
	s := &p.saving
	s.wrong = ""
	path, ending := strings.TrimSpace(s.typed), strings.ToLower(filepath.Ext(s.typed))
	if !slices.Contains(s.endings, ending) {
		s.wrong = "The name must end in " + strings.Join(s.endings, ", ") + ". Nothing was saved."
		p.showSaving()
		return
	}
	var data bytes.Buffer
	err := fmt.Errorf("there is no answer to save")
	switch {
	case p.answer == nil:
	case ending == ".csv":
		err = p.answer.WriteCSV(&data)
	default:
		err = chart.Write(&data, *p.answer, ending)
	}
	if err == nil {
		err = files.Write(path, data.Bytes(), s.there)
	}
	switch {
	case errors.Is(err, files.ErrThere):
		s.there = true
		p.showSaving()
	case err != nil:
		s.wrong = ended(err.Error()) + " Nothing was saved."
		p.showSaving()
	default:
		p.leaveSaving("Saved: " + path + ".")
	}
}
