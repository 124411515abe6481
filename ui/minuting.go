package ui

import (
	"strconv"
	"strings"
	"unicode"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// typedMinutes are a link's or board's minutes while they are typed over, in their
// own line of the page.
type typedMinutes struct {
	of     string // id of the link or board; "" = none is edited
	page   page   // that the line stands on
	text   string
	failed string
}

var minutesPad = [][]string{{"7", "8", "9", "Back"}, {"4", "5", "6", "."}, {"1", "2", "3", "0"}}

// mostMinutesText is how much is typed at most.
const mostMinutesText = 8

// label is what the button does with what is typed.
func (m typedMinutes) label(c *fault.Case) string {
	_, own := c.Minutes[m.of]
	switch {
	case strings.TrimSpace(m.text) != "":
		return "Keep these minutes for " + m.of
	case own:
		return "Take the layout's minutes again"
	}
	return "Leave the minutes as they are"
}

// withMinutes puts the field in the place of the line that is edited.
func (d *Desk) withMinutes(b []sheet.Block) []sheet.Block {
	m := d.minutes
	if m.of == "" {
		return b
	}
	var out []sheet.Block
	for _, k := range b {
		if k.ID != sheet.MinutesID+m.of {
			out = append(out, k)
			continue
		}
		out = append(out, sheet.Block{Kind: sheet.Row, Text: k.Text, Value: k.Value},
			sheet.Block{Kind: sheet.Input, ID: k.ID, Text: "This workshop's minutes", Value: m.text, Unit: "min", On: true})
		if m.failed != "" {
			out = append(out, sheet.Block{Kind: sheet.Doubt, Text: "Nothing was recorded: " + m.failed + "."})
		}
		out = append(out, sheet.Block{Kind: sheet.Soft, Text: "Enter keeps them as this workshop's figure. Empty, Enter takes the layout's again. Esc leaves them."}, sheet.Block{Kind: sheet.Pad, Keys: minutesPad})
	}
	return out
}

// editMinutes edits the minutes of what is selected, where its page is open, else of
// what the leading test begins with; again, of the next of these.
func (d *Desk) editMinutes() {
	if d.minutes.of == "" && d.takesTab() {
		d.say("Leave this page first: what is typed here belongs to it.")
		return
	}
	ids := d.timedHere()
	if len(ids) == 0 {
		d.say("Open the page of a link or board, or a next test that opens or unplugs one: its minutes stand there.")
		return
	}
	at := 0
	for i, id := range ids {
		if id == d.minutes.of {
			at = (i + 1) % len(ids)
		}
	}
	d.beginMinutes(ids[at])
}

// timedHere are the links and boards whose minutes stand on this page.
func (d *Desk) timedHere() (out []string) {
	if d.page != findingPage && d.page != selectionPage {
		d.showFinding()
	}
	for _, b := range d.blocks() {
		if id, ok := strings.CutPrefix(b.ID, sheet.MinutesID); ok {
			out = append(out, id)
		}
	}
	return out
}

func (d *Desk) beginMinutes(id string) {
	d.toSheet()
	d.minutes = typedMinutes{of: id, page: d.page}
	if v, own := d.deps.Case.Minutes[id]; own {
		d.minutes.text = strconv.FormatFloat(v, 'f', -1, 64)
	}
	d.showMinutes()
	d.say("Minutes of " + id + ": nothing is recorded yet.")
}

// showMinutes draws the page with the field in view.
func (d *Desk) showMinutes() {
	d.showSheet(false)
	d.showChips()
	if d.minutes.of == "" {
		return
	}
	const line = 34 // what it is about stands above the field
	d.rollTo(sheet.MinutesID+d.minutes.of, 60)
	if top, ok := foldTop(d.paper, sheet.MinutesID+d.minutes.of); ok && top-line < d.paperRoll.Offset.Y {
		d.paperRoll.Offset.Y = max(0, top-line)
		d.paperRoll.Refresh()
	}
}

func (d *Desk) setMinutes(text string) {
	d.minutes.text, d.minutes.failed = text, ""
	d.showMinutes()
}

// minutesRune types over them; what is no number is kept in the field and explained
// when it is to be kept.
func (d *Desk) minutesRune(r rune) bool {
	if unicode.IsPrint(r) && len([]rune(d.minutes.text)) < mostMinutesText {
		d.setMinutes(d.minutes.text + string(r))
	}
	return true
}

func (d *Desk) minutesKey(k fyne.KeyName) bool {
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		d.keepMinutes()
	case fyne.KeyEscape:
		d.endMinutes("Nothing was recorded.")
	case fyne.KeyBackspace:
		d.setMinutes(shorter(d.minutes.text))
	case fyne.KeyDelete:
		d.setMinutes("")
	case fyne.KeyF2:
		d.editMinutes()
	case fyne.KeyPageDown, fyne.KeyPageUp:
		return false // the sheet rolls
	case fyne.KeySpace, fyne.KeyUp, fyne.KeyDown, fyne.KeyLeft, fyne.KeyRight, fyne.KeyHome, fyne.KeyEnd, fyne.KeyTab:
	default:
		return false
	}
	return true
}

// pickMinutes is a press on a line with minutes, or on the pad below the field.
func (d *Desk) pickMinutes(id string) bool {
	if of, ok := strings.CutPrefix(id, sheet.MinutesID); ok {
		if of != d.minutes.of {
			d.beginMinutes(of)
		}
		return true
	}
	key, ok := strings.CutPrefix(id, sheet.PadKey(""))
	if !ok || d.minutes.of == "" {
		return false
	}
	if key == "Back" {
		d.setMinutes(shorter(d.minutes.text))
	} else {
		d.minutesRune([]rune(key)[0])
	}
	return true
}

func (d *Desk) endMinutes(said string) {
	d.minutes = typedMinutes{}
	d.showSheet(false)
	d.showChips()
	d.say(said)
}

// keepMinutes records what is typed; an empty field takes the workshop's own back.
func (d *Desk) keepMinutes() {
	m := d.minutes
	v, err := minutesOf(m.text)
	if err == "" {
		if bad := d.store.SetMinutes(m.of, v); bad != nil {
			err = bad.Error()
		}
	}
	if err != "" {
		d.minutes.failed = err
		d.showMinutes()
		d.say("Nothing was recorded.")
		return
	}
	d.minutes = typedMinutes{}
	d.afterCommand()
	d.showSheet(false)
	d.showChips()
	c := d.store.Case()
	d.sayRecorded("Minutes of " + m.of + ": " + sheet.MinutesWords(&c, m.of) + ". Undo takes it back.")
}

// minutesOf reads minutes; nil for an empty text, wrong is what is wrong with it.
func minutesOf(text string) (v *float64, wrong string) {
	text = strings.TrimSpace(text)
	if text == "" {
		return nil, ""
	}
	text = strings.TrimSpace(strings.TrimSuffix(text, "min"))
	f, err := fault.ParseNumber(text, false)
	if err != nil {
		why := ""
		if _, at, ok := strings.Cut(err.Error(), ": "); ok {
			why = words.Plain(at) + "; "
		}
		return nil, strconv.Quote(text) + " is no number of minutes: " + why + "type digits, such as 5 or 7.5"
	}
	if f < 0 || f > fault.MostMinutes {
		return nil, words.Plain("minutes go from 0 to " + strconv.FormatFloat(fault.MostMinutes, 'f', -1, 64))
	}
	return &f, ""
}
