package drafting

import (
	"fmt"

	"fyne.io/fyne/v2"
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/command"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// pathThings are what is joined, how the next link is drawn, and what to look at.
func (v *View) pathThings() []fyne.CanvasObject {
	things := []fyne.CanvasObject{v.words(v.pathBlocks())}
	things = append(things, v.linkThings()...)
	return append(things, v.words(v.problemBlocks()), v.words(v.linkBlocks()))
}

// pathBlocks say how far the path goes.
func (v *View) pathBlocks() []sheet.Block {
	d := v.draft
	b := []sheet.Block{{Kind: sheet.Title, Text: "The electrical path", Bold: true}}
	n := len(d.Layout.Modules)
	joined := len(d.Path)
	switch {
	case n == 0:
		return append(b, sheet.Block{Kind: sheet.Para, Text: "Put modules down first; then their terminals are joined here."})
	case joined == 0:
		return append(b, sheet.Block{Kind: sheet.Para, Text: "Nothing is joined yet. Press a terminal and then the one that it is joined to; the path numbers itself."})
	}
	strings := 0
	for _, s := range d.Net.Strings {
		if d.Path[d.Layout.Modules[s.Modules[0]].ID].Of > 0 {
			strings++
		}
	}
	text := fmt.Sprintf("%d of %s joined, in %s.", joined, count(n, "module"), count(strings, "string"))
	if joined < n {
		text += " What is joined works as sections; the rest can wait."
	}
	return append(b, sheet.Block{Kind: sheet.Para, Text: text})
}

// linkThings are the tool, what the next link is, and the ends that lie outside the
// modules.
func (v *View) linkThings() []fyne.CanvasObject {
	d := v.draft
	if len(d.Layout.Modules) == 0 {
		return nil
	}
	var kinds []*command.Chip
	for _, k := range topology.LinkKinds {
		kinds = append(kinds, command.NewChip(&command.Command{Name: k, Do: func() { d.LinkKind = k; v.again() }, On: func() bool { return d.LinkKind == k }}, v.set))
	}
	begin := v.chip("Join terminals", "L", d.Tool != Linking, func() { v.take(Linking); v.Focus() })
	if d.Tool == Linking {
		begin = v.chip("End joining", "Esc", false, func() { v.take(Choosing) })
	}
	things := []fyne.CanvasObject{v.row(begin), v.words([]sheet.Block{{Kind: sheet.Soft, Text: "The next link is a " + d.LinkKind + ":"}}), v.row(kinds...)}
	if d.Tool != Linking {
		return things
	}
	if d.From == "" {
		return append(things, v.words([]sheet.Block{{Kind: sheet.Para, Text: "Press the terminal at which the link begins."}}))
	}
	things = append(things, v.words([]sheet.Block{{Kind: sheet.Para, Text: "From " + d.From + " to: press its terminal in the drawing, or one of these."}}))
	var ends []*command.Chip
	for _, end := range []string{"pack-", "pack+", "rail-", "rail+", "load-", "load+"} {
		ends = append(ends, v.chip(end, "", false, func() { v.link("node:"+end, v.linkTo(end)) }))
	}
	return append(things, v.row(ends...))
}

// problemBlocks are what a person should look at; a press goes there.
func (v *View) problemBlocks() []sheet.Block {
	d := v.draft
	if len(d.Layout.Modules) == 0 {
		return nil
	}
	if len(d.Problems) == 0 {
		return []sheet.Block{{Kind: sheet.Title, Text: "To look at"}, {Kind: sheet.Para, Text: "Nothing: one path goes through every module, and no link would short cells. Whether the pack is built so, only the pack says."}}
	}
	b := []sheet.Block{{Kind: sheet.Title, Text: fmt.Sprintf("To look at: %d", len(d.Problems))}}
	const most = 40
	for i, p := range d.Problems {
		if i == most {
			b = append(b, sheet.Block{Kind: sheet.Soft, Text: fmt.Sprintf("and %d more, once these are put right.", len(d.Problems)-most)})
			break
		}
		b = append(b, sheet.Block{Kind: sheet.Action, ID: p.GoTo, Text: words.Sentence(p.Text)})
	}
	return b
}

// linkBlocks are the links that are drawn.
func (v *View) linkBlocks() []sheet.Block {
	d := v.draft
	if len(d.Layout.Links) == 0 {
		return nil
	}
	b := []sheet.Block{{Kind: sheet.Title, Text: "Links"}}
	const most = 60
	for i, k := range d.Layout.Links {
		if i == most {
			b = append(b, sheet.Block{Kind: sheet.Soft, Text: fmt.Sprintf("and %d more, in the drawing.", len(d.Layout.Links)-most)})
			break
		}
		b = append(b, sheet.Block{Kind: sheet.Action, ID: k.ID, Text: fmt.Sprintf("%s, %s: %s to %s", k.ID, k.Kind, k.From, k.To)})
	}
	return b
}

// erase takes the lines of the sketch near a point away.
func (v *View) erase(at mgl64.Vec2) {
	d := v.draft
	p, radius := d.toLayout(at), 12/v.pane.View().ScaleX
	_, n, err := edit.Erase(d.Layout, d.Tier, p, radius)
	if err == nil && n == 0 {
		v.say("No line of the sketch is near there.")
		return
	}
	v.do(result{name: "erase in the sketch", do: func(l layout) (_ layout, err error) {
		l, _, err = edit.Erase(l, d.Tier, p, radius)
		return l, err
	}})
}
