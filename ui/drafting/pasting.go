package drafting

import (
	"fmt"

	"fyne.io/fyne/v2"

	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// A pasting is a list that is being taken in: what it was understood as is shown
// before anything of it is kept.
type pasting struct {
	title, wants string
	text         string
	read         func(text string) (said []sheet.Block, n int) // n = what would be kept
	keep         func(text string)
	keepName     func(n int) string
}

// paste opens the step for a list, with what was copied where it has several lines.
func (v *View) pasteList(p pasting) {
	if v.deps.Clipboard != nil {
		if text := v.deps.Clipboard(); manyLines(text) {
			p.text = text
		}
	}
	v.pasted = &p
	v.again()
	v.sheet.Roll.Offset = fyne.NewPos(0, 0)
	v.focusSheet()
}

func manyLines(text string) bool {
	for i, r := range text {
		if r == '\n' && i+1 < len(text) {
			return len(text) < 1<<20
		}
	}
	return false
}

// pasteThings are the list, what it was understood as, and the way on.
func (v *View) pasteThings() []fyne.CanvasObject {
	p := v.pasted
	e := form.NewEntry(6)
	e.Wrapping = fyne.TextWrapOff
	e.SetText(p.text)
	e.LeaveBy(v.deps.Key, v.leavePaste)
	said, n := p.read(p.text)
	board := easel.NewBoard(theme.Raised, 160, func(w float64) (*scene.List, float64) {
		l, high := sheet.DrawSized(said, w, sheet.Sizes{Touch: float64(easel.Sizes().Touch()), Number: theme.Number}, easel.Measure)
		return l, high - 12
	})
	keep := v.chip("", "", true, func() {
		text, do := p.text, p.keep
		if _, n := p.read(text); n == 0 {
			v.say("Nothing of the list would be kept: each line says why.")
			return
		}
		v.pasted = nil
		do(text)
		v.focusSheet()
	})
	keep.Command.Name = p.keepName(n)
	keep.Command.Label = func() string { return p.keepName(n) }
	e.OnChanged = func(text string) {
		p.text = text
		said, n = p.read(text)
		board.Refresh()
		keep.Refresh()
		v.sheet.Again()
	}
	return []fyne.CanvasObject{
		v.words([]sheet.Block{{Kind: sheet.Title, Text: p.title, Bold: true}, {Kind: sheet.Soft, Text: p.wants}}),
		form.NewLabelled("The list; paste it with Ctrl V", e),
		v.row(v.chip("Paste what was copied", "", false, func() {
			if v.deps.Clipboard == nil || v.deps.Clipboard() == "" {
				v.say("Nothing was copied that could be pasted here.")
				return
			}
			e.SetText(v.deps.Clipboard())
		}), keep, v.chip("Leave the list", "", false, v.leavePaste)),
		board,
	}
}

func (v *View) leavePaste() {
	v.pasted = nil
	v.again()
	v.focusSheet()
}

// lineBlocks say what became of each line of a list.
func lineBlocks(head string, lines [][2]string) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Para, Text: head}}
	const most = 200
	for i, l := range lines {
		if i == most {
			return append(b, sheet.Block{Kind: sheet.Soft, Text: fmt.Sprintf("and %d more lines, taken in the same way.", len(lines)-most)})
		}
		b = append(b, sheet.Block{Kind: sheet.Item, Text: fmt.Sprintf("Line %d, %q: %s", i+1, shorter(l[0], 40), l[1])})
	}
	return b
}

func shorter(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}
