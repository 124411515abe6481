package start

import (
	"strings"
	"time"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/header"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// Deps is what the view is given.
type Deps struct {
	Path     string // of the casebook that is being opened
	Demo     func() (fault.Case, error)
	Case     func(id string)                // opens a case
	Draw     func(layoutID, caseID string)  // opens the drawing of a layout, or of a case's; nil = cannot
	Reopen   func(path string, create bool) // opens a casebook, or the same again
	Copies   func(path string) []string     // the daily copies of a casebook, newest first
	Who      func() string                  // who is here; "" = nobody named
	Now      func() time.Time
	Folder   string                    // where the search for files begins
	Go       func(func())              // runs beside the window; nil = a goroutine
	Do       func(func())              // runs on the window's thread; nil = fyne.Do
	Canvas   func() fyne.Canvas        // of the window, for the focus
	Key      func(*fyne.KeyEvent) bool // keys of the window around; true = taken
	Modifier func() fyne.KeyModifier   // the keys held; nil = none known
	Shortcut func(fyne.Shortcut)       // shortcuts of the window around, out of a field
}

// A status of the casebook.
type status uint8

const (
	opening status = iota
	ready
	troubled
)

// A tab of the list.
type tab uint8

const (
	casesTab tab = iota
	layoutsTab
)

// footHigh is the height of the line at the foot in pixels.
const footHigh = 30

// mostRows is how many rows are drawn before more are asked for.
const mostRows = 40

// A View is the start view.
type View struct {
	deps   Deps
	book   Book
	status status
	err    error
	last   string // path of the casebook that was open before another was asked for

	tab     tab
	cases   []casebook.CaseSummary
	layouts []casebook.LayoutInfo
	thumbs  map[string]*scene.List
	chosen  string
	most    int
	loading bool
	run     int    // of the present load
	wish    string // what to choose when the load is done

	detail   bool // a narrow view shows the sheet of what is chosen
	happened string
	page     page
	fields   Fields
	files    browser
	begin    newCase
	taking   taking
	signing  signing
	handling handling
	drawn    preview

	set    *command.Set
	chips  []*command.Chip
	top    *fyne.Container
	search *form.Entry
	list   *form.List
	pane   *easel.Pane
	sheet  *form.Page
	foot   *easel.Board
	frame  *frame
	root   *fyne.Container
}

// New makes the view; it says that the casebook is being opened until SetBook or
// SetTrouble.
func New(deps Deps) *View {
	if deps.Go == nil {
		deps.Go = func(f func()) { go f() }
	}
	if deps.Do == nil {
		deps.Do = fyne.Do
	}
	v := &View{deps: deps, thumbs: map[string]*scene.List{}, most: mostRows, happened: "Opening the casebook.", fields: FirstFields(),
		set: &command.Set{Modifier: deps.Modifier, Around: deps.Key}}
	v.files.folder = deps.Folder
	v.list = form.NewList(v.draw, v.pick)
	v.list.OnKey, v.list.OnRune = v.listKey, v.set.Rune
	v.search = v.entry(1)
	v.search.SetPlaceHolder("Search")
	v.search.OnChanged = func(string) { v.most = mostRows; v.load() }
	v.search.OnSubmitted = func(string) { v.Focus(); v.open() }
	v.pane = easel.NewPane(&v.drawn)
	v.pane.OnKey = func(k *fyne.KeyEvent) bool { return v.key(k) }
	v.pane.OnRune = func(rune) bool { return false }
	v.sheet = form.NewPage(16)
	v.foot = easel.NewBoard(theme.Paper, 300, func(w float64) (*scene.List, float64) {
		return header.Foot(v.happened, v.hint(), 0, w, footHigh, easel.Measure)
	})
	v.commands()
	v.frame = &frame{v: v}
	v.root = &fyne.Container{Layout: v.frame, Objects: v.frame.parts()}
	v.show(detailsPage)
	return v
}

// Content is what the window shows.
func (v *View) Content() fyne.CanvasObject { return v.root }

// Focus puts the keyboard on the list, or where it is hidden on the page's first
// button.
func (v *View) Focus() {
	if v.list.Visible() {
		v.focus(v.list)
		return
	}
	for _, o := range v.sheet.Objects() {
		if row, ok := o.(*fyne.Container); ok && len(row.Objects) > 0 {
			if b, ok := row.Objects[0].(*command.Chip); ok {
				v.focus(b)
				return
			}
		}
	}
}

func (v *View) focus(f fyne.Focusable) {
	if v.deps.Canvas != nil && v.deps.Canvas() != nil {
		v.deps.Canvas().Focus(f)
	}
}

// SetBook shows a casebook that has been opened.
func (v *View) SetBook(b Book) {
	v.book, v.status, v.err = b, ready, nil
	v.deps.Path = b.Path()
	v.happened = "The casebook is open: " + b.Path()
	v.show(detailsPage)
	v.load()
}

// SetOpening says that a casebook is being opened.
func (v *View) SetOpening(path string) {
	v.book, v.status, v.err, v.deps.Path = nil, opening, nil, path
	v.cases, v.layouts, v.chosen = nil, nil, ""
	v.happened = "Opening " + path
	v.show(detailsPage)
}

// SetTrouble says why the casebook could not be opened, and what can be done.
func (v *View) SetTrouble(path string, err error) {
	v.book, v.status, v.err, v.deps.Path = nil, troubled, err, path
	v.cases, v.layouts, v.chosen = nil, nil, ""
	v.happened = "The casebook is not open. The file was left as it is."
	v.show(detailsPage)
}

// Refresh reads the casebook again, after a case was worked on.
func (v *View) Refresh() {
	if v.status == ready {
		v.load()
	}
}

// load reads the lists beside the window. Of several loads the last one counts.
func (v *View) load() {
	if v.book == nil {
		return
	}
	v.run++
	run, book, query := v.run, v.book, v.search.Text
	v.loading = true
	v.deps.Go(func() {
		cases, err := book.Cases(query)
		var layouts []casebook.LayoutInfo
		if err == nil {
			layouts, err = book.Layouts()
		}
		v.deps.Do(func() { v.loaded(run, cases, matching(layouts, query), err) })
	})
}

func (v *View) loaded(run int, cases []casebook.CaseSummary, layouts []casebook.LayoutInfo, err error) {
	if run != v.run {
		return
	}
	v.loading = false
	if err != nil {
		v.fail("The casebook could not be read", err)
		return
	}
	v.cases, v.layouts = cases, layouts
	if v.wish != "" {
		v.chosen, v.wish = v.wish, ""
		if strings.HasPrefix(v.chosen, "layout:") {
			v.tab = layoutsTab
		} else {
			v.tab = casesTab
		}
	}
	v.keepChoice()
	v.showAll()
	v.list.Reveal(v.chosen)
	v.drawThumbs(run)
}

// matching are the layouts with every word of the query in their name.
func matching(layouts []casebook.LayoutInfo, query string) []casebook.LayoutInfo {
	var out []casebook.LayoutInfo
	for _, l := range layouts {
		all := true
		for _, w := range strings.Fields(strings.ToLower(query)) {
			all = all && strings.Contains(strings.ToLower(l.Name), w)
		}
		if all {
			out = append(out, l)
		}
	}
	return out
}

// keepChoice keeps what is chosen while it is listed, else takes the first.
func (v *View) keepChoice() {
	ids := v.ids()
	for _, id := range ids {
		if id == v.chosen {
			return
		}
	}
	v.chosen = ""
	if len(ids) > 0 {
		v.chosen = ids[0]
	}
}

// ids are what is listed now, in order.
func (v *View) ids() []string {
	var out []string
	if v.tab == casesTab {
		for _, c := range v.cases {
			out = append(out, "case:"+c.ID)
		}
		return out
	}
	for _, l := range v.layouts {
		out = append(out, "layout:"+l.ID)
	}
	return out
}

// drawThumbs draws what is missing beside the window, a few at a time so that
// they appear as they come.
func (v *View) drawThumbs(run int) {
	type job struct {
		key, id string
		places  []string
		layout  bool
	}
	var jobs []job
	for i, c := range v.cases {
		if key := caseThumb(c); v.thumbs[key] == nil && i < v.most {
			jobs = append(jobs, job{key, c.ID, c.Places, false})
		}
	}
	for i, l := range v.layouts {
		if key := layoutThumb(l); v.thumbs[key] == nil && i < v.most {
			jobs = append(jobs, job{key, l.ID, nil, true})
		}
	}
	if len(jobs) == 0 {
		return
	}
	book := v.book
	v.deps.Go(func() {
		for len(jobs) > 0 {
			some := jobs[:min(8, len(jobs))]
			jobs = jobs[len(some):]
			done := map[string]*scene.List{}
			for _, j := range some {
				done[j.key] = &scene.List{}
				if j.layout {
					if l, err := book.ExportLayout(j.id); err == nil {
						done[j.key] = Thumb(l, nil)
					}
				} else if c, _, err := book.Case(j.id); err == nil {
					done[j.key] = Thumb(c.Layout, j.places)
				}
			}
			v.deps.Do(func() {
				for k, t := range done {
					v.thumbs[k] = t
				}
				if run == v.run {
					v.list.Refresh()
				}
			})
		}
	})
}

func caseThumb(c casebook.CaseSummary) string { return c.ID + c.Changed + strings.Join(c.Places, " ") }

func layoutThumb(l casebook.LayoutInfo) string { return l.ID + l.Changed }

func (v *View) now() time.Time {
	if v.deps.Now == nil {
		return time.Time{}
	}
	return v.deps.Now()
}

func (v *View) by() casebook.By {
	if v.deps.Who == nil {
		return casebook.By{}
	}
	return casebook.By{Who: v.deps.Who()}
}

// say writes what just happened at the foot.
func (v *View) say(s string) {
	v.happened = s
	v.foot.Refresh()
}

// showAll draws everything again.
func (v *View) showAll() {
	v.list.Refresh()
	if v.page == detailsPage {
		v.show(detailsPage)
	}
	v.foot.Refresh()
	for _, c := range v.chips {
		c.Refresh()
	}
	v.root.Refresh()
}
