// Package match compares two layouts, such as two versions of one, or a stored one
// with the pack in front: what is the same, what differs, in words and sorted by
// weight. Changes of the circuit stand apart from changes of the drawing, so that a
// person can judge whether old readings still mean the same.
//
// It must know nothing of readings, files or windows, and decides nothing. Lengths
// are mm, x to the right and y down as drawn.
package match
