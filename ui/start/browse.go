package start

import (
	"errors"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault/casebook"
	"halfsplit/fault/format"
	"halfsplit/ui/casefile"
	"halfsplit/ui/easel"
	"halfsplit/ui/files"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// A purpose is what a file or a folder is looked for.
type purpose uint8

const (
	toImport purpose = iota
	toExport
	toOpenBook
	toBeginBook
)

// A browser is the search for a file, or for a folder to write one into. While
// it is open the list shows the folder.
type browser struct {
	purpose purpose
	folder  string
	listing files.Listing
	err     error
	chosen  string // files.UpID, folder:NAME or file:NAME
	name    string // of the file to write
	data    []byte // to write
	exists  bool   // a file of that name is there: the person is asked
	wrong   string // what went wrong with a file
	ending  string // of the file to write, or several with spaces between, the usual one first; "" = that of a case file
	title   string // of the page; "" = by the purpose
	text    string
	put     func(path string, over bool) (said string, err error) // writes the file; nil = data is what is written
	grey    bool                                                  // of a picture: in greys alone
	choices func() fyne.CanvasObject                              // how the file is written, on the sheet; nil = there is no choice
	path    *form.Entry
	typed   string // a path that led nowhere, to be mended; "" = the folder
}

// BookEnding is how the name of a casebook ends.
const BookEnding = ".halfsplit"

func (v *View) openImport()  { v.browse(toImport, "", nil) }
func (v *View) openAnother() { v.browse(toOpenBook, "", nil) }
func (v *View) beginBook() {
	name := "halfsplit" + BookEnding
	if v.status == troubled && casebook.KindOf(v.err) == casebook.Missing { // where it was looked for
		name = filepath.Base(v.deps.Path)
		if folder := filepath.Dir(v.deps.Path); folderThere(folder) {
			v.files.folder = folder
		}
	}
	v.browse(toBeginBook, name, nil)
}

func folderThere(path string) bool {
	_, err := files.List(path)
	return err == nil
}

// openExport writes the chosen thing out.
func (v *View) openExport() {
	kind, id, _ := strings.Cut(v.chosen, ":")
	var data []byte
	var err error
	name := ""
	switch kind {
	case "case":
		c, e := v.book.ExportCase(id)
		h, headErr := v.book.Head()
		if e == nil && headErr == nil {
			c, e = withHead(c, h)
		}
		if err = errors.Join(e, headErr); err == nil {
			name = files.Name(c.Title, ".case.json")
			data, err = format.WriteCase(c)
		}
	case "layout":
		l, e := v.book.ExportLayout(id)
		if err = e; err == nil {
			name = files.Name(l.Name, ".layout.json")
			data, err = format.WriteLayout(l)
		}
	default:
		v.say("Nothing is chosen.")
		return
	}
	if err != nil {
		v.fail("It cannot be exported", err)
		return
	}
	v.browse(toExport, name, data)
}

func (v *View) browse(p purpose, name string, data []byte) {
	v.files = browser{purpose: p, folder: v.files.folder, name: name, data: data}
	v.page = filesPage
	v.enter(v.files.folder)
	if name != "" {
		v.focusFirst()
	} else {
		v.Focus()
	}
}

func (b *browser) endings() []string {
	switch b.purpose {
	case toOpenBook, toBeginBook:
		return []string{BookEnding, ".casebook"}
	case toImport:
		return []string{".json", BookEnding, ".casebook"}
	}
	if b.ending != "" {
		return strings.Fields(b.ending)
	}
	return []string{".json"}
}

// enter looks into a folder. Where it cannot, the folder before stays.
func (v *View) enter(folder string) {
	b := &v.files
	l, err := files.List(folder, b.endings()...)
	b.err, b.wrong, b.exists = err, "", false
	if err == nil {
		b.typed = ""
		b.listing, b.folder = l, l.Folder
		b.chosen = l.First()
	}
	v.list.Page().Roll.Offset = fyne.NewPos(0, 0)
	v.show(filesPage)
	v.list.Refresh()
}

// draw is the folder's list.
func (b *browser) draw(width float64) (*scene.List, float64) {
	l, y := &scene.List{}, 16.0
	y = set(l, "", scene.Wrap(words.Plain(b.listing.Folder), width-2*rowSide, theme.Text, true, easel.Measure), rowSide, y, theme.Text, true, theme.Ink) + 8
	for _, id := range b.listing.IDs() {
		top := y
		y = action(l, id, b.listing.Words(id), y, width)
		if id == b.chosen {
			l.Rect(id, scene.At(rowSide, top), scene.At(width-rowSide, y-rowGap), scene.Paint{}, scene.Ink(theme.Accent), 3, 8)
		}
	}
	if len(b.listing.Files) == 0 {
		y = set(l, "", scene.Wrap("No file here ends in "+strings.Join(b.endings(), " or ")+".", width-2*rowSide, theme.Text, false, easel.Measure), rowSide, y+4, theme.Text, false, theme.Soft)
	}
	return l, y + 16
}

// take is a press on a line of the folder's list, or Enter on it.
func (v *View) take(id string) {
	b := &v.files
	b.chosen = id
	switch folder, file := b.listing.Follow(id); {
	case folder != "":
		v.enter(folder)
	case file == "":
	case b.purpose == toExport || b.purpose == toBeginBook: // its name is taken, not the file
		b.name = filepath.Base(file)
		b.exists = false
		v.show(filesPage)
		v.list.Refresh()
	default:
		v.useFile(file)
	}
}

// useFile imports a file, or opens it as a casebook.
func (v *View) useFile(path string) {
	if v.files.purpose == toOpenBook {
		v.page = detailsPage
		v.reopen(path, false)
		return
	}
	v.Import(path)
}

// Import takes a case or a layout in from a file.
func (v *View) Import(path string) {
	if v.book == nil {
		v.say("No casebook is open yet.")
		return
	}
	if isBook(path) {
		v.takeFrom(path)
		return
	}
	data, sort, err := files.Read(path)
	id, said := "", ""
	switch {
	case err != nil:
	case sort == files.LayoutSort:
		l, _, e := format.ReadLayout(path, data)
		if err = e; err == nil {
			id, err = v.book.ImportLayout(l, data, v.by())
			id, said = "layout:"+id, "Imported: the layout "+PackName(l.Name)+"."
		}
	case sort == files.CaseSort:
		c, e := casefile.Open(path) // a layout that it names lies beside it
		if err = e; err == nil {
			id, err = v.book.ImportCase(c, data, v.by())
			id, said = "case:"+id, "Imported: "+CaseName(c.Title)+"."
		}
	default:
		_, _, err = format.ReadCase(path, data, nil)
		if err == nil {
			err = errors.New(path + ": is neither a case nor a layout")
		}
	}
	if err != nil {
		v.refuseImport(path, err)
		return
	}
	v.arrived(id, said)
}

// refuseImport says why a file was not taken in, where another can be chosen.
func (v *View) refuseImport(path string, err error) {
	if v.page != filesPage || v.files.purpose != toImport { // dropped on the window
		if folder := filepath.Dir(path); folderThere(folder) {
			v.files.folder = folder
		}
		v.openImport()
	}
	wrong := format.OneLine(err.Error())
	switch ending := strings.ToLower(filepath.Ext(path)); {
	case casebook.KindOf(err) == casebook.Damaged: // no copies lie beside a file that was brought
		wrong = path + ": is a casebook that is damaged or cut short; it was left as it is"
	case (ending == BookEnding || ending == ".casebook") && fileThere(path) && !isBook(path):
		wrong = path + ": is no casebook, though its name ends like one's: " + strings.TrimPrefix(wrong, path+": ")
	}
	v.files.wrong = ended(wrong) + " Nothing was taken in."
	v.say("Nothing was imported.")
	v.show(filesPage)
}

// fileThings are the sheet beside the folder's list.
func (v *View) fileThings() []fyne.CanvasObject {
	b := &v.files
	title, text := "Import", "Choose a case or a layout file in the list, or a casebook with a case to take in, or type its whole path. What is taken in stays in the casebook; the file stays as it is."
	switch b.purpose {
	case toExport:
		title, text = "Export to JSON", "Choose the folder in the list, and a name."
	case toOpenBook:
		title, text = "Open another casebook", "Choose a casebook in the list, or type its whole path."
	case toBeginBook:
		title, text = "Begin a new casebook", "Choose the folder in the list, and a name. A file that is there already is left alone."
	}
	if b.title != "" {
		title, text = b.title, b.text
	}
	blocks := []sheet.Block{{Kind: sheet.Title, Text: title, Bold: true}, {Kind: sheet.Para, Text: text}}
	for _, wrong := range []string{b.wrong, errText(b.err)} {
		if wrong != "" {
			blocks = append(blocks, sheet.Block{Kind: sheet.Caution, Text: wrong})
		}
	}
	things := []fyne.CanvasObject{v.words(blocks)}
	writes := b.purpose == toExport || b.purpose == toBeginBook
	if writes {
		name := v.entry(1)
		name.SetText(b.name)
		name.OnChanged = func(s string) { b.name = s }
		name.OnSubmitted = func(string) { v.write(false) }
		things = append(things, form.NewLabelled("Name of the file", name))
	}
	b.path = v.entry(1)
	b.path.SetText(b.folder)
	if b.typed != "" {
		b.path.SetText(b.typed)
	}
	b.path.OnSubmitted = v.typedPath
	label := "File or folder"
	if writes {
		label = "Folder"
	}
	things = append(things, form.NewLabelled(label, b.path))
	if b.choices != nil {
		things = append(things, b.choices())
	}
	switch {
	case b.exists:
		things = append(things, v.words([]sheet.Block{{Kind: sheet.Caution, Text: "A file “" + b.name + "” is in this folder already. Writing over it replaces what it holds."}}),
			v.row(v.button("Keep that file, use another name", "", true, v.otherName), v.button("Write over it", "", false, func() { v.write(true) })))
	case writes:
		verb := "Write this file"
		if b.purpose == toBeginBook {
			verb = "Begin it here"
		}
		things = append(things, v.row(v.button(verb, "Enter", true, func() { v.write(false) }), v.button("Leave", "Esc", false, v.back)))
	default:
		things = append(things, v.row(v.button("Go there", "Enter", true, func() { v.typedPath(b.path.Text) }), v.button("Leave", "Esc", false, v.back)))
		if v.book != nil {
			others := []sheet.Block{{Kind: sheet.Title, Text: "The casebook"}, {Kind: sheet.Para, Text: "Open now: " + v.book.Path()}}
			row := v.row(v.button("Begin a new casebook", "", false, v.beginBook))
			if b.purpose == toImport {
				row = v.row(v.button("Open another casebook", "O", false, v.openAnother), v.button("Begin a new casebook", "", false, v.beginBook))
			}
			things = append(things, v.words(others), row)
		}
	}
	return things
}

func errText(err error) string {
	if err == nil {
		return ""
	}
	return ended(err.Error())
}

// typedPath goes to a folder that was typed, or takes the file.
func (v *View) typedPath(path string) {
	path = strings.TrimSpace(path)
	writes := v.files.purpose == toExport || v.files.purpose == toBeginBook
	if writes && path == v.files.folder { // nothing else is meant by Enter
		v.write(false)
		return
	}
	if folderThere(path) {
		v.enter(path)
		if writes { // the next Enter writes, as the button says
			v.focusFirst()
		} else {
			v.Focus()
		}
		return
	}
	v.files.typed = path
	if v.files.purpose == toImport || v.files.purpose == toOpenBook {
		v.useFile(path)
	} else {
		v.enter(path)
	}
	if v.page == filesPage && v.files.path.Visible() { // it led nowhere: the typing can be mended
		v.focus(v.files.path)
		v.files.path.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEnd})
	}
}
