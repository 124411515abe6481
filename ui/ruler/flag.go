package ruler

import (
	"math"
	"sort"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// flagSize is the text size of flags.
const flagSize = 11.0

// A flag is a reading to chassis of the present state, at its tap.
type flag struct {
	facts.Flag
	at scene.Point
	x  float64
}

// flagsOf are a string's flags from the left. Readings between two taps and
// readings of other states do not belong to this drawing; the sheet lists them.
func (f *frame) flagsOf(s int) []flag {
	var list []flag
	for _, fl := range f.flags {
		_, toChassis := topology.ChassisRef(fl.Reading.Black)
		if !toChassis || !fl.Now || fl.Reading.Quantity != fault.Volts || fl.Use == facts.Superseded {
			continue
		}
		if p, str, ok := f.ofNode(fl.Node, 0); ok && str == s {
			list = append(list, flag{fl, p, f.v.Screen(p).X()})
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].x < list[j].x })
	return list
}

// flagRow draws the flags: filled where the finding uses the reading, hollow
// where it does not. Flags at one tap stand on lines below each other; a text
// crosses no other flag's pole.
func (f *frame) flagRow(s int) {
	lay := f.rows[s].lay
	list := f.flagsOf(s)
	if len(lay.flags) == 0 {
		return
	}
	busy := make([]float64, len(lay.flags)) // by line: x up to which it is written on
	pole := 0.0                             // x of the pole before
	for i := 0; i < len(list); {
		n := i // flags at one tap
		for n < len(list) && list[n].x-list[i].x < 0.5 {
			n++
		}
		right := f.v.W - 2
		if n < len(list) {
			right = list[n].x - 6
		}
		for k, fl := range list[i:min(n, i+len(busy))] {
			more := k == len(busy)-1 && n-i > len(busy)
			busy[k] = f.flag(s, fl, k, math.Max(busy[k], pole)+6, right, more)
		}
		pole = list[i].x
		i = n
	}
}

// flagTexts are the forms of a flag's text, from the longest.
func flagTexts(fl facts.Flag) []string {
	value := words.VoltsTo(fl.Reading.Value, decimalsOf(fl.Reading))
	if fl.Use == facts.LeftOut {
		value += " left out"
	}
	if fl.Reading.Resistor == nil {
		return []string{value}
	}
	return []string{value + " with " + fl.Reading.Resistor.ID, value + " with R"}
}

// decimalsOf keeps the digits that the instrument gave, as typed.
func decimalsOf(r fault.Reading) int {
	for i, c := range r.Raw {
		if c == '.' || c == ',' {
			n := 0
			for _, d := range r.Raw[i+1:] {
				if d < '0' || d > '9' {
					break
				}
				n++
			}
			return n
		}
	}
	if r.Value == math.Trunc(r.Value) {
		return 0
	}
	return 1
}

// flag draws the flag on line k of its tap, with the longest text that fits
// between left and right, and gives the x up to which it wrote; more says that
// the tap has further readings, which the sheet lists.
func (f *frame) flag(s int, fl flag, k int, left, right float64, more bool) float64 {
	lay := f.rows[s].lay
	id := "reading:" + fl.Reading.ID
	y := lay.flags[k]
	texts := flagTexts(fl.Flag)
	if more {
		for i := range texts {
			texts[i] += ", more"
		}
	}
	text, way := "", 1.0
	for _, t := range texts {
		w := f.measure(t, flagSize, false) + 14
		if fl.x+w <= right {
			text = t
		} else if fl.x-w >= left {
			text, way = t, -1
		}
		if text != "" {
			break
		}
	}
	f.l.Line(id, scene.Ink(theme.Soft), 1, fl.at.Moved(0, lay.band+lay.bandHigh), fl.at.Moved(0, y+5))
	fill := scene.Ink(theme.Ink)
	if fl.Use != facts.Used {
		fill = scene.Ink(theme.Paper)
	}
	f.l.Add(scene.Shape{Kind: scene.Area, ID: id, Points: []scene.Point{fl.at.Moved(0, y-5), fl.at.Moved(way*9, y), fl.at.Moved(0, y+5)}, Fill: fill, Line: scene.Ink(theme.Ink), Width: 1})
	wide := 12.0
	if text != "" {
		h := scene.Alignment(-way)
		f.l.Text(id, fl.at.Moved(way*13, y), h, scene.Middle, scene.Ink(theme.Ink), flagSize, false, text)
		wide = f.measure(text, flagSize, false) + 14
	}
	end := fl.x
	if way > 0 {
		end += wide
	}
	f.l.Target(id, 4, fl.at.Moved(0, y-7), fl.at.Moved(way*wide, y-7), fl.at.Moved(way*wide, y+7), fl.at.Moved(0, y+7))
	return end
}
