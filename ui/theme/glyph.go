package theme

import (
	"fmt"

	"fyne.io/fyne/v2"
	ftheme "fyne.io/fyne/v2/theme"
	"golang.org/x/image/font/sfnt"
)

// Glyphs knows which characters the window's own font can draw. What it lacks
// would come from whatever font the machine has, or as an empty box.
type Glyphs struct {
	fonts []*sfnt.Font
	buf   sfnt.Buffer
}

// NewGlyphs reads the regular and the bold face of the window's font.
func NewGlyphs() (*Glyphs, error) {
	g := &Glyphs{}
	for _, style := range []fyne.TextStyle{{}, {Bold: true}} {
		f, err := sfnt.Parse(ftheme.DefaultTheme().Font(style).Content())
		if err != nil {
			return nil, fmt.Errorf("window font: %w", err)
		}
		g.fonts = append(g.fonts, f)
	}
	return g, nil
}

// Missing lists the characters of s that a face of the font lacks.
func (g *Glyphs) Missing(s string) []rune {
	var out []rune
	for _, r := range s {
		for _, f := range g.fonts {
			if i, err := f.GlyphIndex(&g.buf, r); err != nil || i == 0 {
				out = append(out, r)
				break
			}
		}
	}
	return out
}
