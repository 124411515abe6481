package palette

import (
	"fmt"
	"image/color"
	"math"
	"testing"

	"halfsplit/ui/theme"
)

var (
	variants = []theme.Variant{theme.Light, theme.Dark, theme.Contrast}
	scales   = []Scale{Suspicion, Median, Potential, Insulation, Age}
)

// eachArm calls f with the colours from the paper out to each end of each scale.
func eachArm(t *testing.T, f func(t *testing.T, v theme.Variant, arm []color.NRGBA)) {
	for _, v := range variants {
		for _, s := range scales {
			for _, sign := range []float64{-1, 1} {
				if (s == Suspicion || s == Age) && sign < 0 {
					continue
				}
				var arm []color.NRGBA
				for i := 0; i <= 100; i++ {
					arm = append(arm, Colour(s, sign*float64(i)/100, v))
				}
				t.Run(fmt.Sprintf("%s/%s%+g", v, s, sign), func(t *testing.T) { f(t, v, arm) })
			}
		}
	}
}

// monotone fails where the values do not keep going one way; slack allows for
// the rounding of a colour to eight bits.
func monotone(t *testing.T, values []float64, slack float64) {
	t.Helper()
	way := math.Copysign(1, values[len(values)-1]-values[0])
	for i := 1; i < len(values); i++ {
		if (values[i]-values[i-1])*way < -slack {
			t.Fatalf("step %d goes back from %.4f to %.4f", i, values[i-1], values[i])
		}
	}
	if math.Abs(values[len(values)-1]-values[0]) < 0.25 {
		t.Errorf("the whole range is only %.3f", math.Abs(values[len(values)-1]-values[0]))
	}
}

func TestColour_LightnessIsMonotone(t *testing.T) {
	eachArm(t, func(t *testing.T, _ theme.Variant, arm []color.NRGBA) {
		var l []float64
		for _, c := range arm {
			l = append(l, toOKLab(c).l)
		}
		monotone(t, l, 0.004)
	})
}

func TestColour_GreyPrintKeepsTheOrder(t *testing.T) {
	eachArm(t, func(t *testing.T, _ theme.Variant, arm []color.NRGBA) {
		var l []float64
		for _, c := range arm {
			y := theme.Luminance(c)
			l = append(l, math.Cbrt(y)) // about as light as the grey looks
		}
		monotone(t, l, 0.004)
	})
}

// The matrices of Machado, Oliveira, Fernandes 2009 for the complete
// deficiency, on linear RGB.
var deficiencies = map[string][3][3]float64{
	"protan": {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deutan": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"tritan": {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

func seenBy(m [3][3]float64, c color.NRGBA) color.NRGBA {
	in := [3]float64{linear(c.R), linear(c.G), linear(c.B)}
	var out [3]float64
	for i := range out {
		for j := range in {
			out[i] += m[i][j] * in[j]
		}
	}
	return color.NRGBA{encoded(out[0]), encoded(out[1]), encoded(out[2]), 0xFF}
}

func TestColour_OrderSurvivesColourVisionDeficiency(t *testing.T) {
	for name, m := range deficiencies {
		t.Run(name, func(t *testing.T) {
			eachArm(t, func(t *testing.T, _ theme.Variant, arm []color.NRGBA) {
				var l []float64
				for _, c := range arm {
					l = append(l, toOKLab(seenBy(m, c)).l)
				}
				monotone(t, l, 0.006)
			})
		})
	}
}

func TestColour_BelowAndAboveDifferForEveryEye(t *testing.T) {
	for name, m := range deficiencies {
		for _, v := range variants {
			for _, s := range []Scale{Median, Potential, Insulation} {
				for _, at := range []float64{0.4, 0.7, 1} {
					lo := toOKLab(seenBy(m, Colour(s, -at, v)))
					hi := toOKLab(seenBy(m, Colour(s, at, v)))
					if d := lo.distance(hi); d < 0.06*at/0.4 { // several times what is just noticeable
						t.Errorf("%s, %s, %s at ±%g: %.3f apart", name, v, s, at, d)
					}
				}
			}
		}
	}
}

func TestReadable_NumbersOnEveryDataColour(t *testing.T) {
	eachArm(t, func(t *testing.T, v theme.Variant, arm []color.NRGBA) {
		for i, c := range arm {
			if got := theme.ContrastRatio(theme.Readable(c, v), c); got < 4.5 {
				t.Errorf("step %d: contrast %.2f", i, got)
			}
		}
	})
}

// The selection outline lies on a paper line of its own, so its neighbour is
// always the paper.
func TestSelection_OutlineOnItsPaperLine(t *testing.T) {
	for _, v := range variants {
		if got := theme.ContrastRatio(theme.Colour(theme.Accent, v), theme.Colour(theme.Raised, v)); got < 3 {
			t.Errorf("%s: %.2f", v, got)
		}
	}
}

func TestColour_MissingIsNoColour(t *testing.T) {
	for _, s := range scales {
		if c := Colour(s, math.NaN(), theme.Light); c.A != 0 {
			t.Errorf("%s: missing came out as %v", s, c)
		}
	}
	if Colour(Suspicion, -0.5, theme.Light) != Colour(Suspicion, 0, theme.Light) {
		t.Error("a share below zero is not a share")
	}
	if Colour(Median, 3, theme.Light) != Colour(Median, 1, theme.Light) {
		t.Error("beyond the end the colour stays at the end")
	}
}

func TestOKLab_ThereAndBack(t *testing.T) {
	for _, c := range []color.NRGBA{rgb(0x33587A), rgb(0xA8691A), rgb(0x5A2467), rgb(0), rgb(0xFFFFFF), rgb(0x2F6F5E)} {
		if got := toOKLab(c).colour(); got != c {
			t.Errorf("%v came back as %v", c, got)
		}
	}
}
