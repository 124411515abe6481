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
	shown, pages := v.numbered()
	things = append(things, pages...)
	label, _ := edit.FieldOf(edit.ModuleKind, "label")
	index, _ := edit.FieldOf(edit.ModuleKind, "monitor_index")
	for _, id := range shown {
		things = append(things, v.words([]sheet.Block{{Kind: sheet.Title, Text: id}}))
		things = append(things, v.nameField(edit.ModuleKind, id)...)
		for _, f := range []edit.Field{label, index} {
			f.Name += " of " + id
			things = append(things, v.fieldThing(f, edit.Selection{id})...)
		}
	}
	return things
}

// numbered are the modules that have their fields on the page: those that are chosen,
// else all in reading order, so many at a time, with the ways to the others.
func (v *View) numbered() (ids []string, things []fyne.CanvasObject) {
	d, n := v.draft, &v.numbers
	all, which := d.ofKind(edit.ModuleKind), "chosen modules"
	if len(all) == 0 {
		which = "modules"
		for _, i := range d.reading() {
			all = append(all, d.Layout.Modules[i].ID)
		}
	}
	if len(all) <= mostNumbered {
		n.from = 0
		return all, nil
	}
	n.from = max(0, min(n.from, (len(all)-1)/mostNumbered*mostNumbered))
	to := min(len(all), n.from+mostNumbered)
	step := func(name string, from int) *command.Chip {
		return v.chip(name, "", false, func() {
			n.from = from
			v.again()
		})
	}
	row := v.row()
	if n.from > 0 {
		row.Add(step("The modules before", n.from-mostNumbered))
	}
	if to < len(all) {
		row.Add(step("The modules after", to))
	}
	return all[n.from:to], []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Soft, Text: fmt.Sprintf("Here stand %d to %d of %d %s; those that are chosen in the drawing alone, once some are.", n.from+1, to, len(all), which)}}), row}
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
			if v.do(result{name: "monitor's indices " + what, do: func(l layout) (layout, error) {
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
		form.NewLabelled("Boards in the monitor's order, such as B1, B2 mirrored", boards), would,
		v.row(v.chip("Board by board, as written", "", false, v.countByBoards)))
	turn := v.row()
	for _, id := range v.draft.ofKind(edit.BoardKind) {
		turn.Add(v.chip("Mirror the indices of "+id, "", false, func() {
			v.do(result{name: "indices of " + id + " mirrored", do: func(l layout) (layout, error) { return boardTurned(l, id) }})
		}))
	}
	if len(turn.Objects) > 0 {
		things = append(things, turn)
	}
	return things
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
