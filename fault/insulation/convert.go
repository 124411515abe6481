package insulation

import "math"

// StandardOhms is the standard's Ri of a leak of Rth ohms at x, 0 at the negative
// pole and 1 at the positive:
//
//	Ri = Rth / max(x, 1 − x)
//
// R− = Rth/(1 − x) and R+ = Rth/x are the two resistors, one to each pole, that
// read like the leak; Ri is the lower of them.
func StandardOhms(leak, x float64) float64 { return leak / share(x) }

// LeakOhms is the leak that has the standard's Ri at x: Rth = Ri·max(x, 1 − x).
func LeakOhms(standard, x float64) float64 { return standard * share(x) }

// SideOhms are the resistances from each pole to chassis that read like a leak of
// that many ohms at x; +Inf where the leak sits at the other pole.
func SideOhms(leak, x float64) (negative, positive float64) {
	x = within01(x)
	return leak / (1 - x), leak / x
}

func share(x float64) float64 { x = within01(x); return math.Max(x, 1-x) }

func within01(x float64) float64 { return math.Min(1, math.Max(0, x)) }
