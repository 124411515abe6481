package reaching

import (
	"cmp"
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

// beside says that there is room for the states' names at right.
func (d *picture) beside() bool { return d.w > 520 }

// above writes the states one under the other over the drawing, where there is no room
// at right; y is where the first one stands.
func (d *picture) above(y float64) {
	for s, state := range d.a.States {
		k, text := looks[s%len(looks)], state.Name
		if s > 0 {
			text += ", " + state.MinutesWords()
		}
		d.dashed([2]float64{8, y}, [2]float64{36, y}, k.dash, scene.Ink(k.role))
		d.mark(k, 22, y)
		d.l.Text("", scene.At(44, y), scene.Start, scene.Middle, scene.Ink(theme.Ink), letter, true, scene.Shorten(words.Plain(text), d.w-52, letter, true, easel.Measure))
		y += lineHigh
	}
}

// names write every state at the end of its line, apart from each other.
func (d *picture) names() {
	x := d.x1 + 44
	room := d.w - x - 8
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
	d.apart(all)
	for _, n := range all {
		k := looks[n.state%len(looks)]
		first := n.at - n.high/2 + 12
		d.l.Line("", scene.Ink(theme.Soft), 1, scene.At(n.from[0]+8, n.from[1]), scene.At(x-36, first))
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
	return [2]float64{d.x1, d.top}
}

// apart moves names that would lie over each other down, and up again where they would
// leave the drawing.
func (d *picture) apart(all []name) {
	// By height; lines that end at about one height keep the order of the states.
	slices.SortStableFunc(all, func(a, b name) int { return cmp.Compare(math.Round(a.at/8), math.Round(b.at/8)) })
	for i := range all {
		least := d.top + all[i].high/2
		if i > 0 {
			least = all[i-1].at + (all[i-1].high+all[i].high)/2
		}
		all[i].at = math.Max(all[i].at, least)
	}
	for i := len(all) - 1; i >= 0; i-- {
		most := d.bottom - all[i].high/2
		if i+1 < len(all) {
			most = all[i+1].at - (all[i+1].high+all[i].high)/2
		}
		all[i].at = math.Min(all[i].at, most)
	}
}
