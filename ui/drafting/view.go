package drafting

import (
	"image"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/header"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/store"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// Deps is what the table is given.
type Deps struct {
	Store     store.Layouts
	Go        func(func())              // runs beside the window; nil = a goroutine
	Do        func(func())              // runs on the window's thread; nil = fyne.Do
	Canvas    func() fyne.Canvas        // of the window, for the focus
	Key       func(*fyne.KeyEvent) bool // keys of the window around; true = taken
	Modifier  func() fyne.KeyModifier   // the keys held; nil = none known
	Shortcut  func(fyne.Shortcut)       // shortcuts of the window around, out of a field
	Copy      func(text string)         // to the clipboard; nil = cannot
	Clipboard func() string             // what was copied; nil = cannot be asked
	Now       func() time.Time          // nil = not told
	Folder    string                    // where the search for files begins
	Back      func()                    // leaves the table
	Leave     string                    // where that leads to, on its button; "" = the list

	// Of the case that the table was opened from; nil = there is none.
	CaseVersion func() (int, error)                            // that it rests on
	Use         func(who, why string) (said string, err error) // lets it rest on the drawing; why is the reason of a named person, "" = none was needed
	Who         func() string                                  // who is here; nil = not told

	Others func() ([]Other, error)                  // the other layouts of the casebook; nil = there is none
	Other  func(id string) (topology.Layout, error) // one of them
}

// A page of the sheet beside the drawing.
type page uint8

const (
	fieldsPage page = iota
	addPage
	pathPage
	photoPage
	orderPage
	numbersPage
	versionsPage
	keysPage
	toolsPage // what has no button on a low drawing
)

// A View is the drawing table.
type View struct {
	deps          Deps
	draft         *Draft
	length        string      // between two marks on a photo, as it was typed
	copies        *form.Entry // the field of that row; nil = no module is chosen
	page          page
	back, toSheet *command.Chip // between sheet and drawing, where a low window shows one of both
	leaves        *command.Chip // lets go, or leaves
	linker        *command.Chip
	moreTools     *command.Chip // leads to the tools, in a low window
	toolChips     []*command.Chip

	adding      adding
	order       ordering
	numbers     numbering
	pasted      *pasting         // a list that is being taken in; nil = none
	photos      map[string]*held // by SHA-256
	lastKey     string           // of the picture of the photos that was composed last
	lastPicture *image.RGBA
	fragment    topology.Layout // what was copied
	browser     browsing
	saving      saving // the drawing as a picture
	wrong       string // about the field that was typed into last
	happened    string
	turned      bool // to the sheet, where a low window shows one of both
	unfolded    bool // the sheet shows what can be done with what is chosen
	busy        bool
	versions    versioning

	set                        *command.Set
	chips                      []*command.Chip
	tools                      *fyne.Container
	pages                      *fyne.Container
	pageChips                  map[page]*command.Chip
	otherPages                 *command.Chip
	allPages                   bool // the buttons of all pages are shown, on a low sheet too
	foot                       *easel.Board
	steps                      *fyne.Container
	pane                       *easel.Pane
	sheet                      *form.Page
	list                       *form.List
	ground, paper, side, under *canvas.Rectangle
	root                       *fyne.Container
}

// New makes the table for a layout.
func New(deps Deps) *View {
	if deps.Go == nil {
		deps.Go = func(f func()) { go f() }
	}
	if deps.Do == nil {
		deps.Do = fyne.Do
	}
	v := &View{deps: deps, draft: NewDraft(deps.Store.Layout()), photos: map[string]*held{},
		set: &command.Set{Modifier: deps.Modifier, Around: deps.Key}}
	v.set.FirstKey = v.offTheSheet
	v.adding = firstAdding()
	v.happened = "On the table: " + v.title() + "."
	v.pane = easel.NewPane(subject{v})
	v.pane.Hand = hand{v}
	v.pane.OnRune = v.set.Rune
	v.pane.OnKey = v.paneKey
	v.pane.ZoomX, v.pane.ZoomY = true, true
	v.sheet = form.NewPage(16)
	v.list = form.NewList(v.drawFiles, v.pickFile)
	v.list.OnKey, v.list.OnRune = v.listKey, v.set.Rune
	v.foot = easel.NewBoard(theme.Paper, 300, func(w float64) (*scene.List, float64) {
		right := w - float64(v.stepsWide(float32(w)))
		return header.FootBetween(v.happened, v.hint(), 0, right, w, float64(easel.Sizes().Touch()+6), easel.Measure)
	})
	rect := func() *canvas.Rectangle { return canvas.NewRectangle(nil) }
	v.ground, v.paper, v.side, v.under = rect(), rect(), rect(), rect()
	v.commands()
	v.root = &fyne.Container{Layout: frame{v}, Objects: []fyne.CanvasObject{v.ground, v.tools, v.pane, v.paper, v.pages, v.list, v.sheet.Roll, v.side, v.under, v.foot, v.steps}}
	if len(v.draft.Layout.Modules) == 0 {
		v.page = addPage
	}
	v.show(v.page)
	return v
}

// title is what the layout is called.
func (v *View) title() string {
	if v.draft.Layout.Name != "" {
		return v.draft.Layout.Name
	}
	return "a layout without a name"
}

// Title is what the window calls the table.
func (v *View) Title() string { return "Drawing: " + v.title() }

// Content is what the window shows.
func (v *View) Content() fyne.CanvasObject { return v.root }

// Draft is what lies on the table.
func (v *View) Draft() *Draft { return v.draft }

// Focus puts the keyboard on the drawing, or where it is hidden on the sheet.
func (v *View) Focus() {
	switch {
	case v.browser.on:
		v.focus(v.list)
	case v.pane.Visible():
		v.focus(v.pane)
	default:
		v.focusSheet()
	}
}

// focusSheet puts the keyboard on the sheet's first field or button.
func (v *View) focusSheet() {
	for _, o := range v.sheet.Objects() {
		switch o := o.(type) {
		case *form.Labelled:
			if e, ok := o.Field.(*form.Entry); ok {
				v.focus(e)
				e.SelectAll()
				return
			}
		case *fyne.Container:
			if len(o.Objects) > 0 {
				switch f := o.Objects[0].(type) {
				case *command.Chip:
					v.focus(f)
					return
				case *form.Entry:
					v.focus(f)
					f.SelectAll()
					return
				}
			}
		}
	}
}

func (v *View) focus(f fyne.Focusable) {
	if v.deps.Canvas != nil && v.deps.Canvas() != nil {
		v.deps.Canvas().Focus(f)
	}
}

// Keys is the list of the table's keys.
func (v *View) Keys() []sheet.Block { return sheet.Keys(v.set.Helped()) }

// Refresh draws everything again, after the colours or the text size changed.
func (v *View) Refresh() { v.showAll() }

// say writes what just happened at the foot.
func (v *View) say(s string) {
	v.happened = s
	v.foot.Refresh()
}

// show opens a page of the sheet.
func (v *View) show(p page) {
	v.page, v.pasted = p, nil
	v.sheet.Set(v.things()...)
	v.showAll()
}

// things are those of the page that is shown.
func (v *View) things() []fyne.CanvasObject { return append(v.lockedThings(), v.pageThings()...) }

func (v *View) pageThings() []fyne.CanvasObject {
	if v.pasted != nil {
		return v.pasteThings()
	}
	switch v.page {
	case orderPage:
		return v.orderThings()
	case numbersPage:
		return v.numberThings()
	case addPage:
		return v.addThings()
	case pathPage:
		return v.pathThings()
	case photoPage:
		return v.photoThings()
	case versionsPage:
		return v.versionThings()
	case toolsPage:
		return v.toolThings()
	case keysPage:
		return []fyne.CanvasObject{v.words(sheet.Keys(v.set.Helped()))}
	}
	return v.fieldThings()
}

// showAll draws everything again.
func (v *View) showAll() {
	v.pane.Refresh()
	v.foot.Refresh()
	for _, c := range v.chips {
		c.Refresh()
	}
	v.root.Refresh()
}

// again fills the sheet anew, with the keyboard left where it is: on a button of the
// sheet it goes to the one that stands there now.
func (v *View) again() {
	roll := v.sheet.Roll.Offset
	v.numbers.stale = false
	back := v.keepButton()
	v.sheet.Set(v.things()...)
	v.sheet.Roll.Offset = roll
	v.showAll()
	back()
}

// do makes an edit: it is kept before it is shown. It says whether it was made.
func (v *View) do(r result) bool {
	if r.do != nil && v.locked() {
		v.again()
		return false
	}
	if r.do == nil {
		if r.said != "" {
			v.say(r.said)
		}
		v.again()
		return false
	}
	if v.busy {
		v.say("Wait: something is still being done.")
		return false
	}
	if err := v.keep(r); err != nil {
		v.refuse(err)
		return false
	}
	said := r.said
	if said == "" {
		said = "Done: " + r.name + "."
	}
	v.happened = said
	v.again()
	return true
}

// keep makes an edit: it is in the store before it is on the table. After an error
// nothing has changed.
func (v *View) keep(r result) error {
	l, err := r.do(v.draft.Layout)
	if err == nil {
		err = v.deps.Store.Save(l, r.name)
	}
	if err == nil {
		v.draft.Set(v.deps.Store.Layout())
	}
	return err
}

// refuse says why something was not done.
func (v *View) refuse(err error) {
	v.say("Not done: " + words.Sentence(err.Error()))
	v.again()
}

// turn undoes or redoes.
func (v *View) turn(do func() (string, error), verb string) {
	if v.locked() {
		return
	}
	if v.busy {
		v.say("Wait: something is still being done.")
		return
	}
	name, err := do()
	if err != nil {
		v.refuse(err)
		return
	}
	v.draft.Set(v.deps.Store.Layout())
	v.happened = verb + ": " + name + "."
	v.again()
}

func (v *View) undo() { v.turn(v.deps.Store.Undo, "Undone") }
func (v *View) redo() { v.turn(v.deps.Store.Redo, "Done again") }

// leave goes one step back: out of what is in hand, of what is chosen, of the page,
// and in the end off the table.
func (v *View) leave() {
	d := v.draft
	switch {
	case v.browser.on:
		v.closeFiles()
	case v.pasted != nil:
		v.leavePaste()
		return
	case d.hand.kind != noGesture:
		d.hand = gesture{}
	case len(d.Marks) > 0:
		d.Marks = nil
	case d.From != "":
		d.From, d.Node = "", ""
	case d.Tool != Choosing:
		v.take(Choosing)
	case d.Several:
		d.Several = false
	case len(d.Chosen) > 0:
		d.Choose("", false)
	case v.page == keysPage:
		v.page = fieldsPage
	case v.page == versionsPage && (v.versions.picking || v.versions.with != nil):
		v.leaveOther()
	case v.versions.looking > 0:
		v.lookAway()
	default:
		if v.deps.Back != nil {
			v.deps.Back()
		}
		return
	}
	v.again()
	v.Focus()
}

// take takes a tool in hand.
func (v *View) take(t Tool) {
	d := v.draft
	if t != Choosing && v.locked() {
		return
	}
	if d.Tool == t && t != Choosing {
		t = Choosing
	}
	d.Tool, d.From, d.Node, d.Marks, d.hand, d.cross = t, "", "", nil, gesture{}, nil
	switch t {
	case Linking:
		v.page = pathPage
		d.StepNode(1)
		v.say("Press a terminal, then the one that it is joined to.")
	case Sketching:
		v.say("Drag to draw a line. Nothing reads the sketch; it is for people.")
	case Outlining:
		v.page = addPage
		v.say("Drag from corner to corner: a module of that size is put down. Its groups are those on the sheet.")
	case Erasing:
		v.say("Press a line of the sketch to take it away.")
	}
	v.again()
}

// hint are the keys that matter, the most needed first.
func (v *View) hint() []string {
	switch d := v.draft; {
	case v.browser.on:
		return []string{"Enter takes it", "Esc leaves"}
	case d.AsItWas != "" && len(d.Chosen) == 0:
		return []string{"Esc back to the newest", "Tab next thing"}
	case d.AsItWas != "":
		return []string{"Esc chooses nothing", "Tab next thing"}
	case d.Tool == Linking && d.From != "":
		return []string{"Enter joins", "Tab another", "Esc lets go"}
	case d.Tool == Linking:
		return []string{"Enter begins a link", "Tab another", "Esc ends"}
	case d.Tool.points():
		return []string{"Arrows move the cross", "Enter presses there", "Esc ends"}
	case len(d.Chosen) > 0:
		return []string{"Arrows move", "R turns", "Enter its fields", "Esc chooses nothing"}
	}
	return []string{"Tab next thing", "M module", "L link", "? keys"}
}

// hand hands presses and drags on the drawing to the draft.
type hand struct{ v *View }

func (h hand) world(at mgl64.Vec2) mgl64.Vec2 { return h.v.pane.View().World(at) }

func (h hand) target(at mgl64.Vec2) string { return h.v.pane.List().Hit(h.v.pane.View(), at) }

// Take begins a gesture.
func (h hand) Take(from mgl64.Vec2) bool {
	return h.v.draft.AsItWas == "" && h.v.draft.take(h.target(from), h.world(from))
}

// Drag goes on with it; nothing but the drawing is drawn again.
func (h hand) Drag(_, at mgl64.Vec2) {
	h.v.draft.drag(h.world(at), h.v.pane.View().ScaleX)
	h.v.pane.Refresh()
}

// Drop ends it.
func (h hand) Drop(_, at mgl64.Vec2) {
	v := h.v
	linking := v.draft.hand.kind == stretching
	over := h.target(at)
	r := v.draft.drop(over)
	if r.outline != nil {
		v.putOutlined(*r.outline)
		return
	}
	if linking {
		v.link(over, r)
		return
	}
	v.do(r)
}

// Pick is a press.
func (h hand) Pick(target string, at mgl64.Vec2) { h.v.press(target, h.world(at)) }

// press does what a press on the drawing does with the tool in hand.
func (v *View) press(target string, at mgl64.Vec2) {
	d := v.draft
	id, node := idOf(target)
	if v.page == orderPage && d.Tool == Choosing && v.pressOrder(id, node, at) {
		return
	}
	if node != "" && d.Tool != Linking {
		id = v.ownerOf(node)
	}
	switch d.Tool {
	case Linking:
		if node == "" && d.Kind(id) != "" {
			node = d.nearest(id, at)
		}
		if node == "" {
			return
		}
		v.pressNode(node)
		return
	case Erasing:
		v.erase(at)
		return
	case Squaring, Measuring:
		v.mark(at)
		return
	case Sketching, Outlining:
		return
	}
	if d.Kind(id) == "" {
		id = ""
	}
	d.Choose(id, d.Several || v.set.Shift())
	if v.page != versionsPage && (v.page != pathPage && v.page != photoPage || id == "") {
		v.page = fieldsPage
	}
	v.wrong = ""
	v.again()
}

// ownerOf is the module of a terminal; "" for a named one.
func (v *View) ownerOf(node string) string {
	if s, ok := v.draft.spotOf(node); ok {
		return v.draft.Layout.Modules[s.module].ID
	}
	return ""
}

// pressNode begins a link or ends it.
func (v *View) pressNode(node string) {
	d := v.draft
	switch {
	case d.From == "":
		d.BeginLink(node)
		v.say("From " + node + ": press the terminal that it is joined to.")
		v.again()
	case d.From == node:
		d.From, d.Node = "", ""
		v.say("Let go of " + node + ".")
		v.again()
	default:
		v.link("node:"+node, v.linkTo(node))
	}
}

// link keeps a link and takes the next terminal in hand.
func (v *View) link(over string, r result) {
	_, node := idOf(over)
	from := v.draft.From
	if r.do == nil {
		v.again()
		return
	}
	if !v.do(r) {
		v.draft.From = from
		return
	}
	v.draft.goOn(node)
	v.again()
}

func (v *View) linkTo(node string) result {
	return v.draft.linked(node, v.draft.LinkKind)
}
