package start

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/form"
	"halfsplit/ui/sheet"
)

// commands fills the table of what can be done, and makes the buttons on top.
func (v *View) commands() {
	v.top = form.NewFlow()
	for i, t := range []struct{ name, help string }{{"Cases", "Show the cases"}, {"Layouts", "Show the layouts"}} {
		which := tab(i)
		v.topButton(&command.Command{Name: t.name, Help: t.help, Keys: string(rune('1' + i)), Runes: string(rune('1' + i)),
			Do: func() { v.showTab(which) }, On: func() bool { return v.tab == which && v.page != filesPage && v.page != makerPage }, Label: func() string { return v.tabLabel(which) }})
	}
	v.topButton(&command.Command{Name: "Make a layout", Help: "Draw a layout from a few numbers", Keys: "M", Runes: "m", Do: func() { v.act(v.openMaker) },
		On: func() bool { return v.page == makerPage }})
	v.tableCommands()
	v.topButton(&command.Command{Name: "Import", Help: "Take in a case, with its history, from a casebook; or a case or layout from a JSON file", Keys: "I", Runes: "i", Do: func() { v.act(v.openImport) },
		On: func() bool { return v.page == filesPage && v.files.purpose == toImport }})
	v.topButton(&command.Command{Name: "Demo case", Help: "Open a copy of the demo case", Keys: "D", Runes: "d", Do: func() { v.act(v.openDemo) }})
	add := func(c *command.Command) { v.set.Add(c) }
	add(&command.Command{Name: "Open", Help: "Open the chosen case, or begin a case from the chosen layout", Keys: "Enter", Named: []fyne.KeyName{fyne.KeyReturn, fyne.KeyEnter}, Do: v.open})
	add(&command.Command{Name: "New case", Help: "Begin a case from the layout that is chosen, or that the chosen case has", Keys: "N", Runes: "n", Do: func() { v.act(v.openNewCase) }})
	add(&command.Command{Name: "Export", Help: "Write the chosen case or layout to a JSON file", Keys: "X", Runes: "x", Do: func() { v.act(v.openExport) }})
	v.oneFileCommands(add)
	v.layoutCommands(add)
	add(&command.Command{Name: "Open another casebook", Help: "Open another casebook, or begin one", Keys: "O", Runes: "o", Do: func() { v.act(v.openAnother) }})
	add(&command.Command{Name: "Search", Help: "Go to the search, or to the path of a file", Keys: "/", Runes: "/", Do: v.toField})
	for _, k := range []struct {
		name string
		help string
		keys string
		key  fyne.KeyName
		do   func()
	}{
		{"Next", "Next row", "Down", fyne.KeyDown, func() { v.step(1) }},
		{"Previous", "Row before", "Up", fyne.KeyUp, func() { v.step(-1) }},
		{"First", "First row", "Home", fyne.KeyHome, func() { v.step(-len(v.ids())) }},
		{"Last", "Last row", "End", fyne.KeyEnd, func() { v.step(len(v.ids())) }},
		{"Roll", "Five rows on, or back with page up", "Page down", fyne.KeyPageDown, func() { v.step(5) }},
		{"Roll back", "", "", fyne.KeyPageUp, func() { v.step(-5) }},
		{"Other list", "From the cases to the layouts and back", "Left, right", fyne.KeyRight, func() { v.showTab(1 - v.tab) }},
		{"Other list", "", "", fyne.KeyLeft, func() { v.showTab(1 - v.tab) }},
		{"Back", "Close the page, or empty the search", "Esc", fyne.KeyEscape, v.back},
	} {
		add(&command.Command{Name: k.name, Help: k.help, Keys: k.keys, Named: []fyne.KeyName{k.key}, Do: k.do})
	}
	v.topButton(&command.Command{Name: "Keys", Help: "This list of keys", Keys: "?", Runes: "?", Do: v.toggleKeys, On: func() bool { return v.page == keysPage }})
}

func (v *View) topButton(c *command.Command) {
	b := command.NewChip(v.set.Add(c), v.set)
	v.chips = append(v.chips, b)
	v.top.Objects = append(v.top.Objects, b)
}

func (v *View) tabLabel(t tab) string {
	name, n := "Cases", len(v.cases)
	if t == layoutsTab {
		name, n = "Layouts", len(v.layouts)
	}
	if v.status != ready {
		return name
	}
	return fmt.Sprintf("%s %d", name, n)
}

// toField puts the keyboard into the field that goes with the list.
func (v *View) toField() {
	if v.page == filesPage {
		v.focus(v.files.path)
		v.files.path.SelectAll()
		return
	}
	v.act(func() { v.show(detailsPage); v.focus(v.search) })
}

// act does what needs an open casebook.
func (v *View) act(do func()) {
	switch {
	case v.status == troubled:
		v.say("That needs a casebook, and none is open. The page says what can be done.")
	case v.book == nil:
		v.say("No casebook is open yet.")
	default:
		do()
	}
}

func (v *View) showTab(t tab) {
	v.tab, v.most = t, mostRows
	if v.book == nil {
		return
	}
	v.page = detailsPage
	v.keepChoice()
	v.list.Page().Roll.Offset = fyne.NewPos(0, 0)
	v.showAll()
	v.Focus()
}

// step chooses the row so many places on, or the last that way.
func (v *View) step(by int) {
	if v.page == filesPage {
		v.files.chosen = stepped(v.files.listing.IDs(), v.files.chosen, by)
		v.list.Refresh()
		v.list.Reveal(v.files.chosen)
		return
	}
	ids := v.ids()
	if len(ids) == 0 || v.status != ready {
		return
	}
	id := stepped(ids, v.chosen, by)
	at := slices.Index(ids, id)
	for at >= v.most {
		v.showMore()
	}
	v.choose(ids[at])
}

// stepped is the id so many places on from one, or the last that way.
func stepped(ids []string, from string, by int) string {
	if len(ids) == 0 {
		return ""
	}
	return ids[max(0, min(len(ids)-1, max(0, slices.Index(ids, from))+by))]
}

// showMore draws more rows, and what they need.
func (v *View) showMore() {
	v.most += mostRows
	v.list.Refresh()
	v.drawThumbs(v.run)
}

func (v *View) choose(id string) {
	v.chosen = id
	v.page = detailsPage
	v.showAll()
	v.list.Reveal(id)
}

// pick is a press on the list.
func (v *View) pick(id string) {
	switch {
	case id == "":
	case v.page == filesPage:
		v.take(id)
	case id == moreID:
		v.showMore()
	case strings.HasPrefix(id, copyID):
		v.reopen(strings.TrimPrefix(id, copyID), false)
	default:
		v.detail = true
		v.choose(id)
		v.Focus()
	}
}

// open opens the chosen case, or begins one from the chosen layout.
func (v *View) open() {
	kind, id, ok := strings.Cut(v.chosen, ":")
	switch {
	case v.page == filesPage:
		v.take(v.files.chosen)
	case v.page == signingPage: // what is under way is signing: its fields have Enter
		v.focusFirst()
		v.say("Type name and role, then Enter records the sign-off.")
	case v.status != ready:
		return
	case v.page == handlingPage:
		v.carryOn()
	case !ok && v.search.Text != "":
		v.say("Nothing has these words. Esc empties the search.")
	case !ok:
		v.say("Nothing is chosen.")
	case kind == "layout":
		v.openNewCase()
	default:
		v.deps.Case(id)
	}
}

// back closes the page, then the search.
func (v *View) back() {
	switch {
	case v.stopTaking():
	case v.page != detailsPage:
		if v.page == newCasePage && v.begin.typed() {
			v.say("The case is not begun. What was typed is kept until N opens it again.")
		}
		v.show(detailsPage)
		v.list.Refresh()
	case v.detail && v.frame.narrow():
		v.detail = false
		v.root.Refresh()
	case v.search.Text != "":
		v.search.SetText("")
	}
	v.Focus()
}

func (v *View) toggleKeys() {
	if v.page == keysPage {
		v.back()
		return
	}
	v.show(keysPage)
}

// listKey is a key on the list.
func (v *View) listKey(k *fyne.KeyEvent) bool { return v.set.Key(k) }

// key is a key of a field or of the preview: the window's keys, Escape, and down
// from the search into the list.
func (v *View) key(k *fyne.KeyEvent) bool {
	if v.deps.Key != nil && v.deps.Key(k) {
		return true
	}
	switch k.Name {
	case fyne.KeyEscape:
		v.back()
		return true
	case fyne.KeyDown, fyne.KeyUp:
		if v.deps.Canvas != nil && v.deps.Canvas() != nil && v.deps.Canvas().Focused() == fyne.Focusable(v.search) {
			v.Focus()
			v.listKey(k)
			return true
		}
	}
	return false
}

// entry makes a field that gives the window's keys back.
func (v *View) entry(lines int) *form.Entry {
	e := form.NewEntry(lines)
	e.OnKey = v.key
	if v.deps.Shortcut != nil {
		e.OnShortcut = func(s fyne.Shortcut) { v.deps.Shortcut(s) }
	}
	return e
}

// hint are the keys that matter, the most needed first.
func (v *View) hint() []string {
	if v.page == filesPage {
		return []string{"Esc back", "/ type a path", "Enter takes what is chosen", "Up, down choose"}
	}
	if v.page != detailsPage {
		return []string{"Esc back"}
	}
	if v.status != ready {
		return nil
	}
	if v.tab == layoutsTab {
		return []string{"? all keys", "Enter new case", "/ search", "M make a layout"}
	}
	return []string{"? all keys", "Enter opens", "/ search", "N new case", "M make a layout"}
}

// Keys is the list of the view's keys, for the help of the window around it.
func (v *View) Keys() []sheet.Block { return sheet.Keys(v.set.Helped()) }
