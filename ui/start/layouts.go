package start

import (
	"errors"
	"fmt"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault/casebook"
	"halfsplit/topology"
	"halfsplit/topology/match"
	"halfsplit/ui/command"
	"halfsplit/ui/form"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// What is done with a layout as a whole.
type layoutTask uint8

const (
	duplicating layoutTask = iota
	renaming
	withdrawing
	withdrawn
	choosingOther
	comparing
)

// A handling is what is being done with the chosen layout.
type handling struct {
	task   layoutTask
	layout casebook.LayoutInfo
	name   string // as typed
	wrong  string
	others []casebook.LayoutInfo
	with   casebook.LayoutInfo // that is compared with
	diff   match.Diff
}

// mostDifferences is how many lines of each part of a comparison are listed.
const mostDifferences = 30

// layoutCommands are the keys of what can be done with the chosen layout.
func (v *View) layoutCommands(add func(*command.Command)) {
	v.pictureCommand(add)
	for _, c := range []struct {
		name, help, key, rune string
		task                  layoutTask
	}{
		{"Duplicate", "Make a layout of its own from the chosen one, with its photos", "U", "u", duplicating},
		{"Rename", "Give the chosen layout another name", "R", "r", renaming},
		{"Take out of the list", "Take the chosen layout out of the list, while no case rests on it", "T", "t", withdrawing},
		{"Compare", "Compare the chosen layout with another of this casebook", "B", "b", choosingOther},
	} {
		add(&command.Command{Name: c.name, Help: c.help, Keys: c.key, Runes: c.rune, Do: func() { v.act(func() { v.handle(c.task) }) }})
	}
}

// layoutButtons are their buttons.
func (v *View) layoutButtons() *fyne.Container {
	to := func(name, key string, task layoutTask) *command.Chip {
		return v.button(name, key, false, func() { v.act(func() { v.handle(task) }) })
	}
	return v.row(v.button("Save a picture …", "A", false, func() { v.act(v.openPicture) }), to("Compare with another …", "B", choosingOther), to("Duplicate …", "U", duplicating), to("Rename …", "R", renaming), to("Take out of the list …", "T", withdrawing))
}

// handle opens the page of what is done with the chosen layout.
func (v *View) handle(task layoutTask) {
	kind, id, _ := strings.Cut(v.chosen, ":")
	if kind != "layout" {
		v.say("Choose a layout first: 2 lists the layouts.")
		return
	}
	for _, l := range v.layouts {
		if l.ID == id {
			v.handling = handling{task: task, layout: l, name: l.Name}
		}
	}
	h := &v.handling
	switch task {
	case duplicating:
		h.name = PackName(h.layout.Name) + ", copy"
	case withdrawing:
		if err := v.restsOn(id); err != nil {
			v.fail("The layout stays in the list", err)
			return
		}
	case choosingOther:
		all, err := v.book.Layouts()
		if err != nil {
			v.fail("The layouts could not be read", err)
			return
		}
		for _, l := range all {
			if l.ID != id {
				h.others = append(h.others, l)
			}
		}
	}
	v.showHandling()
}

// showHandling shows the page anew, with the keyboard on its first field or button.
func (v *View) showHandling() {
	v.detail = true
	v.show(handlingPage)
	v.sheet.Roll.ScrollToTop()
	v.Focus()
	if t := v.handling.task; t == duplicating || t == renaming {
		v.focusFirst()
		return
	}
	v.focusButton()
}

// focusButton puts the keyboard on the page's first button.
func (v *View) focusButton() {
	for _, o := range v.sheet.Objects() {
		if row, ok := o.(*fyne.Container); ok && len(row.Objects) > 0 {
			if b, ok := row.Objects[0].(*command.Chip); ok {
				v.focus(b)
				return
			}
		}
	}
}

// restsOn refuses in words where a case rests on a layout.
func (v *View) restsOn(id string) error {
	all, err := v.book.Cases("")
	if err != nil {
		return err
	}
	var titles []string
	for _, c := range all {
		if c.LayoutID == id {
			titles = append(titles, "“"+CaseName(c.Title)+"”")
		}
	}
	switch len(titles) {
	case 0:
		return nil
	case 1:
		return errors.New("the case " + titles[0] + " rests on this layout, and a layout that a case rests on stays")
	}
	return fmt.Errorf("%d cases rest on this layout, %s among them, and a layout that cases rest on stays", len(titles), titles[0])
}

// handlingThings are the page.
func (v *View) handlingThings() []fyne.CanvasObject {
	h := &v.handling
	name := PackName(h.layout.Name)
	leave := v.button("Leave", "Esc", false, v.back)
	title := func(s string) sheet.Block { return sheet.Block{Kind: sheet.Title, Text: s, Bold: true} }
	para := func(s string) sheet.Block { return sheet.Block{Kind: sheet.Para, Text: s} }
	switch h.task {
	case duplicating:
		return v.nameThings([]sheet.Block{title("Duplicate " + name), para("The copy is a layout of its own, a draft with the same photos, numbers and proof of them. No case comes along, and no volts that an order was read off: those are of one pack.")}, "Duplicate under this name", leave)
	case renaming:
		text := "The cases that use it show the new name too."
		if !h.layout.Draft {
			text = fmt.Sprintf("Readings rest on version %d and stay with it. The new name begins version %d; a case that rests on version %d shows the old name until it is told to rest on the new one.", h.layout.Version, h.layout.Next, h.layout.Version)
		}
		return v.nameThings([]sheet.Block{title("Rename " + name), para(text)}, "Keep this name", leave)
	case withdrawing:
		return []fyne.CanvasObject{v.words([]sheet.Block{title("Take " + name + " out of the list?"), para("No case rests on it. It stays in the casebook's file with all its versions, and is not listed any more.")}),
			v.row(v.button("Take it out of the list", "Enter", true, v.withdraw), leave)}
	case withdrawn:
		return []fyne.CanvasObject{v.words([]sheet.Block{title("Taken out of the list: " + name), para("It is still in the casebook's file. While this page is open it can be put back.")}),
			v.row(v.button("Put it back", "", false, v.putBack), v.button("Close", "Esc", true, v.back))}
	case comparing:
		b := append([]sheet.Block{title(name + " against " + PackName(h.with.Name)), {Kind: sheet.Soft, Text: "Each line says how the first differs from the second."}}, sheet.Differences(h.diff, mostDifferences, false)...)
		return []fyne.CanvasObject{v.words(b), v.row(v.button("Compare with another", "B", false, func() { v.handle(choosingOther) }), v.button("Close", "Esc", true, v.back))}
	}
	return v.otherThings(leave)
}

// nameThings ask for a name.
func (v *View) nameThings(b []sheet.Block, verb string, leave *command.Chip) []fyne.CanvasObject {
	h := &v.handling
	if h.wrong != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: h.wrong})
	}
	e := v.entry(1)
	e.SetText(h.name)
	e.OnChanged = func(s string) { h.name = s }
	e.OnSubmitted = func(string) { v.named() }
	return []fyne.CanvasObject{v.words(b), form.NewLabelled("Name of the layout", e), v.row(v.button(verb, "Enter", true, v.named), leave)}
}

// otherThings are the layouts that the chosen one can be compared with.
func (v *View) otherThings(leave *command.Chip) []fyne.CanvasObject {
	h := &v.handling
	b := []sheet.Block{{Kind: sheet.Title, Text: "Compare " + PackName(h.layout.Name) + " with which layout?", Bold: true}}
	if len(h.others) == 0 {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "There is no other layout in this casebook. Import one, draw one, or duplicate this one."})
	}
	things := []fyne.CanvasObject{v.words(b)}
	for _, l := range h.others {
		row := LayoutRow(l, v.now(), nil)
		name := []rune(row.Title)
		if len(name) > 34 {
			name = append(name[:33], '…')
		}
		things = append(things, v.row(v.button(string(name), "", false, func() { v.compare(l) })), v.words([]sheet.Block{{Kind: sheet.Soft, Text: row.About + ". " + row.Text}}))
	}
	return append(things, v.row(leave))
}

// carryOn is Enter on the list while the page is open.
func (v *View) carryOn() {
	switch v.handling.task {
	case duplicating, renaming:
		v.named()
	case withdrawing:
		v.withdraw()
	case withdrawn, comparing:
		v.back()
	case choosingOther:
		v.focusButton()
	}
}

// named keeps the name that was typed.
func (v *View) named() {
	h := &v.handling
	name := strings.TrimSpace(h.name)
	if h.task == renaming && name == h.layout.Name {
		v.back()
		v.say("The name is as it was.")
		return
	}
	id, said := h.layout.ID, "Renamed: "+PackName(h.layout.Name)+" is now called "+name+"."
	var err error
	if h.task == renaming {
		err = v.book.RenameLayout(id, name, v.by())
	} else {
		id, err = v.book.DuplicateLayout(id, name, v.by())
		said = "Duplicated: " + name + ", a copy of " + PackName(h.layout.Name) + "."
	}
	if err != nil {
		h.wrong = words.Sentence(err.Error())
		v.say("The name was not kept.")
		v.showHandling()
		return
	}
	v.arrived("layout:"+id, said)
}

// withdraw takes the layout out of the list.
func (v *View) withdraw() {
	h := &v.handling
	if err := v.book.WithdrawLayout(h.layout.ID, v.by()); err != nil {
		v.fail("The layout stays in the list", err)
		return
	}
	h.task = withdrawn
	v.say("Taken out of the list: " + PackName(h.layout.Name) + ".")
	v.load()
	v.showHandling()
}

// putBack takes that back, where nothing was done to the casebook since.
func (v *View) putBack() {
	h := &v.handling
	name, err := v.book.UndoName(casebook.ScopeBook)
	if err == nil && name != "withdraw layout "+h.layout.Name {
		err = errors.New("the casebook was changed since: what would be undone now is " + name)
	}
	if err == nil {
		_, err = v.book.Undo(casebook.ScopeBook, v.by())
	}
	if err != nil {
		v.fail("The layout was not put back", err)
		return
	}
	v.arrived("layout:"+h.layout.ID, "Back in the list: "+PackName(h.layout.Name)+".")
}

// compare holds the chosen layout against another.
func (v *View) compare(with casebook.LayoutInfo) {
	h := &v.handling
	var pair [2]topology.Layout
	for i, id := range []string{with.ID, h.layout.ID} {
		l, err := v.book.ExportLayout(id)
		if err != nil {
			v.fail("The layouts could not be compared", err)
			return
		}
		pair[i] = l
	}
	h.task, h.with, h.diff = comparing, with, match.Compare(pair[0], pair[1])
	v.say("Compared with " + PackName(with.Name) + ": " + sheet.Matched(h.diff) + ".")
	v.showHandling()
}
