package drafting

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"fyne.io/fyne/v2"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// words is a part of a page in words.
func (v *View) words(blocks []sheet.Block) fyne.CanvasObject { return v.lines(blocks, v.goTo) }

// lines are words on the sheet of which some lead somewhere, by a press or by keys.
func (v *View) lines(blocks []sheet.Block, pick func(id string)) fyne.CanvasObject {
	var ids []string
	for _, b := range blocks {
		if b.Kind == sheet.Action && b.ID != "" && !slices.Contains(ids, b.ID) {
			ids = append(ids, b.ID)
		}
	}
	draw := func(w float64, on string) (*scene.List, float64) {
		if len(blocks) == 0 {
			return &scene.List{}, 0
		}
		shown := slices.Clone(blocks)
		for i := range shown {
			shown[i].On = shown[i].On || shown[i].Kind == sheet.Action && shown[i].ID == on && on != ""
		}
		l, high := sheet.DrawSized(shown, w, sheet.Sizes{Touch: float64(easel.Sizes().Touch()), Number: theme.Number}, easel.Measure)
		return l, high - 12
	}
	if len(ids) == 0 {
		return easel.NewBoard(theme.Raised, 160, func(w float64) (*scene.List, float64) { return draw(w, "") })
	}
	var l *form.Lines
	l = form.NewLines(ids, draw, func(id string) {
		byKeys := l.On() != ""
		if pick(id); byKeys { // what it leads to is on the drawing
			v.toDrawing()
		}
	})
	l.OnKey, l.OnRune = v.set.Key, func(r rune) { v.set.Rune(r) }
	return l
}

// goTo chooses the thing that a line of the sheet is about.
func (v *View) goTo(id string) {
	d := v.draft
	if d.Kind(id) == "" {
		return
	}
	d.Choose(id, false)
	v.reveal(id)
	v.turned = false
	v.again()
}

// reveal brings a thing into sight.
func (v *View) reveal(id string) {
	if r, ok := v.draft.boxOf(id); ok {
		view := v.pane.View()
		r.Min, r.Max = view.Screen(at(r.Min)), view.Screen(at(r.Max))
		v.pane.Reveal(r)
	}
}

// entry is a field of the table; Escape gives the keyboard back to the drawing, also
// where the sheet has its place, and F6 goes there and back.
func (v *View) entry(text string) *form.Entry {
	e := form.NewEntry(1)
	e.SetText(text)
	if v.draft.AsItWas != "" {
		e.Disable()
	}
	e.LeaveBy(func(k *fyne.KeyEvent) bool {
		switch k.Name {
		case fyne.KeyF6:
			v.other()
			return true
		case fyne.KeyPageDown, fyne.KeyPageUp: // of no use in one line
			return v.set.Key(k)
		}
		return v.deps.Key != nil && v.deps.Key(k)
	}, v.toDrawing)
	e.OnFocus = func() { v.freshen(e) }
	e.Held = text
	e.OnUndo = func(redo bool) {
		step := func(do func()) {
			if do(); e != v.order.field { // the sheet is filled anew, and this field is gone
				v.toDrawing()
			}
		}
		switch {
		case redo:
			step(v.redo)
		case e.Text != e.Held: // what is half typed goes first
			e.SetText(e.Held)
			v.say("The field holds again what it held. Ctrl Z once more undoes the last edit of the drawing.")
		default:
			step(v.undo)
		}
	}
	e.OnShortcut = func(s fyne.Shortcut) {
		if !v.Shortcut(s) && v.deps.Shortcut != nil {
			v.deps.Shortcut(s)
		}
	}
	return e
}

// toDrawing gives the keyboard to the drawing, and in a low window its place.
func (v *View) toDrawing() {
	if !v.pane.Visible() && !v.browser.on {
		v.turned = false
		v.showAll()
	}
	v.Focus()
}

// kindOrder is the order in which kinds stand on the sheet.
var kindOrder = []edit.Kind{edit.ModuleKind, edit.StackKind, edit.LinkKind, edit.BoardKind, edit.ChassisKind, edit.BondKind, edit.PartKind, edit.UnderlayKind}

// ofKind are the chosen things of a kind.
func (d *Draft) ofKind(k edit.Kind) (sel edit.Selection) {
	for _, id := range d.Chosen {
		if d.Kind(id) == k {
			sel = append(sel, id)
		}
	}
	return sel
}

// fieldThings are the fields of what is chosen, kind by kind, or the pack's own.
func (v *View) fieldThings() []fyne.CanvasObject {
	d := v.draft
	if len(d.Chosen) == 0 {
		things := []fyne.CanvasObject{v.words(v.packBlocks())}
		return append(append(things, v.fieldsOf(edit.LayoutKind, nil)...), v.packThings()...)
	}
	var things []fyne.CanvasObject
	for _, k := range kindOrder {
		if sel := d.ofKind(k); len(sel) > 0 {
			things = append(things, v.words([]sheet.Block{{Kind: sheet.Title, Text: chosenTitle(k, sel), Bold: true}}))
			if rows := v.actions(k, sel); len(rows) > 0 {
				things = append(things, v.row(v.shown("Move, turn, copy, align: fewer", "Move, turn, copy, align …", &v.unfolded)))
				if v.unfolded {
					things = append(things, rows...)
				}
			}
			if len(sel) == 1 {
				things = append(things, v.nameField(k, sel[0])...)
			}
			things = append(things, v.fieldsOf(k, sel)...)
		}
	}
	return things
}

func chosenTitle(k edit.Kind, sel edit.Selection) string {
	name := words.Capital(string(k))
	if len(sel) == 1 {
		return name + " " + sel[0]
	}
	return fmt.Sprintf("%s: %s", count(len(sel), string(k)), list(sel))
}

// packBlocks say what lies on the table.
func (v *View) packBlocks() []sheet.Block {
	d := v.draft
	info := v.deps.Store.Info()
	state := fmt.Sprintf("Version %d, a draft", info.Version)
	if !info.Draft {
		state = fmt.Sprintf("Version %d, in use: readings rest on it. A change begins version %d, and the readings stay with theirs.", info.Version, info.Next)
	}
	if d.AsItWas != "" {
		state = d.AsItWas + "."
	}
	return []sheet.Block{{Kind: sheet.Title, Text: "The pack", Bold: true}, {Kind: sheet.Para, Text: partsWords(d.Layout)}, {Kind: sheet.Soft, Text: state}}
}

func partsWords(l topology.Layout) string {
	groups := 0
	for _, m := range l.Modules {
		groups += m.Series
	}
	return fmt.Sprintf("%s of %s, %s, %s.", count(len(l.Modules), "module"), count(groups, "group"), count(len(l.Stacks), "stack"), count(len(l.Links), "link"))
}

// packThings is what can be done with the whole.
func (v *View) packThings() []fyne.CanvasObject {
	var things []fyne.CanvasObject
	if v.deps.Use != nil && v.draft.AsItWas == "" {
		things = append(things, v.row(v.chip("Let the case rest on this drawing …", "", true, func() { v.open(versionsPage) })))
	}
	return append(things, v.savingThings()...)
}

// actions are what can be done with chosen things of a kind besides their fields.
func (v *View) actions(k edit.Kind, sel edit.Selection) []fyne.CanvasObject {
	d := v.draft
	do := func(name, what string, f func(l layout) (layout, error)) *command.Chip {
		return v.chip(name, "", false, func() { v.do(result{name: what + " " + d.name(), do: f}) })
	}
	switch k {
	case edit.ModuleKind:
		rows := []fyne.CanvasObject{v.moveRow(), v.row(
			do("Turn end for end", "turn end for end", func(l layout) (layout, error) { return edit.Reverse(l, sel, false) }),
			do("Mirror left and right", "mirror", func(l layout) (layout, error) { return edit.Mirror(l, sel, edit.Across) }),
			do("Mirror top and bottom", "mirror", func(l layout) (layout, error) { return edit.Mirror(l, sel, edit.Down) }),
			v.chip("Into a stack of their own", "", false, func() { v.newStack(sel) }),
			v.chip("Copy", "Ctrl C", false, v.copy), v.chip("Paste", "Ctrl V", false, v.paste))}
		if len(sel) > 1 {
			rows = append(rows, v.alignRow(sel), v.renumberRow(sel))
		}
		return append(rows, v.stackChips(sel)...)
	case edit.StackKind, edit.UnderlayKind:
		return []fyne.CanvasObject{v.moveRow()}
	case edit.LinkKind:
		return nil
	}
	return nil
}

// moveRow moves and turns what is chosen by presses, so that no drag is needed.
func (v *View) moveRow() fyne.CanvasObject {
	d := v.draft
	by := func(name string, dx, dy float64) *command.Chip {
		return v.chip(name, "", false, func() { v.do(d.Nudge(dx*d.Step, dy*d.Step)) })
	}
	turn := func(name string, deg float64) *command.Chip {
		return v.chip(name, "", false, func() { v.do(d.Turn(deg)) })
	}
	step := v.chip(fmt.Sprintf("Step: %g mm", d.Step), "", false, func() { d.Step = nextStep(d.Step); v.again() })
	return v.row(by("Left", -1, 0), by("Right", 1, 0), by("Up", 0, -1), by("Down", 0, 1), step, turn("15° back", -15), turn("15° on", 15))
}

var stepSizes = []float64{1, 5, 10, 25, 50, 100}

func nextStep(now float64) float64 {
	for _, s := range stepSizes {
		if s > now {
			return s
		}
	}
	return stepSizes[0]
}

// alignRow aligns and distributes what is chosen.
func (v *View) alignRow(sel edit.Selection) fyne.CanvasObject {
	d := v.draft
	chip := func(name string, f func(l layout) (layout, error)) *command.Chip {
		return v.chip(name, "", false, func() { v.do(result{name: strings.ToLower(name[:1]) + name[1:] + " of " + d.name(), do: f}) })
	}
	align := func(name string, s edit.Side) *command.Chip {
		return chip(name, func(l layout) (layout, error) { return edit.Align(l, sel, s) })
	}
	return v.row(align("Left edges in line", edit.Left), align("Right edges in line", edit.Right), align("Top edges in line", edit.Top), align("Bottom edges in line", edit.Bottom),
		align("Middles in a column", edit.Middle), align("Middles in a row", edit.Waist),
		chip("Equal gaps across", func(l layout) (layout, error) { return edit.Distribute(l, sel, edit.Across) }),
		chip("Equal gaps down", func(l layout) (layout, error) { return edit.Distribute(l, sel, edit.Down) }),
		chip("Size of the first", func(l layout) (layout, error) { return edit.SameSize(l, sel) }))
}

// renumberRow gives what is chosen new bench numbers, in an order that its name says.
func (v *View) renumberRow(sel edit.Selection) fyne.CanvasObject {
	chip := func(name, order string) *command.Chip {
		return v.chip(name, "", false, func() { v.renumber(sel, order) })
	}
	return v.row(chip("Number along the string", edit.AlongString), chip("Number row by row", edit.RowByRow), chip("Number to and fro", edit.Serpentine))
}

// renumber numbers modules from the lowest number that they have now.
func (v *View) renumber(sel edit.Selection, order string) {
	d := v.draft
	stem, from := stemOf(sel)
	var names map[string]string
	if v.do(result{name: "number " + count(len(sel), "module"), do: func(l layout) (_ layout, err error) {
		l, names, err = edit.Renumber(l, sel, edit.Numbering{Stem: stem, From: from, Order: order})
		return l, err
	}}) {
		for i, id := range sel {
			if to := names[id]; to != "" {
				sel[i] = to
			}
		}
		d.Chosen = sel
		v.say(fmt.Sprintf("%s got other bench numbers. What was measured on an earlier version stays with its numbers.", count(len(names), "module")))
		v.again()
	}
}

// stemOf is what ids of modules begin with, and the lowest number that follows.
func stemOf(sel edit.Selection) (stem string, from int) {
	stem, from = "M", 0
	for i, id := range sel {
		s := strings.TrimRightFunc(id, unicode.IsDigit)
		if i == 0 && s != "" {
			stem = s
		}
		n := 0
		if _, err := fmt.Sscan(id[len(s):], &n); err == nil && (from == 0 || n < from) {
			from = n
		}
	}
	return stem, max(1, from)
}

// newStack puts modules into a stack of their own and chooses it.
func (v *View) newStack(sel edit.Selection) {
	id := ""
	if v.do(result{name: "a stack of " + count(len(sel), "module"), do: func(l layout) (_ layout, err error) {
		l, id, err = edit.NewStack(l, sel, true)
		return l, err
	}}) {
		v.draft.Choose(id, false)
		v.again()
	}
}

// stackChips lead from modules to the stack that they are in.
func (v *View) stackChips(sel edit.Selection) []fyne.CanvasObject {
	var stacks []string
	for _, m := range v.draft.Layout.Modules {
		if slices.Contains(sel, m.ID) && m.Stack != "" && !slices.Contains(stacks, m.Stack) {
			stacks = append(stacks, m.Stack)
		}
	}
	var chips []*command.Chip
	for _, s := range stacks {
		chips = append(chips, v.chip("Choose the stack "+s, "", false, func() { v.draft.Choose(s, false); v.again() }))
	}
	if len(chips) == 0 {
		return nil
	}
	return []fyne.CanvasObject{v.row(chips...)}
}

// nameField renames one thing, everywhere in the layout.
func (v *View) nameField(k edit.Kind, id string) []fyne.CanvasObject {
	name := "Name"
	if k == edit.ModuleKind {
		name = "Bench number"
	}
	return v.asked(name, id, func(text string) bool {
		text = strings.TrimSpace(text)
		if text == id {
			return true
		}
		if !v.edit(result{name: "rename " + id + " to " + text, do: func(l layout) (layout, error) { return edit.Rename(l, id, text) }}) {
			return false
		}
		v.draft.Choose(text, false)
		v.again()
		return true
	})
}

// edit is do for what a field says: what is wrong is shown beside the field.
func (v *View) edit(r result) bool {
	var err error
	switch {
	case v.draft.AsItWas != "":
		err = errors.New(v.draft.AsItWas)
	case v.busy:
		err = errors.New("wait: something is still being done")
	default:
		err = v.keep(r)
	}
	v.wrong = ""
	if err != nil {
		v.wrong = words.Sentence(err.Error())
		v.say("Not kept: " + v.wrong)
		return false
	}
	v.happened = "Kept: " + r.name + "."
	v.showAll()
	return true
}

// asked is a field, and below it what is wrong with what was typed into it. What is
// typed is kept when the field is left or Enter is pressed; done says whether it was.
func (v *View) asked(name, text string, done func(string) bool) []fyne.CanvasObject {
	e := v.entry(text)
	var wrong *easel.Board
	var said string
	wrong = easel.NewBoard(theme.Raised, 160, func(w float64) (*scene.List, float64) {
		if said == "" {
			return &scene.List{}, 0
		}
		l, high := sheet.Draw([]sheet.Block{{Kind: sheet.Caution, Text: said}}, w, easel.Measure)
		return l, high - 12
	})
	kept := text
	keep := func() {
		if e.Text == kept {
			return
		}
		if done(e.Text) {
			kept, said = e.Text, ""
			e.Held = kept
		} else {
			said = v.wrong
		}
		wrong.Refresh()
		v.sheet.Again()
	}
	e.OnLeave = keep
	e.OnSubmitted = func(string) { keep() }
	return []fyne.CanvasObject{form.NewLabelled(name, e), wrong}
}

// fieldsOf are the fields of things of a kind.
func (v *View) fieldsOf(k edit.Kind, sel edit.Selection) (things []fyne.CanvasObject) {
	for _, f := range edit.Fields(k) {
		things = append(things, v.fieldThing(f, sel)...)
	}
	return things
}

func (v *View) fieldThing(f edit.Field, sel edit.Selection) []fyne.CanvasObject {
	d := v.draft
	text, several := f.Value(d.Layout, sel)
	name := f.Name
	if f.Unit != "" {
		name += ", " + f.Unit
	}
	if several {
		name += ": several values"
	}
	set := func(text string) bool {
		return v.edit(result{name: strings.ToLower(f.Name[:1]) + f.Name[1:] + of(sel), do: func(l layout) (layout, error) { return f.Set(l, sel, text) }})
	}
	if len(f.Choices) > 0 {
		var chips []*command.Chip
		for _, c := range f.Choices {
			b := command.NewChip(&command.Command{Name: c, Do: func() { set(c); v.again() }, On: func() bool { return text == c && !several }}, v.set)
			chips = append(chips, b)
		}
		return []fyne.CanvasObject{form.NewLabelled(name, v.tight(chips))}
	}
	return v.asked(name, text, set)
}

func of(sel edit.Selection) string {
	switch len(sel) {
	case 0:
		return " of the pack"
	case 1:
		return " of " + sel[0]
	}
	return " of " + count(len(sel), "thing")
}

// tight is a row of choices below a name.
func (v *View) tight(chips []*command.Chip) fyne.CanvasObject {
	c := &fyne.Container{Layout: &choices{}}
	for _, b := range chips {
		c.Objects = append(c.Objects, b)
	}
	return c
}

// choices share the width equally, in as many rows as they need.
type choices struct{}

func (choices) split(objects []fyne.CanvasObject, width float32) (perRow int, high float32) {
	wide := float32(1)
	for _, o := range objects {
		m := o.MinSize()
		wide, high = fyne.Max(wide, m.Width), fyne.Max(high, m.Height)
	}
	perRow = max(1, min(len(objects), int((width+4)/(wide+4))))
	return perRow, high
}

// Layout places them.
func (c *choices) Layout(objects []fyne.CanvasObject, s fyne.Size) {
	n, high := c.split(objects, s.Width)
	w := (s.Width - 4*float32(n-1)) / float32(n)
	for i, o := range objects {
		form.Put(o, float32(i%n)*(w+4), float32(i/n)*(high+4), w, high)
	}
}

// MinSize is that of the rows at the width of a sheet.
func (c *choices) MinSize(objects []fyne.CanvasObject) fyne.Size {
	n, high := c.split(objects, sheetWide-32)
	rows := (len(objects) + n - 1) / max(1, n)
	return fyne.NewSize(120, float32(rows)*(high+4)-4)
}
