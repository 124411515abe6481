// Package probe holds the marks of leads that plan and ruler share, so that a lead looks the
// same on both. It knows shapes, and nothing of packs.
package probe

import (
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// Mark marks where a lead of a reading goes, that is proposed or being entered: its
// word in a box above the place, RED square with a pointed foot, BLACK round with a
// blunt one. Its box leans to the right of the place or, below 0, to the left, and its
// foot is so many pixels longer. No press counts on it: what lies below is pressed.
func Mark(l *scene.List, at scene.Point, word string, lean, longer float64, measure scene.Measurer) {
	const size, high = 10.0, 15.0
	foot := 8 + longer
	half, round := measure(word, size, true)/2+5, 0.0
	ink, paper := scene.Ink(theme.Ink), scene.Ink(theme.Raised)
	if longer > 0 {
		l.Line("", ink, 2, at.Moved(0, -foot), at)
	}
	if word == "RED" {
		l.Add(scene.Shape{Kind: scene.Area, Points: []scene.Point{at.Moved(-5, -9), at.Moved(5, -9), at}, Fill: ink, Line: paper, Width: 1})
	} else {
		round = 7
		l.Rect("", at.Moved(-4, -10), at.Moved(4, 0), ink, paper, 1, 4)
	}
	at = at.Moved(lean*(half-7), 0)
	l.Rect("", at.Moved(-half-1.5, -foot-high-1.5), at.Moved(half+1.5, -foot+1.5), paper, scene.Paint{}, 0, round)
	l.Rect("", at.Moved(-half, -foot-high), at.Moved(half, -foot), paper, ink, 1.5, round)
	l.Text("", at.Moved(0, -foot-high/2), scene.Middle, scene.Middle, ink, size, true, word)
}
