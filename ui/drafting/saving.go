package drafting

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/command"
	"halfsplit/ui/files"
	"halfsplit/ui/form"
	"halfsplit/ui/picture"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// saving is the drawing on its way into a picture's file.
type saving struct {
	on     bool
	path   string // as typed
	grey   bool
	exists bool // a file of that name is there: the person is asked
	wrong  string
}

// savingThings are the button on the pack's page, or what it asks for.
func (v *View) savingThings() []fyne.CanvasObject {
	s := &v.saving
	if !s.on {
		return []fyne.CanvasObject{v.row(v.chip("Save a picture …", "", false, v.openSaving))}
	}
	text := "The drawing as it stands, on one page, to scale, with its photos"
	if v.draft.Lines && len(v.draft.Layout.Sketch) > 0 {
		text += " and its sketch"
	}
	if o := v.pictureOptions(); o.Tier != nil {
		text += fmt.Sprintf(", tier %d alone and the others as outlines", *o.Tier)
	}
	if v.draft.Below {
		text += ", seen from the side that is shown"
	}
	blocks := []sheet.Block{{Kind: sheet.Title, Text: "Save a picture"}, {Kind: sheet.Para, Text: text + ". A name that ends in .pdf gives lines and text to print, one in .png a picture of dots."}}
	if s.wrong != "" {
		blocks = append(blocks, sheet.Block{Kind: sheet.Caution, Text: s.wrong})
	}
	e := v.entry(s.path)
	e.Enable() // also of a drawing that was, which nothing changes
	e.OnChanged = func(t string) { s.path, s.exists = t, false }
	e.OnSubmitted = func(string) { v.savePicture(false) }
	things := []fyne.CanvasObject{v.words(blocks), form.NewLabelled("Path of the picture", e), v.row(v.greyChip())}
	leave := v.chip("Leave", "", false, v.closeSaving)
	if s.exists {
		return append(things, v.words([]sheet.Block{{Kind: sheet.Caution, Text: "A file of that name is there already. Writing over it replaces what it holds."}}),
			v.row(v.chip("Write over it", "", false, func() { v.savePicture(true) }), leave))
	}
	return append(things, v.row(v.chip("Save this picture", "", true, func() { v.savePicture(false) }), leave))
}

// greyChip is the choice between colour and greys.
func (v *View) greyChip() *command.Chip {
	s := &v.saving
	b := command.NewChip(&command.Command{Name: "In colour", Label: func() string {
		if s.grey {
			return "Black and white"
		}
		return "In colour"
	}, On: func() bool { return s.grey }}, v.set)
	b.Command.Do = func() { s.grey = !s.grey; v.again() }
	return b
}

// openSaving asks where the picture is to go.
func (v *View) openSaving() {
	s := &v.saving
	s.on, s.exists, s.wrong = true, false, ""
	if s.path == "" {
		s.path = filepath.Join(v.deps.Folder, files.Name(v.draft.Layout.Name, ".pdf"))
	}
	v.again()
}

func (v *View) closeSaving() {
	v.saving.on, v.saving.wrong = false, ""
	v.again()
}

// savePicture writes the picture beside the window.
func (v *View) savePicture(over bool) {
	s := &v.saving
	path := strings.TrimSpace(s.path)
	s.wrong, s.exists = "", false
	if v.busy {
		v.say("Wait: something is still being done.")
		return
	}
	v.busy = true
	v.say("Writing " + path + " …")
	l, o, store := v.draft.Layout, v.pictureOptions(), v.deps.Store
	if log, ok := store.(interface{ LogHead() (fault.Head, error) }); ok {
		if head, err := log.LogHead(); err == nil { // without it the page says nothing of the log
			o.Head = head
		}
	}
	v.deps.Go(func() {
		left := ""
		o.Photos, left = picture.PhotosOf(l, store.PhotoData)
		page, err := picture.New(l, o)
		var data []byte
		if err == nil {
			data, err = page.Encode(path, picture.DefaultDPI)
		}
		if err == nil {
			err = files.Write(path, data, over)
		}
		v.deps.Do(func() {
			v.busy = false
			switch {
			case errors.Is(err, files.ErrThere):
				s.exists = true
				v.say("Nothing was written yet: a file of that name is there.")
			case err != nil:
				s.wrong = strings.TrimSuffix(words.Sentence(err.Error()), ".") + ". Nothing was written."
				v.say("The picture was not saved.")
			default:
				s.on = false
				said := "Written: " + path + ", " + page.ScaleWords() + " on " + page.Paper + "."
				if left != "" {
					said += " Left out, since it cannot be read: " + left + "."
				}
				v.say(said)
			}
			v.again()
		})
	})
}

// pictureOptions are how the drawing is shown on paper.
func (v *View) pictureOptions() picture.Options {
	d := v.draft
	o := picture.Options{Grey: v.saving.grey, Below: d.Below, Sketch: d.Lines, Demo: picture.IsDemo(d.Layout)}
	if d.Alone && slices.Contains(d.Layout.Tiers(), d.Tier) {
		tier := d.Tier
		o.Tier = &tier
	}
	if d.AsItWas == "" {
		o.Version = v.deps.Store.Info().Version
	}
	if v.deps.Now != nil {
		o.Date = v.deps.Now()
	}
	return o
}
