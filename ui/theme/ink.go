// Package theme is the ink and paper of the window: every colour that is not
// data, the text sizes, and the Fyne theme made of them, in three variants:
// light, dark and high contrast.
//
// It knows nothing of packs or findings. Data colours live in package palette;
// red belongs to what is live and to stop, and to nothing else.
package theme

import (
	"image/color"
	"math"
)

// A Role is what a colour is for. Drawings name roles; only this package knows
// the colours behind them.
type Role uint8

// The roles.
const (
	None     Role = iota
	Paper         // behind everything
	Raised        // panels and what lies on the paper
	Ink           // text and outlines
	Soft          // second text, ticks
	Hairline      // decoration that carries no meaning
	Accent        // what you can do; the focus ring
	Live          // live or stop, nothing else
	Copper        // links
	Plum          // marks of suspicion beside the drawing: skyline, bars
	Tint          // fills that carry no meaning: every other band, the track of a bar
	Shadow        // under raised things
)

var roleNames = [...]string{"none", "paper", "raised", "ink", "soft", "hairline", "accent", "live", "copper", "plum", "tint", "shadow"}

// String names the role, as the text pictures of the tests print it.
func (r Role) String() string { return roleNames[r] }

// A Variant is one set of colours.
type Variant uint8

// The variants. System follows the desktop.
const (
	System Variant = iota
	Light
	Dark
	Contrast
)

var variantNames = [...]string{"system", "light", "dark", "contrast"}

// String is the variant's name, as the command line takes it.
func (v Variant) String() string { return variantNames[v] }

// ParseVariant reads a variant's name; ok is false for any other word.
func ParseVariant(s string) (v Variant, ok bool) {
	for i, n := range variantNames {
		if n == s {
			return Variant(i), true
		}
	}
	return System, false
}

var inks = map[Variant]map[Role]color.NRGBA{
	Light: {
		Paper: rgb(0xF5F3EE), Raised: rgb(0xFFFFFF), Ink: rgb(0x1D2226), Soft: rgb(0x5C6468), Hairline: rgb(0xCFCABF),
		Accent: rgb(0x0E5F6B), Live: rgb(0xA5231B), Copper: rgb(0x8A5A2B), Plum: rgb(0x5A2467), Tint: rgb(0xE2DDD2), Shadow: {0x1D, 0x22, 0x26, 0x24},
	},
	Dark: {
		Paper: rgb(0x15191D), Raised: rgb(0x1E2429), Ink: rgb(0xECE8E0), Soft: rgb(0x9AA3A8), Hairline: rgb(0x343C42),
		Accent: rgb(0x5FB7C2), Live: rgb(0xFF8274), Copper: rgb(0xC89460), Plum: rgb(0xC79AD6), Tint: rgb(0x2D363C), Shadow: {0, 0, 0, 0x60},
	},
	Contrast: {
		Paper: rgb(0xFFFFFF), Raised: rgb(0xFFFFFF), Ink: rgb(0x000000), Soft: rgb(0x000000), Hairline: rgb(0x707070),
		Accent: rgb(0x00424C), Live: rgb(0x9B0000), Copper: rgb(0x000000), Plum: rgb(0x3B0A47), Tint: rgb(0xE4E4E4), Shadow: {0, 0, 0, 0},
	},
}

func rgb(v uint32) color.NRGBA {
	return color.NRGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 0xFF}
}

// Colour is the colour of a role in a variant. System counts as Light: who
// follows the desktop resolves it first.
func Colour(r Role, v Variant) color.NRGBA {
	if v == System {
		v = Light
	}
	return inks[v][r]
}

// Luminance is the relative luminance of an opaque colour, 0 to 1 (WCAG 2).
func Luminance(c color.NRGBA) float64 {
	lin := func(b uint8) float64 {
		s := float64(b) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(c.R) + 0.7152*lin(c.G) + 0.0722*lin(c.B)
}

// ContrastRatio is the contrast of two opaque colours, 1 to 21 (WCAG 2).
func ContrastRatio(a, b color.NRGBA) float64 {
	la, lb := Luminance(a), Luminance(b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

// Readable is the better of ink and paper for text on a data colour; where
// neither reaches 4.5:1, black or white, one of which always does.
func Readable(on color.NRGBA, v Variant) color.NRGBA {
	best := color.NRGBA{}
	for _, c := range []color.NRGBA{Colour(Ink, v), Colour(Raised, v), rgb(0), rgb(0xFFFFFF)} {
		if ContrastRatio(c, on) >= 4.5 {
			return c
		}
		if best.A == 0 || ContrastRatio(c, on) > ContrastRatio(best, on) {
			best = c
		}
	}
	return best
}
