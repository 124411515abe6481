package drafting

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/command"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// An adding is what the page for putting things down has been told, as it was typed.
type adding struct {
	series, parallel, wide, deep string
	minus                        int // of minusEnds
	copies, gap, perRow, rowGap  string
	from                         string // number of the first copy; "" = the next free ones
	way                          int    // of ways
	alternate, link              bool
}

var (
	minusEnds = []string{"left", "right", "top", "bottom"}
	ways      = []struct {
		name  string
		angle float64
	}{{"to the right", 0}, {"down", 90}, {"to the left", 180}, {"up", 270}}
)

func firstAdding() adding {
	return adding{series: "8", parallel: "2", wide: "150", deep: "330", minus: 2, copies: "5", gap: "12", perRow: "0", rowGap: "30", alternate: true}
}

// addThings are the page for putting things down.
func (v *View) addThings() []fyne.CanvasObject {
	a := &v.adding
	things := []fyne.CanvasObject{
		v.words([]sheet.Block{{Kind: sheet.Title, Text: "Put down a module", Bold: true}, {Kind: sheet.Soft, Text: "Its size need not be right at once: the handles and the fields change it, and a photo below shows how large it is."}}),
		v.number("Groups in series", &a.series, v.putModule), v.number("Cells of a group", &a.parallel, v.putModule),
		v.number("Width, mm", &a.wide, v.putModule), v.number("Depth, mm", &a.deep, v.putModule),
		v.turning("Minus end: %s", minusEnds, &a.minus),
		v.row(v.chip("Put down this module", "", true, v.putModule), v.outlineChip()),
	}
	things = append(things, v.repeatThings()...)
	return append(things, v.otherThings()...)
}

// number is a field that is typed into; every change draws the preview anew.
// Enter does what the page is for.
func (v *View) number(name string, to *string, enter func()) *form.Labelled {
	e := v.entry(*to)
	e.OnChanged = func(s string) { *to = s; v.preview() }
	e.OnSubmitted = func(string) { enter() }
	return form.NewLabelled(name, e)
}

// turning is a button that takes the next of some words.
func (v *View) turning(format string, words []string, at *int) fyne.CanvasObject {
	b := command.NewChip(&command.Command{Name: words[0], Label: func() string { return fmt.Sprintf(format, words[*at]) }}, v.set)
	b.Command.Do = func() {
		*at = (*at + 1) % len(words)
		b.Refresh()
		v.preview()
		v.sheet.Again()
	}
	return v.row(b)
}

// either is a button that says which of two things holds.
func (v *View) either(yes, no string, on *bool) *command.Chip {
	b := command.NewChip(&command.Command{Name: yes, On: func() bool { return *on }, Label: func() string {
		if *on {
			return yes
		}
		return no
	}}, v.set)
	b.Command.Do = func() {
		*on = !*on
		b.Refresh()
		v.preview()
		v.sheet.Again()
	}
	return b
}

// figure reads a number that was typed; a comma may stand for the point.
func figure(name, text string) (float64, error) {
	n, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(text), ",", ".", 1), 64)
	if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
		return 0, fmt.Errorf("%s: %q is no number", name, text)
	}
	return n, nil
}

// whole reads a whole number that was typed.
func whole(name, text string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil {
		return 0, fmt.Errorf("%s: %q is no whole number", name, text)
	}
	return n, nil
}

// module is the module that the page describes, its middle at a point of the layout.
func (a adding) module(mid mgl64.Vec2) (m topology.Module, err error) {
	if m.Series, err = whole("groups in series", a.series); err != nil {
		return m, err
	}
	if m.Parallel, err = whole("cells of a group", a.parallel); err != nil {
		return m, err
	}
	if m.W, err = figure("width", a.wide); err != nil {
		return m, err
	}
	if m.H, err = figure("depth", a.deep); err != nil {
		return m, err
	}
	m.Minus = minusEnds[a.minus]
	m.X, m.Y = mid.X()-m.W/2, mid.Y()-m.H/2
	return m, nil
}

// putModule puts a module down: beside the one that is chosen, else in the middle of
// what is seen.
func (v *View) putModule() {
	d := v.draft
	m, err := v.adding.module(v.freePlace())
	if err != nil {
		v.refuse(err)
		return
	}
	if d.Snap && d.Step > 0 {
		m.X, m.Y = math.Round(m.X/d.Step)*d.Step, math.Round(m.Y/d.Step)*d.Step
	}
	if v.put(m) {
		v.toDrawing()
	}
}

// put puts a module down and chooses it. On a tier of its own it begins the stack of
// that tier.
func (v *View) put(m topology.Module) bool {
	d := v.draft
	tier, alone := d.Tier, d.Alone
	var id string
	if !v.do(result{name: "a module", do: func(l layout) (_ layout, err error) {
		l, id, err = edit.AddModule(l, m)
		if err == nil && alone && tier != 0 {
			var stack string
			if l, stack, err = edit.NewStack(l, edit.Selection{id}, false); err == nil {
				l, err = edit.SetTier(l, edit.Selection{stack}, tier)
			}
		}
		return l, err
	}}) {
		return false
	}
	d.Choose(id, false)
	v.say("Put down: module " + id + ". Arrows move it; the fields change it; a row of them is further down on the sheet.")
	v.page = addPage
	v.again()
	return true
}

// outlineChip takes the tool that draws outlines in hand.
func (v *View) outlineChip() *command.Chip {
	b := command.NewChip(&command.Command{Name: "Draw outlines by dragging", Do: func() { v.take(Outlining) }, On: func() bool { return v.draft.Tool == Outlining }}, v.set)
	return b
}

// putOutlined puts down a module of a size that was drawn.
func (v *View) putOutlined(r scene.Rect) {
	a := v.adding
	a.wide, a.deep = fmt.Sprint(r.Size().X()), fmt.Sprint(r.Size().Y())
	m, err := a.module(r.Min.Add(r.Max).Mul(0.5))
	if err != nil {
		v.refuse(err)
		return
	}
	v.put(m)
}

// freePlace is the middle of the next module, in mm of the layout.
func (v *View) freePlace() mgl64.Vec2 {
	d := v.draft
	wide, _ := figure("", v.adding.wide)
	if len(d.Chosen) > 0 {
		if b, ok := edit.Bounds(d.Layout, d.Chosen); ok {
			gap, _ := figure("", v.adding.gap)
			return mgl64.Vec2{b.Max.X() + math.Max(0, gap) + wide/2, b.Center().Y()}
		}
	}
	view := v.pane.View()
	mid := mgl64.Vec2{0, 0}
	if view.W > 0 && view.ScaleX > 0 {
		mid = d.toLayout(view.World(mgl64.Vec2{view.W / 2, view.H / 2}))
	}
	for range 50 { // not onto another one
		taken := false
		for _, p := range edit.Places(d.Layout) {
			taken = taken || p.Center.Sub(mid).Len() < 5
		}
		if !taken {
			break
		}
		mid = mid.Add(mgl64.Vec2{20, 20})
	}
	return mid
}

// repeatThings are the fields of a row of modules.
func (v *View) repeatThings() []fyne.CanvasObject {
	a := &v.adding
	title := []sheet.Block{{Kind: sheet.Title, Text: "Repeat it along a line", Bold: true}}
	of, ok := v.repeated()
	v.copies = nil
	if !ok {
		return []fyne.CanvasObject{v.words(append(title, sheet.Block{Kind: sheet.Soft, Text: "Choose one module; then rows of it are put down here, with a preview in the drawing."}))}
	}
	text := "The preview in the drawing shows what comes of it."
	if _, _, err := v.run(of); err != nil {
		text = words.Sentence(err.Error())
	}
	names := make([]string, len(ways))
	for i, w := range ways {
		names[i] = w.name
	}
	said := v.words(append(title, sheet.Block{Kind: sheet.Para, Text: "Of " + of + ". " + text}))
	put := v.chip("Put these down", "", true, v.putRun)
	first := v.number("Copies", &a.copies, v.putRun)
	v.copies, _ = first.Field.(*form.Entry)
	return []fyne.CanvasObject{said,
		first, v.number("Gap, mm", &a.gap, v.putRun), v.turning("Along a line %s", names, &a.way),
		v.number("In a row (0: all in one)", &a.perRow, v.putRun), v.number("Gap between rows, mm", &a.rowGap, v.putRun),
		v.number("First number (empty: the next free)", &a.from, v.putRun),
		v.row(v.either("Each second one turned about", "All the same way round", &a.alternate), v.either("With busbars between neighbours", "Without links", &a.link)),
		v.row(put)}
}

// openRow goes to the fields of a row of the module that is chosen.
func (v *View) openRow() {
	v.open(addPage)
	if v.copies == nil {
		v.say("Choose one module; then rows of it are put down.")
		return
	}
	v.focus(v.copies)
	v.copies.SelectAll()
	v.preview()
}

// repeated is the one module that is chosen.
func (v *View) repeated() (id string, ok bool) {
	d := v.draft
	if len(d.Chosen) != 1 || d.Kind(d.Chosen[0]) != edit.ModuleKind {
		return "", false
	}
	return d.Chosen[0], true
}

// run is what the fields ask for, and the layout that it gives.
func (v *View) run(of string) (r edit.Run, l layout, err error) {
	a := v.adding
	r = edit.Run{Of: of, Angle: ways[a.way].angle, Alternate: a.alternate, Link: a.link}
	if r.Copies, err = whole("copies", a.copies); err != nil {
		return r, l, err
	}
	if r.Gap, err = figure("gap", a.gap); err != nil {
		return r, l, err
	}
	if r.PerRow, err = whole("in a row", a.perRow); err != nil {
		return r, l, err
	}
	if r.RowGap, err = figure("gap between rows", a.rowGap); err != nil {
		return r, l, err
	}
	if strings.TrimSpace(a.from) != "" {
		if r.From, err = whole("first number", a.from); err != nil {
			return r, l, err
		}
	}
	l, _, _, err = edit.Repeat(v.draft.Layout, r)
	return r, l, err
}

// preview draws what the fields of a row would put down.
func (v *View) preview() {
	d := v.draft
	d.preview = nil
	if of, ok := v.repeated(); ok && v.page == addPage {
		_, l, err := v.run(of)
		if err == nil {
			d.preview = edit.Places(l)[len(d.Layout.Modules):]
			v.say(fmt.Sprintf("The preview: %s more.", count(len(d.preview), "module")))
		} else {
			v.say(words.Sentence(err.Error()))
		}
	}
	v.pane.Refresh()
}

// putRun puts the row down.
func (v *View) putRun() {
	d := v.draft
	of, ok := v.repeated()
	if !ok {
		v.do(result{said: "Choose one module first."})
		return
	}
	r, _, err := v.run(of)
	if err != nil {
		v.refuse(err)
		return
	}
	var made []string
	if v.do(result{name: fmt.Sprintf("%s like %s", count(r.Copies, "module"), of), do: func(l layout) (_ layout, err error) {
		l, made, _, err = edit.Repeat(l, r)
		return l, err
	}}) {
		d.Chosen = append(edit.Selection{of}, made...)
		v.page = fieldsPage
		v.again()
		v.pane.Fit()
		v.toDrawing()
	}
}

// otherThings put down what else a pack has.
func (v *View) otherThings() []fyne.CanvasObject {
	d := v.draft
	modules := d.ofKind(edit.ModuleKind)
	add := func(name, what string, f func(l layout) (layout, string, error)) *command.Chip {
		return v.chip(name, "", false, func() {
			var id string
			if v.do(result{name: what, do: func(l layout) (_ layout, err error) {
				l, id, err = f(l)
				return l, err
			}}) {
				d.Choose(id, false)
				v.open(fieldsPage)
			}
		})
	}
	text := "Boards sense what is chosen; a cover or a clamp lies over it. With nothing chosen their fields say it."
	if n := len(modules); n > 0 {
		text = fmt.Sprintf("A board senses every tap of the %s chosen; a part lies over what is chosen.", count(n, "module"))
	}
	chosen := append(edit.Selection{}, d.Chosen...)
	return []fyne.CanvasObject{
		v.words([]sheet.Block{{Kind: sheet.Title, Text: "What else the pack has", Bold: true}, {Kind: sheet.Soft, Text: text}}),
		v.row(add("A board", "a board", func(l layout) (layout, string, error) { return edit.AddBoard(l, tapsOf(l, modules)) }),
			v.chip("A board for each", "", false, func() { v.boardEach(modules) }),
			add("A cover", "a cover", func(l layout) (layout, string, error) { return edit.AddPart(l, "cover", chosen) }),
			add("A clamp", "a clamp", func(l layout) (layout, string, error) {
				l, id, err := edit.AddPart(l, "clamp", nil)
				if err == nil && len(chosen) > 0 {
					l, err = edit.SetHolds(l, id, chosen)
				}
				return l, id, err
			}),
			add("A cooling plate", "a cooling plate", func(l layout) (layout, string, error) { return edit.AddPart(l, "cooling plate", nil) }),
			add("A piece of chassis", "a piece of chassis", func(l layout) (layout, string, error) { return edit.AddChassis(l, "") }),
			add("An empty stack", "a stack", func(l layout) (layout, string, error) { return edit.NewStack(l, nil, false) })),
		v.row(v.bondChip()),
		v.thingsList(),
	}
}

// boardEach adds a board for each of several modules.
func (v *View) boardEach(modules edit.Selection) {
	if len(modules) == 0 {
		v.do(result{said: "Choose the modules that have a board each."})
		return
	}
	v.do(result{name: "boards for " + count(len(modules), "module"), do: func(l layout) (_ layout, err error) {
		for _, m := range modules {
			if l, _, err = edit.AddBoard(l, tapsOf(l, edit.Selection{m})); err != nil {
				return l, err
			}
		}
		return l, nil
	}})
}

// tapsOf are all taps of modules.
func tapsOf(l layout, modules edit.Selection) (taps []string) {
	for _, m := range l.Modules {
		for _, id := range modules {
			if m.ID == id {
				for k := 0; k <= m.Series; k++ {
					taps = append(taps, fmt.Sprintf("%s.%d", id, k))
				}
			}
		}
	}
	return taps
}

// bondChip joins the last two pieces of chassis.
func (v *View) bondChip() *command.Chip {
	return v.chip("A bond between the last two pieces of chassis", "", false, func() {
		pieces := v.draft.Layout.Chassis
		if len(pieces) < 2 {
			v.do(result{said: "A bond joins two pieces of chassis; there are fewer."})
			return
		}
		a, b := pieces[len(pieces)-2].ID, pieces[len(pieces)-1].ID
		var id string
		if v.do(result{name: "a bond from " + a + " to " + b, do: func(l layout) (_ layout, err error) {
			l, id, err = edit.AddBond(l, a, b)
			return l, err
		}}) {
			v.draft.Choose(id, false)
			v.open(fieldsPage)
		}
	})
}

// thingsList are the things that have no place on the drawing, to be chosen here.
func (v *View) thingsList() fyne.CanvasObject {
	d := v.draft
	b := []sheet.Block{}
	add := func(id, text string) { b = append(b, sheet.Block{Kind: sheet.Action, ID: id, Text: text}) }
	for _, s := range d.Layout.Stacks {
		add(s.ID, fmt.Sprintf("Stack %s, tier %d", s.ID, s.Tier))
	}
	for _, x := range d.Layout.Boards {
		add(x.ID, fmt.Sprintf("Board %s, %s", x.ID, count(len(x.Taps), "tap")))
	}
	for _, x := range d.Layout.Parts {
		add(x.ID, fmt.Sprintf("%s %s", words.Capital(x.Kind), x.ID))
	}
	for _, x := range d.Layout.Chassis {
		add(x.ID, "Piece of chassis "+x.ID)
	}
	for _, x := range d.Layout.Bonds {
		add(x.ID, fmt.Sprintf("Bond %s, %s to %s", x.ID, x.From, x.To))
	}
	if len(b) > 0 {
		b = append([]sheet.Block{{Kind: sheet.Title, Text: "Drawn already"}}, b...)
	}
	return v.words(b)
}
