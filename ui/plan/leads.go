package plan

import "halfsplit/ui/probe"

// leads mark the places that the leads of a reading go to.
func (f *frame) leads() {
	for _, lead := range []struct{ place, word string }{{f.o.Red, "RED"}, {f.o.Black, "BLACK"}} {
		if at, ok := f.place(lead.place); ok && lead.place != "" {
			probe.Mark(f.l, at, lead.word, 0, f.measure)
		}
	}
}
