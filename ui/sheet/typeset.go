package sheet

import (
	"math"

	"halfsplit/ui/palette"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// Room of the page in pixels.
const (
	margin  = 18.0
	leading = 1.36 // line height of a text size
	nameCol = 0.46 // share of the width that a row's name takes
)

// Draw typesets blocks to a width and says how high they are. Nothing is cut
// off: what does not fit in a line goes on in the next.
func Draw(blocks []Block, width float64, measure scene.Measurer) (*scene.List, float64) {
	return DrawSized(blocks, width, Sizes{theme.Touch, theme.Number}, measure)
}

// Sizes are what the glove view makes larger, in pixels.
type Sizes struct {
	Touch  float64 // least height of what is pressed
	Number float64 // of the number in hand
}

// DrawSized is Draw with sizes other than the usual ones.
func DrawSized(blocks []Block, width float64, size Sizes, measure scene.Measurer) (*scene.List, float64) {
	s := &setter{l: &scene.List{}, width: width, y: 14, measure: measure, size: size}
	s.blocks(blocks)
	return s.l, s.y + 18
}

func (s *setter) blocks(blocks []Block) {
	for _, b := range blocks {
		b.Text, b.Value = words.Plain(b.Text), words.Plain(b.Value)
		s.block(b)
	}
}

type setter struct {
	l       *scene.List
	width   float64
	y       float64
	measure scene.Measurer
	size    Sizes
	last    Kind
	slanted bool // what is set is worked out, not measured
}

func (s *setter) room() float64 { return math.Max(40, s.width-2*margin) }

// text sets a paragraph at x and goes down past it.
func (s *setter) text(id, text string, x, width, size float64, bold bool, role theme.Role) {
	for _, line := range scene.Wrap(text, width, size, bold, s.measure) {
		s.l.Text(id, scene.At(x, s.y+size*leading/2), scene.Start, scene.Middle, scene.Ink(role), size, bold, line)
		s.l.Shapes[len(s.l.Shapes)-1].Italic = s.slanted
		s.y += size * leading
	}
}

func (s *setter) press(id string, top float64) {
	if id == "" {
		return
	}
	s.l.Target(id, 0, scene.At(0, top), scene.At(s.width, top), scene.At(s.width, s.y), scene.At(0, s.y))
}

// raise gives what can be pressed the height of a finger, with what it says in
// its middle; from is the first shape of it.
func (s *setter) raise(top float64, from int) {
	lack := s.size.Touch - (s.y - top)
	if lack <= 0 {
		return
	}
	for i := range s.l.Shapes[from:] {
		pts := s.l.Shapes[from+i].Points
		for k := range pts {
			pts[k] = pts[k].Moved(0, lack/2)
		}
	}
	s.y += lack
}

func (s *setter) block(b Block) {
	if b.Kind == Fold && s.last != Fold {
		s.y += 8
	}
	top, from := s.y, len(s.l.Shapes)
	switch b.Kind {
	case Title:
		s.heading(b)
	case Para:
		if b.Bold {
			s.y += 6
		}
		s.text(b.ID, b.Text, margin, s.room(), theme.Text, b.Bold, theme.Ink)
		s.y += 4
	case Soft:
		s.text(b.ID, b.Text, margin, s.room(), theme.Small+1, false, theme.Soft)
		s.y += 4
	case Big:
		s.big(b)
	case Row:
		s.row(b)
	case Bar:
		s.bar(b)
	case Item:
		s.l.Rect("", scene.At(margin+3, s.y+7), scene.At(margin+7, s.y+11), scene.Ink(theme.Soft), scene.Paint{}, 0, 2)
		s.text(b.ID, b.Text, margin+16, s.room()-16, theme.Text, false, theme.Ink)
		s.y += 3
	case Fold:
		s.fold(b)
	case Worked:
		s.text("", b.Text, margin, s.room(), theme.Text, true, theme.Ink)
		s.text("", b.Value, margin+12, s.room()-12, theme.Text, false, theme.Ink)
		s.y += 8
	case Caution:
		s.caution(b)
	case Input:
		s.input(b)
	case Doubt:
		s.doubt(b)
	case Leads:
		s.leads(b)
	case Tiles:
		s.tiles(b)
	case Pad:
		s.pad(b)
	case Action:
		s.action(b)
	case Step:
		s.step(b)
	case LeadPicture:
		s.lead(b.Lead)
	case Route:
		s.route(b)
	case Echo:
		s.echo(b)
	case BenchField:
		s.benchField(b)
	case Halves:
		s.halves(b)
	}
	s.last = b.Kind
	if b.ID != "" {
		s.raise(top, from)
	}
	s.press(b.ID, top)
}

func (s *setter) heading(b Block) {
	if b.Bold { // the page's own title
		s.text(b.ID, b.Text, margin, s.room(), theme.Section, true, theme.Ink)
		s.y += 4
		return
	}
	s.y += 14
	s.l.Line("", scene.Ink(theme.Hairline), 1, scene.At(margin, s.y), scene.At(s.width-margin, s.y))
	s.y += 8
	s.text(b.ID, b.Text, margin, s.room(), theme.Text, true, theme.Accent)
	s.y += 3
}

// big is the number in hand; name and number stand on one line where they fit.
func (s *setter) big(b Block) {
	s.y += 6
	size := s.size.Number
	name := s.measure(b.Text, size, true)
	if b.Text != "" {
		s.l.Text(b.ID, scene.At(margin, s.y+size*leading/2), scene.Start, scene.Middle, scene.Ink(theme.Ink), size, true, b.Text)
	}
	x := margin
	if b.Text != "" {
		x += name + 14
	}
	if x+s.measure(b.Value, size, false) > s.width-margin {
		if b.Text != "" {
			s.y += size * leading
		}
		s.text(b.ID, b.Value, margin, s.room(), size, false, theme.Plum)
	} else {
		role := theme.Plum
		if b.Share == 0 {
			role = theme.Ink
		}
		s.l.Text(b.ID, scene.At(x, s.y+size*leading/2), scene.Start, scene.Middle, scene.Ink(role), size, false, b.Value)
		s.y += size * leading
	}
	s.y += 2
}

// row sets a name at left and its value at right of it; the higher of the two
// decides.
func (s *setter) row(b Block) {
	top := s.y
	nameW := math.Floor(s.room() * nameCol)
	if b.Share > 0 {
		nameW = math.Floor(s.room() * b.Share)
	}
	s.text(b.ID, b.Text, margin, nameW-10, theme.Text, false, theme.Soft)
	bottom := s.y
	s.y = top
	s.slanted = b.Computed
	s.text(b.ID, b.Value, margin+nameW, s.room()-nameW, theme.Text, false, theme.Ink)
	s.slanted = false
	s.y = math.Max(s.y, bottom) + 3
}

// bar sets a name, a bar and its share. The bar starts at the same place and
// has the same length for every share, so that bars compare.
func (s *setter) bar(b Block) {
	const numberW = 52.0
	top := s.y
	nameW := math.Floor(s.room() * nameCol)
	s.text(b.ID, b.Text, margin, nameW-10, theme.Text, false, theme.Ink)
	bottom := math.Max(s.y, top+theme.Text*leading)
	x0, x1 := margin+nameW, s.width-margin-numberW
	mid := top + theme.Text*leading/2
	if x1 > x0+10 {
		s.l.Rect("", scene.At(x0, mid-4), scene.At(x1, mid+4), scene.Ink(theme.Tint), scene.Paint{}, 0, 2)
		if share := math.Max(0, math.Min(1, b.Share)); share > 0 {
			s.l.Rect(b.ID, scene.At(x0, mid-4), scene.At(x0+math.Max(2, (x1-x0)*share), mid+4), scene.Data(palette.Suspicion, 1), scene.Paint{}, 0, 2)
		}
	}
	s.l.Text(b.ID, scene.At(s.width-margin, mid), scene.End, scene.Middle, scene.Ink(theme.Ink), theme.Text, false, b.Value)
	s.y = bottom + 3
}

// fold is a line of touch height with a mark that points right when closed and
// down when open; how much it holds and its key stand at its end.
func (s *setter) fold(b Block) {
	const keyW, countW = 22.0, 30.0
	top := s.y
	lines := scene.Wrap(b.Text, s.room()-24-keyW-countW, theme.Text, true, s.measure)
	high := math.Max(s.size.Touch, float64(len(lines))*theme.Text*leading+16)
	s.l.Line("", scene.Ink(theme.Hairline), 1, scene.At(margin, top), scene.At(s.width-margin, top))
	mid := top + high/2
	c := scene.At(margin+6, mid)
	mark := []scene.Point{c.Moved(-3, -6), c.Moved(4, 0), c.Moved(-3, 6)}
	if b.Open {
		mark = []scene.Point{c.Moved(-6, -3), c.Moved(0, 4), c.Moved(6, -3)}
	}
	s.l.Line(b.ID, scene.Ink(theme.Accent), 2, mark...)
	right := s.width - margin
	if b.Unit != "" {
		s.l.Rect("", scene.At(right-keyW, mid-11), scene.At(right, mid+11), scene.Paint{}, scene.Ink(theme.Hairline), 1, 4)
		s.l.Text("", scene.At(right-keyW/2, mid), scene.Middle, scene.Middle, scene.Ink(theme.Soft), theme.Small, false, b.Unit)
	}
	s.l.Text("", scene.At(right-keyW-10, mid), scene.End, scene.Middle, scene.Ink(theme.Soft), theme.Text, false, b.Value)
	s.y = mid - float64(len(lines))*theme.Text*leading/2
	for _, line := range lines {
		s.l.Text(b.ID, scene.At(margin+24, s.y+theme.Text*leading/2), scene.Start, scene.Middle, scene.Ink(theme.Accent), theme.Text, true, line)
		s.y += theme.Text * leading
	}
	s.y = top + high
	if b.Open {
		s.y += 2
	}
}

// caution has a bar at its left, not red: red is kept for what is live.
func (s *setter) caution(b Block) {
	s.y += 4
	top := s.y
	s.text(b.ID, b.Text, margin+14, s.room()-14, theme.Text, false, theme.Ink)
	s.l.Rect("", scene.At(margin, top), scene.At(margin+4, s.y), scene.Ink(theme.Ink), scene.Paint{}, 0, 2)
	s.y += 6
}
