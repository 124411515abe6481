package comparing

import (
	"fmt"
	"math"
	"strings"

	"halfsplit/fault/compare"
	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// Ids of what can be pressed.
const (
	beforeID = "set:before"
	afterID  = "set:after"
)

const (
	headHigh = 30.0

	legendFrom = 260.0 // height from which a drawing has its legend on it
	scaleHigh  = 34.0  // of the scale below drawings that have none

	edge    = 18.0
	rowHigh = 22.0
	most    = 400 // rows of a part that are shown; the copy has all
)

// Blocks are the words above the table.
func (p *Page) Blocks() []sheet.Block {
	if p.span.on {
		return p.spanBlocks()
	}
	b := []sheet.Block{{Kind: sheet.Title, Text: "Before and after", Bold: true}}
	if p.said != "" {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: p.said})
	}
	if len(p.sets) < 2 {
		text := "Nothing is read yet."
		if len(p.sets) == 1 {
			text = "There is one set of readings so far: " + p.sets[0].Title() + ", " + p.sets[0].Count() + "."
		}
		return append(b, sheet.Block{Kind: sheet.Para, Text: text},
			sheet.Block{Kind: sheet.Para, Text: "Two sets are needed. A set is what is read in one state without a change between; after an hour without a reading a new one begins."},
			sheet.Block{Kind: sheet.Soft, Text: "Go back with Esc, record the state that the pack is in now (S), and read the same points again."})
	}
	before, after := p.sets[p.sides[0].set], p.sets[p.sides[1].set]
	b = append(b, sheet.Block{Kind: sheet.Action, ID: beforeID, Text: "Before (B): " + before.Title(), Value: before.Count() + ". A press takes the next set."},
		sheet.Block{Kind: sheet.Action, ID: afterID, Text: "After (A): " + after.Title(), Value: after.Count() + ". A press takes the next set."})
	if p.sides[0].set == p.sides[1].set {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "This is the same set twice: choose another one."})
	}
	if !p.result.Comparable() {
		text := "Not comparable; shown side by side all the same."
		if p.result.Untold() {
			text = "Whether they are comparable cannot be told; shown side by side all the same."
		}
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: text})
		for _, r := range p.result.Reasons {
			b = append(b, sheet.Block{Kind: sheet.Item, Text: r.Text})
		}
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: "The differences below do not say that the pack itself changed."})
	}
	if len(p.result.Rows) > 0 {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: p.result.Found()})
	}
	return b
}

// A part of the table.
type part struct {
	name string
	rows []compare.Row
}

// parts are the table's rows by what is said of them.
func (p *Page) parts() []part {
	all := []part{{name: "Beyond the error, also for all values together"}, {name: "Beyond the error of one value: some are so by chance"}, {name: "Within the error"}, {name: "Bounds that do not tell them apart"}, {name: "No error is known: the instrument's ranges are not given"}}
	at := map[compare.Verdict]int{compare.Surely: 0, compare.Beyond: 1, compare.Within: 2, compare.Bounds: 3, compare.Unknown: 4}
	for _, r := range p.result.Rows {
		k := at[r.Verdict]
		all[k].rows = append(all[k].rows, r)
	}
	var out []part
	for _, q := range all {
		if len(q.rows) > 0 {
			out = append(out, q)
		}
	}
	return out
}

// draw is the words, and the table below them.
func (p *Page) draw(width float64) (*scene.List, float64) {
	l, y := sheet.Draw(p.Blocks(), width, easel.Measure)
	if len(p.sets) < 2 || p.span.on {
		return l, y
	}
	t := &table{l: l, y: y - 8, wide: width - 2*edge}
	for _, q := range p.parts() {
		t.heading(fmt.Sprintf("%s: %d", q.name, len(q.rows)))
		t.row(theme.Soft, false, "", "", "before", "after", "difference")
		for i, r := range q.rows {
			if i == most {
				t.line(theme.Soft, fmt.Sprintf("… and %d more; the copy has them all.", len(q.rows)-most))
				break
			}
			id := "module:" + r.Place
			t.row(theme.Ink, r.Verdict == compare.Surely, id, r.What, r.Before.Text, r.After.Text, r.DifferenceText())
		}
	}
	for _, only := range []struct {
		name string
		of   []string
	}{{"Read before alone", p.result.OnlyBefore}, {"Read after alone", p.result.OnlyAfter}} {
		if len(only.of) > 0 {
			t.heading(fmt.Sprintf("%s: %d", only.name, len(only.of)))
			t.line(theme.Ink, strings.Join(only.of[:min(len(only.of), 40)], "; ")+more(len(only.of)-40))
		}
	}
	return t.l, t.y + 16
}

func more(n int) string {
	if n <= 0 {
		return "."
	}
	return fmt.Sprintf("; and %d more.", n)
}

// A table is set from the top down.
type table struct {
	l    *scene.List
	y    float64
	wide float64
}

func (t *table) line(role theme.Role, text string) {
	for _, s := range scene.Wrap(words.Plain(text), t.wide, theme.Small+1, false, easel.Measure) {
		t.l.Text("", scene.At(edge, t.y+9), scene.Start, scene.Middle, scene.Ink(role), theme.Small+1, false, s)
		t.y += 18
	}
}

func (t *table) heading(text string) {
	t.y += 12
	for _, s := range scene.Wrap(words.Plain(text), t.wide, theme.Text, true, easel.Measure) {
		t.l.Text("", scene.At(edge, t.y+10), scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Text, true, s)
		t.y += 20
	}
}

// row has the point in a line of its own where the width is small.
func (t *table) row(role theme.Role, bold bool, id, what, before, after, difference string) {
	top := t.y
	x := edge
	columns := []float64{0.26, 0.19, 0.19, 0.36}
	if t.wide < 460 {
		if what != "" {
			t.l.Text(id, scene.At(edge, t.y+rowHigh/2), scene.Start, scene.Middle, scene.Ink(role), theme.Text, bold, scene.Shorten(words.Plain(what), t.wide, theme.Text, bold, easel.Measure))
			t.y += rowHigh - 2
		}
		columns = []float64{0, 0.28, 0.28, 0.44}
		what = ""
	}
	for i, s := range []string{what, before, after, difference} {
		w := columns[i] * t.wide
		x += w
		s = scene.Shorten(words.Plain(s), w-6, theme.Text, bold, easel.Measure)
		if s == "" {
			continue
		}
		if i == 0 {
			t.l.Text(id, scene.At(edge, t.y+rowHigh/2), scene.Start, scene.Middle, scene.Ink(role), theme.Text, bold, s)
			continue
		}
		t.l.Text(id, scene.At(x, t.y+rowHigh/2), scene.End, scene.Middle, scene.Ink(role), theme.Text, bold, s)
	}
	t.y += rowHigh
	if id != "" {
		t.l.Line("", scene.Ink(theme.Hairline), 1, scene.At(edge, t.y), scene.At(edge+t.wide, t.y))
		t.l.Target(id, 0, scene.At(0, top), scene.At(edge+t.wide, top), scene.At(edge+t.wide, t.y), scene.At(0, t.y))
		t.y += 2
	}
}

// drawHead names a drawing's set above it.
func (p *Page) drawHead(i int, w float64) *scene.List {
	l := &scene.List{}
	s := p.sides[i]
	if s == nil || s.set >= len(p.sets) {
		return l
	}
	name := [2]string{"Before: ", "After: "}[i]
	l.Text("", scene.At(8, headHigh/2), scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Text, true, scene.Shorten(words.Plain(name+p.sets[s.set].Title()), w-16, theme.Text, true, easel.Measure))
	return l
}

// drawDeltaHead says what is taken from what.
func (p *Page) drawDeltaHead(w float64) *scene.List {
	l := &scene.List{}
	if len(p.sets) < 2 || !p.differs {
		return l
	}
	text := differNames[p.of] + ": " + p.sets[p.sides[1].set].Title() + ", less " + p.sets[p.sides[0].set].Title()
	l.Text("", scene.At(8, headHigh/2), scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Text, true, scene.Shorten(words.Plain(text), w-16, theme.Text, true, easel.Measure))
	return l
}

// Text is the whole comparison as text, for the clipboard: a row a line, its columns
// apart by tabs.
func (p *Page) Text() string {
	var b strings.Builder
	b.WriteString(sheet.Text(p.Blocks()))
	for _, q := range p.parts() {
		fmt.Fprintf(&b, "\n%s: %d\npoint\tbefore\tafter\tdifference\n", q.name, len(q.rows))
		for _, r := range q.rows {
			fmt.Fprintf(&b, "%s\t%s\t%s\t%s\n", r.What, r.Before.Text, r.After.Text, r.DifferenceText())
		}
	}
	if !math.IsNaN(p.result.Shift) {
		fmt.Fprintf(&b, "\nAll groups moved together by %+.2g %%.\n", 100*p.result.Shift)
	}
	return words.Plain(b.String())
}
