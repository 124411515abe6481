// Package ui is the window: the strip on top, the plan above the volts ruler,
// the sheet at right, the line at the foot; what is selected, what is shown,
// and the finding that is computed beside it.
//
// It puts the views together and holds no physics: what it shows comes from
// package facts, how it is drawn from packages plan, ruler, sheet and header.
// Everything here runs on the window's thread; the finding is computed on its
// own and comes back through Deps.Do.
package ui

import (
	"context"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"

	"halfsplit/fault"
	"halfsplit/ui/advice"
	"halfsplit/ui/caution"
	"halfsplit/ui/command"
	"halfsplit/ui/comparing"
	"halfsplit/ui/easel"
	"halfsplit/ui/entry"
	"halfsplit/ui/facts"
	"halfsplit/ui/header"
	"halfsplit/ui/kit"
	"halfsplit/ui/listing"
	"halfsplit/ui/photos"
	"halfsplit/ui/plan"
	"halfsplit/ui/printing"
	"halfsplit/ui/reaching"
	"halfsplit/ui/ruler"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/stages"
	"halfsplit/ui/store"
	"halfsplit/ui/theme"
	"halfsplit/ui/timeline"
)

// Deps is what the window is given.
type Deps struct {
	Case          fault.Case  // shown where there is no Store: what is entered goes with the window
	Store         store.Store // the case that is recorded into; nil = Case, in memory
	Find          func(context.Context, fault.Case) (fault.Finding, error)
	Reach         reaching.Run                                       // simulates what can be reached; nil = package reach
	FindIf        Answer                                             // answers a question; nil = none can be asked
	Go            func(func())                                       // runs beside the window; nil = a goroutine
	Do            func(func())                                       // runs on the window's thread; nil = fyne.Do
	Modifier      func() fyne.KeyModifier                            // the keys held; nil = none known
	Copy          func(text string)                                  // to the clipboard; nil = no such command
	Clipboard     func() string                                      // what was copied; nil = cannot be asked
	Restyle       func(theme.Variant)                                // shows another variant; nil = no such command
	Variant       theme.Variant                                      // the variant at the start
	Canvas        func() fyne.Canvas                                 // of the window, for the focus
	Now           func() time.Time                                   // the time of a reading; nil = not recorded
	Who           string                                             // who is here; "" = nobody named
	SaveWho       func(string)                                       // keeps the name; nil = until the window closes
	Glide         func(tick func(share float32))                     // calls tick from 0 to 1 in a short time; nil = no motion
	Tick          func(every time.Duration, do func()) (stop func()) // calls do on the window's thread; nil = by the machine's clock
	Later         func(after time.Duration, do func()) (stop func()) // calls do on the window's thread after a time; nil = by the machine's clock
	Panes         Panes                                              // how the window is divided
	SavePanes     func(Panes)                                        // keeps it; nil = until the window closes
	Place         Place                                              // where a person was in this case
	SavePlace     func(Place)                                        // keeps it; nil = until the window closes
	Draw          func()                                             // opens the drawing of the case's layout; nil = it cannot be drawn here
	Leave         func()                                             // back to the cases, in a window that says the title itself; nil = the desk stands alone
	Connection    func(instrument string) string                     // the address of a connected meter at this workplace; nil = kept until the window closes
	SetConnection func(instrument, address string)                   // keeps it
	Folder        string                                             // where the search for photos begins
}

// A page of the sheet.
type page uint8

const (
	findingPage page = iota
	selectionPage
	keysPage
	entryPage
	statePage
	undoPage
	whoPage
	shadingPage
	stagePage
	stageListPage
	kitPage
	panesPage
	morePage
	doubtPage
	reasonPage
	notePage
	whatIfPage
	guidePage
	seriesPage
	runEndPage
	isolatePage
	provingPage
)

// A Desk is the window's content and its state.
type Desk struct {
	deps  Deps
	store store.Store
	form  entry.Form
	kit   kit.Draft
	kits  kit.Kept // those that were left half done

	keepings map[string]*keeping // of pages whose half typed text is kept, by name

	offerKit, offerIsolate bool // what was half typed when the program ended is offered
	photos                 *photos.Page

	aroundKey func(*fyne.KeyEvent) bool // of the window around; nil = none
	kitBack   page                      // where the kit's page was opened from
	change    recording
	kept      Place
	who       typedName
	result    facts.Result
	cancel    context.CancelFunc
	run       int // of the present computation

	pack           *facts.Pack
	geo, geoBehind *plan.Geometry // of the layout, and of it as seen from its other side
	plan           *plan.Drawing
	ruler          *ruler.Ruler

	glide     ruler.Glide
	look      plan.Options // what the plan is shaded by, and where its scales end
	seeing    seeing
	selected  string
	pointed   bool // selected since the finding's page was opened
	page      page
	lead      int  // of the finding's tests, the one that leads
	taking    bool // the form was opened for the proposal, and goes back to the finding
	minutes   typedMinutes
	marks     [2]string // the places of RED and BLACK that the drawings mark
	folds     sheet.Folds
	doubting  doubting
	reason    reason
	noting    noting
	whatIf    asking
	advising  advising
	timer     advice.Timer
	series    running
	metering  metering
	stopTick  func() // nil = the timer does not run
	overTime  *timeline.Page
	reaching  *reaching.Page
	comparing *comparing.Page
	printing  *printing.Page
	overlays  []overlay
	isolate   isolating
	cautions  cautioning
	happened  string
	also      string // was recorded and is still to be said when its finding is ready
	variant   theme.Variant

	set        *command.Set
	strip      *easel.Board
	planPane   *easel.Pane
	rulerPane  *easel.Pane
	paper      *easel.Board
	paperRoll  *easel.Roll
	foot       *easel.Board
	primary    *command.Chip
	chips      []*command.Chip
	footChips  *fyne.Container
	column     *easel.Board // of stages
	stageRoll  *easel.Roll
	stageChip  *command.Chip
	aboutChip  *command.Chip
	stage      int
	planChips  *fyne.Container
	pageChips  *fyne.Container
	moreChip   *command.Chip
	runChip    *command.Chip
	viewChip   *command.Chip
	stageBar   *easel.Board // the stages on top, where the window has no room for the column
	panes      Panes
	rulerGrips []fyne.CanvasObject
	sheetGrips []fyne.CanvasObject
	shown      view
	listing    *listing.Page
	frame      *frame
	root       *fyne.Container
	outer      *fyne.Container // the desk, or its photos
}

// NewDesk makes the window's content for a case and starts its finding.
func NewDesk(deps Deps) *Desk {
	if deps.Go == nil {
		deps.Go = func(f func()) { go f() }
	}
	if deps.Do == nil {
		deps.Do = fyne.Do
	}
	if deps.Store == nil {
		deps.Store = store.NewMemory(deps.Case)
	}
	d := &Desk{deps: deps, store: deps.Store, variant: deps.Variant, panes: deps.Panes, kits: kit.Kept{}, folds: sheet.Folds{}, set: &command.Set{Modifier: deps.Modifier}}
	d.deps.Case = d.store.Case()
	d.store.SetWho(deps.Who)
	d.set.First, d.set.FirstKey = d.typed, d.typedKey
	d.work()
	d.happened = "Opened: " + d.caseName() + "."
	d.kept = d.deps.Place
	d.comeBack(d.deps.Place)
	d.restoreRun()
	d.restoreTyped()
	d.build()
	if d.page == entryPage || d.page == seriesPage || d.offerKit || d.offerIsolate {
		d.toSheet()
	}
	d.Compute()
	return d
}

func (d *Desk) caseName() string {
	if d.deps.Case.Title != "" {
		return d.deps.Case.Title
	}
	return "a case without a title"
}

// Content is what the window holds.
func (d *Desk) Content() fyne.CanvasObject { return d.outer }

// Focus puts the keyboard on the plan, or on what is shown in its place.
func (d *Desk) Focus() {
	if o := d.over(); o != nil {
		o.Focus()
		return
	}
	if d.deps.Canvas == nil {
		return
	}
	// Where the sheet has the place of the drawings, the plan takes its keys too. The
	// toolkit gives the focus to nothing that is hidden, and would leave it with the
	// page that was left; but what has it keeps it.
	to, hidden := d.planPane, false
	switch {
	case d.rulerPane.Visible() && !d.planPane.Visible():
		to = d.rulerPane
	case !d.planPane.Visible():
		hidden = true
		to.Show()
	}
	d.deps.Canvas().Focus(to)
	if hidden {
		to.Hide()
	}
}

// SetCase shows a case as it is now. The last finding stays, marked out of
// date, until the new one is ready.
func (d *Desk) SetCase(c fault.Case) {
	d.store = store.NewMemory(c)
	d.store.SetWho(d.deps.Who)
	d.deps.Case = c
	d.result.Stale = d.result.Finding != nil
	d.geo, d.geoBehind, d.look.Tier = nil, nil, nil
	d.work()
	d.happened = "Opened: " + d.caseName() + "."
	d.showAll(true)
	d.Compute()
}

// work derives everything that is shown from the case and the finding.
func (d *Desk) work() {
	d.pack = facts.New(d.deps.Case, d.result)
	if d.geo == nil {
		d.geo = plan.NewGeometry(d.pack.Net)
	}
	d.whatIf.over(d.pack)
	d.plan = d.drawnFrom(d.seeing.behind)
	d.ruler = ruler.New(d.seen())
}

// build makes the widgets.
func (d *Desk) build() {
	d.commands()
	d.planPane = d.pane(planSubject{d}, true)
	d.rulerPane = d.pane(rulerSubject{d}, false)
	d.strip = easel.NewBoard(theme.Raised, 300, func(w float64) (*scene.List, float64) {
		l, high := header.Strip(d.pack, d.deps.Leave == nil, d.frame.low(), w, easel.Measure)
		return d.underBanner(l, high, w)
	})
	d.strip.OnPick = d.pickStrip
	d.foot = easel.NewBoard(theme.Paper, 300, func(w float64) (*scene.List, float64) {
		left, right := d.frame.footRoom(float32(w))
		return header.FootBetween(d.happened, d.keyHint(), float64(left), float64(right), w, float64(easel.Sizes().Touch()+6), easel.Measure)
	})
	d.paper = easel.NewBoard(theme.Raised, 240, func(w float64) (*scene.List, float64) {
		z := easel.Sizes()
		return sheet.DrawSized(d.blocks(), w, sheet.Sizes{Touch: float64(z.Touch()), Number: float64(z.Number())}, easel.Measure)
	})
	d.paper.OnPick = d.pickOnSheet
	d.stage = stages.Locate
	d.column = easel.NewBoard(theme.Paper, stages.Wide, func(w float64) (*scene.List, float64) {
		return stages.Column(d.pack, d.stageShown(), w, float64(easel.Sizes().Touch()), easel.Measure)
	})
	d.column.OnPick = d.pickStage
	d.stageBar = easel.NewBoard(theme.Paper, 600, func(w float64) (*scene.List, float64) {
		return stages.Bar(d.pack, d.stageShown(), w, float64(easel.Sizes().Touch()), easel.Measure)
	})
	d.stageBar.OnPick = d.pickStage
	d.grips()
	d.stageRoll = easel.NewRoll(d.column)
	d.paperRoll = easel.NewRoll(d.paper)
	d.frame = &frame{d: d}
	d.root = container.New(d.frame, d.frame.parts()...)
	d.photos = d.newPhotos()
	d.overTime = d.newOverTime()
	d.reaching = d.newReaching()
	d.listing = d.newListing()
	d.comparing, d.printing = d.newComparing(), d.newPrinting()
	d.overlays = []overlay{d.photos, d.overTime, d.reaching, d.listing, d.comparing, d.printing}
	d.outer = container.NewStack(d.root)
	for _, o := range d.overlays {
		d.outer.Add(o.Content())
	}
}

func (d *Desk) pane(s easel.Subject, zoomY bool) *easel.Pane {
	p := easel.NewPane(s)
	p.ZoomY = zoomY
	p.OnPick = d.pick
	p.OnRune = d.set.Rune
	p.OnKey = d.paneKey
	return p
}

// blocks is the sheet's content for the page that is shown.
func (d *Desk) blocks() []sheet.Block {
	switch d.page {
	case selectionPage:
		return d.withMinutes(d.selectionBlocks())
	case keysPage:
		return sheet.Keys(d.set.Helped())
	case entryPage:
		return d.withEntryCaution(d.entryBlocks())
	case statePage:
		return d.change.blocks(d)
	case undoPage:
		return d.undoBlocks()
	case whoPage:
		return d.who.blocks()
	case shadingPage:
		return d.shadingBlocks()
	case stagePage:
		return append(stages.Sheet(d.pack, d.stage), d.stageActions()...)
	case stageListPage:
		return d.stageList()
	case kitPage:
		return d.kit.Blocks(d.deps.Case, d.now(), caution.Meets(d.pack), d.kitNotes()...)
	case panesPage:
		return d.panesBlocks()
	case morePage:
		return d.moreBlocks()
	case doubtPage:
		return sheet.Doubted(d.pack, d.doubting.of, d.doubting.failed)
	case reasonPage:
		return d.reason.blocks()
	case notePage:
		return d.noting.blocks(d.deps.Who)
	case whatIfPage:
		return d.whatIf.draft.Blocks(d.deps.Case)
	case guidePage:
		return d.advising.guide.Blocks(d.world())
	case seriesPage:
		return d.series.setup.Blocks(d.pack, d.series.run)
	case runEndPage:
		return d.series.run.EndBlocks(d.series.line)
	case isolatePage:
		return d.isolatingBlocks()
	case provingPage:
		return d.provingBlocks()
	}
	return d.withOffers(withAdvice(d.withMinutes(d.withFindingCautions(d.findingBlocks()))))
}

// showAll draws everything again; refit shows the wholes.
func (d *Desk) showAll(refit bool) {
	d.planPane.Set(planSubject{d}, refit)
	d.rulerPane.Set(rulerSubject{d}, refit)
	d.showSheet(d.page != entryPage && d.page != isolatePage && d.page != provingPage) // who enters stays where they are
	d.strip.Refresh()
	d.foot.Refresh()
	d.showChips()
	d.root.Refresh()                                       // the strip may be higher now
	if o := d.over(); o != nil && o != overlay(d.photos) { // photos do not hang on a finding
		o.Refresh()
	}
}

// showSheet draws the sheet again, from its top if asked.
func (d *Desk) showSheet(top bool) {
	d.visited()
	if d.minutes.page != d.page {
		d.minutes = typedMinutes{}
	}
	if red, black := d.leads(); d.marks != [2]string{red, black} {
		d.marks = [2]string{red, black}
		d.planPane.Refresh()
		d.rulerPane.Refresh()
	}
	if on := d.onBench() || d.wideRun(); on != d.series.bench { // the panel takes another width
		d.series.bench = on
		d.root.Refresh()
	}
	d.paper.Refresh()
	if top {
		d.paperRoll.Offset = fyne.NewPos(0, 0)
	}
	d.frame.layoutSheet()
	d.paperRoll.Refresh()
	d.keepPlace()
}

func (d *Desk) showChips() {
	d.column.Refresh()
	d.stageBar.Refresh()
	d.frame.showWhat()
	for _, c := range d.chips {
		c.Refresh()
	}
	if left, right := d.frame.footRoom(d.frame.size.Width); left != d.frame.footLeft || right != d.frame.footRight {
		d.root.Refresh() // a label became longer or shorter
	}
}

// sayRecorded writes what was recorded, and keeps it in view when its finding is
// ready a moment later.
func (d *Desk) sayRecorded(s string) {
	if d.Computing() {
		d.also = s
	}
	d.say(s)
}

// say writes what just happened at the foot.
func (d *Desk) say(s string) {
	d.happened = s
	d.foot.Refresh()
}
