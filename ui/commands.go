package ui

import (
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/plan"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

const panStep = 60.0 // pixels a key press

// commands fills the table of what can be done, and makes the buttons.
func (d *Desk) commands() {
	d.planChips, d.pageChips = &fyne.Container{Layout: &flow{}}, &fyne.Container{Layout: &flow{}}
	d.shadingCommands()
	d.moveCommands()
	d.walkCommands()
	d.pageCommands()
	d.recordCommands()
	d.windowCommands()
	d.paneCommands()
	d.seeCommands()
	d.moreCommand()
}

// button adds a command and its button to a row.
func (d *Desk) button(row *fyne.Container, c *command.Command) *command.Chip {
	b := command.NewChip(d.set.Add(c), d.set)
	d.chips = append(d.chips, b)
	row.Objects = append(row.Objects, b)
	return b
}

// shadingCommands are one key a mode, and one button that opens the sheet of
// all of them.
func (d *Desk) shadingCommands() {
	d.button(d.planChips, &command.Command{Name: "Shading", Help: "Choose what the modules are shaded by, and lock the scales", Keys: "H", Runes: "h",
		Do: d.openShading, On: func() bool { return d.page == shadingPage }, Label: func() string { return plan.ModeNames[d.look.Mode] }})
	for i, name := range plan.ModeNames {
		key := string(rune('1' + i))
		d.set.Add(&command.Command{Name: name, Help: "Shade by " + strings.ToLower(name[:1]) + name[1:], Keys: key, Runes: key, Do: func() { d.shade(plan.Mode(i)) }})
	}
}

// active is the drawing that has the focus, else the plan.
func (d *Desk) active() *easel.Pane {
	if d.deps.Canvas != nil && d.deps.Canvas().Focused() == fyne.Focusable(d.rulerPane) {
		return d.rulerPane
	}
	return d.planPane
}

func (d *Desk) moveCommands() {
	d.button(d.planChips, &command.Command{Name: "-", Help: "Zoom out", Keys: "-", Runes: "-", Do: func() { d.active().Zoom(1 / easel.ZoomStep) }})
	d.button(d.planChips, &command.Command{Name: "+", Help: "Zoom in", Keys: "+", Runes: "+=", Do: func() { d.active().Zoom(easel.ZoomStep) }})
	d.button(d.planChips, &command.Command{Name: "Whole", Help: "Show the whole of plan and ruler", Keys: "0", Runes: "0f", Do: func() {
		d.planPane.Fit()
		d.rulerPane.Fit()
		d.say("The whole pack is in view.")
	}})
	for _, m := range []struct {
		key    fyne.KeyName
		dx, dy float64
	}{{fyne.KeyLeft, panStep, 0}, {fyne.KeyRight, -panStep, 0}, {fyne.KeyUp, 0, panStep}, {fyne.KeyDown, 0, -panStep}} {
		help := ""
		if m.key == fyne.KeyLeft {
			help = "Move the drawing; dragging does the same"
		}
		d.set.Add(&command.Command{Name: "Move", Help: help, Keys: "Shift and arrows", Named: []fyne.KeyName{m.key}, Shift: true,
			Do: func() { d.moveOrTurn(m.dx, m.dy) }})
	}
}

func (d *Desk) walkCommands() {
	add := func(name, help, keys, runes string, named []fyne.KeyName, do func()) {
		d.set.Add(&command.Command{Name: name, Help: help, Keys: keys, Runes: runes, Named: named, Do: do})
	}
	add("Next module", "Next module in string order", "Tab, right, down", "", []fyne.KeyName{fyne.KeyRight, fyne.KeyDown}, func() { d.step(1) })
	add("Previous module", "Previous module", "Shift Tab, left, up", "", []fyne.KeyName{fyne.KeyLeft, fyne.KeyUp}, func() { d.step(-1) })
	add("First module", "First module of the string", "Home", "", []fyne.KeyName{fyne.KeyHome}, func() { d.choose(""); d.step(1) })
	add("Last module", "Last module", "End", "", []fyne.KeyName{fyne.KeyEnd}, func() { d.choose(""); d.step(-1) })
	add("Next link", "Next link", "L", "l", nil, d.nextLink)
}

func (d *Desk) pageCommands() {
	d.button(d.pageChips, &command.Command{Name: "Finding", Help: "Back to the finding, or select nothing, or cancel what is computed", Keys: "Esc",
		Named: []fyne.KeyName{fyne.KeyEscape}, Do: d.back, On: func() bool { return d.page == findingPage }})
	d.aboutChip = d.button(d.pageChips, &command.Command{Name: "Selected", Help: "What is known of the thing that is selected", Keys: "Space",
		Named: []fyne.KeyName{fyne.KeySpace}, Runes: "", Do: d.details, On: func() bool { return d.page == selectionPage }})
	d.button(d.planChips, &command.Command{Name: "Keys", Help: "This list of keys", Keys: "?", Runes: "?",
		Do: d.toggleKeys, On: func() bool { return d.page == keysPage }})
	d.foldCommands()
	d.set.Add(&command.Command{Name: "Cautions", Help: "Say the cautions of this page in full again", Keys: "!", Runes: "!", Do: d.openCautions})
	roll := func(by float32) func() {
		return func() {
			most := fyne.Max(0, d.paper.MinSize().Height-d.paperRoll.Size().Height)
			d.paperRoll.Offset.Y = fyne.Max(0, fyne.Min(most, d.paperRoll.Offset.Y+by*d.paperRoll.Size().Height))
			d.paperRoll.Refresh()
		}
	}
	d.set.Add(&command.Command{Name: "Roll down", Help: "Roll the sheet", Keys: "Page down, page up", Named: []fyne.KeyName{fyne.KeyPageDown}, Do: roll(0.85)})
	d.set.Add(&command.Command{Name: "Roll up", Named: []fyne.KeyName{fyne.KeyPageUp}, Do: roll(-0.85)})
}

// recordCommands are those that change the case. The primary one is at the foot
// of every sheet.
func (d *Desk) recordCommands() {
	c := d.set.Add(&command.Command{Name: "Enter a reading", Help: "The button at the foot of the sheet: take the proposed test, enter a reading at what is selected, or correct the reading that is", Keys: "Enter",
		Named: []fyne.KeyName{fyne.KeyReturn, fyne.KeyEnter}, Do: func() { _, _, do := d.primaryAction(); do() }, Label: func() string {
			label, _, _ := d.primaryAction()
			return label
		}})
	d.primary = command.NewChip(c, d.set)
	d.primary.Primary = true
	d.chips = append(d.chips, d.primary)
	d.proposalCommands()
	d.button(d.pageChips, &command.Command{Name: "State", Help: "Record a link as opened or closed, a board, a module, contactors, the monitor, what is connected, wet or dry, torqued, coolant, temperature", Keys: "S", Runes: "s",
		Do: d.openStates, On: func() bool { return d.page == statePage }})
	d.runChip = d.button(d.pageChips, &command.Command{Name: "Run", Help: "A run of readings on the number pad: what, in which order, from where; or go on with the one that was left", Keys: "*", Runes: "*",
		Do: d.openSeries, On: func() bool { return d.page == seriesPage || d.inRun() }})
	d.set.Add(&command.Command{Name: "Who is here", Help: "Who records from now on", Keys: "N", Runes: "n", Do: d.askWho})
	d.set.Add(&command.Command{Name: "Ask the meter", Help: "Ask the connected meter: its answer fills the field of the reading", Keys: "F11", Named: []fyne.KeyName{fyne.KeyF11}, Do: d.askMeter})
	d.set.Add(&command.Command{Name: "Instruments", Help: "Instruments and test resistors: add, put right, prove, connect", Keys: "I", Runes: "i", Do: d.openKit})
	d.set.Add(&command.Command{Name: "Note", Help: "Note what you see at what is selected: wet, chafed, a mark, a smell", Keys: "J", Runes: "j", Do: d.openNote})
	d.set.Add(&command.Command{Name: "Doubts", Help: "Answer the next doubt of the finding", Keys: "K", Runes: "k", Do: d.nextDoubt})
	d.set.Add(&command.Command{Name: "What if", Help: "Ask what would be found without a reading, with one or two leaks, or with another input resistance", Keys: "Q", Runes: "q", Do: d.openWhatIf})
	d.set.Add(&command.Command{Name: "Photos", Help: "The photos of this case; a new one belongs to what is selected", Keys: "O", Runes: "o", Do: d.openPhotos})
	if d.deps.Draw != nil {
		d.set.Add(&command.Command{Name: "Drawing table", Help: "Draw or change the pack of this case", Keys: "Shift F11", Named: []fyne.KeyName{fyne.KeyF11}, Shift: true, Do: d.openTable})
	}
	d.listCommand()
	d.compareCommand()
	d.paperCommand()
	d.adviceCommands()
	d.stageChip = d.button(d.pageChips, &command.Command{Name: "Stages", Help: "The stages of a repair", Keys: "G", Runes: "g", Do: d.listStages, On: func() bool { return d.page == stageListPage }})
	d.footChips = &fyne.Container{Layout: &flow{}}
	d.button(d.footChips, &command.Command{Name: "Undo", Help: "Undo the last record; it stays in the history", Keys: "Ctrl Z", Do: d.Undo,
		Label: func() string { return d.stepButton("Undo", d.store.Steps().Undo) }})
	d.button(d.footChips, &command.Command{Name: "Redo", Help: "Do again what was undone last", Keys: "Ctrl Y", Do: d.Redo,
		Label: func() string { return d.stepButton("Redo", d.store.Steps().Redo) }})
}

// stepButton is a step on its button; in a low window without its name, since what just
// happened stands beside it and needs the room more.
func (d *Desk) stepButton(verb, name string) string {
	if d.frame != nil && d.frame.folded() {
		return verb
	}
	return command.StepLabel(verb, name)
}

func (d *Desk) toggleKeys() {
	if d.page == keysPage {
		d.showFinding()
		return
	}
	d.page = keysPage
	d.showSheet(true)
	d.showChips()
}

func (d *Desk) windowCommands() {
	d.button(d.planChips, &command.Command{Name: "Compute", Help: "Compute the finding again, or cancel it while it is computed", Keys: "R", Runes: "r", Do: func() {
		if d.Computing() {
			d.Cancel()
		} else {
			d.Compute()
		}
	}, Label: func() string {
		if d.Computing() {
			return "Cancel"
		}
		return "Compute"
	}})
	if d.deps.Copy != nil {
		d.set.Add(&command.Command{Name: "Copy", Help: "Copy the sheet as text", Keys: "C", Runes: "c", Do: func() {
			d.deps.Copy(sheet.Text(d.blocks()))
			d.say("The sheet is copied as text.")
		}})
	}
	if d.deps.Restyle != nil {
		d.button(d.planChips, &command.Command{Name: "Colours", Help: "Light, dark, high contrast, or as the desktop says", Keys: "T", Runes: "t", Do: func() {
			d.variant = (d.variant + 1) % (theme.Contrast + 1)
			d.deps.Restyle(d.variant)
			d.say("Colours: " + variantWords[d.variant] + ".")
			d.showAll(false)
		}})
	}
	d.viewChip = d.button(d.planChips, &command.Command{Name: "View", Label: d.viewLabel, Help: "Plan, ruler or sheet, where the window is too narrow for all", Keys: "V", Runes: "v", Do: d.nextView})
	d.set.Add(&command.Command{Name: "Other drawing", Help: "From the plan to the ruler and back", Keys: "F6", Named: []fyne.KeyName{fyne.KeyF6}, Do: func() {
		if d.deps.Canvas == nil {
			return
		}
		if d.active() == d.rulerPane {
			d.deps.Canvas().Focus(d.planPane)
		} else {
			d.deps.Canvas().Focus(d.rulerPane)
		}
	}})
}

var variantWords = map[theme.Variant]string{theme.System: "as the desktop says", theme.Light: "light", theme.Dark: "dark", theme.Contrast: "high contrast"}

// keyHint are the keys that matter, the most needed first.
func (d *Desk) keyHint() []string {
	if d.Computing() && !d.takesTab() {
		return []string{"Esc cancels"}
	}
	switch d.page {
	case seriesPage:
		return []string{"Enter starts", "Esc leaves", "Up, down choose a line"}
	case runEndPage:
		return []string{"Enter goes there", "Esc goes back", "Up, down choose a line"}
	case entryPage:
		if d.inRun() {
			return []string{"Enter saves, goes on", "/ skips", "* suspect", "+ again", "F2 edits", "Esc leaves"}
		}
		if d.timer.Running() {
			return []string{"Enter saves", "F5 ends the timer", "Esc leaves"}
		}
		return []string{"Enter saves", "Esc leaves", "F8 helps", "F5 times it"}
	case kitPage:
		return []string{"Enter records it", "Esc leaves", "Up, down choose a field"}
	case reasonPage, notePage:
		return []string{"Enter records", "Esc leaves"}
	case whatIfPage:
		return []string{"Enter asks", "Esc leaves"}
	case isolatePage:
		return []string{"Enter records", "Up, down choose a line", "Esc leaves"}
	case provingPage:
		return []string{"Enter records", "Esc leaves"}
	case guidePage:
		return []string{"Enter goes on", "Esc leaves", "Up, down choose a line"}
	case statePage, whoPage, undoPage, doubtPage:
		return []string{"Esc leaves"}
	}
	if d.whatIf.stands() {
		return []string{"Esc ends what-if"}
	}
	return []string{"Tab next module"}
}
