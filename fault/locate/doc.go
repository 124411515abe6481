// Package locate turns readings into a finding: where along a string the leakage
// to chassis can sit, how sure that is, and what the readings cannot tell.
//
// It takes a case and returns a finding, values both. It knows no files, clocks,
// windows or SQL, never changes a reading, and must not import fault/circuit
// outside its tests: the circuit is the truth that this package is checked
// against, so that they may share no code. Volts, ohms and siemens; places count
// groups from a string's negative end.
//
// # The two numbers
//
// Let a section have leaks of conductance Gᵢ at potentials uᵢ above its negative
// end, and let it be joined to nothing else. Its cells fix all potentials but
// one: y, the negative end above chassis. The leaks' currents must sum to zero,
//
//	Σ Gᵢ·(uᵢ + y) + Σ gₖ·(pₖ + y) = 0
//
// over the leaks and over what a person connects, conductances gₖ at potentials
// pₖ: a meter, a test resistor. With G = Σ Gᵢ and Q = Σ Gᵢ·uᵢ,
//
//	y = −(Q + Σ gₖ·pₖ) / (G + Σ gₖ)
//
// and a reading at potential p is p + y. The leaks enter through G and Q alone:
// any number of them looks, from everywhere on the section, like one of
// conductance G at the mean potential u = Q/G. More terminals of the same section
// add redundancy, and nothing about how many leaks there are. What tells them
// apart is another state: an opened link leaves two sections, each with two
// numbers of its own, made of the same leaks.
//
// # Weighing
//
// A hypothesis is a set of leaks at taps, each with a conductance that is
// log-uniform over its bounds, and a background spread evenly over the pack. Its
// marginal likelihood is the probability of the readings with the sizes, the
// background, and the leak paths' own potentials integrated out. Those potentials
// enter linearly and are integrated in closed form; gains, tolerances and cell
// voltages are normal and in the covariance; sizes and background are integrated
// numerically. Nothing is compared by its best fit alone, so that an explanation
// with more freedom pays for it.
package locate
