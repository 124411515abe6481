package palette

import (
	"image/color"
	"math"
)

// An oklab is a colour in OKLab: lightness 0 to 1, a green to red, b blue to
// yellow. Equal steps look about equal, which sRGB's do not.
type oklab struct{ l, a, b float64 }

func linear(v uint8) float64 {
	s := float64(v) / 255
	if s <= 0.04045 {
		return s / 12.92
	}
	return math.Pow((s+0.055)/1.055, 2.4)
}

func encoded(v float64) uint8 {
	v = math.Max(0, math.Min(1, v))
	if v <= 0.0031308 {
		v *= 12.92
	} else {
		v = 1.055*math.Pow(v, 1/2.4) - 0.055
	}
	return uint8(math.Round(255 * v))
}

// toOKLab converts by the published matrices of OKLab (B. Ottosson, 2020).
func toOKLab(c color.NRGBA) oklab {
	r, g, b := linear(c.R), linear(c.G), linear(c.B)
	l := math.Cbrt(0.4122214708*r + 0.5363325363*g + 0.0514459929*b)
	m := math.Cbrt(0.2119034982*r + 0.6806995451*g + 0.1073969566*b)
	s := math.Cbrt(0.0883024619*r + 0.2817188376*g + 0.6299787005*b)
	return oklab{
		l: 0.2104542553*l + 0.7936177850*m - 0.0040720468*s,
		a: 1.9779984951*l - 2.4285922050*m + 0.4505937099*s,
		b: 0.0259040371*l + 0.7827717662*m - 0.8086757660*s,
	}
}

// colour is the nearest sRGB colour; a colour outside sRGB is clipped channel
// by channel.
func (c oklab) colour() color.NRGBA {
	l := c.l + 0.3963377774*c.a + 0.2158037573*c.b
	m := c.l - 0.1055613458*c.a - 0.0638541728*c.b
	s := c.l - 0.0894841775*c.a - 1.2914855480*c.b
	l, m, s = l*l*l, m*m*m, s*s*s
	return color.NRGBA{
		R: encoded(4.0767416621*l - 3.3077115913*m + 0.2309699292*s),
		G: encoded(-1.2684380046*l + 2.6097574011*m - 0.3413193965*s),
		B: encoded(-0.0041960863*l - 0.7034186147*m + 1.7076147010*s),
		A: 0xFF,
	}
}

// between goes the share t of the way from c to d in a straight line, so that
// lightness changes evenly.
func (c oklab) between(d oklab, t float64) oklab {
	return oklab{c.l + (d.l-c.l)*t, c.a + (d.a-c.a)*t, c.b + (d.b-c.b)*t}
}

// distance is the straight distance in OKLab; about 0.02 is just noticeable.
func (c oklab) distance(d oklab) float64 {
	return math.Sqrt((c.l-d.l)*(c.l-d.l) + (c.a-d.a)*(c.a-d.a) + (c.b-d.b)*(c.b-d.b))
}
