package theme

import (
	"image/color"

	"fyne.io/fyne/v2"
	ftheme "fyne.io/fyne/v2/theme"
)

// Text sizes, in Fyne's scale-independent pixels.
const (
	Small   = 12 // labels in drawings only
	Text    = 14
	Section = 18
	Number  = 28 // the number in hand
	Touch   = 44 // least height of anything that is pressed
)

// Sizes of the glove view.
const (
	GloveTouch  = 60 // least height of anything that is pressed
	GloveNumber = 44 // the number in hand
)

var _ fyne.Theme = (*Theme)(nil)

// Theme hands the inks to Fyne. Force other than System overrides the desktop.
type Theme struct {
	Force Variant
	Glove bool // for hands in gloves: what is pressed is larger, and so is the number in hand
	Scale int  // of the window, in per cent; 0 = 100. Large text makes everything large enough for a glove by itself
}

// Touch is the least height of anything that is pressed.
func (t *Theme) Touch() float32 {
	return t.larger(Touch, GloveTouch)
}

// Number is the text size of the number in hand.
func (t *Theme) Number() float32 {
	return t.larger(Number, GloveNumber)
}

// larger is a size in the glove view, which is as large on the screen at every scale:
// what large text makes larger anyway is not enlarged twice.
func (t *Theme) larger(usual, glove float32) float32 {
	switch {
	case !t.Glove:
		return usual
	case t.Scale > 100:
		return max(usual, glove*100/float32(t.Scale))
	}
	return glove
}

// line is the height of a line of Text in Fyne's own widgets.
const line = 20

// Resolve is the variant that is shown when the desktop asks for v.
func (t *Theme) Resolve(v fyne.ThemeVariant) Variant {
	switch {
	case t.Force != System:
		return t.Force
	case v == ftheme.VariantDark:
		return Dark
	}
	return Light
}

// Color maps Fyne's names onto roles.
func (t *Theme) Color(n fyne.ThemeColorName, v fyne.ThemeVariant) color.Color {
	at := func(r Role, alpha uint8) color.Color {
		c := Colour(r, t.Resolve(v))
		c.A = alpha
		return c
	}
	switch n {
	case ftheme.ColorNameBackground:
		return at(Paper, 0xFF)
	case ftheme.ColorNameForeground, ftheme.ColorNameError: // red is not for errors
		return at(Ink, 0xFF)
	case ftheme.ColorNamePlaceHolder, ftheme.ColorNameDisabled:
		return at(Soft, 0xFF)
	case ftheme.ColorNameInputBorder: // where to type must be seen
		return at(Soft, 0xFF)
	case ftheme.ColorNameSeparator:
		return at(Hairline, 0xFF)
	case ftheme.ColorNamePrimary, ftheme.ColorNameHyperlink:
		return at(Accent, 0xFF)
	case ftheme.ColorNameFocus, ftheme.ColorNameSelection:
		return at(Accent, 0x40)
	case ftheme.ColorNameForegroundOnPrimary, ftheme.ColorNameForegroundOnError:
		return at(Raised, 0xFF)
	case ftheme.ColorNameMenuBackground, ftheme.ColorNameOverlayBackground, ftheme.ColorNameInputBackground,
		ftheme.ColorNameButton, ftheme.ColorNameHeaderBackground:
		return at(Raised, 0xFF)
	case ftheme.ColorNameHover, ftheme.ColorNamePressed:
		return at(Ink, 0x14)
	case ftheme.ColorNameScrollBar:
		return at(Soft, 0x99)
	case ftheme.ColorNameScrollBarBackground:
		return at(Ink, 0x0A)
	case ftheme.ColorNameShadow:
		return Colour(Shadow, t.Resolve(v))
	}
	return ftheme.DefaultTheme().Color(n, v)
}

// Font is Fyne's bundled Noto Sans.
func (t *Theme) Font(s fyne.TextStyle) fyne.Resource { return ftheme.DefaultTheme().Font(s) }

// Icon is Fyne's own.
func (t *Theme) Icon(n fyne.ThemeIconName) fyne.Resource { return ftheme.DefaultTheme().Icon(n) }

// Size keeps Fyne's sizes but for the text, and for what a finger must be able to
// hit or hold: fields and the scroll bar.
func (t *Theme) Size(n fyne.ThemeSizeName) float32 {
	switch n {
	case ftheme.SizeNameText:
		return Text
	case ftheme.SizeNameCaptionText:
		return Small
	case ftheme.SizeNameSubHeadingText:
		return Section
	case ftheme.SizeNameHeadingText:
		return t.Number()
	case ftheme.SizeNameInnerPadding:
		return (t.Touch() - line) / 2
	case ftheme.SizeNameScrollBar:
		return 14
	case ftheme.SizeNameScrollBarSmall:
		return 6
	}
	return ftheme.DefaultTheme().Size(n)
}
