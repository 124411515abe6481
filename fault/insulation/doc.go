// Package insulation is the open-standard arithmetic of a live pack's insulation:
// pole-to-chassis volts, with and without a test resistor, turned into ohms.
//
// Two numbers come out of every form, and they are not the same. The leak is what
// a repair looks for: all paths from the section to chassis in parallel, Rth. The
// standard's Ri is what limits in ohm/V are compared with: the lower of the two
// resistors, one to each pole, that would read the same; Ri = Rth/max(x, 1 − x)
// with x the leak's place from 0 at the negative pole to 1 at the positive. A leak
// in the middle of a pack has an Ri of twice its ohms. Any number of leaks reads
// like one: nothing in this package says how many there are.
//
// Volts, ohms, amperes, watts, seconds and farads. A result is a value with the
// errors it inherited, or a bound, or a refusal in plain words; never NaN and
// never a negative resistance. The package knows nothing of layouts, cases, files
// or windows, and gives no verdict: reference lines are offered by name only.
package insulation
