package ui

import (
	"slices"
	"strings"
	"time"
	"unicode"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/makesafe"
	"halfsplit/ui/caution"
	"halfsplit/ui/entry"
	"halfsplit/ui/proving"
	"halfsplit/ui/sheet"
	"halfsplit/ui/stages"
)

// An isolating is the page of isolating and proving: the line that the keyboard is
// on, the entry in the making, and those that were left half done.
type isolating struct {
	on    string
	draft proving.Draft
	left  map[string]proving.Draft
}

// openIsolating opens the stage's page, on what is to be recorded next.
func (d *Desk) openIsolating() {
	d.toSheet()
	d.stage = stages.Isolate
	d.isolate.on = proving.Next(&d.deps.Case, "")
	if d.isolate.on == "" {
		d.isolate.on = fault.SafeAuthorised
	}
	d.page, d.offerIsolate = isolatePage, false
	d.showSheet(true) // from its top, where the caution stands
	d.showChips()
	d.say("Stage: " + stages.All[stages.Isolate].Name + ".")
}

func (d *Desk) showIsolating(said string) {
	d.page = isolatePage
	d.showSheet(true)
	d.showChips()
	d.rollTo(proving.ItemID+d.isolate.on, 0)
	d.say(said)
}

func (d *Desk) isolatingBlocks() []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: stages.All[stages.Isolate].Name, Bold: true}}
	b = append(b, d.cautions.memory.Blocks(d.pack, caution.MakeSafe, caution.ForMakeSafe(d.pack), d.moment())...)
	b = append(b, d.leftBlocks()...)
	b = append(b, proving.Page(d.pack, d.isolate.on, d.today())...)
	return append(b, d.stageActions()...)
}

func (d *Desk) provingBlocks() []sheet.Block {
	b := d.isolate.draft.Blocks(d.pack, d.deps.Who, d.clockTime())
	who := d.deps.Who
	if who == "" {
		who = "not named"
	}
	at := slices.IndexFunc(b, func(k sheet.Block) bool { return k.Kind == sheet.Pad })
	return slices.Insert(b, at, sheet.Block{Kind: sheet.Tiles, Tiles: []sheet.Tile{{ID: entry.WhoID, Name: "Recorded by", Value: who}}})
}

// clockTime is the time on the clock here, zero where there is none.
func (d *Desk) clockTime() time.Time {
	if d.deps.Now == nil {
		return time.Time{}
	}
	return d.deps.Now()
}

// today is the day, "" where there is no clock.
func (d *Desk) today() string {
	if d.deps.Now == nil {
		return ""
	}
	return d.deps.Now().Format(time.DateOnly)
}

// openItem begins an entry, or goes on with what was left.
func (d *Desk) openItem(item string) {
	d.toSheet()
	d.isolate.on = item
	if f := d.isolate.draft; f.Item != "" && f.Typed() { // its page was left by another key than Escape
		d.leave(f)
	}
	draft, kept := d.isolate.left[item]
	if !kept {
		draft = proving.Begin(d.pack, item)
	}
	d.isolate.draft = draft
	d.page = provingPage
	d.showSheet(true)
	d.showChips()
	if kept {
		d.say("It goes on with what was typed before.")
		return
	}
	d.say("Nothing is recorded yet.")
}

func (d *Desk) setProving(f proving.Draft) {
	d.isolate.draft = f
	d.keepIsolating()
	d.showSheet(false)
}

// isolatingKey is a key on the page of all entries.
func (d *Desk) isolatingKey(k fyne.KeyName) bool {
	items := append(proving.Items(), fault.SafeReason)
	if len(makesafe.Uncovered(&d.deps.Case, d.pack.Lacking(d.today()))) == 0 {
		items = items[:len(items)-1]
	}
	at := max(0, slices.Index(items, d.isolate.on))
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		d.openItem(d.isolate.on)
		return true
	case fyne.KeyDown, fyne.KeyTab:
		if k == fyne.KeyTab && d.set.Shift() {
			at += len(items) - 2
		}
		at++
	case fyne.KeyUp:
		at += len(items) - 1
	case fyne.KeyHome:
		at = 0
	case fyne.KeyEnd:
		at = len(items) - 1
	default:
		return false
	}
	d.isolate.on = items[at%len(items)]
	d.showSheet(false)
	d.showChips()
	d.rollTo(proving.ItemID+d.isolate.on, 0)
	return true
}

// provingRune types into the entry; every character belongs to it.
func (d *Desk) provingRune(r rune) bool {
	if unicode.IsPrint(r) {
		d.setProving(d.isolate.draft.Type(r))
	}
	return true
}

// provingKey is a key while an entry is made.
func (d *Desk) provingKey(k fyne.KeyName) bool {
	f := d.isolate.draft
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		d.keepItem()
	case fyne.KeyEscape:
		d.leaveItem()
	case fyne.KeyBackspace:
		d.setProving(f.Back())
	case fyne.KeyDelete:
		d.setProving(f.Clear())
	case fyne.KeyDown, fyne.KeyTab:
		by := 1
		if k == fyne.KeyTab && d.set.Shift() {
			by = -1
		}
		d.setProving(f.Move(by))
	case fyne.KeyUp:
		d.setProving(f.Move(-1))
	case fyne.KeyRight:
		d.setProving(f.Choose(&d.deps.Case, 1))
	case fyne.KeyLeft:
		d.setProving(f.Choose(&d.deps.Case, -1))
	case fyne.KeyPageDown, fyne.KeyPageUp:
		return false // the sheet rolls
	}
	return true
}

// pickProving is a press on one of the two pages; false for what is not theirs.
func (d *Desk) pickProving(id string) bool {
	if item, ok := proving.ItemOf(id); ok && (d.page == isolatePage || d.page == provingPage) {
		d.openItem(item)
		return true
	}
	if item, ok := strings.CutPrefix(id, leftID); ok && d.page == isolatePage {
		d.openItem(item)
		return true
	}
	if d.page != provingPage {
		return false
	}
	f := d.isolate.draft
	if i, ok := proving.FieldOf(id); ok {
		if f.At == i {
			f = f.Choose(&d.deps.Case, 1)
		}
		f.At = i
		d.setProving(f)
		return true
	}
	if id == entry.WhoID {
		d.askWho()
		return true
	}
	key, ok := strings.CutPrefix(id, sheet.PadKey(""))
	defer d.holdPad()()
	switch {
	case !ok:
	case key == "Back":
		d.setProving(f.Back())
	case key == "Next":
		d.setProving(f.Move(1))
	case key == "Space":
		d.setProving(f.Type(' '))
	case f.Fields[f.At].Text != "" && !f.Numeric():
		d.setProving(f.Type([]rune(strings.ToLower(key))[0]))
	default:
		d.setProving(f.Type([]rune(key)[0]))
	}
	return true
}

// keepItem records the entry, and goes on to the next reading of the same round or
// back to the page.
func (d *Desk) keepItem() {
	f := d.isolate.draft
	m, err := f.Entry(d.pack, d.clockTime())
	if err == nil && m.Item == fault.SafeReason {
		m.Lacked = makesafe.Texts(d.pack.Lacking(d.today()))
		err = makesafe.Reason(d.deps.Who, m.Text)
	}
	if err == nil {
		m, err = d.store.AddMakeSafe(m)
	}
	if err != nil {
		f.Failed = err.Error()
		d.setProving(f)
		d.say("Nothing was recorded.")
		return
	}
	delete(d.isolate.left, m.Item)
	d.isolate.draft = proving.Begin(d.pack, m.Item)
	d.keepIsolating()
	d.keepNow(proving.KeptName)
	said := "Recorded: " + m.Name() + ". Undo takes it back."
	d.deps.Case = d.store.Case()
	next := proving.Next(&d.deps.Case, m.Item)
	if next == "" {
		next = m.Item
	}
	if fault.SafeVolts(m.Item) && fault.SafeVolts(next) && next != m.Item {
		d.page = provingPage
		d.afterCommand()
		d.openItem(next)
		d.say(said)
		return
	}
	d.isolate.on = next
	d.page = isolatePage
	d.afterCommand()
	d.showIsolating(said)
}

// leave keeps an entry that was left half typed; false where nothing was.
func (d *Desk) leave(f proving.Draft) bool {
	f.Failed = ""
	if d.isolate.left == nil {
		d.isolate.left = map[string]proving.Draft{}
	}
	delete(d.isolate.left, f.Item)
	if f.Typed() {
		d.isolate.left[f.Item] = f
	}
	return f.Typed()
}

// leaveItem goes back to the page; what was typed is kept until the item is opened
// again.
func (d *Desk) leaveItem() {
	f := d.isolate.draft
	said := "Nothing was recorded."
	if d.leave(f) {
		said += " What was typed is kept."
	}
	d.showIsolating(said)
	d.keepIsolating()
	d.keepNow(proving.KeptName)
}
