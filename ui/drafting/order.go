package drafting

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology/edit"
	"halfsplit/topology/path"
	"halfsplit/ui/command"
	"halfsplit/ui/form"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// An ordering is the page of the order from measured volts.
type ordering struct {
	asked   string // the terminal that is asked for; "" = the first
	field   *form.Entry
	shown   string // what the field held when the terminal was asked for
	setup   bool   // reference and meter are shown
	listed  bool   // all values are shown
	taking  bool   // the next press in the drawing takes the reference
	taken   taken
	found   path.Proposal
	accepts []*command.Chip
}

// terminals are those that are asked for, in reading order.
func (v *View) terminals() (out []string) {
	ref := v.order.taken.against(v.draft.Layout)
	for _, s := range v.draft.spots() {
		if s.node != ref {
			out = append(out, s.node)
		}
	}
	return out
}

// reckon reads what the layout keeps and asks what it says of the order.
func (v *View) reckon() {
	o, l := &v.order, v.draft.Layout
	o.taken = takenOf(l)
	o.found = path.Proposal{}
	if len(l.Modules) > 0 && len(o.taken.Values) > 0 {
		o.found = path.Propose(l, o.taken.measured(l))
	}
	if all := v.terminals(); !slices.Contains(all, o.asked) {
		o.asked = ""
		if len(all) > 0 {
			o.asked = all[0]
		}
		v.fill()
	}
}

// ordered is what the drawing shows of it.
func (v *View) ordered() ordered {
	o := &v.order
	return ordered{asked: o.asked, reference: o.taken.against(v.draft.Layout), values: o.taken.Values, proposed: o.found.Links}
}

// fill shows the value of the terminal that is asked for.
func (v *View) fill() {
	o := &v.order
	o.shown = o.taken.Values[o.asked]
	if o.field != nil {
		o.field.Held = o.shown
		o.field.SetText(o.shown)
	}
}

// orderThings are the page: the terminal in hand, what the volts say, the values, and
// what they are measured with.
func (v *View) orderThings() []fyne.CanvasObject {
	v.reckon()
	o, d := &v.order, v.draft
	title := sheet.Block{Kind: sheet.Title, Text: "Order from measured volts", Bold: true}
	if len(d.Layout.Modules) == 0 {
		return []fyne.CanvasObject{v.words([]sheet.Block{title, {Kind: sheet.Para, Text: "Put modules down first; then the volts of their terminals say how they are joined."}})}
	}
	things := append([]fyne.CanvasObject{v.words([]sheet.Block{title, {Kind: sheet.Soft, Text: v.orderState()}})}, v.askThings()...)
	things = append(things, v.foundThings()...)
	things = append(things, v.row(v.shown("Hide the values", "Show all values", &o.listed)))
	if o.listed {
		things = append(things, v.orderWords(v.valueBlocks()))
	}
	things = append(things, v.row(v.shown("Reference and meter: hide", "Reference and meter …", &o.setup)))
	if o.setup {
		things = append(things, v.setupThings()...)
	}
	return things
}

// orderState says against what is measured, with what, and how much is done.
func (v *View) orderState() string {
	o := &v.order
	all := v.terminals()
	n := 0
	for _, t := range all {
		if o.taken.Values[t] != "" {
			n++
		}
	}
	text := fmt.Sprintf("Red on the terminal, black on %s. Meter: %s. %d of %s measured.", o.taken.against(v.draft.Layout), o.taken.Meter.words(), n, count(len(all), "terminal"))
	if said := o.taken.takenWords(); said != "" {
		text += " " + said
	}
	if info := v.deps.Store.Info(); !info.Draft {
		text += fmt.Sprintf(" Readings rest on version %d: the first value here begins version %d.", info.Version, info.Next)
	}
	return text
}

// askThings are the field in hand and the ways to the terminals beside it.
func (v *View) askThings() []fyne.CanvasObject {
	o := &v.order
	all := v.terminals()
	if len(all) == 0 {
		return nil
	}
	if o.field == nil {
		o.field = v.entry(o.shown)
		o.field.PlaceHolder = "volts; empty = not measured"
		o.field.OnLeave = func() { v.keepAsked() }
		o.field.OnSubmitted = func(string) { v.nextAsked(1) }
	}
	things := []fyne.CanvasObject{form.NewLabelled(fmt.Sprintf("Volts of %s against %s; Enter: the next terminal", o.asked, o.taken.against(v.draft.Layout)), o.field)}
	at := slices.Index(all, o.asked)
	var row []*command.Chip
	if at > 0 {
		row = append(row, v.chip("Back to "+all[at-1], "", false, func() { v.nextAsked(-1) }))
	}
	if at+1 < len(all) {
		row = append(row, v.chip("On to "+all[at+1], "", false, func() { v.nextAsked(1) }))
	}
	return append(things, v.row(append(row, v.chip("Paste a list", "", false, v.pasteVolts))...))
}

// keepAsked keeps what was typed for the terminal in hand; false = it is no value. The
// sheet is not filled anew: the keyboard or a finger may be on its way to a button.
func (v *View) keepAsked() bool {
	o := &v.order
	if o.field == nil || o.asked == "" {
		return true
	}
	raw := strings.TrimSpace(o.field.Text)
	if raw == o.shown {
		return true
	}
	if raw != "" {
		if _, _, err := voltsOf(raw); err != nil {
			v.say("Not kept for " + o.asked + ": " + words.Sentence(err.Error()))
			return false
		}
	}
	asked := o.asked
	if !v.edit(v.valued(asked, raw)) {
		return false
	}
	v.reckon()
	o.shown, o.field.Held = raw, raw
	v.say(v.echo(asked, raw))
	return true
}

// echo says how a value was understood.
func (v *View) echo(terminal, raw string) string {
	if raw == "" {
		return "Kept: " + terminal + " is not measured."
	}
	volts, _, _ := voltsOf(raw) // it was read when it was kept
	return fmt.Sprintf("Kept: %s is %s V above %s.", terminal, words.Digits(volts, 7), v.order.taken.against(v.draft.Layout))
}

// nextAsked keeps the value in hand and asks for another terminal.
func (v *View) nextAsked(by int) {
	all := v.terminals()
	if at := slices.Index(all, v.order.asked) + by; len(all) > 0 {
		if at >= len(all) && v.keepAsked() {
			v.again()
			v.say("That was the last terminal. Below stands what the volts say.")
			return
		}
		v.ask(all[max(0, min(at, len(all)-1))])
	}
}

// ask takes a terminal in hand, with the keyboard in its field. What was typed for the
// one before is kept first; what is no value stays in hand.
func (v *View) ask(terminal string) {
	o := &v.order
	if terminal == o.taken.against(v.draft.Layout) {
		v.say(terminal + " is the reference: 0 V by itself.")
		return
	}
	if !v.keepAsked() {
		return
	}
	o.asked = terminal
	v.fill()
	v.again()
	v.reveal(v.ownerOf(terminal))
	if o.field != nil && v.sheet.Roll.Visible() {
		v.focus(o.field)
		o.field.SelectAll()
	}
}

// pressOrder is a press on the drawing while the order is asked for; false = it is
// nothing of it.
func (v *View) pressOrder(id, node string, at mgl64.Vec2) bool {
	o, d := &v.order, v.draft
	if node == "" && d.Kind(id) == edit.ModuleKind {
		node = d.nearest(id, at)
	}
	if _, ok := d.spotOf(node); !ok {
		return false
	}
	if o.taking {
		o.taking = false
		v.setReference(node)
		return true
	}
	v.ask(node)
	return true
}

// setReference says against what is measured. Values that were typed stay as typed.
func (v *View) setReference(to string) bool {
	o := &v.order
	to = oneSign.Replace(strings.TrimSpace(to))
	if len(to) > 1 {
		if t := terminalOf(v.draft.Layout, to[:len(to)-1], to[len(to)-1:]); t != "" && strings.ContainsAny(to[len(to)-1:], "+-") {
			to = t
		}
	}
	if to == "" || len(to) > 60 {
		v.wrong = "A reference is a terminal, such as M01-, or a word such as B-."
		v.say("Not kept: " + v.wrong)
		return false
	}
	if raw := o.taken.Values[to]; raw != "" {
		v.wrong = fmt.Sprintf("%s has a value, %s, against %s: empty it first, or keep the reference.", to, shownVolts(raw), o.taken.against(v.draft.Layout))
		v.say("Not kept: " + v.wrong)
		return false
	}
	n := len(o.taken.Values)
	if !v.do(result{name: "reference " + to, do: changed(func(t *taken) { t.Reference = to })}) {
		return false
	}
	if n > 0 {
		v.say(fmt.Sprintf("Reference: %s. The %s typed before stand as they are, and count as against %s now.", to, count(n, "value"), to))
	}
	return true
}

// setupThings are the reference and the meter.
func (v *View) setupThings() []fyne.CanvasObject {
	o := &v.order
	things := v.asked("Reference: a terminal, or a word such as B-", o.taken.against(v.draft.Layout), v.setReference)
	take := command.NewChip(&command.Command{Name: "Take the reference from the drawing", On: func() bool { return o.taking }, Do: func() {
		o.taking = !o.taking
		v.turned = !o.taking
		v.say("Press the terminal on which the black lead is.")
		v.again()
	}}, v.set)
	things = append(things, v.row(take))
	figureOf := func(name, text string, most float64, set func(*taken, float64)) []fyne.CanvasObject {
		return v.asked(name, text, func(text string) bool {
			n, err := figure(name, text)
			if err == nil && (n < 0 || n > most) {
				err = fmt.Errorf("%s: from 0 to %g", name, most)
			}
			if err != nil {
				v.wrong = words.Sentence(err.Error())
				v.say("Not kept: " + v.wrong)
				return false
			}
			return v.edit(result{name: "the order's meter", do: changed(func(t *taken) { set(t, n) })})
		})
	}
	m := o.taken.Meter
	things = append(things, v.asked("Meter: its name or number, empty = not known", m.Name, func(text string) bool {
		return v.edit(result{name: "the order's meter", do: changed(func(t *taken) { t.Meter.Name = strings.TrimSpace(text) })})
	})...)
	things = append(things, figureOf("Meter: ± % of the value", fmt.Sprint(m.GainPct), 50, func(t *taken, n float64) { t.Meter.GainPct = n })...)
	things = append(things, figureOf("Meter: ± counts of the last digit", fmt.Sprint(m.Counts), 1000, func(t *taken, n float64) { t.Meter.Counts = n })...)
	var chips []*command.Chip
	choose := func(name string, most float64) {
		chips = append(chips, command.NewChip(&command.Command{Name: name, On: func() bool { return o.taken.Meter.Range == most }, Do: func() {
			v.do(result{name: "the order's meter", do: changed(func(t *taken) { t.Meter.Range = most })})
		}}, v.set))
	}
	choose("Digits as typed", 0)
	for _, r := range ranges {
		choose(fmt.Sprintf("Locked to %g V", r.most), r.most)
	}
	return append(things, form.NewLabelled("Range", v.tight(chips)), v.words([]sheet.Block{{Kind: sheet.Soft,
		Text: "Nothing was stated before: 0.5 % and 2 counts are those of an ordinary bench meter. Type every digit that it shows, 0 at the end too: the last one says how far a value can err. A locked range is that of a meter of 6000 counts."}}))
}

// orderWords are words whose lines lead to terminals and things.
func (v *View) orderWords(b []sheet.Block) fyne.CanvasObject {
	return v.lines(b, func(id string) {
		if _, ok := v.draft.spotOf(id); ok {
			v.turned = false
			v.ask(id)
			v.showAll()
			return
		}
		v.goTo(id)
	})
}

// valueBlocks are all terminals with what was typed.
func (v *View) valueBlocks() (b []sheet.Block) {
	for _, t := range v.terminals() {
		text := t + ": not measured"
		if raw := v.order.taken.Values[t]; raw != "" {
			text = t + ": " + shownVolts(raw)
		}
		b = append(b, sheet.Block{Kind: sheet.Action, ID: t, Text: text})
	}
	return b
}

// pasteVolts takes a list of two columns in.
func (v *View) pasteVolts() {
	v.keepAsked()
	pairs := func(text string) (lines []listLine, n int) {
		lines = listOf(v.draft.Layout, v.order.taken, text)
		for _, l := range lines {
			n += number(l.terminal != "")
		}
		return lines, n
	}
	v.pasteList(pasting{title: "A list of terminals and volts", wants: "A terminal and its volts on each line, such as M03+ 87.6 or M03-; 2190 mV. Against " + v.order.taken.against(v.draft.Layout) + ". Nothing is kept before you say so.",
		read: func(text string) ([]sheet.Block, int) {
			if strings.TrimSpace(text) == "" {
				return nil, 0
			}
			lines, n := pairs(text)
			var said [][2]string
			for _, l := range lines {
				said = append(said, [2]string{l.text, l.said})
			}
			return lineBlocks(fmt.Sprintf("%d of %s would be kept.", n, count(len(lines), "line")), said), n
		},
		keepName: func(n int) string { return "Keep " + count(n, "value") },
		keep: func(text string) {
			lines, n := pairs(text)
			v.do(result{name: "volts of " + count(n, "terminal"), do: changed(func(t *taken) {
				for _, l := range lines {
					if l.terminal != "" {
						t.Values[l.terminal] = l.raw
					}
				}
				v.stamp(t)
			})})
			v.fill()
		}})
}
