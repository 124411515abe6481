package ui

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/ui/sheet"
	"halfsplit/ui/states"
)

// A typedState is what is typed for a change of state that has words or a number of
// its own.
type typedState struct {
	kind   states.Kind
	text   string
	failed string
	on     bool
}

// typedStates are the lines that lead to it, below the listed changes.
var typedStates = []struct {
	kind       states.Kind
	text, hint string
	unit       string
	pad        [][]string
}{
	{states.Connect, "Something else as connected …", "what is joined to pack or tray", "", namePad},
	{states.Celsius, "The temperature of the pack …", "such as 23", "°C", numberPad},
	{states.Humidity, "The humidity of the air …", "such as 55", "%", numberPad},
}

var numberPad = [][]string{{"7", "8", "9", "Back"}, {"4", "5", "6", "-"}, {"1", "2", "3", "."}, {"0"}}

const typeID = offerID + "type"

// typeState opens the field of one of them.
func (d *Desk) typeState(i int) {
	d.change.typed = typedState{kind: typedStates[i].kind, on: true}
	d.change.line = i
	d.showSheet(true)
	d.showChips()
	d.say("Nothing is recorded yet.")
}

func (r *recording) typedBlocks() []sheet.Block {
	t := typedStates[r.line]
	b := []sheet.Block{{Kind: sheet.Title, Text: "Record: " + t.text, Bold: true}, {Kind: sheet.Input, Text: t.hint, Value: r.typed.text, Unit: t.unit, On: true}}
	if r.typed.failed != "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "Nothing was recorded: " + r.typed.failed + "."})
	}
	return append(b, sheet.Block{Kind: sheet.Pad, Keys: t.pad}, sheet.Block{Kind: sheet.Soft, Text: "Enter shows what this would record, Esc goes back."})
}

func (d *Desk) setTypedState(text string) {
	d.change.typed.text, d.change.typed.failed = text, ""
	d.showSheet(false)
}

func (d *Desk) typedStateKey(k fyne.KeyName) bool {
	t := &d.change.typed
	switch k {
	case fyne.KeyEscape:
		t.on = false
		d.showSheet(true)
		d.showChips()
		d.say("Nothing was recorded.")
	case fyne.KeyReturn, fyne.KeyEnter:
		d.askTypedState()
	case fyne.KeyBackspace:
		d.setTypedState(shorter(t.text))
	case fyne.KeyDelete:
		d.setTypedState("")
	case fyne.KeyPageDown, fyne.KeyPageUp:
		return false
	}
	return true
}

// askTypedState is the first step of a change that was typed.
func (d *Desk) askTypedState() {
	c, err := states.Typed(d.change.typed.kind, d.change.typed.text)
	if err != nil {
		d.change.typed.failed = err.Error()
		d.showSheet(false)
		d.say("Nothing was recorded.")
		return
	}
	d.change.typed.on = false
	d.change.offers = append(d.change.offers[:d.change.listed:d.change.listed], c)
	d.ask(d.change.listed)
}

// pickTypedState is a press on the page; false for what is not its own.
func (d *Desk) pickTypedState(id string) bool {
	i := 0
	if n, err := fmt.Sscanf(id, typeID+"%d", &i); n == 1 && err == nil && i >= 0 && i < len(typedStates) {
		d.typeState(i)
		return true
	}
	key, ok := strings.CutPrefix(id, sheet.PadKey(""))
	if !ok || !d.change.typed.on {
		return false
	}
	d.setTypedState(padInto(d.change.typed.text, key))
	return true
}
