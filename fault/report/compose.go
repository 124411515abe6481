package report

import (
	"fmt"
	"math"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/series"
)

// The measures of a page, in mm. A box is high and wide enough for a pencil in a
// gloved hand.
const (
	margin   = 12.0
	columns  = 3
	gutter   = 4.0
	pitch    = 14.0 // from box to box
	boxHigh  = 11.5
	boxWide  = 31.0
	headHigh = 26.5
	footHigh = 15.0

	mostNotes = 8 // lines
)

// A composer fills pages from top to bottom.
type composer struct {
	s     *Sheet
	pages []*Page
	y     float64 // of what comes next
}

// Pages draws the sheet.
func (s *Sheet) Pages() []Page {
	c := &composer{s: s}
	c.next()
	c.setUp()
	c.pack()
	c.boxes()
	c.end()
	out := make([]Page, len(c.pages))
	for i, p := range c.pages {
		s.head(p, i+1, len(c.pages))
		s.foot(p)
		out[i] = *p
	}
	return out
}

func (c *composer) page() *Page     { return c.pages[len(c.pages)-1] }
func (c *composer) wide() float64   { return c.page().W - 2*margin }
func (c *composer) bottom() float64 { return c.page().H - margin - footHigh }

func (c *composer) next() {
	w, h := c.s.Paper.size()
	c.pages = append(c.pages, &Page{W: w, H: h})
	c.y = margin + headHigh
}

// lines writes a text over the width, and goes below it.
func (c *composer) lines(t typeface, x, wide float64, words string) {
	for _, l := range t.wrap(words, wide) {
		c.y += 1.25 * t.size * mmPerPoint
		c.page().text(x, c.y, t, -1, l)
	}
}

// head is on every page: what sheet it is, of which state, and which page.
func (s *Sheet) head(p *Page, n, of int) {
	const wide = 62.0
	x, left := p.W-margin-wide, p.W-2*margin-wide-3
	p.box(x, margin, wide, 14, 0.6, noFill)
	big := typeface{size: 17, bold: true}
	p.text(x+wide/2, margin+6.6, big.fitted("Sheet "+s.Number, wide-3, 8), 0, "Sheet "+s.Number)
	p.text(x+wide/2, margin+11.8, typeface{size: 9}, 0, fmt.Sprintf("page %d of %d", n, of))
	title := typeface{size: 14, bold: true}
	words := "Bench sheet: " + kindWords[s.Kind]
	p.text(margin, margin+5, title.fitted(words, left, 9), -1, words)
	name := s.Title
	if name == "" {
		name = "A case without a title"
	}
	t := typeface{size: 10}
	p.text(margin, margin+10, t, -1, t.shortened(name, left))
	layout := "Layout: " + s.c.Layout.Name
	if s.c.Layout.Name == "" {
		layout = "A layout without a name"
	}
	if s.c.LayoutVersion != "" {
		layout += ", version " + s.c.LayoutVersion
	}
	p.text(margin, margin+14, plain8, -1, plain8.shortened(layout, left))
	state := "State: not recorded. Write what is open, unplugged, removed: ______________________________"
	if s.known {
		state = "State " + s.state.ID + ": " + wholeState(s.state) + "."
	}
	st := typeface{size: 8.5, bold: true}
	lines := st.wrap(state, p.W-2*margin)
	for st.size > 6 && len(lines) > 2 {
		st.size -= 0.5
		lines = st.wrap(state, p.W-2*margin)
	}
	if len(lines) > 2 { // the state's id is what binds: its words end where the room does
		lines = []string{lines[0], st.shortened(lines[1]+" "+lines[2], p.W-2*margin-1)}
	}
	for i, l := range lines {
		p.text(margin, margin+18.4+float64(i)*3.5, st, -1, l)
	}
	p.line(0.4, [2]float64{margin, margin + headHigh - 2}, [2]float64{p.W - margin, margin + headHigh - 2})
}

// foot is on every page: what comes first, and what the sheet was printed from.
func (s *Sheet) foot(p *Page) {
	y := p.H - margin - footHigh + 3
	p.line(0.4, [2]float64{margin, y}, [2]float64{p.W - margin, y})
	p.text(margin, y+4, strong, -1, strong.shortened(siteFirst, p.W-2*margin))
	expected := "What is expected is left out on purpose: it biases a reading. Write what the instrument shows, with its sign and unit."
	if s.Expected {
		expected = "Slanted values are expected, not measured; to chassis, with the meter off. Write what the instrument shows, with its sign and unit."
	}
	p.text(margin, y+7.6, small, -1, expected)
	from := "Printed"
	if s.At.IsZero() {
		from += " at a time not told"
	} else {
		from += s.At.Format(" 2006-01-02 15:04")
	}
	if s.Head != "" {
		from += ". Head of the event log: " + s.Head
	} else {
		from += ". Head of the event log: not told"
	}
	p.text(margin, y+11.2, small, -1, small.shortened(from, p.W-2*margin))
}

// setUp is the first page's: leads, instrument, what stays live.
func (c *composer) setUp() {
	p, top := c.page(), c.y
	left := 0.6 * c.wide()
	c.y += 1
	p.text(margin+2, c.y+3.4, heading, -1, "Leads")
	c.y += 4
	for _, l := range c.s.leads() {
		c.lines(plain8, margin+2, left-4, l)
		c.y += 0.5
	}
	c.lines(plain8, margin+2, left-4, "Boxes go "+c.s.orderWords()+".")
	high := math.Max(c.y+2-top, 31)
	p.box(margin, top, left, high, 0.3, noFill)
	c.instrument(margin+left, top, c.wide()-left, high)
	c.y = top + high + 2.5
	for i, text := range c.s.cautions() {
		t := plain8
		if i == 0 {
			t = typeface{size: 8.5, bold: true}
		}
		c.lines(t, margin, c.wide(), text)
		c.y += 0.7
	}
	c.y += 1.5
}

// instrument is the box that is written by hand; what is recorded of the instrument
// that was chosen is printed.
func (c *composer) instrument(x, y, w, h float64) {
	p := c.page()
	p.box(x, y, w, h, 0.3, noFill)
	in, _ := c.s.c.Instrument(c.s.Instrument)
	rows := [][2]string{{"Instrument", in.ID}, {"Serial", in.Serial}, {"Calibration due", c.s.due(in)}, {"Initials", ""}, {"Begun (date, time)", ""}, {"Ended", ""}}
	step := h / float64(len(rows))
	for i, r := range rows {
		yy := y + float64(i)*step
		if i > 0 {
			p.line(0.15, [2]float64{x, yy}, [2]float64{x + w, yy})
		}
		p.text(x+1.5, yy+step*0.65, plain8, -1, r[0])
		if r[1] != "" {
			from := 1.5 + plain8.width(r[0]) + 2.5
			p.text(x+from, yy+step*0.65, strong.fitted(r[1], w-from-1, 4), -1, strong.cut(r[1], 2*(w-from-1)))
		}
	}
}

// due is until when the calibration of the chosen instrument counts, and whether that
// day had passed when the sheet was printed: its readings are judged by their own day.
func (s *Sheet) due(in fault.Instrument) string {
	switch {
	case in.ID == "":
		return "" // left to be written
	case in.CalDue == "":
		return "not recorded"
	case s.overdue(in):
		return in.CalDue + ", overdue"
	}
	return in.CalDue
}

func (s *Sheet) overdue(in fault.Instrument) bool {
	return !s.At.IsZero() && in.CalDue != "" && s.At.Format(time.DateOnly) > in.CalDue
}

// pack draws the pack where there is room, else on a page of its own.
func (c *composer) pack() {
	if len(c.s.net.Layout.Modules) == 0 {
		c.lines(typeface{size: 11, bold: true}, margin, c.wide(), "No modules are drawn in this layout, so that there is nothing to read.")
		c.lines(typeface{size: 10}, margin, c.wide(), "Draw the pack first, then print the sheet again.")
		return
	}
	from := "seen from " + c.s.c.Layout.SeenFrom
	if c.s.c.Layout.SeenFrom == "" {
		from = "seen from above or below: not recorded"
	}
	caption := "The pack, " + from + ". Recorded open: a gap between two squares. Recorded removed: hatched. The thicker end is the positive one."
	if layOut(c.s.net).schematic {
		caption += " The layout gives no outlines: drawn in string order, not as it lies."
	}
	want := c.s.highFor(c.wide())
	room := c.bottom() - c.y - 6
	many := len(c.s.net.Layout.Modules)
	if room < math.Min(want, 70) || many > 48 && want > 1.25*room {
		c.next()
		room = c.bottom() - c.y - 6
	}
	high := math.Min(want, room)
	if len(c.s.Boxes) <= 3*columns && len(c.pages) == 1 { // so that all stays on one page
		high = math.Min(high, math.Max(60, room-math.Ceil(float64(len(c.s.Boxes))/columns)*pitch-8))
	}
	c.s.draw(c.page(), margin, c.y+1, c.wide(), high-2)
	c.y += high
	c.lines(small, margin, c.wide(), caption)
	c.y += 3
}

// boxes writes the blank boxes down the columns of one page after the other.
func (c *composer) boxes() {
	if len(c.s.Boxes) == 0 && len(c.s.net.Layout.Modules) > 0 {
		c.lines(typeface{size: 10, bold: true}, margin, c.wide(), "In this state there is no place for such a reading.")
		return
	}
	for at := 0; at < len(c.s.Boxes); {
		left := len(c.s.Boxes) - at
		rows := int((c.bottom() - c.y) / pitch)
		need := (left + columns - 1) / columns
		if rows < min(need, 3) {
			c.next()
			continue
		}
		rows = min(rows, need)
		for i := range min(left, rows*columns) {
			x := margin + float64(i/rows)*(c.columnWide()+gutter)
			c.s.box(c.page(), at+i, x, c.y+float64(i%rows)*pitch, c.columnWide())
		}
		at += min(left, rows*columns)
		c.y += float64(rows) * pitch
	}
}

func (c *composer) columnWide() float64 { return (c.wide() - (columns-1)*gutter) / columns }

// box is one value's: its number, its place, where the leads go, and the room to
// write.
func (s *Sheet) box(p *Page, i int, x, y, w float64) {
	b := s.Boxes[i]
	left := w - boxWide - 1.5
	p.box(x+w-boxWide, y, boxWide, boxHigh, 0.45, noFill)
	p.text(x+w-1, y+boxHigh-1.2, typeface{size: 7, grey: 0.45}, 1, units[s.Kind])
	number := fmt.Sprint(i + 1)
	nt := typeface{size: 7, grey: 0.35}
	p.text(x, y+3.4, nt, -1, number)
	indent := nt.width(number) + 1.2
	name := typeface{size: 10.5, bold: true}
	short := boxName(b.Point)
	fit := name.fitted(short, left-indent, 5.5)
	if fit.width(short) <= left-indent {
		p.text(x+indent, y+3.8, fit, -1, short)
	} else { // a long name goes over two lines, and is never cut
		for k, l := range fit.wrap(short, left-indent) {
			p.text(x+indent, y+3+float64(k)*2.3, fit, -1, l)
		}
	}
	lead := typeface{size: 6.5}
	lines := []string{"RED " + b.Red, "BLACK " + b.Black}
	if s.Kind == series.ToChassis || s.Kind == series.Insulation {
		lines = lines[:1] // the black lead stays where the set-up says
	}
	if fit.width(short) <= left-indent {
		for k, l := range lines {
			p.text(x, y+7+float64(k)*2.6, lead.fitted(l, left, 3.5), -1, l)
		}
	}
	if b.Expected != "" {
		t := typeface{size: 6.5, italic: true}
		if words := "expected " + b.Expected; len(lines) > 1 {
			p.text(x, y+12.3, t.fitted(words, left, 4), -1, words)
		} else {
			p.text(x, y+9.8, t, -1, "expected")
			p.text(x, y+12.3, t.fitted(b.Expected, left, 4), -1, b.Expected)
		}
	}
}

// units stand in the corner of a box, so that no bare number is left.
var units = map[series.Kind]string{series.ModuleVolts: "V", series.GroupVolts: "V", series.ToChassis: "V", series.Insulation: "Ω", series.Joint: "Ω"}

// boxName is a point in the fewest words that tell it from the others.
func boxName(p series.Point) string {
	switch {
	case p.Link != "" || p.Group > 0 || p.AfterS > 0:
		return p.Name()
	case p.Red == p.Module+"+" && p.Black == p.Module+"-":
		return p.Module
	}
	return p.Red
}

// end says that nothing is missing after the last box, and leaves room for notes.
func (c *composer) end() {
	n := len(c.s.Boxes)
	if n == 0 {
		return
	}
	if c.bottom()-c.y < 6 {
		c.next()
	}
	c.lines(plain8, margin, c.wide(), fmt.Sprintf("End of the sheet: %s. Type them in under this sheet's number, in this order; what was not read is left out with the key for it.", plural(n, "box", "boxes")))
	if c.bottom()-c.y < 14 {
		return
	}
	c.y += 4
	c.page().text(margin, c.y, strong, -1, "Notes")
	for n := 0; n < mostNotes && c.y+9 < c.bottom(); n++ {
		c.y += 8
		c.page().Marks = append(c.page().Marks, Mark{Kind: Line, Points: [][2]float64{{margin, c.y}, {c.page().W - margin, c.y}}, Width: 0.15, Grey: 0.5})
	}
}
