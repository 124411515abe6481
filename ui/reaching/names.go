package reaching

import (
	"math"
	"slices"

	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// A name stands beside the end of a state's line.
type name struct {
	state    int
	from     [2]float64 // the end of the line
	at, high float64    // middle and height of the words
	lines    []string
}

// names write every state at the end of its line, apart from each other; where there
// is no room at right, above the drawing's lower edge.
func (d *picture) names() {
	x := d.x1 + 44
	room := d.w - x - 8
	if d.x1 > d.w-labels {
		x, room = d.x0+40, d.x1-d.x0-50
	}
	var all []name
	for s, state := range d.a.States {
		lines := scene.Wrap(words.Plain(state.Name), room, letter, true, easel.Measure)
		if s > 0 {
			lines = append(lines, scene.Wrap(words.Plain(state.MinutesWords()), room, letter, false, easel.Measure)...)
		}
		n := name{state: s, from: d.end(s), lines: lines, high: 16*float64(len(lines)) + 8}
		n.at = n.from[1]
		all = append(all, n)
	}
	beside := d.x1 <= d.w-labels
	if !beside { // one under the other, from above
		for i := range all {
			all[i].at = top + 12
			if i > 0 {
				all[i].at = all[i-1].at + (all[i-1].high+all[i].high)/2
			}
		}
	} else {
		d.apart(all)
	}
	for _, n := range all {
		k := looks[n.state%len(looks)]
		first := n.at - n.high/2 + 12
		if beside {
			d.l.Line("", scene.Ink(theme.Soft), 1, scene.At(n.from[0]+8, n.from[1]), scene.At(x-36, first))
		}
		d.dashed([2]float64{x - 34, first}, [2]float64{x - 6, first}, k.dash, scene.Ink(k.role))
		d.mark(k, x-20, first)
		for i, line := range n.lines {
			d.l.Text("", scene.At(x, first+16*float64(i)), scene.Start, scene.Middle, scene.Ink(theme.Ink), letter, i == 0, line)
		}
	}
}

// end is where a state's line ends: at its last place, or at the frame's corner where
// it has none.
func (d *picture) end(s int) [2]float64 {
	row := d.a.Cells[s]
	aside := (float64(s) - float64(len(d.a.States)-1)/2) * 7
	for i := len(row) - 1; i >= 0; i-- {
		if row[i].Placed() {
			return [2]float64{d.x(d.a.Ohms[i]) + aside, d.y(row[i].Half.Median)}
		}
	}
	return [2]float64{d.x1, top}
}

// apart moves names that would lie over each other down, and up again where they would
// leave the drawing.
func (d *picture) apart(all []name) {
	slices.SortStableFunc(all, func(a, b name) int {
		switch {
		case a.at < b.at:
			return -1
		case a.at > b.at:
			return 1
		}
		return 0
	})
	for i := range all {
		least := top + all[i].high/2
		if i > 0 {
			least = all[i-1].at + (all[i-1].high+all[i].high)/2
		}
		all[i].at = math.Max(all[i].at, least)
	}
	for i := len(all) - 1; i >= 0; i-- {
		most := d.h - bottom - all[i].high/2
		if i+1 < len(all) {
			most = all[i+1].at - (all[i+1].high+all[i].high)/2
		}
		all[i].at = math.Min(all[i].at, most)
	}
}
