package ui

import (
	"strings"
	"unicode"

	"fyne.io/fyne/v2"

	"halfsplit/ui/sheet"
)

// A typedName is the name that is being typed for who is here.
type typedName struct {
	text string
	back page
}

// askWho opens the page on which a name is typed. Nobody needs one to enter a
// reading.
func (d *Desk) askWho() {
	d.toSheet()
	d.who = typedName{text: d.deps.Who, back: d.page}
	if d.page == whoPage || d.page == undoPage {
		d.who.back = findingPage
	}
	d.page = whoPage
	d.showSheet(true)
	d.showChips()
	d.say("Who is here?")
}

func (n typedName) blocks() []sheet.Block {
	return []sheet.Block{{Kind: sheet.Title, Text: "Who is here?", Bold: true},
		{Kind: sheet.Para, Text: "The name stands beside every reading and state that is recorded from now on. Without one they are recorded as not named."},
		{Kind: sheet.Input, Text: "Name", Value: n.text, On: true},
		{Kind: sheet.Pad, Keys: namePad}, {Kind: sheet.Soft, Text: "Enter keeps it, Esc leaves it as it was."}}
}

// namePad types a name by touch.
var namePad = [][]string{{"Q", "W", "E", "R", "T", "Y"}, {"U", "I", "O", "P", "A", "S"}, {"D", "F", "G", "H", "J", "K"}, {"L", "Z", "X", "C", "V", "B"}, {"N", "M", ".", "-", "Space", "Back"}}

func (d *Desk) setName(s string) {
	d.who.text = s
	d.showSheet(false)
}

// whoRune types; every character belongs to the name.
func (d *Desk) whoRune(r rune) bool {
	if unicode.IsPrint(r) && len(d.who.text) < 60 {
		d.setName(d.who.text + string(r))
	}
	return true
}

func (d *Desk) whoKey(k fyne.KeyName) bool {
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		d.keepWho()
	case fyne.KeyEscape:
		d.leaveWho("The name stays as it was.")
	case fyne.KeyBackspace:
		if r := []rune(d.who.text); len(r) > 0 {
			d.setName(string(r[:len(r)-1]))
		}
	case fyne.KeyDelete:
		d.setName("")
	}
	return true
}

// pickWho is a press on the page.
func (d *Desk) pickWho(id string) {
	key, ok := strings.CutPrefix(id, sheet.PadKey(""))
	switch {
	case !ok:
	case key == "Back":
		d.whoKey(fyne.KeyBackspace)
	case key == "Space":
		d.whoRune(' ')
	case d.who.text != "" && !strings.HasSuffix(d.who.text, " "):
		d.whoRune([]rune(strings.ToLower(key))[0])
	default:
		d.whoRune([]rune(key)[0])
	}
}

func (d *Desk) keepWho() {
	d.deps.Who = strings.TrimSpace(d.who.text)
	d.store.SetWho(d.deps.Who)
	if d.deps.SaveWho != nil {
		d.deps.SaveWho(d.deps.Who)
	}
	if d.deps.Who == "" {
		d.leaveWho("Nobody is named from now on.")
	} else {
		d.leaveWho("From now on: " + d.deps.Who + ".")
	}
}

func (d *Desk) leaveWho(said string) {
	d.page = d.who.back
	d.showSheet(true)
	d.showChips()
	d.say(said)
}
