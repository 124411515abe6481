package ruler

import "halfsplit/ui/probe"

// leads mark the taps that the leads of a reading go to, above the bands.
func (f *frame) leads() {
	for _, lead := range []struct{ place, word string }{{f.o.Red, "RED"}, {f.o.Black, "BLACK"}} {
		n, ok := f.Pack.Net.Node(lead.place)
		if !ok || lead.place == "" {
			continue
		}
		if p, s, ok := f.ofNode(n, 0); ok {
			probe.Mark(f.l, p.Moved(0, f.rows[s].lay.band), lead.word, f.measure)
		}
	}
}
