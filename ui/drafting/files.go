package drafting

import (
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault/format"
	"halfsplit/topology"
	"halfsplit/ui/easel"
	"halfsplit/ui/files"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// browsing is the search for a photo's file.
type browsing struct {
	on      bool
	folder  string
	listing files.Listing
	chosen  string
	typed   string
	wrong   string
}

var endings = []string{".jpg", ".jpeg", ".png"}

// openFiles begins the search for a photo.
func (v *View) openFiles() {
	if v.locked() {
		return
	}
	b := &v.browser
	if b.folder == "" {
		b.folder = v.deps.Folder
	}
	b.on, b.typed, b.wrong = true, "", ""
	v.page, v.turned = photoPage, true
	v.enterFolder(b.folder)
	v.focus(v.list)
}

// closeFiles ends it.
func (v *View) closeFiles() {
	v.browser.on = false
	v.browser.wrong = ""
	v.again()
}

// enterFolder looks into a folder; where it cannot, the folder before stays.
func (v *View) enterFolder(folder string) {
	b := &v.browser
	l, err := files.List(folder, endings...)
	b.wrong = ""
	if err != nil {
		b.wrong = words.Sentence(err.Error())
	} else {
		b.listing, b.folder, b.chosen = l, l.Folder, l.First()
	}
	v.list.Refresh()
	v.again()
}

// fileThings are the page below the list of files.
func (v *View) fileThings() []fyne.CanvasObject {
	b := &v.browser
	blocks := []sheet.Block{{Kind: sheet.Title, Text: "Lay a photo below", Bold: true}, {Kind: sheet.Para, Text: "Choose a JPEG or PNG file in the list, or type its whole path. It is copied into the casebook; the file stays as it is."}}
	if b.wrong != "" {
		blocks = append(blocks, sheet.Block{Kind: sheet.Caution, Text: b.wrong})
	}
	e := v.entry(b.typed)
	e.OnChanged = func(s string) { b.typed = s }
	e.OnSubmitted = func(s string) { v.layTyped(s) }
	return []fyne.CanvasObject{v.words(blocks), form.NewLabelled("Path", e),
		v.row(v.chip("Lay it below", "Enter", true, v.takeFile), v.chip("Leave", "Esc", false, func() { v.closeFiles(); v.Focus() }))}
}

// layTyped takes a path that was typed: a folder is looked into.
func (v *View) layTyped(path string) {
	path = strings.TrimSpace(path)
	if path == "" {
		return
	}
	if !slices.Contains(endings, strings.ToLower(filepath.Ext(path))) {
		if _, err := files.List(path); err == nil {
			v.enterFolder(path)
			return
		}
	}
	v.layPhoto(path)
}

// takeFile takes what is typed, else the line that is chosen.
func (v *View) takeFile() {
	if v.browser.typed != "" {
		v.layTyped(v.browser.typed)
		return
	}
	v.pickFile(v.browser.chosen)
}

// pickFile is a press on a line.
func (v *View) pickFile(id string) {
	b := &v.browser
	b.chosen = id
	switch folder, file := b.listing.Follow(id); {
	case folder != "":
		v.enterFolder(folder)
	case file != "":
		v.layPhoto(file)
	}
}

// listKey walks the list of files.
func (v *View) listKey(k *fyne.KeyEvent) bool {
	b := &v.browser
	ids := b.listing.IDs()
	by := 0
	switch k.Name {
	case fyne.KeyDown:
		by = 1
	case fyne.KeyUp:
		by = -1
	case fyne.KeyReturn, fyne.KeyEnter:
		v.pickFile(b.chosen)
		return true
	default:
		return v.set.Key(k)
	}
	if n := len(ids); n > 0 {
		i := max(0, min(n-1, slices.Index(ids, b.chosen)+by))
		b.chosen = ids[i]
		v.list.Refresh()
		v.list.Reveal(b.chosen)
	}
	return true
}

// drawFiles is the folder's list.
func (v *View) drawFiles(width float64) (*scene.List, float64) {
	b := &v.browser
	l := &scene.List{}
	high := float64(easel.Sizes().Touch())
	y := 6.0
	l.Text("", scene.At(14, y+12), scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Text, true, scene.Shorten(b.folder, width-28, theme.Text, true, easel.Measure))
	y += 28
	for _, id := range b.listing.IDs() {
		name := b.listing.Words(id)
		if id == b.chosen {
			l.Rect("", scene.At(6, y), scene.At(width-6, y+high), scene.Ink(theme.Raised), scene.Ink(theme.Accent), 2, 4)
		}
		l.Text(id, scene.At(16, y+high/2), scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Text, false, scene.Shorten(name, width-32, theme.Text, false, easel.Measure))
		l.Target(id, 0, scene.At(0, y), scene.At(width, y), scene.At(width, y+high), scene.At(0, y+high))
		y += high
	}
	if len(b.listing.Files) == 0 {
		l.Text("", scene.At(16, y+16), scene.Start, scene.Middle, scene.Ink(theme.Soft), theme.Text, false, "No JPEG or PNG files in this folder.")
		y += 32
	}
	return l, y + 8
}

// toClipboard copies a piece of a layout as a layout file.
func (v *View) toClipboard(f topology.Layout) error {
	v.fragment = f
	if v.deps.Copy == nil {
		return nil
	}
	raw, err := format.WriteLayout(f)
	if err == nil {
		v.deps.Copy(string(raw))
	}
	return err
}

// fromClipboard is a piece of a layout: what the clipboard holds, or what was copied
// last on this table where the clipboard cannot be asked.
func (v *View) fromClipboard() (topology.Layout, error) {
	if v.deps.Clipboard == nil {
		return v.fragment, nil
	}
	l, _, err := format.ReadLayout("what was copied", []byte(v.deps.Clipboard()))
	return l, err
}
