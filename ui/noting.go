package ui

import (
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/entry"
	"halfsplit/ui/sheet"
)

const (
	noteHereID = "note:here"
	noteWhatID = "note:what:"
)

// A noting is something noted in the making: what was seen at a place, and the
// person's own words for it.
type noting struct {
	place       string
	what        int // of fault.NotedWords
	why, failed string
	back        page
}

// noteable is the place that is selected, where something can be noted: a module, a
// link, a board or a tap.
func (d *Desk) noteable() (place string, ok bool) {
	kind, name, _ := strings.Cut(d.selected, ":")
	switch kind {
	case "module":
		_, ok = d.pack.Net.Module(name)
	case "link":
		_, ok = d.pack.Net.Link(name)
	case "board":
		for _, b := range d.pack.Net.Layout.Boards {
			ok = ok || b.ID == name
		}
	case "node":
		if n, known := d.pack.Net.Node(name); known {
			_, _, ok = d.pack.Net.ModuleAt(n)
		}
	}
	return name, ok
}

// openNote opens the page for what is selected. What was typed for the same place
// and left comes back.
func (d *Desk) openNote() {
	place, ok := d.noteable()
	if !ok {
		d.say("Select a module, a link or a terminal first: a note belongs to a place.")
		return
	}
	d.toSheet()
	if d.noting.place != place {
		d.noting = noting{place: place}
	}
	d.noting.back, d.noting.failed = d.page, ""
	d.page = notePage
	d.showSheet(true)
	d.showChips()
	d.say("Nothing is recorded yet.")
}

func (n noting) blocks(who string) []sheet.Block {
	if who == "" {
		who = "not named"
	}
	b := []sheet.Block{{Kind: sheet.Title, Text: "Note what you see at " + n.place, Bold: true},
		{Kind: sheet.Para, Text: "What eyes and nose say raises the odds of this place a little; it is no measured value."}}
	var tiles []sheet.Tile
	for i, w := range fault.NotedWords {
		name := sheet.Weight(w)
		if i == n.what {
			name = "chosen, " + name
		}
		tiles = append(tiles, sheet.Tile{ID: noteWhatID + w, Name: name, Value: sheet.NotedName(w), On: i == n.what})
	}
	tiles = append(tiles, sheet.Tile{ID: entry.WhoID, Name: "Noted by", Value: who})
	b = append(b, sheet.Block{Kind: sheet.Tiles, Tiles: tiles})
	b = append(b, typedBlocks(n.why, "In your own words")...)
	if n.failed != "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "Nothing was recorded: " + n.failed + "."})
	}
	return append(b, sheet.Block{Kind: sheet.Pad, Keys: namePad}, sheet.Block{Kind: sheet.Soft, Text: "Up and down choose what it is; what is typed goes into the words. Enter records it, Esc leaves. Undo takes it back."})
}

func (d *Desk) setNote(why string) {
	d.noting.why, d.noting.failed = why, ""
	d.showSheet(false)
}

func (d *Desk) noteKey(k fyne.KeyName) bool {
	most := len(fault.NotedWords)
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		d.keepNote()
	case fyne.KeyEscape:
		d.leaveNote("Nothing was noted. What was typed is kept until another place is noted.")
	case fyne.KeyBackspace:
		d.setNote(shorter(d.noting.why))
	case fyne.KeyDelete:
		d.setNote("")
	case fyne.KeyDown, fyne.KeyRight, fyne.KeyUp, fyne.KeyLeft, fyne.KeyTab:
		by := 1
		if k == fyne.KeyUp || k == fyne.KeyLeft || k == fyne.KeyTab && d.set.Shift() {
			by = most - 1
		}
		d.noting.what = (d.noting.what + by) % most
		d.showSheet(false)
	case fyne.KeyPageDown, fyne.KeyPageUp:
		return false // the sheet rolls
	}
	return true
}

// pickNote is a press on the page.
func (d *Desk) pickNote(id string) {
	if id == entry.WhoID {
		d.askWho()
		return
	}
	if key, ok := strings.CutPrefix(id, sheet.PadKey("")); ok {
		d.setNote(padInto(d.noting.why, key))
		return
	}
	for i, w := range fault.NotedWords {
		if id == noteWhatID+w {
			d.noting.what = i
			d.showSheet(false)
		}
	}
}

// keepNote records it.
func (d *Desk) keepNote() {
	n := d.noting
	got, err := d.store.AddNoted(fault.Noted{At: d.now(), Place: n.place, What: fault.NotedWords[n.what], Why: strings.TrimSpace(n.why)})
	if err != nil {
		d.noting.failed = err.Error()
		d.showSheet(false)
		d.say("Nothing was recorded.")
		return
	}
	d.noting = noting{back: selectionPage} // where it is listed
	d.afterCommand()
	said := "Noted at " + got.Place + ": " + strings.ToLower(sheet.NotedName(got.What)) + ". Undo takes it back."
	d.leaveNote(said)
	d.sayRecorded(said)
}

func (d *Desk) leaveNote(said string) {
	d.page = selectionPage
	if d.noting.back == findingPage {
		d.page = findingPage
	}
	d.showSheet(true)
	d.showChips()
	d.say(said)
}

// withdrawNoted asks why something that was noted is withdrawn.
func (d *Desk) withdrawNoted(id string) {
	for _, n := range d.deps.Case.Noted {
		if n.ID != id {
			continue
		}
		d.askReason(reason{title: "Withdraw " + id + ": " + strings.ToLower(sheet.NotedName(n.What)) + " at " + n.Place, label: "Withdraw it",
			about: "Say why it no longer counts. It stays in the history.",
			do: func(why string) (string, error) {
				return "Withdrawn: " + id + ". Undo takes it back.", d.store.WithdrawNoted(id, why)
			}})
		return
	}
}
