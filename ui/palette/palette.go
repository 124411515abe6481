// Package palette is the colour of data: suspicion, volts from the median,
// potential to chassis, insulation, age. Every scale starts at the paper and goes in a straight
// line through OKLab to its end, so that lightness is monotone and a grey print
// keeps the order.
//
// It knows what a value looks like, not where it comes from. What is missing
// has no colour here: it is drawn as a cross-hatch with the words "not
// measured", never as zero and never in green.
package palette

import (
	"image/color"
	"math"

	"halfsplit/ui/theme"
)

// A Scale maps a number to a colour.
type Scale uint8

// The scales. Suspicion and Age take 0 to 1; the others −1 to 1, the ends being the
// fixed ends that the legend prints.
const (
	NoScale Scale = iota
	Suspicion
	Median
	Potential
	Insulation
	Age
)

var scaleNames = [...]string{"none", "suspicion", "median", "potential", "insulation", "age"}

// String names the scale, as the text pictures of the tests print it.
func (s Scale) String() string { return scaleNames[s] }

// ends are the colours at the scale's ends. On dark paper they are lighter than
// the paper, so that more of a thing always stands out more.
type ends struct{ below, above color.NRGBA }

// Wine and sea green look alike in hue to some eyes: the green is the lighter on
// light paper and the darker on dark, so that they differ by lightness too.
var (
	onLight = map[Scale]ends{
		Suspicion:  {above: rgb(0x5A2467)},
		Median:     {below: rgb(0x33587A), above: rgb(0xA8691A)},
		Potential:  {below: rgb(0x33587A), above: rgb(0xA8691A)},
		Insulation: {below: rgb(0x7A2E4D), above: rgb(0x62AC93)},
		Age:        {above: rgb(0x6B6259)},
	}
	onDark = map[Scale]ends{
		Suspicion:  {above: rgb(0xD3A5E2)},
		Median:     {below: rgb(0x86B3DB), above: rgb(0xE5AE66)},
		Potential:  {below: rgb(0x86B3DB), above: rgb(0xE5AE66)},
		Insulation: {below: rgb(0xF4AECB), above: rgb(0x4B957C)},
		Age:        {above: rgb(0xC4BBB0)},
	}
	onContrast = map[Scale]ends{
		Suspicion:  {above: rgb(0x3B0A47)},
		Median:     {below: rgb(0x12344F), above: rgb(0x8A4B00)},
		Potential:  {below: rgb(0x12344F), above: rgb(0x8A4B00)},
		Insulation: {below: rgb(0x5E0F33), above: rgb(0x4D9C82)},
		Age:        {above: rgb(0x4A443D)},
	}
)

func rgb(v uint32) color.NRGBA {
	return color.NRGBA{R: uint8(v >> 16), G: uint8(v >> 8), B: uint8(v), A: 0xFF}
}

// Colour is the colour of a value on a scale; beyond the ends it stays at the
// end, and the drawing says so with a bar along the edge. NaN has no colour:
// the result is transparent.
func Colour(s Scale, t float64, v theme.Variant) color.NRGBA {
	if math.IsNaN(t) || s == NoScale {
		return color.NRGBA{}
	}
	e := onLight[s]
	switch v {
	case theme.Dark:
		e = onDark[s]
	case theme.Contrast:
		e = onContrast[s]
	}
	end := e.above
	if t < 0 {
		end, t = e.below, -t
		if s == Suspicion || s == Age {
			t = 0
		}
	}
	zero := theme.Colour(theme.Raised, v)
	if t == 0 {
		return zero
	}
	return toOKLab(zero).between(toOKLab(end), math.Min(t, 1)).colour()
}
