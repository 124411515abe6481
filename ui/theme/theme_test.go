package theme_test

import (
	"fmt"
	"testing"

	"fyne.io/fyne/v2"
	ftheme "fyne.io/fyne/v2/theme"

	"halfsplit/ui/theme"
)

var variants = []theme.Variant{theme.Light, theme.Dark, theme.Contrast}

func TestColour_ContrastOnPaper(t *testing.T) {
	least := map[theme.Role]float64{
		theme.Ink: 4.5, theme.Soft: 4.5, theme.Accent: 4.5, theme.Live: 4.5, // text
		theme.Copper: 3, theme.Plum: 3, // marks
	}
	for _, v := range variants {
		for role, want := range least {
			for _, on := range []theme.Role{theme.Paper, theme.Raised} {
				t.Run(fmt.Sprintf("%s/%s on %s", v, role, on), func(t *testing.T) {
					if got := theme.ContrastRatio(theme.Colour(role, v), theme.Colour(on, v)); got < want {
						t.Errorf("contrast %.2f, want at least %g", got, want)
					}
				})
			}
		}
	}
}

func TestColour_InkOnTint(t *testing.T) {
	for _, v := range variants {
		if got := theme.ContrastRatio(theme.Colour(theme.Ink, v), theme.Colour(theme.Tint, v)); got < 4.5 {
			t.Errorf("%s: %.2f", v, got)
		}
	}
}

func TestColour_EveryRoleInEveryVariant(t *testing.T) {
	for _, v := range variants {
		for r := theme.Paper; r <= theme.Tint; r++ {
			if theme.Colour(r, v).A != 0xFF {
				t.Errorf("%s has no opaque colour for %s", v, r)
			}
		}
	}
}

func TestContrastRatio_BlackOnWhite(t *testing.T) {
	white, black := theme.Colour(theme.Paper, theme.Contrast), theme.Colour(theme.Ink, theme.Contrast)
	if got := theme.ContrastRatio(white, black); got < 20.99 || got > 21.01 {
		t.Errorf("black on white: %g, want 21 (WCAG 2)", got)
	}
}

func TestTheme_ForceOverridesTheDesktop(t *testing.T) {
	for name, c := range map[string]struct {
		force theme.Variant
		asked fyne.ThemeVariant
		want  theme.Variant
	}{
		"follows dark":  {theme.System, ftheme.VariantDark, theme.Dark},
		"follows light": {theme.System, ftheme.VariantLight, theme.Light},
		"forced light":  {theme.Light, ftheme.VariantDark, theme.Light},
		"contrast":      {theme.Contrast, ftheme.VariantDark, theme.Contrast},
	} {
		t.Run(name, func(t *testing.T) {
			th := &theme.Theme{Force: c.force}
			if got := th.Color(ftheme.ColorNameBackground, c.asked); got != theme.Colour(theme.Paper, c.want) {
				t.Errorf("background %v, want the paper of %s", got, c.want)
			}
		})
	}
}

func TestParseVariant(t *testing.T) {
	for _, v := range append(variants, theme.System) {
		if got, ok := theme.ParseVariant(v.String()); !ok || got != v {
			t.Errorf("%s came back as %s, %v", v, got, ok)
		}
	}
	if _, ok := theme.ParseVariant("sepia"); ok {
		t.Error("sepia is no variant")
	}
}

// What is pressed with a glove is 60 pixels of the screen at every text size, and takes no
// more of a small screen than that: large text makes it large enough by itself.
func TestTheme_GloveIsAsLargeOnTheScreenAtEveryTextSize(t *testing.T) {
	for scale := 100; scale <= 250; scale += 10 {
		th, plain := &theme.Theme{Glove: true, Scale: scale}, &theme.Theme{Scale: scale}
		on := func(v float32) float32 { return v * float32(scale) / 100 }
		if got := on(th.Touch()); got < theme.GloveTouch-0.01 || got > max(theme.GloveTouch, on(plain.Touch()))+0.01 {
			t.Errorf("%d %%: %g pixels to press", scale, got)
		}
		if got := on(th.Number()); got < 40 || th.Number() < plain.Number() {
			t.Errorf("%d %%: the number in hand is %g pixels", scale, got)
		}
	}
}
