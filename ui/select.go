package ui

import (
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/ui/easel"
	"halfsplit/ui/plan"
	"halfsplit/ui/sheet"
)

// Selected is the id of what is selected, "" for nothing.
func (d *Desk) Selected() string { return d.selected }

// pick selects what was pressed on a drawing and shows it on the sheet; a press
// where nothing is selects nothing.
func (d *Desk) pick(id string) {
	if strings.HasPrefix(id, "stack:") {
		id = ""
	}
	if d.pickSeeing(id) {
		return
	}
	if d.page == seriesPage {
		d.pickForSeries(id)
		return
	}
	if d.page == entryPage && id != "" {
		d.aim(id)
		return
	}
	if d.takesTab() && id == "" {
		return // a press beside the pack loses nothing that is being entered
	}
	d.choose(id)
	if id != "" {
		d.details()
	} else if d.page == selectionPage {
		d.showFinding()
	}
}

// pickOnSheet selects what a line of the sheet names, or opens a fold.
func (d *Desk) pickOnSheet(id string) {
	switch {
	case d.pickFold(id), d.pickAdvice(id), d.pickProposal(id), d.pickCaution(id), d.pickProving(id), d.pickOffer(id):
		return
	case id == openSeriesID:
		d.openSeries()
		return
	case d.page == seriesPage:
		d.pickSeries(id)
		return
	case d.page == runEndPage:
		d.pickEnd(id)
		return
	case id == photosID:
		d.openPhotos()
		return
	case id == listID:
		d.openListing()
		return
	case id == tableID:
		d.openTable()
		return
	case id == reachID:
		d.openReaching()
		return
	case d.page == entryPage:
		d.pickEntry(id)
		return
	case d.page == statePage:
		d.pickState(id)
		return
	case d.page == undoPage:
		d.answerUndo(id)
		return
	case d.page == whoPage:
		d.pickWho(id)
		return
	case strings.HasPrefix(id, "stage:"):
		d.pickStage(id)
		return
	case d.page == kitPage:
		d.pickKit(id)
		return
	case d.page == shadingPage:
		d.pickShading(id)
		return
	case d.page == morePage:
		d.pickMore(id)
		return
	case d.page == panesPage:
		d.pickPanes(id)
		return
	case d.page == doubtPage:
		d.answerDoubt(id)
		return
	case d.page == reasonPage:
		d.pickReason(id)
		return
	case d.page == notePage:
		d.pickNote(id)
		return
	case d.page == whatIfPage:
		d.pickWhatIf(id)
		return
	case d.page == guidePage:
		d.pickGuide(id)
		return
	case id == whatIfID:
		d.openWhatIf()
		return
	case id == noteHereID:
		d.openNote()
		return
	case strings.HasPrefix(id, sheet.DoubtID):
		d.pickDoubt(id)
		return
	case strings.HasPrefix(id, sheet.NotedID):
		d.withdrawNoted(strings.TrimPrefix(id, sheet.NotedID))
		return
	case strings.HasPrefix(id, offerID):
		d.openStates()
		d.pickState(id)
		return
	}
	d.choose(id)
	if strings.HasPrefix(id, "reading:") || strings.HasPrefix(id, "board:") || d.page == selectionPage { // what no drawing shows
		d.details()
	}
}

// choose selects on both drawings.
func (d *Desk) choose(id string) {
	if id == d.selected {
		d.pointed = id != ""
		return
	}
	d.selected, d.pointed = id, id != ""
	d.minutes = typedMinutes{}
	d.planPane.Refresh()
	d.rulerPane.Refresh()
	d.reveal()
	if d.page == selectionPage {
		d.showSheet(true)
	}
	d.keepPlace()
	d.showChips()
	if id == "" {
		d.say("Nothing selected.")
	} else {
		d.say(spoken(id) + " selected.")
	}
}

// spoken is an id in words.
func spoken(id string) string {
	kind, name, _ := strings.Cut(id, ":")
	if kind == "module" || kind == "node" {
		return name
	}
	return strings.ToUpper(kind[:1]) + kind[1:] + " " + name
}

// reveal moves what is selected into view where the person has zoomed in.
func (d *Desk) reveal() {
	for _, p := range []*easel.Pane{d.planPane, d.rulerPane} {
		if r, ok := p.TargetRect(d.selected); ok {
			p.Reveal(r)
		} else if p == d.planPane {
			d.revealHidden(p)
		}
	}
}

// revealHidden brings a selected module into view that the plan's drawing left
// out because it lies outside the pane.
func (d *Desk) revealHidden(p *easel.Pane) {
	if m, ok := d.selectedModule(); ok {
		p.Reveal(d.plan.ModuleRect(m, p.View()))
	}
}

func (d *Desk) selectedReading() (string, bool) { return strings.CutPrefix(d.selected, "reading:") }

func (d *Desk) selectedModule() (int, bool) {
	if name, ok := strings.CutPrefix(d.selected, "module:"); ok {
		return d.pack.Net.Module(name)
	}
	name, ok := strings.CutPrefix(d.selected, "node:")
	if !ok {
		return 0, false
	}
	n, ok := d.pack.Net.Node(name)
	if !ok {
		return 0, false
	}
	m, _, ok := d.pack.Net.ModuleAt(n)
	return m, ok
}

// order is every module in string order.
func (d *Desk) order() []int {
	var out []int
	for _, s := range d.pack.Net.Strings {
		out = append(out, s.Modules...)
	}
	return out
}

// step selects the module so many places on in string order; false at the end.
// With nothing selected it starts at the near end.
func (d *Desk) step(by int) bool {
	order := d.order()
	if len(order) == 0 {
		return false
	}
	at := -1
	if m, ok := d.selectedModule(); ok {
		for i, o := range order {
			if o == m {
				at = i
			}
		}
	} else if by < 0 {
		at = len(order)
	}
	at += by
	if at < 0 || at >= len(order) {
		return false
	}
	d.choose("module:" + d.pack.Net.Layout.Modules[order[at]].ID)
	return true
}

// nextLink selects the next link, in the order of the layout.
func (d *Desk) nextLink() {
	links := d.pack.Net.Links
	if len(links) == 0 {
		return
	}
	at := 0
	for i, l := range links {
		if "link:"+d.pack.Net.Layout.Links[l.Link].ID == d.selected {
			at = (i + 1) % len(links)
		}
	}
	d.choose("link:" + d.pack.Net.Layout.Links[links[at].Link].ID)
}

// paneKey is a key on a drawing: Tab walks the modules and leaves the drawing at
// the end of the string, the other keys are commands.
func (d *Desk) paneKey(k *fyne.KeyEvent) bool {
	if k.Name != fyne.KeyTab || d.takesTab() {
		return d.set.Key(k)
	}
	by := 1
	if d.set.Shift() {
		by = -1
	}
	if !d.step(by) && d.deps.Canvas != nil {
		if by > 0 {
			d.deps.Canvas().FocusNext()
		} else {
			d.deps.Canvas().FocusPrevious()
		}
	}
	return true
}

// details shows what is selected on the sheet.
func (d *Desk) details() {
	d.toSheet()
	d.page = selectionPage
	d.showSheet(true)
	d.showChips()
}

func (d *Desk) showFinding() {
	d.page, d.pointed = findingPage, false
	d.showSheet(true)
	d.showChips()
}

// back goes one step back: from a computation, a page, a selection.
func (d *Desk) back() {
	switch {
	case d.Computing():
		d.Cancel()
	case d.page != findingPage:
		d.showFinding()
	case d.whatIf.stands():
		d.endWhatIf()
	default:
		d.choose("")
	}
}

// shade chooses what the modules are shaded by.
func (d *Desk) shade(m plan.Mode) {
	d.look.Mode = m
	d.planPane.Refresh()
	if d.page == shadingPage {
		d.showSheet(false)
	}
	d.showChips()
	d.say("Shaded by: " + plan.ModeNames[m] + ".")
}
