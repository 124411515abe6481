package report

import (
	"fmt"
	"math"
	"strings"
)

// A MarkKind is a kind of mark on paper.
type MarkKind uint8

// The kinds: an open line, a closed area, a text at Points[0].
const (
	Line MarkKind = iota
	Area
	Text
)

// A Mark is one thing on a page. Greys run from 0, black, to 1, white; there is no
// other colour.
type Mark struct {
	Kind   MarkKind
	Points [][2]float64 // mm from the top left of the page
	Width  float64      // of a line, mm; 0 = an area without outline
	Grey   float64      // of line or text
	Fill   float64      // of an area; negative = none
	Text   string
	Size   float64 // of a text, points
	Bold   bool
	Italic bool
	Align  int // of a text at its point: -1 begins there, 0 has its middle there, 1 ends there
}

// A Page is a sheet of paper with its marks, back to front.
type Page struct {
	W, H  float64 // mm
	Marks []Mark
}

const noFill = -1

func (p *Page) line(width float64, pts ...[2]float64) {
	p.Marks = append(p.Marks, Mark{Kind: Line, Points: pts, Width: width})
}

func (p *Page) area(width, fill float64, pts ...[2]float64) {
	p.Marks = append(p.Marks, Mark{Kind: Area, Points: pts, Width: width, Fill: fill})
}

func (p *Page) box(x, y, w, h, width, fill float64) {
	p.area(width, fill, [2]float64{x, y}, [2]float64{x + w, y}, [2]float64{x + w, y + h}, [2]float64{x, y + h})
}

// text writes on a baseline at y.
func (p *Page) text(x, y float64, t typeface, align int, words string) {
	p.Marks = append(p.Marks, Mark{Kind: Text, Points: [][2]float64{{x, y}}, Text: drawable(words), Size: t.size, Bold: t.bold, Italic: t.italic, Grey: t.grey, Align: align})
}

// hatch fills a convex area with lines that rise to the right, gap mm apart.
func (p *Page) hatch(gap, width float64, pts ...[2]float64) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, q := range pts {
		low, high = math.Min(low, q[0]+q[1]), math.Max(high, q[0]+q[1])
	}
	for c := low + gap*math.Sqrt2; c < high; c += gap * math.Sqrt2 { // x + y = c
		var cut [][2]float64
		for i, a := range pts {
			b := pts[(i+1)%len(pts)]
			da, db := a[0]+a[1]-c, b[0]+b[1]-c
			if da*db < 0 {
				t := da / (da - db)
				cut = append(cut, [2]float64{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])})
			}
		}
		if len(cut) == 2 {
			p.line(width, cut...)
		}
	}
}

// Dump writes the page as text, one mark a line in tenths of a millimetre.
func (p Page) Dump() string {
	var b strings.Builder
	fmt.Fprintf(&b, "page %.1f x %.1f mm\n", p.W, p.H)
	for _, m := range p.Marks {
		b.WriteString([...]string{"line", "area", "text"}[m.Kind])
		for _, q := range m.Points {
			fmt.Fprintf(&b, " %.1f,%.1f", q[0], q[1])
		}
		if m.Kind == Text {
			fmt.Fprintf(&b, " %q %.3g", m.Text, m.Size)
			for _, s := range []struct {
				on   bool
				word string
			}{{m.Bold, " bold"}, {m.Italic, " italic"}, {m.Align == 0, " middle"}, {m.Align > 0, " end"}} {
				if s.on {
					b.WriteString(s.word)
				}
			}
		} else {
			fmt.Fprintf(&b, " width %.2f", m.Width)
		}
		if m.Kind == Area && m.Fill >= 0 {
			fmt.Fprintf(&b, " fill %.2f", m.Fill)
		}
		if m.Grey > 0 {
			fmt.Fprintf(&b, " grey %.2f", m.Grey)
		}
		b.WriteByte('\n')
	}
	return b.String()
}
