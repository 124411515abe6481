package drafting

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology/edit"
	"halfsplit/ui/command"
	"halfsplit/ui/form"
	"halfsplit/ui/photos"
	"halfsplit/ui/sheet"
	"halfsplit/ui/underlay"
	"halfsplit/ui/words"
)

// held is a photo's picture, once it has been read.
type held struct {
	photo *underlay.Photo // nil = being read
	err   error
}

// photo is the picture of a photo, read beside the window the first time that it is
// asked for.
func (v *View) photo(sha string) *held {
	if h := v.photos[sha]; h != nil {
		return h
	}
	h := &held{}
	v.photos[sha] = h
	store := v.deps.Store
	v.deps.Go(func() {
		data, err := store.PhotoData(sha)
		var p *underlay.Photo
		if err == nil {
			p, err = underlay.Take(data)
		}
		v.deps.Do(func() {
			h.photo, h.err = p, err
			v.lastKey = ""
			v.pane.Refresh()
			if v.page == photoPage {
				v.again()
			}
		})
	})
	return h
}

// photoThings are the page of photos and sketch.
func (v *View) photoThings() []fyne.CanvasObject {
	if v.browser.on {
		return v.fileThings()
	}
	d := v.draft
	title := []sheet.Block{{Kind: sheet.Title, Text: "Photos under the drawing", Bold: true}}
	if len(d.Layout.Underlays) == 0 {
		title = append(title, sheet.Block{Kind: sheet.Para, Text: "Lay a photo of the open pack below, straighten it by four corners of something with square corners, give it its scale by one length that you know, and draw over it."})
	}
	things := []fyne.CanvasObject{v.words(title), v.row(v.chip("Lay a photo below …", "", len(d.Layout.Underlays) == 0, v.openFiles))}
	for _, u := range d.Layout.Underlays {
		things = append(things, v.photoRow(u.ID)...)
	}
	if len(d.Layout.Underlays) > 0 {
		things = append(things, v.row(v.shown("Photos are shown", "Photos are hidden", &d.Photos)))
	}
	lines := 0
	for _, s := range d.Layout.Sketch {
		if s.Tier == d.Tier {
			lines++
		}
	}
	sketch := v.row(v.chip("Draw freehand", "K", false, func() { v.take(Sketching) }), v.chip("Rub out", "", false, func() { v.take(Erasing) }))
	if lines > 0 {
		sketch.Objects = append(sketch.Objects, v.chip("Clear this tier's sketch", "", false, v.clearSketch), v.shown("The sketch is shown", "The sketch is hidden", &d.Lines))
	}
	return append(things, v.words([]sheet.Block{{Kind: sheet.Title, Text: "Sketch"}, {Kind: sheet.Soft, Text: fmt.Sprintf("%s on tier %d. Nothing reads them; they are for people.", count(lines, "line"), d.Tier)}}), sketch)
}

// shown is a button that shows or hides something.
func (v *View) shown(yes, no string, on *bool) *command.Chip {
	b := command.NewChip(&command.Command{Name: yes, Label: func() string {
		if *on {
			return yes
		}
		return no
	}, On: func() bool { return *on }}, v.set)
	b.Command.Do = func() { *on = !*on; v.again() }
	return b
}

func (v *View) clearSketch() {
	d := v.draft
	v.do(result{name: fmt.Sprintf("clear the sketch of tier %d", d.Tier), do: func(l layout) (layout, error) { return edit.ClearSketch(l, d.Tier), nil }})
}

// photoRow is what can be done with one photo.
func (v *View) photoRow(id string) []fyne.CanvasObject {
	d := v.draft
	for _, u := range d.Layout.Underlays {
		if u.ID != id {
			continue
		}
		text := fmt.Sprintf("%s, tier %d, %.0f × %.0f mm, opacity %.0f %%.", u.Name, u.Tier, u.W, u.H, 100*u.Opacity)
		switch h := v.photos[u.Photo]; {
		case h == nil:
		case h.err != nil:
			text += " It cannot be shown: " + h.err.Error() + "."
		case h.photo == nil:
			text += " It is being read …"
		}
		things := []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Title, Text: "Photo " + id}, {Kind: sheet.Para, Text: text}})}
		if d.Photo == id && (d.Tool == Squaring || d.Tool == Measuring) {
			return append(things, v.markThings()...)
		}
		return append(things, v.row(
			v.chip("Straighten by four corners", "", false, func() { v.begin(Squaring, id) }),
			v.chip("Scale by a length", "", false, func() { v.begin(Measuring, id) }),
			v.chip("Fainter", "[", false, func() { d.Photo = id; v.fade(-0.1) }), v.chip("Stronger", "]", false, func() { d.Photo = id; v.fade(0.1) }),
			v.lockChip(id, u.Locked),
			v.chip("Choose it", "", false, func() { v.page = fieldsPage; d.Choose(id, false); v.again() }),
			v.chip("Take it away", "", false, func() { d.Choose(id, false); v.remove() })))
	}
	return nil
}

func (v *View) lockChip(id string, locked bool) *command.Chip {
	name, verb := "Lock it where it lies", "lock "
	if locked {
		name, verb = "Unlock it", "unlock "
	}
	return v.chip(name, "", false, func() {
		v.do(result{name: verb + id, do: func(l layout) (layout, error) { return edit.LockUnderlays(l, edit.Selection{id}, !locked) }})
	})
}

// begin takes up the squaring or the measuring of a photo.
func (v *View) begin(t Tool, id string) {
	d := v.draft
	for _, u := range d.Layout.Underlays {
		if u.ID == id && u.Locked {
			v.do(result{said: "The photo " + id + " is locked where it lies; unlock it first."})
			return
		}
	}
	v.take(t)
	d.Tool, d.Photo, d.Photos = t, id, true
	said := "Press the four corners of something with square corners, its top left first, then round with the clock."
	if t == Measuring {
		said = "Press two points whose distance you know."
	}
	v.happened = said
	v.turned = false
	v.again()
	v.Focus()
}

// mark is a press on a photo that is being squared or measured.
func (v *View) mark(at mgl64.Vec2) {
	d := v.draft
	need := 4
	if d.Tool == Measuring {
		need = 2
	}
	if len(d.Marks) >= need {
		v.say("There are enough marks; drag one to move it, or start again.")
		return
	}
	d.Marks = append(d.Marks, d.toLayout(at))
	if len(d.Marks) == need {
		v.page, v.turned = photoPage, true
	}
	v.again()
	if len(d.Marks) == need {
		v.focusWanted()
	}
}

// markThings say what has been pressed and what is to come.
func (v *View) markThings() []fyne.CanvasObject {
	d := v.draft
	again := v.chip("Start again", "", false, func() { d.Marks = nil; v.again() })
	leave := v.chip("Leave it", "Esc", false, func() { v.take(Choosing) })
	if d.Tool == Measuring {
		if len(d.Marks) < 2 {
			return []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Para, Text: fmt.Sprintf("Press two points whose distance you know: %d of 2.", len(d.Marks))}}), v.row(again, leave)}
		}
		e := v.entry(v.length)
		e.OnChanged = func(s string) { v.length = s }
		e.OnSubmitted = func(string) { v.scale() }
		return []fyne.CanvasObject{form.NewLabelled("Between the two marks, mm", e), v.row(v.chip("Scale the photo", "Enter", true, v.scale), again, leave)}
	}
	said := []string{"the top left corner", "the top right corner", "the bottom right corner", "the bottom left corner"}
	if n := len(d.Marks); n < 4 {
		return []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Para, Text: fmt.Sprintf("Press %s of something that has square corners in the pack: the lid's edge, a module, a stack. %d of 4.", said[n], n)}}), v.row(again, leave)}
	}
	return []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Para, Text: "Drag a mark that is off. Straightened, the four lie on a rectangle; its scale comes after."}}),
		v.row(v.chip("Straighten the photo", "", true, v.straighten), again, leave)}
}

// straighten lays the photo so that the four marks are the corners of a rectangle.
func (v *View) straighten() {
	d := v.draft
	id := d.Photo
	at, err := d.onPhoto(id)
	if err != nil {
		v.refuse(err)
		return
	}
	if v.do(result{name: "straighten " + id, do: func(l layout) (layout, error) { return edit.Straighten(l, id, at) }}) {
		v.begin(Measuring, id)
		v.say("Straightened. Now press two points whose distance you know, so that it has its scale.")
	}
}

// onPhoto are the four marks in the photo's own pixels.
func (d *Draft) onPhoto(id string) (at [4][2]float64, err error) {
	for _, u := range d.Layout.Underlays {
		if u.ID != id {
			continue
		}
		m, err := edit.PhotoToPack(u)
		if err != nil {
			return at, err
		}
		if len(d.Marks) != 4 {
			return at, fmt.Errorf("four corners are needed, and %d were pressed", len(d.Marks))
		}
		back := m.Inv()
		for i, p := range d.Marks {
			q := edit.Through(back, p)
			at[i] = [2]float64{q.X(), q.Y()}
		}
		return at, nil
	}
	return at, fmt.Errorf("the photo %s is not there any more", id)
}

// scale gives the photo its scale by the two marks and the length between them.
func (v *View) scale() {
	d := v.draft
	id := d.Photo
	mm, err := figure("the length", v.length)
	if err == nil && !(mm > 0) {
		err = fmt.Errorf("the length between the marks is more than 0 mm")
	}
	if err == nil && len(d.Marks) != 2 {
		err = fmt.Errorf("press two points first")
	}
	if err != nil {
		v.refuse(err)
		return
	}
	a, b := d.Marks[0], d.Marks[1]
	if v.do(result{name: fmt.Sprintf("scale %s by %g mm", id, mm), do: func(l layout) (layout, error) { return edit.ScaleUnderlay(l, id, a, b, mm) }}) {
		v.take(Choosing)
		v.pane.Fit()
		v.Focus()
		v.say("The photo has its scale. Lock it, so that it stays where it lies.")
	}
}

// fade makes the photo in hand, or all that are shown, fainter or stronger.
func (v *View) fade(by float64) {
	d := v.draft
	var sel edit.Selection
	for _, u := range d.Layout.Underlays {
		if d.Photo == "" || u.ID == d.Photo {
			sel = append(sel, u.ID)
		}
	}
	if len(sel) == 0 {
		v.do(result{said: "There is no photo below the drawing."})
		return
	}
	f, _ := edit.FieldOf(edit.UnderlayKind, "opacity")
	now, _ := f.Value(d.Layout, sel[:1])
	was, _ := figure("", now)
	to := math.Round(10*math.Max(0.1, math.Min(1, was+by))) / 10
	if to == was {
		v.say("It is as strong or as faint as it goes.")
		return
	}
	v.do(result{name: fmt.Sprintf("opacity %.0f %%", 100*to), do: func(l layout) (layout, error) { return f.Set(l, sel, fmt.Sprint(to)) }})
}

// layPhoto takes a photo's file in and lays it under the tier that is worked on.
func (v *View) layPhoto(path string) {
	if v.busy || v.locked() {
		return
	}
	v.busy = true
	name, tier := filepath.Base(path), v.draft.Tier
	v.browser.wrong = ""
	v.say("Reading " + name + " …")
	v.deps.Go(func() {
		data, err := photos.Load(path)
		var p *underlay.Photo
		if err == nil {
			p, err = underlay.Take(data)
		}
		v.deps.Do(func() {
			if err != nil {
				v.notLaid(err)
				return
			}
			v.keepPhoto(name, data, p, tier)
		})
	})
}

// keepPhoto writes a photo into the casebook beside the window; no edit is made
// meanwhile.
func (v *View) keepPhoto(name string, data []byte, p *underlay.Photo, tier int) {
	write, taken := v.deps.Store.BringPhoto(name, data)
	v.deps.Go(func() {
		sha, err := write()
		v.deps.Do(func() {
			if err != nil {
				v.notLaid(err)
				return
			}
			v.busy = false
			taken()
			v.lay(name, sha, p, tier)
		})
	})
}

func (v *View) notLaid(err error) {
	v.busy = false
	v.browser.wrong = strings.TrimSuffix(words.Sentence(err.Error()), ".") + ". Nothing was laid below."
	v.again()
}

// lay lays a photo that is kept under the drawing.
func (v *View) lay(name, sha string, p *underlay.Photo, tier int) {
	v.photos[sha] = &held{photo: p}
	w, h := p.Size()
	id := ""
	v.closeFiles()
	if v.do(result{name: "a photo below: " + name, do: func(l layout) (_ layout, err error) {
		l, id, err = edit.AddUnderlay(l, sha, name, w, h, tier)
		return l, err
	}}) {
		v.draft.Photo = id
		v.pane.Fit()
		v.say(fmt.Sprintf("The photo lies below, %d × %d points. Straighten it by four corners, or scale it by a length.", w, h))
		v.again()
		v.Focus()
	}
}
