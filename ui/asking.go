package ui

import (
	"context"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/locate"
	"halfsplit/ui/easel"
	"halfsplit/ui/facts"
	"halfsplit/ui/header"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
	"halfsplit/ui/whatif"
)

const (
	whatIfID    = "whatif:open"
	endWhatIfID = "whatif:end"
)

// An Answer works out what would be found under a question, beside the window.
type Answer func(context.Context, fault.Case, locate.WhatIf) (fault.Finding, error)

// An asking is a question to the readings and its answer. Nothing of it is recorded
// or remembered.
type asking struct {
	draft  whatif.Draft
	asked  string // the question in words; "" = none stands
	pack   *facts.Pack
	failed string
	cancel context.CancelFunc
	run    int
}

// stands says that a question is being answered or shown.
func (a *asking) stands() bool { return a.asked != "" }

// banner is what the window stands under, "" for nothing.
func (a *asking) banner() string {
	switch {
	case !a.stands():
		return ""
	case a.failed != "":
		return "What if, " + a.asked + ": no answer. " + whatif.NotRecorded
	case a.pack == nil:
		return "What if, " + a.asked + ": being computed. What is shown is still the case as it is. " + whatif.NotRecorded
	}
	return "What if, " + a.asked + ". " + whatif.NotRecorded
}

// over puts the answer over the case as it is worked out now.
func (a *asking) over(p *facts.Pack) {
	if a.pack != nil {
		a.pack = p.Asked(*a.pack.Result.Finding)
	}
}

// mark puts the question above a page, so that a copy of it carries it too.
func (a *asking) mark(b []sheet.Block) []sheet.Block {
	if a.pack == nil {
		return b
	}
	return append([]sheet.Block{{Kind: sheet.Caution, Text: a.banner()}}, b...)
}

// seen is the pack as plan, ruler and finding show it: under a question, with its
// answer.
func (d *Desk) seen() *facts.Pack {
	if d.whatIf.pack != nil {
		return d.whatIf.pack
	}
	return d.pack
}

// underBanner puts the strip under the banner, where there is one.
func (d *Desk) underBanner(l *scene.List, high, width float64) (*scene.List, float64) {
	text := d.whatIf.banner()
	if text == "" {
		return l, high
	}
	top, over := header.Banner(text, "End what-if", endWhatIfID, width, float64(easel.Sizes().Touch()), easel.Measure)
	return header.Below(top, over, l), over + high
}

func (d *Desk) pickStrip(id string) {
	if id == endWhatIfID {
		d.endWhatIf()
	}
}

// marked writes on a drawing that it shows an answer and not the case.
func (d *Desk) marked(l *scene.List, v scene.View) *scene.List {
	if d.whatIf.pack == nil {
		return l
	}
	const text, edge = "What if: not recorded", 1.0
	wide := easel.Measure(text, theme.Small, true) + 14
	at := func(x, y float64) scene.Point { return scene.Point{World: v.World([2]float64{x, y})} }
	l.Rect("", at(edge, edge), at(v.W-edge, v.H-edge), scene.Paint{}, scene.Ink(theme.Ink), 2*edge, 0)
	l.Rect("", at(v.W-wide-edge, edge), at(v.W-edge, 24), scene.Ink(theme.Ink), scene.Paint{}, 0, 0)
	l.Text("", at(v.W-edge-wide/2, 13), scene.Middle, scene.Middle, scene.Ink(theme.Paper), theme.Small, true, text)
	return l
}

// findingBlocks are the page of the finding, or of an answer under its mark.
func (d *Desk) findingBlocks() []sheet.Block {
	a := &d.whatIf
	switch {
	case a.stands() && a.failed != "":
		return []sheet.Block{{Kind: sheet.Title, Text: "What if: no answer", Bold: true}, {Kind: sheet.Para, Text: a.asked + ": " + a.failed + "."},
			{Kind: sheet.Action, ID: whatIfID, Text: "Ask something else …", Value: "Key Q. Esc ends it."}}
	case a.stands() && a.pack == nil:
		return []sheet.Block{{Kind: sheet.Title, Text: "What if: being computed", Bold: true}, {Kind: sheet.Para, Text: "What would be found " + a.asked + " is being worked out. Escape cancels."},
			{Kind: sheet.Soft, Text: whatif.NotRecorded}}
	}
	b := sheet.FindingWith(d.seen(), d.folds, d.lead)
	if d.deps.FindIf == nil || d.pack.Result.Finding == nil {
		return b
	}
	if !a.stands() {
		return append(b, sheet.Block{Kind: sheet.Action, ID: whatIfID, Text: "What if … ?", Value: "Leave a reading out, take one or two leaks for given, change a meter's input resistance: key Q. It records nothing."})
	}
	return a.mark(append(b, sheet.Block{Kind: sheet.Action, ID: whatIfID, Text: "Ask something else …", Value: "Key Q. Esc ends what-if."}))
}

// openWhatIf opens the page on which the question is put. While one stands, it goes
// on from it.
func (d *Desk) openWhatIf() {
	if d.deps.FindIf == nil || len(d.deps.Case.Readings) == 0 {
		d.say("There are no readings to ask about.")
		return
	}
	d.toSheet()
	if !d.whatIf.stands() {
		d.whatIf.draft = whatif.Begin(d.deps.Case, d.result.Finding)
	}
	d.page = whatIfPage
	d.showSheet(true)
	d.showChips()
	d.say(whatif.NotRecorded)
}

func (d *Desk) setWhatIf(q whatif.Draft) {
	d.whatIf.draft = q
	d.showSheet(false)
	d.rollTo(whatif.ItemID(q.At), 0)
}

// whatIfRune types an input resistance; Space comes as a key.
func (d *Desk) whatIfRune(r rune) bool {
	if q, ok := d.whatIf.draft.Type(r); ok {
		d.setWhatIf(q)
		return true
	}
	return r != '?'
}

func (d *Desk) whatIfKey(k fyne.KeyName) bool {
	q := d.whatIf.draft
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		d.askWhatIf()
	case fyne.KeyEscape:
		d.showFinding()
		d.say("Nothing was asked.")
	case fyne.KeyBackspace:
		d.setWhatIf(q.Back())
	case fyne.KeyDown:
		d.setWhatIf(q.Move(1))
	case fyne.KeyUp:
		d.setWhatIf(q.Move(-1))
	case fyne.KeyTab:
		by := 1
		if d.set.Shift() {
			by = -1
		}
		d.setWhatIf(q.Move(by))
	case fyne.KeySpace, fyne.KeyRight:
		d.setWhatIf(q.Turn(1))
	case fyne.KeyLeft:
		d.setWhatIf(q.Turn(-1))
	case fyne.KeyPageDown, fyne.KeyPageUp:
		return false // the sheet rolls
	}
	return true
}

// pickWhatIf is a press on the page.
func (d *Desk) pickWhatIf(id string) {
	if i, ok := whatif.ItemOf(id); ok {
		d.setWhatIf(d.whatIf.draft.On(i).Turn(1))
		return
	}
	switch key, ok := strings.CutPrefix(id, sheet.PadKey("")); {
	case !ok:
	case key == "Back":
		d.setWhatIf(d.whatIf.draft.Back())
	default:
		d.whatIfRune([]rune(key)[0])
	}
}

// askWhatIf works the answer out beside the window. It goes nowhere but on screen.
func (d *Desk) askWhatIf() {
	q, err := d.whatIf.draft.Question()
	if err != nil {
		d.whatIf.draft.Failed = err.Error()
		d.showSheet(true)
		d.say("Nothing was asked.")
		return
	}
	d.stopAsking()
	ctx, cancel := context.WithCancel(context.Background())
	a := &d.whatIf
	a.asked, a.pack, a.failed, a.cancel = q.String(), nil, "", cancel
	a.run++
	run, c := a.run, d.deps.Case
	d.page = findingPage
	d.work()
	d.showAll(false)
	d.say("What if is being computed.")
	d.deps.Go(func() {
		f, err := d.deps.FindIf(ctx, c, q)
		d.deps.Do(func() { d.answered(run, f, err) })
	})
}

// answered takes an answer, unless the question was dropped.
func (d *Desk) answered(run int, f fault.Finding, err error) {
	a := &d.whatIf
	if run != a.run || !a.stands() {
		return
	}
	a.cancel()
	a.cancel = nil
	if err != nil {
		a.failed = err.Error()
		d.say("There is no answer.")
	} else {
		a.pack = d.pack.Asked(f)
		d.say("What if, " + a.asked + ". " + whatif.NotRecorded)
	}
	d.work()
	d.showAll(false)
}

// stopAsking cancels what is being worked out.
func (d *Desk) stopAsking() {
	if d.whatIf.cancel != nil {
		d.whatIf.cancel()
		d.whatIf.cancel = nil
	}
	d.whatIf.run++ // whatever still comes is not shown
}

// dropWhatIf forgets the question.
func (d *Desk) dropWhatIf() {
	d.stopAsking()
	d.whatIf.asked, d.whatIf.pack, d.whatIf.failed = "", nil, ""
}

// endWhatIf goes back to the case as it is.
func (d *Desk) endWhatIf() {
	if !d.whatIf.stands() {
		return
	}
	d.dropWhatIf()
	d.work()
	d.showAll(false)
	if d.page == whatIfPage {
		d.showFinding()
	}
	d.say("What-if has ended: this is the case as it is.")
}
