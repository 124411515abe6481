package drafting

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/lists/order"
	"halfsplit/topology"
	"halfsplit/topology/path"
	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// A counting is how the table tells in which order a monitor counts: its list held
// against the volts that were measured for the order. A list is of one pack on one day;
// it is weighed and not kept.
type counting struct {
	list    []float64 // V by index, NaN = no value; nil = no list is in hand
	run     int       // of the weighing in hand
	weighed string    // what was weighed; "" = nothing was yet
	said    order.Result
	turning string // the board whose indices would be mirrored; "" = none is in hand
}

// mostIndex bounds the indices of a list: far more groups than a pack has.
const mostIndex = 20000

// monitorList reads a monitor's list: a value a line, or an index and a value. Every
// line is accounted for; n is how many have a value.
func monitorList(text string) (volts []float64, lines [][2]string, n int) {
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\ufeff", "").Replace(text)
	for _, line := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		index, v, how, said := monitorLine(line, len(volts)+1)
		if said == "" && index <= len(volts) && !math.IsNaN(volts[index-1]) {
			said = fmt.Sprintf("Index %d stands in an earlier line already; that one is taken.", index)
		}
		if said == "" {
			for len(volts) < index {
				volts = append(volts, math.NaN())
			}
			volts[index-1] = v
			n++
			said = fmt.Sprintf("Index %d: %g V%s.", index, v, how)
		}
		lines = append(lines, [2]string{line, said})
	}
	return volts, lines, n
}

// monitorLine is one line; next is the index of a line that names none. how says that a
// unit was understood which is not there, said why the line is not used.
func monitorLine(line string, next int) (index int, volts float64, how, said string) {
	text := strings.TrimSpace(line)
	index = next
	fields := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune("\t; :=|", r) })
	if len(fields) > 1 {
		if i, err := strconv.Atoi(fields[0]); err == nil {
			index, text = i, strings.Join(fields[1:], " ")
		}
	}
	if text == "" {
		return 0, 0, "", "Empty."
	}
	v, _, err := voltsOf(text)
	switch {
	case err != nil:
		return 0, 0, "", "Not used: " + words.Sentence(err.Error())
	case index < 1 || index > mostIndex:
		return 0, 0, "", fmt.Sprintf("Not used: %d is no index of a group. An index counts from 1.", index)
	case fault.EntryUnit(text) == "" && v > 500 && v < 10000:
		return index, v / 1000, ", read as mV", "" // a list in mV says so by its size
	case v < 0.5 || v > 10:
		return 0, 0, "", fmt.Sprintf("Not used: no group has %g V. Write mV behind values in mV.", v)
	}
	return index, v, "", ""
}

// measuredCase is the volts of the terminals as readings of an unbroken string, for the
// orders to be held against.
func measuredCase(l layout, t taken) fault.Case {
	const state, meter = "as measured for the order", "the order's meter"
	in := fault.Instrument{ID: meter, Kind: "voltmeter", GainPct: t.Meter.GainPct, Counts: t.Meter.Counts}
	for _, r := range ranges {
		in.Ranges = append(in.Ranges, fault.Range{Max: r.most, Count: r.digit})
	}
	c := fault.Case{Layout: l, Now: state, Instruments: []fault.Instrument{in}, States: []fault.State{{ID: state, Contactors: fault.Closed}}}
	read := func(red, black string, v float64) {
		c.Readings = append(c.Readings, fault.Reading{ID: fmt.Sprintf("r%d", len(c.Readings)+1), State: state, Quantity: fault.Volts, Red: red, Black: black, Value: v, Instrument: meter, Range: t.Meter.Range})
	}
	m := t.measured(l)
	at := map[string]float64{}
	for _, x := range m.Values {
		at[x.Terminal] = x.Volts
	}
	net, _ := topology.Compile(l)
	joined := net.In(c.States[0].Setting())
	section := func(terminal string) int {
		if node, ok := net.Node(terminal); ok {
			return joined.SectionOf(node)
		}
		return -1
	}
	for _, mod := range l.Modules {
		lo, okLo := at[mod.ID+"-"]
		hi, okHi := at[mod.ID+"+"]
		if s := section(m.Reference); s >= 0 && s == section(mod.ID+"-") {
			for _, terminal := range []string{mod.ID + "-", mod.ID + "+"} {
				if _, ok := at[terminal]; ok && terminal != m.Reference {
					read(terminal, m.Reference, at[terminal])
				}
			}
		} else if okLo && okHi { // of what is not joined to the reference, its own volts are known
			read(mod.ID+"+", mod.ID+"-", hi-lo)
		}
	}
	return c
}

// boardText is the boards in the order in which they were drawn, as it is typed.
func boardText(l layout) string {
	var ids []string
	for _, b := range l.Boards {
		ids = append(ids, b.ID)
	}
	return strings.Join(ids, ", ")
}

// typedBlocks reads an order of boards such as "B3, B1 mirrored, B2" or "3 1 2", each with
// its modules from the negative end of their string. Every board that senses a module
// must be named, and once.
func typedBlocks(l layout, text string) (out []path.Block, err error) {
	drawn := blocks(l)
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(",; \t\n", r) }) {
		if strings.EqualFold(word, "mirrored") {
			if len(out) == 0 || out[len(out)-1].Mirrored {
				return nil, fmt.Errorf("the word mirrored stands once, behind the board that it is about")
			}
			out[len(out)-1].Mirrored = true
			continue
		}
		b, err := boardOf(l, drawn, word)
		switch {
		case err != nil:
			return nil, err
		case len(b.Modules) == 0:
			return nil, fmt.Errorf("board %s has no taps recorded: which modules it counts is not known", b.Board)
		case slices.ContainsFunc(out, func(o path.Block) bool { return b.Board == o.Board }):
			return nil, fmt.Errorf("board %s is named twice", b.Board)
		}
		out = append(out, b)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("no board is named, such as B3, B1 mirrored, B2")
	}
	var left []string
	for _, b := range drawn {
		if len(b.Modules) > 0 && !slices.ContainsFunc(out, func(o path.Block) bool { return o.Board == b.Board }) {
			left = append(left, b.Board)
		}
	}
	if len(left) > 0 {
		return nil, fmt.Errorf("%s left out: the monitor counts all of them", isAre(left))
	}
	return out, nil
}

// boardOf finds a board by its id, whatever its case, or by its number where one alone has
// it.
func boardOf(l layout, drawn []path.Block, word string) (found path.Block, err error) {
	n, numbered := strconv.Atoi(word)
	var like []string
	for _, b := range drawn {
		if strings.EqualFold(b.Board, word) {
			return b, nil
		}
		digits := b.Board[len(strings.TrimRight(b.Board, "0123456789")):]
		if k, err := strconv.Atoi(digits); err == nil && numbered == nil && k == n {
			found, like = b, append(like, b.Board)
		}
	}
	switch len(like) {
	case 0:
		return found, fmt.Errorf("%q is no board of this layout; it has %s", word, boardText(l))
	case 1:
		return found, nil
	}
	return found, fmt.Errorf("%s could be %s: write the whole name", word, strings.Join(like, " or "))
}

func isAre(ids []string) string {
	if len(ids) == 1 {
		return "board " + ids[0] + " is"
	}
	return "boards " + list(ids) + " are"
}

// ofBoard are the modules that a board senses.
func ofBoard(l layout, board string) []string {
	for _, b := range blocks(l) {
		if b.Board == board {
			return b.Modules
		}
	}
	return nil
}

// boardTurned mirrors the indices of one board within themselves: what had its first
// has its last.
func boardTurned(l layout, board string) (layout, error) {
	mine := ofBoard(l, board)
	lo, hi := math.MaxInt, math.MinInt
	for _, m := range l.Modules {
		if slices.Contains(mine, m.ID) && len(m.MonitorIndex) == 2 {
			lo = min(lo, m.MonitorIndex[0], m.MonitorIndex[1])
			hi = max(hi, m.MonitorIndex[0], m.MonitorIndex[1])
		}
	}
	if lo > hi {
		return l, fmt.Errorf("no module of board %s has a monitor's index that could be mirrored", board)
	}
	for _, m := range l.Modules {
		if len(m.MonitorIndex) == 2 && !slices.Contains(mine, m.ID) && max(m.MonitorIndex[0], m.MonitorIndex[1]) >= lo && min(m.MonitorIndex[0], m.MonitorIndex[1]) <= hi {
			return l, fmt.Errorf("%s has indices between those of board %s, and is not on it", m.ID, board)
		}
	}
	l.Modules = slices.Clone(l.Modules)
	for i, m := range l.Modules {
		if slices.Contains(mine, m.ID) && len(m.MonitorIndex) == 2 {
			l.Modules[i].MonitorIndex = []int{lo + hi - m.MonitorIndex[0], lo + hi - m.MonitorIndex[1]}
		}
	}
	return l, nil
}

// recorded writes an order of the groups into the layout's indices.
func recorded(m order.Map, first int) edited {
	return func(l layout) (layout, error) {
		indices, torn := m.Indices(l, first)
		if len(torn) > 0 {
			return l, fmt.Errorf("in this order the groups of %s do not follow each other", list(torn))
		}
		if len(indices) == 0 {
			return l, fmt.Errorf("the drawing has changed since the list was weighed")
		}
		var r []path.Range
		for id, at := range indices {
			r = append(r, path.Range{Module: id, First: at[0], Last: at[1]})
		}
		return path.Assign(l, r), nil
	}
}

// changes says what of the modules' indices an edit changes, one line a module in the
// order of the strings.
func changes(was, is layout) (out []string) {
	text := func(m topology.Module) string {
		if len(m.MonitorIndex) != 2 {
			return "none"
		}
		return fmt.Sprintf("%d to %d", m.MonitorIndex[0], m.MonitorIndex[1])
	}
	ids := along(is)
	for _, m := range is.Modules {
		if !slices.Contains(ids, m.ID) {
			ids = append(ids, m.ID)
		}
	}
	find := func(l layout, id string) topology.Module {
		i := slices.IndexFunc(l.Modules, func(m topology.Module) bool { return m.ID == id })
		return l.Modules[i]
	}
	for _, id := range ids {
		if a, b := text(find(was, id)), text(find(is, id)); a != b {
			out = append(out, fmt.Sprintf("%s: %s; now %s", id, b, a))
		}
	}
	return out
}

// scoreThings hold a monitor's list against what was measured, and record the order that
// a person takes to be true.
func (v *View) scoreThings() []fyne.CanvasObject {
	n := &v.numbers
	intro := "Which way a list runs is told by volts. Measure terminals on the page of order; then a monitor's list of cell volts is held against them here, forward, mirrored and shuffled by boards, each with its share."
	row := v.row(v.chip("Paste a monitor's list …", "", false, v.pasteMonitor))
	if n.list == nil {
		return []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Soft, Text: intro}}), row}
	}
	row.Add(v.chip("Leave the list", "", false, func() {
		n.counting = counting{run: n.run + 1}
		v.again()
	}))
	things := []fyne.CanvasObject{row}
	if !v.weigh() {
		return append(things, v.words([]sheet.Block{{Kind: sheet.Para, Text: "The orders are being weighed …"}}))
	}
	b := []sheet.Block{{Kind: sheet.Para, Text: fmt.Sprintf("A list of %s, held against %s.", count(len(n.list), "value"), count(n.said.Used, "measured value"))}}
	for _, s := range n.said.Says[:n.said.Head] {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: s})
	}
	if n.said.Tell != "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: n.said.Tell})
	}
	if proof := v.proofWords(); proof != "" {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: proof})
	}
	things = append(things, v.words(b))
	k := 0
	for _, m := range n.said.Maps {
		switch {
		case m.To == nil && n.said.Used > 0 && m.Share >= 0.0005:
			things = append(things, v.words([]sheet.Block{{Kind: sheet.Soft, Text: m.Words()}}))
		case m.To != nil:
			k++
			said := words.Capital(m.Name) + "."
			if n.said.Used > 0 {
				said = m.Words()
			}
			things = append(things, v.words([]sheet.Block{{Kind: sheet.Para, Text: fmt.Sprintf("Order %d. %s", k, said)}}),
				v.row(v.chip(fmt.Sprintf("Record order %d", k), "", false, func() { v.recordOrder(m) })))
		}
	}
	return things
}

// proofWords say what one thing, done to the pack, would tell the two likeliest orders
// apart without trust in the volts; "" where there are not two.
func (v *View) proofWords() string {
	l := v.draft.Layout
	var at []map[string][2]int
	first, err := whole("the monitor's first index", v.numbers.start)
	for _, m := range v.numbers.said.Maps {
		if indices, torn := m.Indices(l, first); err == nil && len(at) < 2 && len(indices) > 0 && len(torn) == 0 {
			at = append(at, indices)
		}
	}
	if len(at) < 2 {
		return ""
	}
	within := ""
	for _, id := range along(l) {
		a, b := at[0][id], at[1][id]
		switch {
		case max(a[0], a[1]) < min(b[0], b[1]) || max(b[0], b[1]) < min(a[0], a[1]):
			return fmt.Sprintf("A proof without volts: load or warm %s alone. By order 1 the monitor's %s follow, by order 2 its %s.", id, toWords(a), toWords(b))
		case a[0] != b[0] && within == "":
			within = fmt.Sprintf("A proof without volts: load or warm the first group of %s alone, at its negative end. By order 1 the monitor's %d follows, by order 2 its %d.", id, a[0], b[0])
		}
	}
	return within
}

// toWords are the monitor's indices of a module in rising order.
func toWords(at [2]int) string {
	return fmt.Sprintf("%d to %d", min(at[0], at[1]), max(at[0], at[1]))
}

// recordOrder writes an order into the indices, and says what it rests on.
func (v *View) recordOrder(m order.Map) {
	first, err := whole("the monitor's first index", v.numbers.start)
	if err != nil {
		v.refuse(err)
		return
	}
	if !v.index(result{name: "monitor's indices " + shorter(m.Name, 60), do: recorded(m, first)}) {
		return
	}
	v.focusField(proofFields[0].name) // what comes next; and a second Enter records no other order
	if v.draft.Layout.Proof == nil {
		v.say("Recorded: " + m.Name + ". It rests on volts; prove it by one thing, such as a load on one module or one module warmed, and write who and how below.")
	}
}

// weigh sees that the orders are weighed for the drawing and the volts as they are; it
// says whether they were.
func (v *View) weigh() bool {
	n, l := &v.numbers, v.draft.Layout
	t := takenOf(l)
	key := fmt.Sprint(n.list, t, l.Links, l.Boards)
	for _, m := range l.Modules {
		key += fmt.Sprint(m.ID, m.Series, m.MonitorIndex, ";")
	}
	if n.weighed == key {
		return true
	}
	n.run++
	run, list := n.run, n.list
	v.deps.Go(func() { // many boards take their time
		said := order.Weigh(measuredCase(l, t), list)
		v.deps.Do(func() {
			if run != n.run || n.list == nil {
				return
			}
			n.said, n.weighed = said, key
			if v.page == numbersPage {
				v.againTyping()
			}
		})
	})
	return n.weighed == key
}

// pasteMonitor takes a monitor's list in hand.
func (v *View) pasteMonitor() {
	v.pasteList(pasting{
		title: "Paste a monitor's list", wants: "The volts of the cells by the monitor's index: a value a line, or an index and a value, in V or mV. It is weighed here and not kept with the layout.",
		read: func(text string) ([]sheet.Block, int) {
			if strings.TrimSpace(text) == "" {
				return nil, 0
			}
			_, lines, n := monitorList(text)
			net, _ := topology.Compile(v.draft.Layout)
			return lineBlocks(fmt.Sprintf("%s; the drawing has %s.", words.Capital(count(n, "value")), count(len(net.Groups), "group")), lines), n
		},
		keep: func(text string) {
			v.numbers.list, _, _ = monitorList(text)
			v.again()
		},
		keepName: func(n int) string { return "Weigh " + count(n, "value") },
	})
}

// wouldChange says what the order of boards, as it is written, would change.
func (v *View) wouldChange() *easel.Board {
	return easel.NewBoard(theme.Raised, 160, func(w float64) (*scene.List, float64) {
		list, high := sheet.Draw(preview(v.draft.Layout, v.byBoards), w, easel.Measure)
		return list, high - 12
	})
}

// preview says what of the indices an edit would change, or why it cannot be made.
func preview(l layout, do edited) (b []sheet.Block) {
	to, err := do(l)
	if err != nil {
		return []sheet.Block{{Kind: sheet.Caution, Text: words.Sentence(err.Error())}}
	}
	const most = 6
	lines := changes(l, to)
	if len(lines) == 0 {
		return []sheet.Block{{Kind: sheet.Soft, Text: "The modules have these indices already."}}
	}
	for i, line := range lines {
		if i == most {
			return append(b, sheet.Block{Kind: sheet.Soft, Text: fmt.Sprintf("and %d more.", len(lines)-most)})
		}
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: line + "."})
	}
	return b
}

// turnThings mirror the indices of one board within themselves, after they have shown
// what that changes.
func (v *View) turnThings() []fyne.CanvasObject {
	n, l := &v.numbers, v.draft.Layout
	turned := func(l layout) (layout, error) { return boardTurned(l, n.turning) }
	if n.turning != "" && len(ofBoard(l, n.turning)) == 0 {
		n.turning = "" // it is gone
	}
	if n.turning != "" {
		return []fyne.CanvasObject{v.words(append([]sheet.Block{{Kind: sheet.Para, Text: "The indices of board " + n.turning + " mirrored within themselves:"}}, preview(l, turned)...)),
			v.row(v.chip("Record "+n.turning+" mirrored", "", true, func() {
				id := n.turning
				if v.index(result{name: "indices of " + id + " mirrored", do: func(l layout) (layout, error) { return boardTurned(l, id) }}) {
					v.turnedAbout()
				}
			}), v.chip("Leave "+n.turning+" as it is", "", false, v.turnedAbout))}
	}
	row := v.row()
	for _, b := range blocks(l) {
		if len(b.Modules) > 0 && len(row.Objects) < mostTurned {
			row.Add(v.chip("Mirror "+b.Board+" …", "", false, func() {
				n.turning = b.Board
				v.again()
				v.focusButton("Record " + b.Board + " mirrored")
			}))
		}
	}
	if len(row.Objects) == 0 {
		return nil
	}
	return []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Para, Text: "One board that counts the other way round within itself:"}}), row}
}

// turnedAbout goes back to the boards, with the keyboard on the one that was in hand.
func (v *View) turnedAbout() {
	id := v.numbers.turning
	v.numbers.turning = ""
	v.again()
	v.focusButton("Mirror " + id + " …")
}

// mostTurned is how many boards have a button each; more are turned in the written order.
const mostTurned = 24

// byBoards is the layout with the indices that the written order of boards gives.
func (v *View) byBoards(l layout) (layout, error) {
	start, err := whole("the monitor's first index", v.numbers.start)
	if err != nil {
		return l, err
	}
	order, err := typedBlocks(l, *v.numbers.boards)
	if err != nil {
		return l, err
	}
	r, notes := path.ByBoards(l, order, start)
	if len(notes) > 0 {
		return l, fmt.Errorf("%s", strings.TrimSuffix(notes[0].Text, "."))
	}
	return path.Assign(l, r), nil
}

func (v *View) countByBoards() {
	v.index(result{name: "monitor's indices board by board", do: v.byBoards})
}

// index gives modules other indices, and says where a proof was written of those before.
func (v *View) index(r result) bool {
	was := v.draft.Layout
	if !v.do(r) {
		return false
	}
	if p := v.draft.Layout.Proof; p != nil && len(changes(was, v.draft.Layout)) > 0 {
		v.say("Done: " + r.name + ". The proof that is written below was of the indices before: see whether it is still so.")
	}
	return true
}
