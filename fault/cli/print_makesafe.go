package cli

import "halfsplit/fault/makesafe"

// makeSafe prints the make-safe record as it was recorded, with every reason that a
// person wrote and what was lacking then. Without a record it says nothing.
func (w *printed) makeSafe() {
	lines := makesafe.Lines(&w.c)
	if len(lines) == 0 {
		return
	}
	w.heading("Isolating and proving: what persons recorded, no statement about the metal")
	for _, l := range lines {
		w.item(l.Name, "%s", l.Text)
	}
}
