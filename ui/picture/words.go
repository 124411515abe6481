package picture

import (
	"fmt"
	"image/color"
	"strings"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault/report"
	"halfsplit/topology"
)

var (
	black = color.NRGBA{A: 0xFF}
	white = color.NRGBA{R: 0xFF, G: 0xFF, B: 0xFF, A: 0xFF}
)

// frame draws the edge of the drawing.
func (s *Sheet) frame(grey bool) {
	a, b := mgl64.Vec2{margin, margin + headHigh}, mgl64.Vec2{s.W - margin, s.H - margin - footHigh}
	s.marks = append(s.marks, mark{kind: polygon, points: box(a, b), line: black, width: 0.25})
}

func box(a, b mgl64.Vec2) []mgl64.Vec2 {
	return []mgl64.Vec2{a, {b.X(), a.Y()}, b, {a.X(), b.Y()}}
}

// write sets a text on a baseline, no wider than the room it has: what is longer is
// set smaller, and then shortened.
func (s *Sheet) write(x, y, size, wide float64, bold bool, words string) {
	m := mark{kind: text, points: []mgl64.Vec2{{x, y}}, fill: black, text: report.Drawable(words), size: size, bold: bold}
	if w := m.wide(); w > wide {
		m.size = max(5, size*wide/w)
	}
	for r := []rune(m.text); m.wide() > wide && len(r) > 1; r = r[:len(r)-1] {
		m.text = strings.TrimSpace(string(r[:len(r)-1])) + "…"
	}
	s.marks = append(s.marks, m)
}

// wide is how wide a text is, in mm.
func (m mark) wide() float64 {
	return report.Mark{Kind: report.Text, Text: m.text, Size: m.size, Bold: m.bold, Italic: m.italic}.Wide()
}

// head says what the page shows: the pack's name, and how it is seen.
func (s *Sheet) head(shown topology.Layout, o Options) {
	wide := s.W - 2*margin
	if o.Demo {
		const invented = "INVENTED PACK, FOR PRACTICE"
		m := mark{text: invented, size: 9, bold: true}
		s.write(s.W-margin-m.wide(), margin+5, 9, wide, true, invented)
		wide -= m.wide() + 5
	}
	s.write(margin, margin+5, 13, wide, true, s.title)
	s.write(margin, margin+10, 8, s.W-2*margin, false, strings.Join(said(shown, o), ", ")+".")
	var of []string
	if !o.Date.IsZero() {
		of = append(of, "Drawn "+o.Date.Format("2006-01-02 15:04")+".")
	}
	if o.Head.Hash != "" {
		of = append(of, "Casebook at event "+o.Head.Short()+".")
	}
	s.write(margin, margin+14, 7, s.W-2*margin, false, strings.Join(append(of, "As drawn: no reading and no finding is shown."), " "))
}

// said are the facts of the second line.
func said(l topology.Layout, o Options) []string {
	version := "Version not recorded"
	if o.Version > 0 {
		version = fmt.Sprintf("Version %d", o.Version)
	}
	front := "FRONT not recorded"
	if way, ok := map[string]string{"up": "at the top", "down": "at the bottom", "left": "at the left", "right": "at the right"}[l.Front]; ok {
		front = "FRONT " + way
	}
	from := "seen from: not recorded"
	if o.Below {
		from = "mirrored; " + from
	}
	if l.SeenFrom != "" {
		from = "seen from " + l.SeenFrom
	}
	count := fmt.Sprintf("%d modules", len(l.Modules))
	if len(l.Modules) == 1 {
		count = "1 module"
	}
	out := []string{version, count, front, from}
	if o.Tier != nil {
		out = append(out, fmt.Sprintf("tier %d alone, the others as outlines", *o.Tier))
	}
	return out
}

// foot is the scale as a bar and in words.
func (s *Sheet) foot(o Options) {
	x, y := margin, s.H-margin-footHigh+4
	if s.Scale == 0 {
		s.write(x, y+4, 8, s.W-2*margin, false, "Not to scale: the layout gives no outlines. Modules stand in string order. "+s.Paper+".")
		return
	}
	const parts = 5
	for i := range parts {
		fill := black
		if i%2 == 1 {
			fill = white
		}
		from := x + barLong*float64(i)/parts
		s.marks = append(s.marks, mark{kind: polygon, points: box(mgl64.Vec2{from, y}, mgl64.Vec2{from + barLong/parts, y + 2}), fill: fill, line: black, width: 0.2})
	}
	s.write(x, y+6, 8, 20, false, "0")
	end := fmt.Sprintf("%d mm", int(barLong)*s.Scale)
	m := mark{text: end, size: 8}
	s.write(x+barLong-m.wide()/2, y+6, 8, 30, false, end)
	s.write(x+barLong+14, y+2, 10, 30, true, fmt.Sprintf("1:%d", s.Scale))
	s.write(x+barLong+30, y+2, 8, s.W-2*margin-barLong-30, false, fmt.Sprintf("To scale where it is printed at 100 %%: then the bar is %.0f mm long. %s.", barLong, s.Paper))
	if s.loose {
		s.write(x+barLong+30, y+6, 8, s.W-2*margin-barLong-30, false, "Boards, chassis pieces and parts stand beside what they belong to; their own places are not recorded.")
	}
}
