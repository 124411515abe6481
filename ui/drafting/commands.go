package drafting

import (
	"fmt"
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"halfsplit/topology/edit"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/sheet"
)

// commands fills the table of what can be done, and makes the buttons.
func (v *View) commands() {
	v.tools, v.pages, v.steps = form.NewFlow(), form.NewFlow(), form.NewFlow()
	v.toolCommands()
	v.chosenCommands()
	v.viewCommands()
	v.pageCommands()
	v.stepCommands()
	v.keyCommands()
}

// button adds a command and its button to a row.
func (v *View) button(row *fyne.Container, c *command.Command) *command.Chip {
	b := command.NewChip(v.set.Add(c), v.set)
	v.chips = append(v.chips, b)
	if row == v.tools {
		v.toolChips = append(v.toolChips, b)
	}
	row.Objects = append(row.Objects, b)
	return b
}

// letGo is the button's way: the whole tool at once, then what is chosen.
func (v *View) letGo() {
	switch d := v.draft; {
	case v.browser.on:
		v.closeFiles()
	case v.pasted != nil:
		v.leavePaste()
		return
	case d.Tool != Choosing:
		v.take(Choosing)
	case d.Several || len(d.Chosen) > 0:
		d.Several = false
		d.Choose("", false)
		v.again()
	default:
		v.leave()
	}
	v.Focus()
}

// inHand says that Escape has something to let go of before it leaves the table.
func (v *View) inHand() bool {
	d := v.draft
	return d.Tool != Choosing || d.Several || len(d.Chosen) > 0
}

// chip is a button of a page; a key that it shows must be one of the table's.
func (v *View) chip(name, key string, primary bool, do func()) *command.Chip {
	b := command.NewChip(&command.Command{Name: name, Keys: key, Do: do}, v.set)
	b.Primary = primary
	return b
}

// row are buttons beside each other.
func (v *View) row(buttons ...*command.Chip) *fyne.Container {
	c := form.NewFlow()
	for _, b := range buttons {
		c.Objects = append(c.Objects, b)
	}
	return c
}

func (v *View) toolCommands() {
	leave := v.deps.Leave
	if leave == "" {
		leave = "Leave"
	}
	v.set.Add(&command.Command{Name: leave, Help: "Let go of what is in hand, then of the tool, of what is chosen, and then leave the table; everything is kept already", Keys: "Esc",
		Named: []fyne.KeyName{fyne.KeyEscape}, Do: v.leave})
	v.leaves = v.button(v.tools, &command.Command{Name: leave, Keys: "Esc", Do: v.letGo, Label: func() string {
		if v.inHand() {
			return "Let go"
		}
		if v.draft.AsItWas != "" {
			return "To the newest"
		}
		return leave
	}})
	v.linker = v.button(v.tools, &command.Command{Name: "Link", Help: "Join terminals: press one, then the other; Tab and Enter do the same", Keys: "L", Runes: "l",
		Do: func() { v.take(Linking) }, On: func() bool { return v.draft.Tool == Linking }})
	v.button(v.tools, &command.Command{Name: "Several", Help: "Choose several: a press adds or takes away, a drag on empty ground draws a box, Space adds what the keyboard is on", Keys: "V", Runes: "v",
		Do: func() { v.draft.Several = !v.draft.Several; v.again() }, On: func() bool { return v.draft.Several }})
	v.button(v.tools, &command.Command{Name: "Sketch", Help: "Draw freehand; nothing reads it", Keys: "K", Runes: "k", Do: func() { v.take(Sketching) }, On: func() bool { return v.draft.Tool == Sketching }})
}

// chosenCommands act on what is chosen.
func (v *View) chosenCommands() {
	v.button(v.tools, &command.Command{Name: "Turn", Help: "Turn what is chosen by a quarter", Keys: "R", Runes: "r", Do: func() { v.do(v.chosen(v.draft.Turn(90))) }})
	v.set.Add(&command.Command{Name: "Turn a little", Help: "Turn by 15 degrees, back or on; any angle stands among the fields", Keys: ", and .", Runes: ",", Do: func() { v.do(v.chosen(v.draft.Turn(-15))) }})
	v.set.Add(&command.Command{Name: "Turn on a little", Runes: ".", Do: func() { v.do(v.chosen(v.draft.Turn(15))) }})
	v.button(v.tools, &command.Command{Name: "Duplicate", Help: "Duplicate what is chosen, beside it", Keys: "D", Runes: "d", Do: v.duplicate})
	v.button(v.tools, &command.Command{Name: "Delete", Help: "Delete what is chosen, with the links that end at it", Keys: "Del", Named: []fyne.KeyName{fyne.KeyDelete, fyne.KeyBackspace}, Do: v.remove})
	v.set.Add(&command.Command{Name: "Copy", Help: "Copy what is chosen; paste it here or into another layout", Keys: "Ctrl C, Ctrl V", Do: v.copy})
	v.set.Add(&command.Command{Name: "All", Help: "Choose every module of the tier that is shown", Keys: "Ctrl A", Do: v.all})
	v.set.Add(&command.Command{Name: "Add it", Help: "Add what the keyboard is on to what is chosen, or take it away", Keys: "Space", Named: []fyne.KeyName{fyne.KeySpace}, Do: v.toggle})
	v.set.Add(&command.Command{Name: "Fields", Help: "Go to the fields of what is chosen; while linking: begin the link, or join", Keys: "Enter", Named: []fyne.KeyName{fyne.KeyReturn, fyne.KeyEnter}, Do: v.enter})
}

// chosen refuses an edit where nothing is chosen that has a place.
func (v *View) chosen(r result) result {
	if !v.draft.placed() {
		return result{said: "Nothing is chosen that has a place on the drawing."}
	}
	return r
}

func (v *View) viewCommands() {
	v.button(v.tools, &command.Command{Name: "Snap", Help: "Snap to the grid, to edges and to equal gaps, or not", Keys: "G", Runes: "g",
		Do: func() { v.draft.Snap = !v.draft.Snap; v.again() }, On: func() bool { return v.draft.Snap }})
	v.button(v.tools, &command.Command{Name: "Tier", Help: "Show the next tier alone, or all tiers", Keys: "T", Runes: "t", Do: v.nextTier, Label: func() string {
		if d := v.draft; d.Alone {
			return fmt.Sprintf("Tier %d alone", d.Tier)
		}
		return "All tiers"
	}, On: func() bool { return v.draft.Alone }})
	v.button(v.tools, &command.Command{Name: "Other side", Help: "See the pack from the other side; the data stay as they are", Keys: "F", Runes: "f", Do: func() {
		v.draft.Flip()
		v.pane.Fit()
		v.say(v.draft.Seen() + ".")
		v.again()
	}, Label: func() string { return v.draft.Seen() }, On: func() bool { return v.draft.Below }})
	v.set.Add(&command.Command{Name: "Boards, parts", Help: "Show boards, chassis pieces and mechanical parts, or leave them away", Keys: "B", Runes: "b", Do: v.toggleOthers})
	v.button(v.tools, &command.Command{Name: "-", Help: "Zoom out", Keys: "-", Runes: "-", Do: func() { v.pane.Zoom(1 / easel.ZoomStep) }})
	v.button(v.tools, &command.Command{Name: "+", Help: "Zoom in", Keys: "+", Runes: "+=", Do: func() { v.pane.Zoom(easel.ZoomStep) }})
	v.button(v.tools, &command.Command{Name: "Whole", Help: "Show everything that is drawn", Keys: "0", Runes: "0", Do: func() { v.pane.Fit() }})
	v.toSheet = v.button(v.tools, &command.Command{Name: "Sheet", Help: "In a low window: the sheet, or the drawing", Keys: "F6", Named: []fyne.KeyName{fyne.KeyF6}, Do: v.other})
}

// toggleOthers shows what a pack has beside modules and links, or leaves it away.
func (v *View) toggleOthers() {
	d := v.draft
	d.Others = !d.Others
	d.plan.ShowFittings(d.Others)
	said := "Boards, chassis pieces and mechanical parts are shown, beside what they belong to."
	if !d.Others {
		said = "Modules and links alone are shown; boards, chassis pieces and mechanical parts stay in the drawing."
	}
	v.pane.Refresh()
	v.say(said)
	v.again()
}

// other turns from the drawing to the sheet, with the keyboard.
func (v *View) other() {
	onSheet := v.deps.Canvas != nil && v.deps.Canvas() != nil && v.deps.Canvas().Focused() != fyne.Focusable(v.pane)
	v.turned = !v.turned
	v.showAll()
	if v.pane.Visible() && (onSheet || !v.sheet.Roll.Visible()) {
		v.focus(v.pane)
		return
	}
	v.focusSheet()
}

func (v *View) pageCommands() {
	v.pageChips = map[page]*command.Chip{}
	for _, p := range []struct {
		page             page
		name, help, keys string
		runes            string
	}{
		{fieldsPage, "Fields", "The fields of what is chosen, or of the pack", "1", "1"},
		{addPage, "Put down", "Put down modules, rows of them, and what else a pack has", "M, 2", "m2"},
		{pathPage, "Path", "The electrical path: what is joined, and what to look at", "3", "3"},
		{photoPage, "Photos", "Photos under the drawing, and the sketch", "P, 4", "p4"},
		{orderPage, "Order", "The order from volts that were measured on the terminals", "5", "5"},
		{numbersPage, "Numbers", "Bench numbers, maker's labels and the monitor's indices", "6", "6"},
		{versionsPage, "Versions", "The versions of this drawing, what rests on them and what differs; and another layout held against it", "7", "7"},
		{toolsPage, "Tools", "", "", ""},
		{keysPage, "Keys", "This list of keys", "?", "?"},
	} {
		b := v.button(v.pages, &command.Command{Name: p.name, Help: p.help, Keys: p.keys, Runes: p.runes, Do: func() { v.open(p.page) }, On: func() bool { return v.page == p.page }})
		v.pageChips[p.page] = b
		if p.page == toolsPage {
			v.moreTools = b
		}
	}
	v.otherPages = command.NewChip(&command.Command{Name: "Other pages", Do: func() {
		v.allPages = true
		v.showAll()
		v.focus(v.pageChips[v.page])
	}}, v.set)
	v.chips = append(v.chips, v.otherPages)
	v.pages.Objects = append(v.pages.Objects, v.otherPages)
	v.set.Add(&command.Command{Name: "A row", Help: "Repeat the module that is chosen along a line, in rows that turn back if wanted", Keys: "W", Runes: "w", Do: v.openRow})
	back := command.NewChip(&command.Command{Name: "Drawing", Keys: "F6", Do: v.other}, v.set)
	v.chips = append(v.chips, back)
	v.pages.Objects = append(v.pages.Objects, back)
	v.back = back
}

// open shows a page, with the keyboard on it.
func (v *View) open(p page) {
	v.wrong = ""
	v.turned, v.allPages = true, false
	v.show(p)
	if p != keysPage && p != pathPage && p != toolsPage && p != versionsPage {
		v.focusSheet()
	} else {
		v.Focus()
	}
}

func (v *View) stepCommands() {
	v.button(v.steps, &command.Command{Name: "Undo", Help: "Undo the last edit", Keys: "Ctrl Z", Do: v.undo, Label: func() string { return command.StepLabel("Undo", v.deps.Store.Steps().Undo) }})
	v.button(v.steps, &command.Command{Name: "Redo", Help: "Do again what was undone last", Keys: "Ctrl Y", Do: v.redo, Label: func() string { return command.StepLabel("Redo", v.deps.Store.Steps().Redo) }})
}

// keyCommands are those of the arrows and brackets.
func (v *View) keyCommands() {
	for _, m := range []struct {
		key    fyne.KeyName
		dx, dy float64
	}{{fyne.KeyLeft, -1, 0}, {fyne.KeyRight, 1, 0}, {fyne.KeyUp, 0, -1}, {fyne.KeyDown, 0, 1}} {
		help, fine := "", ""
		if m.key == fyne.KeyLeft {
			help, fine = "Move what is chosen by the step; with nothing chosen the drawing moves", "The same by 1 mm"
		}
		v.set.Add(&command.Command{Name: "Move", Help: help, Keys: "Arrows", Named: []fyne.KeyName{m.key}, Do: func() { v.nudge(m.dx, m.dy, v.draft.Step) }})
		v.set.Add(&command.Command{Name: "Move finely", Help: fine, Keys: "Shift and arrows", Named: []fyne.KeyName{m.key}, Shift: true, Do: func() { v.nudge(m.dx, m.dy, 1) }})
	}
	v.set.Add(&command.Command{Name: "Next", Help: "The next thing, or terminal while linking; with Shift the one before", Keys: "Tab"})
	v.set.Add(&command.Command{Name: "Lines", Help: "On lines of the sheet that lead somewhere: step from one to the next, and follow one", Keys: "Up, down, Enter"})
	v.set.Add(&command.Command{Name: "Fainter", Help: "Photos fainter, or stronger", Keys: "[ and ]", Runes: "[", Do: func() { v.fade(-0.1) }})
	v.set.Add(&command.Command{Name: "Stronger", Runes: "]", Do: func() { v.fade(0.1) }})
	roll := func(by float32) func() { return func() { v.roll(by) } }
	v.set.Add(&command.Command{Name: "Roll down", Help: "Roll the sheet", Keys: "Page down, page up", Named: []fyne.KeyName{fyne.KeyPageDown}, Do: roll(0.85)})
	v.set.Add(&command.Command{Name: "Roll up", Named: []fyne.KeyName{fyne.KeyPageUp}, Do: roll(-0.85)})
}

const panStep = 60.0 // pixels a key press

// nudge moves what is chosen by so many mm, or the drawing where nothing is.
func (v *View) nudge(dx, dy, step float64) {
	if v.draft.Tool.points() {
		v.moveCross(dx, dy, step == 1)
		return
	}
	if !v.draft.placed() {
		v.pane.Pan(-dx*panStep, -dy*panStep)
		return
	}
	v.do(v.draft.Nudge(dx*step, dy*step))
}

// paneKey takes Tab before the commands do.
func (v *View) paneKey(k *fyne.KeyEvent) bool {
	if k.Name != fyne.KeyTab {
		return v.set.Key(k)
	}
	by := 1
	if v.set.Shift() {
		by = -1
	}
	if v.draft.Tool == Linking {
		v.draft.StepNode(by)
	} else {
		v.draft.StepTo(by)
		v.reveal(v.draft.Cursor)
	}
	v.again()
	return true
}

// enter is Enter on the drawing.
func (v *View) enter() {
	d := v.draft
	switch {
	case v.browser.on:
		v.takeFile()
	case d.Tool == Linking && d.Node != "":
		v.pressNode(d.Node)
	case d.Tool.points():
		v.pressCross()
	default:
		v.open(fieldsPage)
	}
}

// toggle adds the thing that the keyboard is on.
func (v *View) toggle() {
	d := v.draft
	if d.Tool == Linking {
		v.enter()
		return
	}
	if d.Cursor == "" {
		d.StepTo(1)
	} else {
		d.Choose(d.Cursor, true)
	}
	v.again()
}

func (v *View) all() {
	v.draft.ChooseAll()
	v.say(chosenWords(len(v.draft.Chosen)))
	v.again()
}

// nextTier shows the lowest tier alone, then the next, then all.
func (v *View) nextTier() {
	d := v.draft
	tiers := d.Tiers()
	i := slices.Index(tiers, d.Tier)
	switch {
	case !d.Alone:
		d.Alone, d.Tier = true, tiers[0]
	case i+1 < len(tiers):
		d.Tier = tiers[i+1]
	default:
		d.Alone = false
	}
	v.again()
}

// duplicate puts a copy of what is chosen beside it, and chooses the copy.
func (v *View) duplicate() {
	d := v.draft
	b, ok := edit.Bounds(d.Layout, d.Chosen)
	if !ok {
		v.do(result{said: "Nothing is chosen that has a place on the drawing."})
		return
	}
	dx, dy := b.Size().X()+10, 0.0
	if b.Size().X() > b.Size().Y() {
		dx, dy = 0, b.Size().Y()+10
	}
	sel := d.Chosen
	var names map[string]string
	if v.do(result{name: "duplicate " + d.name(), do: func(l layout) (_ layout, err error) {
		l, names, err = edit.Duplicate(l, sel, dx, dy)
		return l, err
	}}) {
		v.chooseNew(sel, names)
	}
}

// chooseNew chooses what things are called after they were copied.
func (v *View) chooseNew(of edit.Selection, names map[string]string) {
	var sel edit.Selection
	for _, id := range of {
		if to := names[id]; to != "" {
			sel = append(sel, to)
		}
	}
	v.draft.Chosen = sel
	v.again()
}

// remove deletes what is chosen and says what went along.
func (v *View) remove() {
	d := v.draft
	if len(d.Chosen) == 0 {
		v.do(result{said: "Nothing is chosen."})
		return
	}
	name, sel := d.name(), d.Chosen
	var went []string
	if v.do(result{name: "delete " + name, do: func(l layout) (_ layout, err error) {
		l, went, err = edit.Delete(l, sel)
		return l, err
	}}) && len(went) > 0 {
		v.say("Deleted: " + name + ", and with it " + list(went) + ". Undo brings all of it back.")
	}
}

// list joins words as a sentence does, and says how many more there are.
func list(words []string) string {
	const most = 4
	rest := ""
	if len(words) > most {
		rest = fmt.Sprintf(" and %d more", len(words)-most)
		words = words[:most]
	}
	out := ""
	for i, w := range words {
		switch {
		case i == 0:
		case i == len(words)-1 && rest == "":
			out += " and "
		default:
			out += ", "
		}
		out += w
	}
	return out + rest
}

// copy takes what is chosen to the clipboard as a layout file, so that it can be
// pasted into another layout too.
func (v *View) copy() {
	d := v.draft
	f, err := edit.Copy(d.Layout, d.Chosen)
	if err == nil && len(f.Modules)+len(f.Boards)+len(f.Parts) == 0 {
		v.do(result{said: "Nothing is chosen that can be copied."})
		return
	}
	if err == nil {
		err = v.toClipboard(f)
	}
	if err != nil {
		v.refuse(err)
		return
	}
	v.say("Copied: " + d.name() + ". Paste puts it here or into another layout.")
}

// paste puts what was copied into the layout, a little beside where it lay.
func (v *View) paste() {
	f, err := v.fromClipboard()
	if err != nil {
		v.refuse(err)
		return
	}
	var names map[string]string
	if v.do(result{name: "paste " + count(len(f.Modules), "module"), do: func(l layout) (_ layout, err error) {
		l, names, err = edit.Paste(l, f, 2*v.draft.Step, 2*v.draft.Step)
		return l, err
	}}) {
		v.draft.Chosen = nil
		for _, m := range f.Modules {
			v.draft.Chosen = append(v.draft.Chosen, names[m.ID])
		}
		v.again()
	}
}

// Shortcut is a key with Control; true = taken.
func (v *View) Shortcut(s fyne.Shortcut) bool {
	switch s := s.(type) {
	case *fyne.ShortcutUndo:
		v.undo()
	case *fyne.ShortcutRedo:
		v.redo()
	case *fyne.ShortcutCopy:
		v.copy()
	case *fyne.ShortcutPaste:
		v.paste()
	case *fyne.ShortcutSelectAll:
		v.all()
	case *desktop.CustomShortcut:
		if s.Modifier&fyne.KeyModifierControl == 0 {
			return false
		}
		switch {
		case s.KeyName == fyne.KeyZ && s.Modifier&fyne.KeyModifierShift != 0, s.KeyName == fyne.KeyY:
			v.redo()
		case s.KeyName == fyne.KeyZ:
			v.undo()
		default:
			return false
		}
	default:
		return false
	}
	return true
}

// toolThings are the tools as a page, where a low drawing has no room for them.
func (v *View) toolThings() []fyne.CanvasObject {
	c := form.NewFlow()
	for _, b := range v.toolChips {
		if b != v.toSheet && b != v.leaves && b != v.linker && v.usable(b) {
			c.Objects = append(c.Objects, command.NewChip(b.Command, v.set))
		}
	}
	return []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Title, Text: "Tools", Bold: true}}), c}
}
