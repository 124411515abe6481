package ruler

import (
	"math"
	"sort"
	"strings"

	"halfsplit/ui/facts"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// sections draws each section's measure line with its volts and its chassis
// mark.
func (f *frame) sections(s int) {
	var marks []mark
	for i := range f.Pack.Sections {
		sec := &f.Pack.Sections[i]
		from, to, ok := f.extent(s, sec)
		if !ok {
			continue
		}
		f.measureLine(s, sec, from, to)
		if sec.String == s {
			if m, ok := f.chassisMark(s, sec); ok {
				lo, _ := f.span(s, from)
				_, hi := f.span(s, to)
				m.from, m.to = f.v.Screen(f.at(s, from, lo, 0)).X(), f.v.Screen(f.at(s, to, hi, 0)).X()
				marks = append(marks, m)
			}
		}
	}
	sort.SliceStable(marks, func(i, j int) bool { return marks[i].x < marks[j].x })
	f.markTexts(marks)
}

// extent is the range of places that a section holds of a string.
func (f *frame) extent(s int, sec *facts.Section) (from, to int, ok bool) {
	from, to = math.MaxInt, -1
	for _, m := range sec.Modules {
		if mod := f.Pack.Modules[m]; mod.String == s {
			from, to = min(from, mod.Place), max(to, mod.Place)
		}
	}
	return from, to, to >= 0
}

// measureLine is the section's length in volts, as on a drawing.
func (f *frame) measureLine(s int, sec *facts.Section, from, to int) {
	lay := f.rows[s].lay
	lo, _ := f.span(s, from)
	_, hi := f.span(s, to)
	a, b := f.at(s, from, lo, lay.measure), f.at(s, to, hi, lay.measure)
	f.l.Line("", scene.Ink(theme.Soft), 1, a, b)
	for _, e := range []scene.Point{a, b} {
		f.l.Line("", scene.Ink(theme.Soft), 1, e.Moved(-3, 4), e.Moved(3, -4))
	}
	text := words.Volts(sec.Volts)
	switch {
	case math.IsNaN(sec.Volts):
		text = "volts not known"
	case sec.Rough:
		text = "about " + text + ", nominal"
	}
	wide := f.v.Screen(b).X() - f.v.Screen(a).X()
	short := ""
	for _, t := range []string{sec.From + "…" + sec.To + " " + text, text, words.Volts(sec.Volts)} {
		if f.measure(t, theme.Small, false) <= wide-16 {
			short = t
			break
		}
	}
	if short == "" {
		return
	}
	w := f.measure(short, theme.Small, false)
	// In the middle of what is seen of the section.
	left, right := math.Max(0, f.v.Screen(a).X()), math.Min(f.v.W, f.v.Screen(b).X())
	mid := a.Moved((left+right)/2-f.v.Screen(a).X(), 0)
	f.l.Rect("", mid.Moved(-w/2-5, -7), mid.Moved(w/2+5, 7), scene.Ink(theme.Paper), scene.Paint{}, 0, 0)
	f.l.Add(scene.Shape{Kind: scene.Label, Points: []scene.Point{mid}, Fill: scene.Ink(theme.Ink), Size: theme.Small, Italic: true, Text: short})
}

// A mark is a chassis mark and what may be written beside it.
type mark struct {
	id       string
	tip      scene.Point
	x        float64
	from, to float64  // where its section begins and ends
	texts    []string // from the longest form
}

// chassisMark is the frame symbol on a pointer at the chassis' potential, its
// interval as a bar.
func (f *frame) chassisMark(s int, sec *facts.Section) (mark, bool) {
	u, ok := sec.ChassisAt()
	start, _, known := f.ofNode(sec.Section.From, 0)
	if !ok || !known {
		return mark{}, false
	}
	lay := f.rows[s].lay
	base := start.World.X()
	place := func(volts, y float64) scene.Point { return f.along(s, base+volts, y) }
	low, mid, high := float64(u.Low), float64(u.Mid), float64(u.High)
	shift := f.o.Glide.blend(f.o.Glide.Mid, sec.From, mid) - mid
	low, mid, high = low+shift, mid+shift, high+shift
	if math.IsNaN(low) || math.IsNaN(high) {
		low, high = mid, mid
	}
	id := "section:" + sec.From
	y := lay.band + lay.bandHigh
	f.l.Rect(id, place(low, y+1).Moved(-1, 0), place(high, y+5).Moved(1, 0), scene.Ink(theme.Ink), scene.Paint{}, 0, 0)
	tip := place(mid, lay.chassis)
	f.l.Line(id, scene.Ink(theme.Ink), 1.5, place(mid, y), tip.Moved(0, 6))
	f.l.Line(id, scene.Ink(theme.Ink), 1.5, tip.Moved(-8, 6), tip.Moved(8, 6))
	for _, dx := range []float64{-8, 0, 8} {
		f.l.Line(id, scene.Ink(theme.Ink), 1.5, tip.Moved(dx, 6), tip.Moved(dx-5, 13))
	}
	f.l.Target(id, 6, tip.Moved(-14, 0), tip.Moved(12, 0), tip.Moved(12, 14), tip.Moved(-14, 14))
	span := words.Span(low-shift, mid-shift, high-shift, "V")
	middle, _, _ := strings.Cut(span, " (")
	return mark{id: id, tip: tip, x: f.v.Screen(tip).X(), texts: []string{"chassis " + span + " above " + sec.From, span, middle}}, true
}

// markTexts writes the chassis volts beside their marks: the longest form that
// fits at the right before the next mark, or at the left.
func (f *frame) markTexts(marks []mark) {
	free := 0.0 // x from which nothing is written yet
	for i, m := range marks {
		next := f.v.W
		if i+1 < len(marks) {
			next = marks[i+1].x - 16
		}
		if short := f.measure(m.texts[len(m.texts)-1], theme.Small, false); m.x+18+short < m.to || m.x-20-short > math.Max(free, m.from) {
			next, free = math.Min(next, m.to), math.Max(free, m.from) // inside its section, where anything fits there
		}
		for _, text := range m.texts {
			w := f.measure(text, theme.Small, false)
			at, h, left := m.tip.Moved(14, 6), scene.Start, m.x+14
			if left+w > next-4 {
				at, h, left = m.tip.Moved(-16, 6), scene.End, m.x-16-w
				if left < free+4 {
					continue
				}
			}
			f.l.Rect("", m.tip.Moved(left-m.x-3, -2), m.tip.Moved(left-m.x+w+3, 14), scene.Ink(theme.Paper), scene.Paint{}, 0, 0)
			f.l.Text(m.id, at, h, scene.Middle, scene.Ink(theme.Ink), theme.Small, false, text)
			free = math.Max(left+w, m.x+14)
			break
		}
		free = math.Max(free, m.x+14)
	}
}

// along is a place of a string by its volts, on whichever side of the gaps that
// lies.
func (f *frame) along(s int, volts, y float64) scene.Point {
	places := f.rows[s].before
	for i := range places {
		if _, hi := f.span(s, i); volts <= hi || i == len(places)-1 {
			return f.at(s, i, volts, y)
		}
	}
	return scene.Point{}
}

// axis is the scale in volts under a string; where no volts are known it counts
// groups, and says so.
func (f *frame) axis(s int) {
	lay := f.rows[s].lay
	step := nice(70 / f.v.ScaleX)
	from, to := f.shown(s)
	for i := from; i < to; i++ {
		lo, hi := f.span(s, i)
		f.l.Line("", scene.Ink(theme.Hairline), 1, f.at(s, i, lo, lay.axis), f.at(s, i, hi, lay.axis))
		for k := math.Ceil(lo/step - 1e-9); k*step < hi || (i == to-1 && k*step <= hi); k++ {
			p := f.at(s, i, k*step, lay.axis)
			f.l.Line("", scene.Ink(theme.Soft), 1, p, p.Moved(0, 4))
			f.l.Text("", p.Moved(0, 11), scene.Middle, scene.Middle, scene.Ink(theme.Soft), 10, false, trim(k*step))
		}
	}
	unit := "V"
	if f.Pack.CountsGroups(s) {
		unit = "groups"
	}
	f.l.Text("", f.pinned(6, f.v.OffY+f.rows[s].top+lay.axis+10), scene.Start, scene.Middle, scene.Ink(theme.Soft), 10, false, unit)
}
