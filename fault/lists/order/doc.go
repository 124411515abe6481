// Package order weighs in which order a monitor counts the groups of a pack: forward
// from the negative end, mirrored, or by boards, each board's block forward or
// mirrored and the blocks in any order.
//
// Each order is held against what meters have read on the pack: the volts over
// modules, over groups, and between other taps of one section. What comes out are
// shares with their odds, and which reading would tell where they do not. It decides
// nothing: a person chooses. It works on values and returns values, and knows no
// files, windows or texts of lists. Volts throughout.
package order

// Standard figures of a list of cell volts, where nothing else is stated: half-widths,
// u = a/√3, as for group volts everywhere.
const (
	listGain = 0.002 // of the reading, common to the list
	listEach = 0.005 // V, each group
	drift    = 0.001 // standard deviation of what the list has changed by since, in common
	unknown  = 0.01  // gain of an instrument that is not described
	freedom  = 4.0   // of Student's t: a slip of one reading must not decide
)

// Prior shares. All other arrangements of the boards have the rest together.
const (
	priorForward  = 0.40
	priorMirrored = 0.25
	priorInside   = 0.10 // the boards in order, each mirrored in itself
	priorBoards   = 0.05 // the boards from the other end, each forward
	priorShuffled = 0.20
	priorLayout   = 0.50 // the order that the layout gives, where it gives one; the others share what is left
)

// mostBlocks bounds the boards whose arrangements are summed over: the work grows as
// n 2ⁿ.
const mostBlocks = 18
