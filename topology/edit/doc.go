// Package edit changes a layout while it is drawn: moves, turns, copies, rows of
// equal modules, links, numbers, fields of several things together, photos under
// the drawing. Every edit is a function of a layout that gives a new one, or an
// error that is a sentence for the person who draws. The layout that it was given
// is never changed, fields that this version does not know stay where they are,
// and what comes out can be written and read back.
//
// It must know nothing of files, readings, undo or windows: who calls it keeps the
// layouts. Lengths are mm in the pack as drawn, x to the right and y down; angles
// are degrees clockwise.
package edit
