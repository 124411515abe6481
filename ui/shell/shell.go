// Package shell is the window around the views: the bar on top with the ways to
// the cases, the help, the look of things and the emergency page; which view is
// shown; and the casebook that they all share.
//
// It opens and closes casebooks and remembers where a person was. It draws no pack
// and knows no reading. Everything here runs on the window's thread; a casebook is
// opened beside it.
package shell

import (
	"context"
	"strings"
	"time"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/ui"
	"halfsplit/ui/command"
	"halfsplit/ui/drafting"
	"halfsplit/ui/emergency"
	"halfsplit/ui/help"
	"halfsplit/ui/remember"
	"halfsplit/ui/start"
	"halfsplit/ui/store"
	"halfsplit/ui/theme"
)

// Deps is what the window is given.
type Deps struct {
	Find     func(context.Context, fault.Case) (fault.Finding, error)
	FindIf   ui.Answer // answers a question; nil = none can be asked
	Demo     func() (fault.Case, error)
	Path     string                                                 // of the casebook
	Open     func(path string, create bool) (*casebook.Book, error) // runs beside the window
	Case     *fault.Case                                            // a case from a file instead of a casebook; nil = none
	Begin    func() string                                          // the case to begin with in a casebook that Open has just made; nil or "" = the list
	Remember string                                                 // the file of what is remembered; "" = none
	Variant  theme.Variant                                          // asked for on the command line; System = as remembered
	Folder   string                                                 // where the search for files begins
	Now      func() time.Time
	Scale    func(percent int)           // makes everything larger; nil = cannot
	Go       func(func())                // runs beside the window; nil = a goroutine
	After    func(func())                // runs on the window's thread a moment later; nil = at once
	Do       func(func())                // runs on the window's thread; nil = fyne.Do
	Later    func(time.Duration, func()) // runs on the window's thread after a time; nil = never
	Modifier func() fyne.KeyModifier
}

// A place is a page over the view, or none.
type place uint8

const (
	noPage place = iota
	emergencyPage
	helpPage
	lookPage
	wipePage
)

// A Shell is the window.
type Shell struct {
	deps    Deps
	app     fyne.App
	w       fyne.Window
	kept    remember.State
	late    bool // what is remembered is still to be saved
	shown   int  // text size that is shown, in per cent; 0 = nothing yet
	resized resizing

	book   *casebook.Book
	opened bool // a casebook was opened before: the last case was gone back to

	start     *start.View
	desk      *ui.Desk
	deskName  string
	table     *drafting.View // the drawing table; nil = it is not open
	tableOf   string         // the case that it was opened from; "" = none
	emergency *emergency.Page
	help      *help.Page
	look      *look
	tour      *tour

	wipe   *wipe
	locked bool // the window is being wiped: pages lead back to the lock
	over   place
	before fyne.Focusable // what had the focus before the page
	bar    *bar
	ground *fyne.Container
	set    *command.Set
}

// New makes the window's content and begins to open the casebook.
func New(a fyne.App, w fyne.Window, deps Deps) *Shell {
	if deps.Go == nil {
		deps.Go = func(f func()) { go f() }
	}
	if deps.Do == nil {
		deps.Do = fyne.Do
	}
	s := &Shell{deps: deps, app: a, w: w}
	s.set = &command.Set{Modifier: deps.Modifier, Around: s.key}
	s.set.Add(&command.Command{Name: "Back", Named: []fyne.KeyName{fyne.KeyEscape}, Do: s.back})
	if deps.Remember != "" {
		s.kept = remember.Load(deps.Remember)
	}
	if deps.Variant != theme.System {
		s.kept.Colours = deps.Variant.String()
	}
	s.applyLook()
	s.start = start.New(start.Deps{
		Path: deps.Path, Demo: deps.Demo, Case: s.openCase, Draw: s.draw, Reopen: s.open, Copies: copies, Who: s.who, Now: deps.Now, Folder: deps.Folder,
		Go: deps.Go, Do: deps.Do, Canvas: w.Canvas, Key: s.key, Modifier: deps.Modifier, Shortcut: s.shortcut,
	})
	s.emergency = emergency.New(emergency.Deps{Load: s.loadEmergency, Back: s.leavePage, Canvas: w.Canvas, Key: s.key, Shortcut: s.shortcut})
	s.help = help.New(help.Deps{Keys: s.screenKeys, Show: s.beginTour, Back: s.leavePage, Canvas: w.Canvas, Key: s.key})
	s.look = newLook(s)
	s.wipe = newWipe(s)
	s.bar = newBar(s)
	s.ground = &fyne.Container{Layout: &frame{s: s}}
	if deps.Case != nil {
		s.showDesk(store.NewMemory(*deps.Case), "")
	}
	s.show()
	if deps.Case == nil {
		s.open(deps.Path, false)
	}
	return s
}

// Content is what the window shows.
func (s *Shell) Content() fyne.CanvasObject { return s.ground }

// Close stops what is under way and closes the casebook.
func (s *Shell) Close() error {
	if s.desk != nil {
		s.desk.Close()
	}
	if s.late {
		s.save()
	}
	if s.book == nil {
		return nil
	}
	b := s.book
	s.book = nil
	return b.Close()
}

// open opens a casebook beside the window. The one before is closed.
func (s *Shell) open(path string, create bool) {
	if s.book != nil {
		if err := s.book.Close(); err != nil {
			s.start.SetTrouble(s.book.Path(), err)
			return
		}
		s.book = nil
	}
	s.start.SetOpening(path)
	s.deps.Go(func() {
		b, err := s.deps.Open(path, create)
		s.deps.Do(func() { s.ready(path, b, err) })
	})
}

// ready takes the casebook, or what is wrong with it. The first one goes back to
// the case that was open last; one that was just made begins with its own.
func (s *Shell) ready(path string, b *casebook.Book, err error) {
	if err != nil {
		s.start.SetTrouble(path, err)
		return
	}
	s.book = b
	s.emergency.SetSave(s.saveEmergency)
	s.keepEmergency()
	s.start.SetBook(b)
	id := s.kept.Last(b.Path())
	if id == "" && s.deps.Begin != nil {
		id = s.deps.Begin()
	}
	if id != "" && !s.opened {
		s.goBackTo(id)
	}
	s.opened = true
}

// What was open last: a case by its id, a drawing by its layout's or by that of the case
// that it was opened from.
const (
	lastLayout  = "layout:"
	lastDrawing = "drawing:"
)

// goBackTo opens what was open when the program ended, where it is still there.
func (s *Shell) goBackTo(id string) {
	if layout, ok := strings.CutPrefix(id, lastLayout); ok {
		if _, err := s.book.ExportLayout(layout); err == nil {
			s.draw(layout, "")
		}
		return
	}
	caseID, drawing := strings.CutPrefix(id, lastDrawing)
	switch _, _, err := s.book.Case(caseID); {
	case err != nil:
	case drawing:
		s.draw("", caseID)
	default:
		s.openCase(caseID)
	}
}

// setLast remembers what is open; "" is the list.
func (s *Shell) setLast(id string) {
	if s.book != nil {
		s.kept.SetLast(s.book.Path(), id)
		s.save()
	}
}

// openCase opens a case of the casebook.
func (s *Shell) openCase(id string) {
	st, err := store.NewBook(s.book, id)
	if err != nil {
		s.start.Fail("The case cannot be opened", err)
		return
	}
	s.setLast(id)
	s.showDesk(st, id)
}

// showDesk shows a case; id is empty for one that is in no casebook.
func (s *Shell) showDesk(st store.Store, id string) {
	if s.desk != nil {
		s.desk.Close()
	}
	s.deskName = start.CaseName(st.Case().Title)
	place, keep := s.place(id)
	s.desk = ui.NewDesk(ui.Deps{
		Case: st.Case(), Store: st, Find: s.deps.Find, FindIf: s.deps.FindIf, Go: s.deps.Go, Do: s.deps.Do, Modifier: s.deps.Modifier,
		Copy:      func(text string) { s.app.Clipboard().SetContent(text) },
		Clipboard: func() string { return s.app.Clipboard().Content() },
		Restyle:   s.restyle, Variant: s.variant(), Canvas: s.w.Canvas, Now: s.deps.Now,
		Who: s.who(), SaveWho: s.setWho,
		Glide: ui.Glide, Leave: s.Cases, Draw: s.drawerOf(id), Folder: s.deps.Folder,
		Panes: ui.Panes{Ruler: s.kept.Ruler, Sheet: s.kept.Sheet}, SavePanes: s.keepPanes,
		Place: place, SavePlace: keep,
		Connection: func(instrument string) string { return s.kept.Meters[instrument] }, SetConnection: s.keepMeter,
	})
	s.desk.Around(s.key)
	s.over = noPage
	s.show()
}

// Cases leaves the case for the list of cases. What was recorded is in the
// casebook already.
func (s *Shell) Cases() {
	if s.locked {
		return
	}
	if s.table != nil {
		s.table = nil
		s.setLast("")
		s.start.Refresh()
	}
	if s.desk != nil && s.deps.Case == nil {
		s.desk.Close()
		s.desk = nil
		s.setLast("")
		s.start.Refresh()
	}
	s.over = noPage
	s.endTour()
	s.show()
}

func (s *Shell) who() string { return s.kept.Who }

func (s *Shell) setWho(name string) {
	s.kept.Who = name
	s.save()
}

// keepMeter keeps where a meter is connected at this workplace.
func (s *Shell) keepMeter(instrument, address string) {
	if s.kept.Meters == nil {
		s.kept.Meters = map[string]string{}
	}
	s.kept.Meters[instrument] = address
	if address == "" {
		delete(s.kept.Meters, instrument)
	}
	s.save()
}

func (s *Shell) keepPanes(p ui.Panes) {
	s.kept.Ruler, s.kept.Sheet = p.Ruler, p.Sheet
	s.save()
}

func copies(path string) []string {
	c, err := casebook.Copies(path)
	if err != nil {
		return nil
	}
	return c
}

func (s *Shell) save() {
	s.late = false
	if s.deps.Remember != "" {
		// What cannot be remembered is lost with the window, and nothing else.
		_ = remember.Save(s.deps.Remember, s.kept)
	}
}
