package start

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/files"
	"halfsplit/ui/picture"
)

// pictureEndings are those of a picture's file; the first is added to a name that has
// neither.
const pictureEndings = ".pdf .png"

// openPicture writes the chosen layout as a picture to scale.
func (v *View) openPicture() {
	kind, id, _ := strings.Cut(v.chosen, ":")
	if kind != "layout" {
		v.say("Choose a layout first: 2 lists the layouts.")
		return
	}
	book, now := v.book, v.now()
	l, err := book.ExportLayout(id)
	if err != nil {
		v.fail("The layout could not be read", err)
		return
	}
	o := picture.Options{Date: now, Demo: picture.IsDemo(l), Sketch: true}
	for _, i := range v.layouts {
		if i.ID == id {
			o.Version = i.Version
		}
	}
	v.browse(toExport, files.Name(l.Name, ".pdf"), nil)
	b := &v.files
	grey := &b.grey
	b.ending, b.title = pictureEndings, "Save a picture"
	b.text = "The plan of the newest version on one page, to scale, with its photos and its sketch. A name that ends in .pdf gives lines and text to print, one in .png a picture of dots. Choose the folder in the list, and a name."
	b.choices = func() fyne.CanvasObject { return v.row(v.greyChip(grey)) }
	b.put = func(path string, over bool) (string, error) {
		o, left := o, ""
		o.Grey = *grey
		o.Photos, left = picture.PhotosOf(l, book.PhotoBytes)
		head, err := book.Head()
		if err != nil {
			return "", err
		}
		o.Head = head
		s, err := picture.New(l, o)
		if err != nil {
			return "", err
		}
		data, err := s.Encode(path, picture.DefaultDPI)
		if err != nil {
			return "", err
		}
		said := fmt.Sprintf("Written: %s, %s on %s.", path, s.ScaleWords(), s.Paper)
		if left != "" {
			said += " Left out, since it cannot be read: " + left + "."
		}
		return said, files.Write(path, data, over)
	}
	v.show(filesPage)
	v.focusFirst()
}

// greyChip is the choice between colour and greys.
func (v *View) greyChip(grey *bool) *command.Chip {
	c := v.button("", "", false, nil)
	c.Command.Label = func() string {
		if *grey {
			return "Black and white"
		}
		return "In colour"
	}
	c.Command.On = func() bool { return *grey }
	c.Command.Do = func() { *grey = !*grey; c.Refresh() }
	return c
}

// pictureCommand is its key.
func (v *View) pictureCommand(add func(*command.Command)) {
	add(&command.Command{Name: "Picture", Help: "Save the chosen layout as a picture to scale, PDF or PNG", Keys: "A", Runes: "a", Do: func() { v.act(v.openPicture) }})
}
