package listing

import (
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault/lists"
	"halfsplit/ui/easel"
	"halfsplit/ui/files"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// endings are those of files that may hold a list.
var endings = []string{".csv", ".txt", ".tsv"}

// Takes says that a file's name is that of a list.
func Takes(path string) bool {
	return strings.HasSuffix(strings.ToLower(path), ".csv") || strings.HasSuffix(strings.ToLower(path), ".txt") || strings.HasSuffix(strings.ToLower(path), ".tsv")
}

// A chooser is the search for a file.
type chooser struct {
	listing files.Listing
	chosen  string
	wrong   string
	where   *form.Entry
}

func (p *Page) choose() {
	p.choosing, p.said = true, ""
	p.enterFolder(p.folder)
	p.Focus()
}

// enterFolder looks into a folder; where it cannot, the folder before stays.
func (p *Page) enterFolder(folder string) {
	l, err := files.List(folder, endings...)
	p.file.wrong = ""
	if err != nil {
		p.file.wrong = err.Error() + "."
	} else {
		p.file.listing, p.folder, p.file.chosen = l, l.Folder, l.First()
	}
	p.file.where.SetText(p.folder)
	p.right.Page().Roll.Offset = fyne.NewPos(0, 0)
	p.show()
}

// pickFile is a press on a line of the folder, or Enter on it.
func (p *Page) pickFile(id string) {
	p.file.chosen = id
	switch folder, file := p.file.listing.Follow(id); {
	case folder != "":
		p.enterFolder(folder)
	case file != "":
		p.Open(file)
	}
}

// typedPath goes to a folder that was typed, or opens the file.
func (p *Page) typedPath(path string) {
	path = strings.TrimSpace(path)
	if _, err := files.List(path); err == nil {
		p.enterFolder(path)
		p.Focus()
		return
	}
	p.Open(path)
}

// Open reads a file, such as one that was dropped on the window.
func (p *Page) Open(path string) {
	if p.work == storing {
		return
	}
	p.begin(filepath.Base(path), func() ([]byte, error) { return files.Whole(path, lists.MostBytes) })
	p.Focus()
}

func (p *Page) stepFile(by int) {
	ids := p.file.listing.IDs()
	for i, id := range ids {
		if id == p.file.chosen && i+by >= 0 && i+by < len(ids) {
			p.file.chosen = ids[i+by]
			break
		}
	}
	p.show()
	p.right.Reveal(p.file.chosen)
}

func (p *Page) chooseBlocks() []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Open a list", Bold: true},
		{Kind: sheet.Para, Text: "Choose a CSV or text file in the list, or type its whole path below. It stays as it is."}}
	if p.file.wrong != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: p.file.wrong})
	}
	return b
}

// drawFolder is the folder's list.
func (p *Page) drawFolder(width float64) (*scene.List, float64) {
	l := &scene.List{}
	y := 12.0
	for _, s := range scene.Wrap(words.Plain(p.file.listing.Folder), width-2*side, theme.Text, true, easel.Measure) {
		l.Text("", scene.At(side, y+theme.Text*leading/2), scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Text, true, s)
		y += theme.Text * leading
	}
	y += 6
	high := float64(easel.Sizes().Touch())
	for _, id := range p.file.listing.IDs() {
		kind, name, _ := strings.Cut(id, ":")
		switch kind {
		case files.UpID:
			name = "Up to " + p.file.listing.Up
		case "folder":
			name += "/"
		}
		edge, w := scene.Ink(theme.Hairline), 1.0
		if id == p.file.chosen {
			edge, w = scene.Ink(theme.Accent), 3
		}
		l.Rect(id, scene.At(side, y), scene.At(width-side, y+high), scene.Ink(theme.Raised), edge, w, 8)
		l.Text(id, scene.At(side+12, y+high/2), scene.Start, scene.Middle, scene.Ink(theme.Accent), theme.Text, false, scene.Shorten(words.Plain(name), width-2*side-24, theme.Text, false, easel.Measure))
		l.Target(id, 0, scene.At(side, y), scene.At(width-side, y), scene.At(width-side, y+high), scene.At(side, y+high))
		y += high + 6
	}
	if len(p.file.listing.Files) == 0 {
		l.Text("", scene.At(side+4, y+14), scene.Start, scene.Middle, scene.Ink(theme.Soft), theme.Text, false, "No .csv, .txt or .tsv file is in this folder.")
		y += 30
	}
	return l, y + 12
}
