package ui

import (
	"strings"
	"unicode"

	"fyne.io/fyne/v2"

	"halfsplit/ui/entry"
	"halfsplit/ui/kit"
	"halfsplit/ui/sheet"
)

// openKit opens the page on which an instrument or a test resistor is described.
func (d *Desk) openKit() {
	d.toSheet()
	k := kit.Voltmeter
	if d.page == entryPage {
		switch {
		case d.form.Kind == entry.Insulation:
			k = kit.Tester
		case d.form.Kind == entry.WithResistor:
			k = kit.Resistor
		}
	}
	if d.page != kitPage {
		d.kitBack = d.page
		if len(d.kit.Fields) > 0 { // the page was left by another key than Escape
			d.kits.Leave(d.kit)
		}
	}
	d.kit = d.kits.Begin(d.deps.Case, k)
	if left, of := d.kits.Left(k); of { // what was left of another is gone on with first
		d.kit = left
	}
	d.page, d.offerKit = kitPage, false
	d.showSheet(true)
	d.showChips()
	if d.kit.Typed() {
		d.say("It goes on with what was typed before.")
		return
	}
	d.say("Describe it as its manual does.")
}

// whyBelow is the room below a field for the reason why it was not taken.
const whyBelow = 110

func (d *Desk) setKit(k kit.Draft) {
	moved := k.At != d.kit.At || k.Of != d.kit.Of
	d.kit = k
	d.keepKit()
	d.showSheet(false)
	switch {
	case k.Failed != "":
		d.rollTo(kit.FieldID(k.At), whyBelow) // and why, below it
	case moved:
		d.rollTo(kit.FieldID(k.At), 0)
	}
}

func (d *Desk) kitRune(r rune) bool {
	if unicode.IsPrint(r) {
		d.setKit(d.kit.Type(r))
	}
	return true
}

func (d *Desk) kitKey(k fyne.KeyName) bool {
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		d.addKit()
	case fyne.KeyEscape:
		d.kits.Leave(d.kit)
		if d.kit.Typed() {
			d.leaveKit("Nothing was added. What was typed is kept until the page is opened again.")
		} else {
			d.leaveKit("Nothing was added.")
		}
	case fyne.KeyBackspace:
		d.setKit(d.kit.Back())
	case fyne.KeyDown, fyne.KeyTab:
		by := 1
		if k == fyne.KeyTab && d.set.Shift() {
			by = -1
		}
		d.setKit(d.kit.Move(by))
	case fyne.KeyUp:
		d.setKit(d.kit.Move(-1))
	case fyne.KeyF2:
		d.editKit(kit.After(d.deps.Case, d.kit.Of))
	case fyne.KeyRight:
		d.nextKit(1)
	case fyne.KeyLeft:
		d.nextKit(len(kit.Names) - 1)
	case fyne.KeyPageDown, fyne.KeyPageUp:
		return false
	}
	return true
}

// nextKit describes another kind of thing.
func (d *Desk) nextKit(by int) {
	d.kits.Leave(d.kit)
	d.setKit(d.kits.Begin(d.deps.Case, kit.Kind((int(d.kit.Kind)+by)%len(kit.Names))))
	d.showChips() // the button at the foot names the kind
}

// pickKit is a press on the page.
func (d *Desk) pickKit(id string) {
	if i, ok := kit.FieldOf(id); ok {
		k := d.kit
		k.At = i
		d.setKit(k)
		return
	}
	if of, ok := kit.EditOf(id); ok {
		d.editKit(of)
		return
	}
	key, ok := strings.CutPrefix(id, sheet.PadKey(""))
	switch {
	case id == meterWhoID:
		d.askMeterName()
	case id == kit.KindID:
		d.nextKit(1)
	case !ok:
	case key == "Back":
		d.setKit(d.kit.Back())
	case key == "Next":
		d.setKit(d.kit.Move(1))
	case key == "Space":
		d.kitRune(' ')
	default:
		for _, r := range key {
			d.kitRune(r)
		}
	}
}

// addKit records what is described.
func (d *Desk) addKit() {
	k := d.kit
	id, err := d.recordKit(&k)
	if err != nil {
		k.Failed = err.Error()
		d.setKit(k)
		d.say("Not added yet.")
		return
	}
	d.kits.Done(k)
	d.kit = d.kits.Begin(d.deps.Case, k.Kind)
	d.afterCommand()
	switch k.Kind {
	case kit.Proof:
		d.leaveKit("Recorded: " + id + ".")
		return
	case kit.Resistor:
		d.form.Resistor = id
	default:
		d.form.Instrument, d.form.Range = id, 0
	}
	if k.Of != "" {
		d.leaveKit(id + " is put right; how it was described before stays in the history.")
		return
	}
	d.leaveKit(id + " is added.")
}

func (d *Desk) leaveKit(said string) {
	d.page = d.kitBack
	d.keepKit()
	d.keepNow(kit.KeptName)
	d.showSheet(true)
	d.showChips()
	d.say(said)
}
