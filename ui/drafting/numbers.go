package drafting

import (
	"fmt"
	"slices"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/topology/path"
	"halfsplit/ui/command"
	"halfsplit/ui/form"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// A numbering is what the page of numbers has in hand.
type numbering struct {
	start  string  // the monitor's first index, as typed
	boards *string // the order of the boards, as typed; nil = as they were drawn
	from   int     // the first module that has its fields here, where not all have
	of     int     // modules that could have
	stale  bool    // a module got another number, and its fields still have the old one
	counting
}

// mostNumbered is how many modules have their fields on the page at a time.
const mostNumbered = 40

// numberThings are the three numbers of every module, side by side: that of the bench,
// the maker's and the monitor's.
func (v *View) numberThings() []fyne.CanvasObject {
	d := v.draft
	title := []sheet.Block{{Kind: sheet.Title, Text: "Numbers", Bold: true}}
	if len(d.Layout.Modules) == 0 {
		return []fyne.CanvasObject{v.words(append(title, sheet.Block{Kind: sheet.Para, Text: "Put modules down first; then their bench numbers, the maker's labels and the monitor's indices stand here side by side."}))}
	}
	title = append(title, sheet.Block{Kind: sheet.Soft, Text: "The bench number is the one that readings go by. The maker's label and the monitor's index are looked up by it; none is derived from another."})
	things := []fyne.CanvasObject{v.words(title), v.words(v.numberNotes())}
	things = append(things, v.assignThings()...)
	things = append(things, v.row(v.chip("Paste a table of numbers …", "", false, v.pasteNumbers)))
	things = append(things, v.proofThings()...)
	shown, said, pages := v.numbered()
	if said != "" {
		things = append(things, v.words([]sheet.Block{{Kind: sheet.Soft, Text: said}}), v.row(pages()...))
	}
	label, _ := edit.FieldOf(edit.ModuleKind, "label")
	index, _ := edit.FieldOf(edit.ModuleKind, "monitor_index")
	for _, id := range shown {
		things = append(things, v.words([]sheet.Block{{Kind: sheet.Title, Text: id}}))
		things = append(things, v.numberField(id)...)
		for _, f := range []edit.Field{label, index} {
			f.Name += " of " + id
			things = append(things, v.fieldThing(f, edit.Selection{id})...)
		}
	}
	if said != "" {
		things = append(things, v.row(pages()...))
	}
	return things
}

// numberField renames one module among many: which are chosen stays, and so does the
// keyboard, though the fields after it are called otherwise now.
func (v *View) numberField(id string) []fyne.CanvasObject {
	things := v.asked("Bench number of "+id, id, func(text string) bool {
		text = strings.TrimSpace(text)
		if text == id {
			return true
		}
		chosen := slices.Clone(v.draft.Chosen)
		if !v.edit(result{name: "rename " + id + " to " + text, do: func(l layout) (layout, error) { return edit.Rename(l, id, text) }}) {
			return false
		}
		if i := slices.Index(chosen, id); i >= 0 {
			chosen[i] = text
			v.draft.Chosen = chosen
		}
		v.numbers.stale = true
		return true
	})
	if l, ok := things[0].(*form.Labelled); ok {
		if e, ok := l.Field.(*form.Entry); ok {
			keep := e.OnSubmitted
			e.OnSubmitted = func(s string) {
				keep(s)
				v.freshen(e)
			}
		}
	}
	return things
}

// freshen fills the page anew where a module has got another number, with the keyboard
// in the field that stands where e stood.
func (v *View) freshen(e *form.Entry) {
	if !v.numbers.stale {
		return
	}
	i := slices.IndexFunc(v.sheet.Objects(), func(o fyne.CanvasObject) bool { return entryOf(o) == e })
	if i < 0 {
		return
	}
	v.numbers.stale = false
	v.again()
	if now := v.sheet.Objects(); i < len(now) && entryOf(now[i]) != nil {
		v.focus(entryOf(now[i]))
		entryOf(now[i]).SelectAll()
	}
}

// numbered are the modules that have their fields on the page: those that are chosen,
// else all in reading order, so many at a time; said is which, "" where they are all,
// and pages makes the ways to the others.
func (v *View) numbered() (ids []string, said string, pages func() []*command.Chip) {
	d, n := v.draft, &v.numbers
	all, which, narrow := d.ofKind(edit.ModuleKind), "Chosen modules", ""
	if len(all) == 0 {
		which, narrow = "Modules", " Once modules are chosen in the drawing, they alone stand here."
		for _, i := range d.reading() {
			all = append(all, d.Layout.Modules[i].ID)
		}
	}
	n.of = len(all)
	if len(all) <= mostNumbered {
		n.from = 0
		return all, "", nil
	}
	n.from = max(0, min(n.from, (len(all)-1)/mostNumbered*mostNumbered))
	to := min(len(all), n.from+mostNumbered)
	pages = func() (row []*command.Chip) {
		if n.from > 0 {
			row = append(row, v.chip("The modules before", "", false, func() { v.turnPage(-1) }))
		}
		if to < len(all) {
			row = append(row, v.chip("The modules after", "", false, func() { v.turnPage(1) }))
		}
		return row
	}
	return all[n.from:to], fmt.Sprintf("%s %d to %d of %d. Page down goes on to the next at the end of the sheet.%s", which, n.from+1, to, len(all), narrow), pages
}

// turnPage shows the modules before or after, with the keyboard in the first field of
// those; false = there are none.
func (v *View) turnPage(by int) bool {
	n := &v.numbers
	to := n.from + by*mostNumbered
	if to < 0 || to >= n.of {
		return false
	}
	n.from = to
	v.again()
	shown, said, _ := v.numbered()
	v.focusField("Bench number of " + shown[0])
	v.say(said[:strings.Index(said, ".")+1])
	return true
}

// roll rolls the sheet by a share of its height; on the page of numbers it goes on to
// the modules after, or before, where it ends.
func (v *View) roll(by float32) {
	was := v.sheet.Roll.Offset.Y
	v.sheet.By(by)
	if v.sheet.Roll.Offset.Y == was && v.page == numbersPage && v.pasted == nil {
		v.turnPage(map[bool]int{true: 1, false: -1}[by > 0])
	}
}

// numberNotes are what the monitor's indices together have wrong, or lack.
func (v *View) numberNotes() []sheet.Block {
	l := v.draft.Layout
	var ranges []path.Range
	for _, m := range l.Modules {
		if len(m.MonitorIndex) == 2 {
			ranges = append(ranges, path.Range{Module: m.ID, First: m.MonitorIndex[0], Last: m.MonitorIndex[1]})
		}
	}
	labels := 0
	for _, m := range l.Modules {
		if m.Label != "" {
			labels++
		}
	}
	b := []sheet.Block{{Kind: sheet.Para, Text: fmt.Sprintf("Of %s, %d have a maker's label and %d a monitor's index.", count(len(l.Modules), "module"), labels, len(ranges))}}
	if len(ranges) == 0 {
		return b
	}
	const most = 12
	for i, n := range path.Check(l, ranges) {
		if i == most {
			return append(b, sheet.Block{Kind: sheet.Soft, Text: "and more, once these are put right."})
		}
		b = append(b, sheet.Block{Kind: sheet.Action, ID: n.GoTo, Text: words.Sentence(n.Text)})
	}
	return b
}

// assignThings give every module of the strings its indices in one of the orders that
// monitors count in.
func (v *View) assignThings() []fyne.CanvasObject {
	n := &v.numbers
	if n.start == "" {
		n.start = "1"
	}
	e := v.entry(n.start)
	e.OnChanged = func(s string) { n.start = s }
	if d := v.draft; n.boards == nil || *n.boards == "" {
		text := boardText(d.Layout)
		n.boards = &text
	}
	boards := v.entry(*n.boards)
	would := v.wouldChange()
	boards.OnChanged = func(s string) {
		*n.boards = s
		would.Refresh()
		v.sheet.Again()
	}
	assign := func(name, what string, ranges func(l layout, start int) ([]path.Range, []path.Note)) *command.Chip {
		return v.chip(name, "", false, func() {
			start, err := whole("the monitor's first index", n.start)
			if err != nil {
				v.refuse(err)
				return
			}
			var notes []path.Note
			if v.index(result{name: "monitor's indices " + what, do: func(l layout) (layout, error) {
				r, said := ranges(l, start)
				if notes = said; len(r) == 0 {
					return l, fmt.Errorf("nothing is joined yet, or no board is drawn: there is no order to count in")
				}
				return path.Assign(l, r), nil
			}}) && len(notes) > 0 {
				v.say(words.Sentence(notes[0].Text))
			}
		})
	}
	things := append([]fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Title, Text: "Monitor's indices"}})}, v.scoreThings()...)
	things = append(things,
		v.words([]sheet.Block{{Kind: sheet.Title, Text: "Where the monitor's order is known"}}),
		form.NewLabelled("The monitor's first index", e),
		v.row(assign("Forward along the string", "forward", func(l layout, start int) ([]path.Range, []path.Note) {
			return path.Forward(l, along(l), start)
		}), assign("From the positive end", "from the positive end", func(l layout, start int) ([]path.Range, []path.Note) {
			return path.Mirrored(l, along(l), start)
		})))
	if len(v.draft.Layout.Boards) == 0 {
		return append(things, v.words([]sheet.Block{{Kind: sheet.Soft, Text: "No board is drawn; with boards the order can be given board by board."}}))
	}
	things = append(things,
		v.words([]sheet.Block{{Kind: sheet.Para, Text: "Board by board: name all of them, by name or number, such as B3, B1 mirrored, B2. A board that is mirrored counts from its positive end."}}),
		form.NewLabelled("Boards in the monitor's order", boards), would,
		v.row(v.chip("Record the boards as written", "", false, v.countByBoards)))
	return append(things, v.turnThings()...)
}

// along are the modules of all strings, each from its negative end.
func along(l layout) (ids []string) {
	net, _ := topology.Compile(l)
	on := edit.PathOf(net)
	for _, s := range net.Strings {
		for _, m := range s.Modules {
			if id := l.Modules[m].ID; on[id].Of > 0 {
				ids = append(ids, id)
			}
		}
	}
	return ids
}

// blocks are the boards in the order in which they were drawn, each with the modules
// that it senses, from the negative end of their string.
func blocks(l layout) (out []path.Block) {
	order := along(l)
	for _, b := range l.Boards {
		one := path.Block{Board: b.ID}
		for _, tap := range b.Taps {
			id, _, _ := strings.Cut(tap, ".")
			id = strings.TrimRight(id, "+-")
			if !slices.Contains(one.Modules, id) {
				one.Modules = append(one.Modules, id)
			}
		}
		slices.SortStableFunc(one.Modules, func(a, b string) int { return slices.Index(order, a) - slices.Index(order, b) })
		out = append(out, one)
	}
	return out
}

// pasteNumbers takes a table of numbers in, after it has shown what it understood.
func (v *View) pasteNumbers() {
	v.pasteList(pasting{
		title: "Paste numbers", wants: "Columns of bench number, maker's label, first and last index of the monitor, with words at their head or without; parted by tabs, semicolons, commas or spaces.",
		read: func(text string) ([]sheet.Block, int) {
			t := path.ReadTable(text, v.draft.Layout)
			head := fmt.Sprintf("Parted by %s; the columns are %s.", t.Separator, list(t.Columns))
			if t.Guessed {
				head += " They have no words at their head: what they hold was guessed."
			}
			if strings.TrimSpace(text) == "" {
				return nil, 0
			}
			var lines [][2]string
			for _, l := range t.Lines {
				lines = append(lines, [2]string{l.Text, l.Said})
			}
			b := lineBlocks(head, lines)
			for _, n := range t.Notes {
				b = append(b, sheet.Block{Kind: sheet.Caution, Text: words.Sentence(n.Text)})
			}
			return b, len(t.Rows)
		},
		keep: func(text string) {
			t := path.ReadTable(text, v.draft.Layout)
			v.do(result{name: "numbers of " + count(len(t.Rows), "module"), do: func(l layout) (layout, error) { return t.Apply(l), nil }})
		},
		keepName: func(n int) string { return "Keep the numbers of " + count(n, "module") },
	})
}
