package report

import (
	"strings"
	"sync"
	"unicode"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansitalic"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// A typeface is how a text is set. There is one family, with Ω, µ and ±.
type typeface struct {
	size   float64 // points
	bold   bool
	italic bool
	grey   float64
}

var (
	plain8  = typeface{size: 8}
	small   = typeface{size: 7}
	strong  = typeface{size: 8, bold: true}
	heading = typeface{size: 9.5, bold: true}
)

const mmPerPoint = 25.4 / 72

// fonts are read once: regular, bold, italic.
var fonts = sync.OnceValue(func() [3]*sfnt.Font {
	var out [3]*sfnt.Font
	for i, ttf := range [][]byte{liberationsansregular.TTF, liberationsansbold.TTF, liberationsansitalic.TTF} {
		f, err := sfnt.Parse(ttf)
		if err != nil {
			panic("the embedded font is damaged: " + err.Error())
		}
		out[i] = f
	}
	return out
})

func (t typeface) font() *sfnt.Font {
	switch {
	case t.bold:
		return fonts()[1]
	case t.italic:
		return fonts()[2]
	}
	return fonts()[0]
}

// width is how wide a text is in mm.
func (t typeface) width(s string) float64 {
	const em = 1000
	var buf sfnt.Buffer
	var sum fixed.Int26_6
	f := t.font()
	for _, r := range drawable(s) {
		if g, err := f.GlyphIndex(&buf, r); err == nil {
			if w, err := f.GlyphAdvance(&buf, g, fixed.I(em), font.HintingNone); err == nil {
				sum += w
			}
		}
	}
	return float64(sum) / 64 / em * t.size * mmPerPoint
}

// Wide is how wide a text is on paper, in mm; 0 for any other mark.
func (m Mark) Wide() float64 {
	if m.Kind != Text {
		return 0
	}
	return typeface{size: m.Size, bold: m.Bold, italic: m.Italic}.width(m.Text)
}

// Drawable is a text in characters that the sheet's faces have, for other papers that
// are set in them.
func Drawable(s string) string { return drawable(s) }

// missing stands for a character that the font does not have.
const missing = '\u25a1'

// drawable is a text in characters that all three faces have. A thin space is one
// between value and unit; what is not printed, such as a change of direction, is
// left out; a letter that the font lacks is a hollow square, never another letter.
func drawable(s string) string {
	var buf sfnt.Buffer
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\u2009' || r == '\u00a0' || unicode.IsSpace(r):
			return ' '
		case !unicode.IsPrint(r):
			return -1
		case r > 0xffff:
			return missing
		}
		for _, f := range fonts() {
			if g, err := f.GlyphIndex(&buf, r); err != nil || g == 0 {
				return missing
			}
		}
		return r
	}, s)
}

// wrap breaks a text into lines of at most wide mm. A word that is longer is broken
// where it must be.
func (t typeface) wrap(s string, wide float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(drawable(s)) {
		if joined := strings.TrimSpace(line + " " + word); t.width(joined) <= wide {
			line = joined
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for line = word; t.width(line) > wide; {
			n := t.fitting(line, wide)
			lines, line = append(lines, line[:n]), line[n:]
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// fitting is how many bytes of a word fit, at least its first letter.
func (t typeface) fitting(word string, wide float64) int {
	n := 0
	for i, r := range word {
		end := i + len(string(r))
		if n > 0 && t.width(word[:end]) > wide {
			break
		}
		n = end
	}
	return n
}

// shortened is a text of at most wide mm: where it is longer its end gives way to an
// ellipsis.
func (t typeface) shortened(s string, wide float64) string {
	s = drawable(s)
	if t.width(s) <= wide {
		return s
	}
	return strings.TrimSpace(s[:t.fitting(s, wide-t.width("…"))]) + "…"
}

// fitted is the face in the size, at most its own and at least least points, at which a
// text is no wider than wide mm.
func (t typeface) fitted(s string, wide, least float64) typeface {
	if w := t.width(s); w > wide {
		t.size = max(least, t.size*wide/w)
	}
	return t
}

// cut is an id of at most wide mm: where it is longer its middle gives way, since
// what tells ids apart is most often at their ends.
func (t typeface) cut(s string, wide float64) string {
	s = drawable(s)
	r := []rune(s)
	for n := len(r) - 1; t.width(s) > wide && n > 1; n-- {
		s = string(r[:(n+1)/2]) + "…" + string(r[len(r)-n/2:])
	}
	return s
}
