// Package header is the strip along the top: the case's title, the recorded
// state in words, what is live, and the finding's statement; and the line at
// the foot of the window. They wrap and grow, and cut nothing off that is not
// readable whole on the sheet.
package header

import (
	"math"
	"strings"

	"halfsplit/ui/facts"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

const (
	leading = 1.32

	closeLeading = 1.22

	padX   = 14.0
	padY   = 9.0
	narrow = 900.0 // below it the cells stand under each other
	most   = 3     // lines of the finding; the sheet has it whole
)

// A cell of the strip.
type cell struct {
	text  string
	bold  bool
	role  theme.Role
	share float64 // of the width
	most  int     // lines; 0 = as many as it needs
	close bool    // set close, for a low window
}

// size and line are the letters of a cell and the height of its lines, in pixels.
func (c cell) size() float64 {
	if c.close {
		return theme.Small + 1
	}
	return theme.Text
}

func (c cell) line() float64 {
	if c.close {
		return c.size() * closeLeading
	}
	return c.size() * leading
}

// Strip draws the strip, with the case's title where nothing above says it, and
// says how high it is. In a low window the room goes to what is worked on: the finding
// is on its sheet alone.
func Strip(p *facts.Pack, titled, low bool, width float64, measure scene.Measurer) (*scene.List, float64) {
	title := p.Case.Title
	if title == "" {
		title = "A case without a title"
	}
	cells := []cell{
		{text: words.Plain(title), bold: true, role: theme.Ink, share: 0.20, most: 3},
		{text: words.Plain(p.StateLine()), role: theme.Ink, share: 0.19},
		{text: words.Plain(p.LiveLine()), role: theme.Live, share: 0.31},
		{text: words.Plain(p.FindingLine()), role: theme.Ink, share: 0.30, most: most},
	}
	pad := padY
	if low {
		pad = padY / 3
		cells = cells[:3]
		for i := range cells {
			cells[i].close = true
		}
	}
	if !titled {
		cells = cells[1:]
		for i := range cells {
			cells[i].share /= 0.80
		}
	}
	l := &scene.List{}
	if width < narrow {
		return l, stacked(l, cells, pad, width, measure)
	}
	x, high := 0.0, 0.0
	type set struct {
		x     float64
		lines []string
		c     cell
	}
	var sets []set
	for _, c := range cells {
		w := math.Floor(width * c.share)
		lines := wrapped(c, w-2*padX, measure)
		sets = append(sets, set{x, lines, c})
		high = math.Max(high, float64(len(lines))*c.line())
		x += w
	}
	height := math.Max(52, high+2*pad)
	for i, s := range sets {
		if i > 0 {
			l.Line("", scene.Ink(theme.Hairline), 1, scene.At(s.x, 8), scene.At(s.x, height-8))
		}
		y := (height - float64(len(s.lines))*s.c.line()) / 2
		lines(l, s.lines, s.x+padX, y, s.c)
	}
	l.Line("", scene.Ink(theme.Hairline), 1, scene.At(0, height), scene.At(width, height))
	return l, height
}

// stacked puts the cells under each other, for a narrow window.
func stacked(l *scene.List, cells []cell, pad, width float64, measure scene.Measurer) float64 {
	y := pad
	for _, c := range cells {
		w := wrapped(c, width-2*padX, measure)
		lines(l, w, padX, y, c)
		y += float64(len(w))*c.line() + 2
	}
	y += pad - 2
	l.Line("", scene.Ink(theme.Hairline), 1, scene.At(0, y), scene.At(width, y))
	return y
}

// wrapped breaks a cell's text; where it may not be longer, it ends with an
// ellipsis.
func wrapped(c cell, width float64, measure scene.Measurer) []string {
	w := scene.Wrap(c.text, width, c.size(), c.bold, measure)
	if c.most == 0 || len(w) <= c.most {
		return w
	}
	w = w[:c.most]
	last := len(w) - 1
	w[last] = scene.Shorten(w[last]+" …", width, c.size(), c.bold, measure)
	if !strings.HasSuffix(w[last], "…") {
		w[last] += "…"
	}
	return w
}

func lines(l *scene.List, text []string, x, y float64, c cell) {
	for i, t := range text {
		l.Text("", scene.At(x, y+(float64(i)+0.5)*c.line()), scene.Start, scene.Middle, scene.Ink(c.role), c.size(), c.bold, t)
	}
}

// Foot draws the line at the foot, right of the buttons that end at left.
func Foot(happened string, keys []string, left, width, high float64, measure scene.Measurer) (*scene.List, float64) {
	return FootBetween(happened, keys, left, width, width, high, measure)
}

// twoLines writes what does not fit in one line in two that are smaller; what does not
// fit in these ends with an ellipsis.
func twoLines(l *scene.List, text string, x, room, high float64, measure scene.Measurer) {
	w := scene.Wrap(text, room, theme.Small, false, measure)
	if len(w) > 2 {
		w = []string{w[0], scene.Shorten(w[1]+" "+w[2], room, theme.Small, false, measure)}
	}
	for i, s := range w {
		y := high/2 + (float64(i)-float64(len(w)-1)/2)*theme.Small*closeLeading
		l.Text("", scene.At(x, y), scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Small, false, scene.Shorten(s, room, theme.Small, false, measure))
	}
}

// FootBetween draws the line between the buttons that end at left and those that
// begin at right: what
// just happened, and as many of the keys that matter here, the most needed
// first, as there is room for.
func FootBetween(happened string, keys []string, left, right, width, high float64, measure scene.Measurer) (*scene.List, float64) {
	const size, gap = 13.0, 18.0
	l := &scene.List{}
	l.Line("", scene.Ink(theme.Hairline), 1, scene.At(0, 0), scene.At(width, 0))
	width = right - left
	happened = words.Plain(happened)
	if room := width - 2*padX; measure(happened, size, false) > room { // in two lines, and without the keys
		twoLines(l, happened, left+padX, room, high, measure)
		return l, high
	}
	l.Text("", scene.At(left+padX, high/2), scene.Start, scene.Middle, scene.Ink(theme.Ink), size, false, happened)
	room := width - 2*padX - measure(happened, size, false) - 24
	x := left + width - padX
	for _, k := range keys {
		w := measure(k, size, false)
		if w > room {
			break
		}
		l.Text("", scene.At(x, high/2), scene.End, scene.Middle, scene.Ink(theme.Soft), size, false, k)
		x -= w + gap
		room -= w + gap
	}
	return l, high
}
