package ruler

import (
	"halfsplit/ui/probe"
	"halfsplit/ui/scene"
)

// leads mark the taps that the leads of a reading go to, above the bands; at an end of
// a section the mark leans inward, away from what is written in the gap. Of two that
// are near each other the second stands higher.
func (f *frame) leads() {
	const near = 64.0 // pixels
	var first *scene.Point
	for _, lead := range []struct{ place, word string }{{f.o.Red, "RED"}, {f.o.Black, "BLACK"}} {
		n, ok := f.Pack.Net.Node(lead.place)
		if !ok || lead.place == "" {
			continue
		}
		if p, s, ok := f.ofNode(n, 0); ok {
			lean := 0.0
			if sec := f.Pack.SectionOf(n); sec != nil && sec.Section.From == n {
				lean = 1
			} else if sec != nil && sec.Section.To == n {
				lean = -1
			}
			at := p.Moved(0, f.rows[s].lay.band)
			longer := 0.0
			if first != nil && f.v.Screen(at).Sub(f.v.Screen(*first)).Len() < near {
				longer = 19
			}
			probe.Mark(f.l, at, lead.word, lean, longer, f.measure)
			first = &at
		}
	}
}
