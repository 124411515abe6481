// Package cells judges the pattern of a pack's group voltages: which groups are
// low together, and what that says about leaks.
//
// Two leaks at different taps discharge every group between them, I = (u₂ − u₁) ÷
// (R₁ + R₂), and no other; one leak alone discharges none, for want of a return.
// A contiguous run of groups that is low by one amount against the groups on both
// sides, a drain band, therefore speaks for two leaks at its two edge taps.
// Evidence weighs that against everything else that makes groups low: noise, a
// slow trend along the string, whole modules or boards, a step to the string's
// end, single cells. Signatures names those others; they are no evidence of leaks.
// FromNoted turns what a person saw into evidence of the same kind.
//
// It works on values and returns values; the same case gives the same answer in
// whatever order its lists were entered. It must not know of circuits, readings'
// arithmetic, files or windows. Volts come in; the pattern is weighed in mV.
package cells
