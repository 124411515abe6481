package ui

import (
	"strings"
	"unicode"

	"fyne.io/fyne/v2"

	"halfsplit/ui/sheet"
)

// A reason is a page on which a person says in their own words why something is
// recorded.
type reason struct {
	title, about string
	label        string // of the button that records it
	text, failed string
	back         page
	do           func(text string) (said string, err error)
}

// mostReason is the longest text that is typed at once, in characters.
const mostReason = 120

// askReason opens the page.
func (d *Desk) askReason(r reason) {
	d.toSheet()
	r.back = d.page
	d.reason = r
	d.page = reasonPage
	d.showSheet(true)
	d.showChips()
	d.say("Nothing is recorded yet.")
}

func (r reason) blocks() []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: r.title, Bold: true}, {Kind: sheet.Para, Text: r.about}}
	b = append(b, typedBlocks(r.text, "Why, in a few words")...)
	if r.failed != "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "Nothing was recorded: " + r.failed + "."})
	}
	return append(b, sheet.Block{Kind: sheet.Pad, Keys: namePad}, sheet.Block{Kind: sheet.Soft, Text: "Enter records it, Esc leaves everything as it is."})
}

// typedBlocks show a text in the making whole: the field has its end, and above it
// stands what does not fit there.
func typedBlocks(text, hint string) []sheet.Block {
	const fits = 22
	if r := []rune(text); len(r) > fits {
		return []sheet.Block{{Kind: sheet.Para, Text: text}, {Kind: sheet.Input, Text: hint, Value: "…" + string(r[len(r)-fits:]), On: true}}
	}
	return []sheet.Block{{Kind: sheet.Input, Text: hint, Value: text, On: true}}
}

func (d *Desk) setReason(text string) {
	d.reason.text, d.reason.failed = text, ""
	d.showSheet(false)
}

func (d *Desk) reasonKey(k fyne.KeyName) bool {
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		d.keepReason()
	case fyne.KeyEscape:
		d.page = d.reason.back
		d.showSheet(true)
		d.showChips()
		d.say("Nothing was recorded.")
	case fyne.KeyBackspace:
		d.setReason(shorter(d.reason.text))
	case fyne.KeyDelete:
		d.setReason("")
	case fyne.KeyPageDown, fyne.KeyPageUp:
		return false // the sheet rolls
	}
	return true
}

// pickReason is a press on the page.
func (d *Desk) pickReason(id string) {
	if key, ok := strings.CutPrefix(id, sheet.PadKey("")); ok {
		d.setReason(padInto(d.reason.text, key))
	}
}

// keepReason records what the page is about.
func (d *Desk) keepReason() {
	r := d.reason
	said, err := r.do(strings.TrimSpace(r.text))
	if err != nil {
		d.reason.failed = err.Error()
		d.showSheet(false)
		d.say("Nothing was recorded.")
		return
	}
	d.page = findingPage
	if r.back == selectionPage {
		d.page = selectionPage
	}
	d.afterCommand()
	d.showSheet(true)
	d.showChips()
	d.sayRecorded(said)
}

// typeInto adds a character to a text of at most so many.
func typeInto(text string, r rune, most int) string {
	if unicode.IsPrint(r) && len([]rune(text)) < most {
		return text + string(r)
	}
	return text
}

// shorter is a text without its last character.
func shorter(text string) string {
	if r := []rune(text); len(r) > 0 {
		return string(r[:len(r)-1])
	}
	return text
}

// padInto is a text after a press on the pad of letters: the first letter of a
// text is large, the others are small.
func padInto(text, key string) string {
	switch key {
	case "Back":
		return shorter(text)
	case "Space":
		return typeInto(text, ' ', mostReason)
	}
	if text != "" {
		key = strings.ToLower(key)
	}
	return typeInto(text, []rune(key)[0], mostReason)
}
