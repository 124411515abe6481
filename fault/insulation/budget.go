package insulation

// ModuleOhms is what each of n equal modules needs so that the pack as a whole has
// so many ohms to chassis: they lie in parallel,
//
//	Rmodule ≥ n·Rpack·margin
//
// with a margin of 1 or more. A limit in ohm/V belongs to the pack's working volts;
// applied to one module's own volts it would let a far too small figure pass.
func ModuleOhms(pack float64, modules int, margin float64) (float64, error) {
	if err := first(above0("the pack's resistance", pack, "ohm"), above0("the number of modules", float64(modules), "")); err != nil {
		return 0, err
	}
	if !(margin >= 1) {
		return 0, refuse(NotPositive, "the margin must be 1 or more, not %.3g", margin)
	}
	return float64(modules) * pack * margin, nil
}

// InParallel is what the pack has when every module has its own ohms; +Inf for
// none.
func InParallel(modules ...float64) (float64, error) {
	var g float64
	for _, r := range modules {
		if !(r > 0) {
			return 0, refuse(NotPositive, "a module's resistance must be above zero, not %.4g ohm", r)
		}
		g += 1 / r
	}
	return 1 / g, nil
}
