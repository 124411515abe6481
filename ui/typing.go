package ui

import (
	"strconv"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/kit"
	"halfsplit/ui/sheet"
	"halfsplit/ui/states"
)

// typed gives a character to the page that is typed into, before the commands
// have it.
func (d *Desk) typed(r rune) bool {
	if d.minutes.of != "" {
		return d.minutesRune(r)
	}
	if r == '!' && d.page == entryPage {
		return false // the cautions
	}
	switch d.page {
	case entryPage:
		return d.entryRune(r)
	case whoPage:
		return d.whoRune(r)
	case kitPage:
		return d.kitRune(r)
	case reasonPage:
		d.setReason(typeInto(d.reason.text, r, mostReason))
		return true
	case notePage:
		d.setNote(typeInto(d.noting.why, r, mostReason))
		return true
	case whatIfPage:
		return d.whatIfRune(r)
	case guidePage:
		return d.guideRune(r)
	case provingPage:
		return d.provingRune(r)
	case statePage:
		if d.change.typed.on {
			d.setTypedState(typeInto(d.change.typed.text, r, mostReason))
			return true
		}
		if r == '1' && d.change.asked && d.change.then == nil && len(d.resting()) > 0 {
			d.recordMistaken()
			return true
		}
	case doubtPage:
		return d.doubtRune(r)
	case seriesPage:
		return d.seriesRune(r)
	case runEndPage:
		return d.endRune(r)
	case undoPage:
		if r == '1' || r == '2' {
			d.answerUndo(map[rune]string{'1': mistakeID, '2': byHandID}[r])
			return true
		}
	}
	return false
}

// typedKey does the same for keys without a character.
func (d *Desk) typedKey(k *fyne.KeyEvent) bool {
	if k.Name == fyne.KeyEscape && d.cancelMeter() {
		return true
	}
	if d.minutes.of != "" {
		return d.minutesKey(k.Name)
	}
	switch d.page {
	case entryPage:
		return d.entryKey(k.Name)
	case statePage:
		return d.stateKey(k.Name)
	case undoPage:
		return d.undoKey(k.Name)
	case whoPage:
		return d.whoKey(k.Name)
	case kitPage:
		return d.kitKey(k.Name)
	case reasonPage:
		return d.reasonKey(k.Name)
	case notePage:
		return d.noteKey(k.Name)
	case whatIfPage:
		return d.whatIfKey(k.Name)
	case guidePage:
		return d.guideKey(k.Name)
	case seriesPage:
		return d.seriesKey(k.Name)
	case runEndPage:
		return d.endKey(k.Name)
	case isolatePage:
		return d.isolatingKey(k.Name)
	case provingPage:
		return d.provingKey(k.Name)
	case stageListPage:
		switch k.Name {
		case fyne.KeyDown, fyne.KeyUp:
			d.stepStage(map[fyne.KeyName]int{fyne.KeyDown: 1, fyne.KeyUp: -1}[k.Name])
			return true
		}
	}
	return false
}

// TypedRune is a character that nothing on the window had the focus for.
func (d *Desk) TypedRune(r rune) { d.set.Rune(r) }

// TypedKey is the same for a key without a character.
func (d *Desk) TypedKey(k *fyne.KeyEvent) { d.paneKey(k) }

// takesTab says that the page uses Tab itself.
func (d *Desk) takesTab() bool {
	switch d.page {
	case entryPage, statePage, whoPage, kitPage, reasonPage, notePage, whatIfPage, guidePage, isolatePage, provingPage, seriesPage, runEndPage:
		return true
	}
	return false
}

// selectionBlocks are what is known of the selection, and what can be done
// with it.
func (d *Desk) selectionBlocks() []sheet.Block {
	b := sheet.Selection(d.seen(), d.selected)
	own, _ := states.Offers(d.pack, d.selected)
	var do []sheet.Block
	for i, c := range own {
		do = append(do, sheet.Block{Kind: sheet.Action, ID: offerID + strconv.Itoa(i), Text: c.Verb() + " …"})
	}
	if _, ok := d.noteable(); ok {
		do = append(do, sheet.Block{Kind: sheet.Action, ID: noteHereID, Text: "Note what you see here …", Value: "Wet, chafed, a mark, a smell: key J."})
	}
	if len(b) > 0 {
		do = append(do, seriesAction(), overTimeAction(), photosAction())
	}
	if len(do) > 0 && len(b) > 0 {
		b = append(b[:1:1], append(do, b[1:]...)...)
	}
	return d.whatIf.mark(b)
}

// primaryAction is what the button at the foot of the sheet does on this page:
// it is at the same place on every sheet.
func (d *Desk) primaryAction() (label, key string, do func()) {
	if d.minutes.of != "" {
		return d.minutes.label(&d.deps.Case), "Enter", d.keepMinutes
	}
	switch d.page {
	case seriesPage:
		return d.seriesPrimary()
	case runEndPage:
		return d.endPrimary()
	case entryPage:
		if d.inRun() {
			return "Save and go on", "Enter", d.saveReading
		}
		return "Save this reading", "Enter", d.saveReading
	case statePage:
		if d.change.asked {
			return d.change.offers[d.change.at].Verb(), "Enter", d.recordState
		}
		return "Show what this would record", "Enter", func() { d.stateKey(fyne.KeyReturn) }
	case whoPage:
		return "Keep this name", "Enter", d.keepWho
	case kitPage:
		if d.kit.Of != "" {
			return "Put " + d.kit.Of + " right", "Enter", d.addKit
		}
		return "Add this " + strings.ToLower(kit.Names[d.kit.Kind]), "Enter", d.addKit
	case stageListPage:
		return "Open this stage", "Enter", func() { d.openStage(d.stage) }
	case doubtPage:
		if r := sheet.Remedies(d.pack, d.doubting.of); len(r) > 0 {
			return r[0].Text, "Enter", func() { d.answerDoubt(r[0].ID) }
		}
		return "Back to the finding", "Esc", d.showFinding
	case reasonPage:
		return d.reason.label, "Enter", d.keepReason
	case notePage:
		return "Record this note", "Enter", d.keepNote
	case whatIfPage:
		return "Show what would be found", "Enter", d.askWhatIf
	case guidePage:
		label, a := d.advising.guide.Primary(d.world())
		return label, "Enter", func() { d.act(a) }
	case isolatePage:
		return "Record: " + fault.SafeName(d.isolate.on), "Enter", func() { d.openItem(d.isolate.on) }
	case provingPage:
		return "Record " + fault.SafeName(d.isolate.draft.Item), "Enter", d.keepItem
	case findingPage:
		if label, do, ok := d.proposedAction(); ok {
			return label, "Enter", do
		}
	case stagePage:
		if d.drawn() {
			return "What can be reached on this pack", "Enter", d.openReaching
		}
	case undoPage:
		return "Leave everything as it is", "Esc", func() { d.undoKey(fyne.KeyEscape) }
	}
	if _, ok := d.selectedReading(); ok {
		return "Correct this reading", "Enter", d.enter
	}
	return "Enter a reading", "Enter", d.enter
}
