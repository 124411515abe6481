package photos

import (
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/files"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// A picker is a photo in the making: the search for its file, and its note.
type picker struct {
	folder  string
	listing files.Listing
	chosen  string
	path    string // of the picture that is shown; "" = none yet
	data    []byte
	note    string
	instead *string // what was chosen that it belongs to; nil = what the page was opened for
	wrong   string
	entry   *form.Entry // the note
	where   *form.Entry // the path
}

// begun says that something was typed or chosen that is not added yet.
func (k *picker) begun() bool { return k.path != "" || strings.TrimSpace(k.note) != "" }

// draw is the folder's list.
func (k *picker) draw(width float64) (*scene.List, float64) {
	l := &scene.List{}
	y := text(l, "", scene.Wrap(words.Plain(k.listing.Folder), width-2*side, theme.Text, true, easel.Measure), side, 14, theme.Text, true, theme.Ink, 3) + 8
	for _, id := range k.listing.IDs() {
		y = line(l, id, k.listing.Words(id), id == k.chosen, y, width)
	}
	if len(k.listing.Files) == 0 {
		y = notice(l, y+6, "No pictures in this folder", "JPEG, PNG and GIF files are listed. Choose another folder, or type a path.", width)
	}
	return l, y + 12
}

// enter looks into a folder; where it cannot, the folder before stays.
func (k *picker) enter(p *Page, folder string) {
	l, err := files.List(folder, endings...)
	k.wrong = ""
	if err != nil {
		k.wrong = err.Error() + "."
	} else {
		k.listing, k.folder, k.chosen = l, l.Folder, l.First()
	}
	p.list.Page().Roll.Offset = fyne.NewPos(0, 0)
	p.showFields()
}

// pick is a press on a line of the list, or Enter on it.
func (k *picker) pick(p *Page, id string) {
	k.chosen = id
	switch folder, file := k.listing.Follow(id); {
	case folder != "":
		k.enter(p, folder)
	case file != "":
		k.take(p, file)
	}
}

// take looks at a file and shows it; nothing is added yet.
func (k *picker) take(p *Page, path string) {
	data, err := Load(path)
	k.wrong = ""
	if err != nil {
		k.path, k.data = "", nil
		k.wrong = strings.TrimSuffix(err.Error(), ".") + ". Nothing was added."
		p.showFields()
		return
	}
	k.path, k.data = path, data
	p.showFields()
	p.focus(k.entry)
}

// add opens the search for a file.
func (p *Page) add() {
	p.adding, p.full, p.said = true, false, ""
	p.file.enter(p, p.file.folder)
	p.Focus()
}

// leaveAdding goes back to the photos; what was typed is kept.
func (p *Page) leaveAdding() {
	p.adding = false
	p.showLarge()
	p.Focus()
}

// belongs is what the new photo would belong to.
func (p *Page) belongs() string {
	if p.file.instead != nil {
		return *p.file.instead
	}
	return p.of
}

// choices are what a new photo may belong to.
func (p *Page) choices() []string {
	out := []string{p.of}
	if p.deps.Besides != nil {
		out = append(out, p.deps.Besides()...)
	}
	out = append(out, "")
	seen := map[string]bool{}
	return slices.DeleteFunc(out, func(of string) bool {
		again := seen[of]
		seen[of] = true
		return again
	})
}

// fieldBlocks are the words above the fields of a new photo.
func (p *Page) fieldBlocks() []sheet.Block {
	k := &p.file
	b := []sheet.Block{{Kind: sheet.Title, Text: "Add a photo", Bold: true}}
	if k.path == "" {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "Choose a picture in the list, or type its whole path. It is copied into the casebook; the file stays as it is."})
	} else {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "Picture", Value: filepath.Base(k.path) + ", " + size(int64(len(k.data)))},
			sheet.Block{Kind: sheet.Row, Text: "Belongs to", Value: Spoken(p.belongs())})
	}
	if k.wrong != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: k.wrong})
	}
	if k.path != "" && p.large == nil && p.largeW != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: p.largeW})
	}
	return b
}

// showFields makes what is filled in for a new photo.
func (p *Page) showFields() {
	k := &p.file
	things := []fyne.CanvasObject{easel.NewBoard(theme.Paper, 200, func(w float64) (*scene.List, float64) {
		l, high := sheet.Draw(p.fieldBlocks(), w, easel.Measure)
		return l, high - 8
	})}
	button := func(name, key string, primary bool, do func()) *command.Chip {
		b := command.NewChip(&command.Command{Name: name, Keys: key, Do: do}, p.set)
		b.Primary = primary
		return b
	}
	k.where = p.field(k.folder, p.typedPath)
	if k.path != "" {
		k.where.SetText(k.path)
	}
	where := form.NewLabelled("File or folder", k.where)
	k.entry = p.field(k.note, func(string) { p.keep() })
	k.entry.OnChanged = func(s string) { k.note = s }
	if k.path == "" {
		things = append(things, where, form.NewFlow(button("Go there", "Enter", true, func() { p.typedPath(k.where.Text) }), button("Leave", "Esc", false, p.back)))
	} else {
		things = append(things, form.NewLabelled("Note: what is to be seen", k.entry))
		row := form.NewFlow(button("Add this photo", "Enter", true, p.keep), button("Leave", "Esc", false, p.back))
		for _, of := range p.choices() {
			if of == p.belongs() {
				continue
			}
			row.Objects = append(row.Objects, button("It belongs to "+Spoken(of), "", false, func() {
				k.instead = &of
				p.showFields()
				p.focus(k.entry)
			}))
		}
		things = append(things, row, where)
	}
	p.fields.Set(things...)
	p.showLarge()
}

// field is a field that gives the page's keys back.
func (p *Page) field(text string, done func(string)) *form.Entry {
	e := form.NewEntry(1)
	e.SetText(text)
	e.OnSubmitted = done
	e.OnShortcut = p.deps.Shortcut
	e.LeaveBy(p.deps.Key, p.back)
	return e
}

// typedPath goes to a folder that was typed, or takes the file.
func (p *Page) typedPath(path string) {
	path = strings.TrimSpace(path)
	if _, err := files.List(path); err == nil {
		p.file.enter(p, path)
		p.Focus()
		return
	}
	p.file.take(p, path)
	if p.file.wrong != "" { // the typing can be mended
		p.file.where.SetText(path)
		p.focus(p.file.where)
		p.file.where.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEnd})
	}
}

// keep adds the photo to the case.
func (p *Page) keep() {
	k := &p.file
	name := strings.TrimSpace(k.note)
	if name == "" {
		name = filepath.Base(k.path)
	}
	ph, err := p.deps.Keep().AddPhoto(p.belongs(), name, k.data)
	if err != nil {
		k.wrong = "Not added: " + strings.TrimSuffix(err.Error(), ".") + "."
		p.showFields()
		p.focus(k.entry)
		return
	}
	k.path, k.data, k.note, k.instead, k.wrong = "", nil, "", nil, ""
	p.adding, p.chosen = false, ph.ID
	p.deps.Added()
	p.said = "Added. Ctrl Z takes it back."
	p.Refresh()
	p.list.Reveal(ph.ID)
	p.Focus()
}
