package ruler

import (
	"sort"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// flagRow draws the readings of the present state as flags at their taps,
// filled where the finding uses them, hollow where it leaves them out. Readings
// of other states do not belong to this drawing; the sheet lists them.
func (f *frame) flagRow(s int) {
	type placed struct {
		flag facts.Flag
		at   scene.Point
		x    float64
	}
	var list []placed
	for _, fl := range f.flags {
		if !fl.Now || fl.Reading.Quantity != fault.Volts || fl.Use == facts.Superseded {
			continue
		}
		if p, str, ok := f.ofNode(fl.Node, 0); ok && str == s {
			list = append(list, placed{fl, p, f.v.Screen(p).X()})
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].x < list[j].x })
	lay := f.rows[s].lay
	free := make([]float64, len(lay.flags)) // x from which each line of flags is free
	for i := range free {
		free[i] = -1e9
	}
	for _, p := range list {
		text := flagText(p.flag)
		w := f.measure(text, 11, false) + 16
		left := p.x+w > f.v.W-2
		line := -1
		for i := range free {
			x := p.x
			if left {
				x -= w
			}
			if x >= free[i] {
				line = i
				break
			}
		}
		if line >= 0 {
			free[line] = p.x + w + 4
			if left {
				free[line] = p.x + 4
			}
		}
		f.flag(s, p.flag, p.at, line, text, left)
	}
}

func flagText(fl facts.Flag) string {
	t := words.VoltsTo(fl.Reading.Value, decimalsOf(fl.Reading))
	if _, chassis := topology.ChassisRef(fl.Reading.Black); !chassis {
		t += " to " + fl.Reading.Black
	}
	if fl.Reading.Resistor != nil {
		t += " with " + fl.Reading.Resistor.ID
	}
	if fl.Use == facts.LeftOut {
		t += " left out"
	}
	return t
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
	return 1
}

// flag draws one flag; without a free line it is a pennant without words.
func (f *frame) flag(s int, fl facts.Flag, at scene.Point, line int, text string, left bool) {
	lay := f.rows[s].lay
	id := "reading:" + fl.Reading.ID
	y := lay.flags[max(line, 0)]
	foot := at.Moved(0, lay.band+lay.bandHigh)
	way := 1.0
	if left {
		way = -1
	}
	f.l.Line(id, scene.Ink(theme.Soft), 1, foot, at.Moved(0, y+5))
	fill := scene.Ink(theme.Ink)
	if fl.Use != facts.Used {
		fill = scene.Ink(theme.Paper)
	}
	f.l.Add(scene.Shape{Kind: scene.Area, ID: id, Points: []scene.Point{at.Moved(0, y-5), at.Moved(way*9, y), at.Moved(0, y+5)}, Fill: fill, Line: scene.Ink(theme.Ink), Width: 1})
	if line < 0 {
		return
	}
	h := scene.Start
	if left {
		h = scene.End
	}
	f.l.Text(id, at.Moved(way*13, y), h, scene.Middle, scene.Ink(theme.Ink), 11, false, text)
	w := f.measure(text, 11, false)
	f.l.Target(id, 4, at.Moved(0, y-7), at.Moved(way*(w+14), y-7), at.Moved(way*(w+14), y+7), at.Moved(0, y+7))
}
