// Package report makes what is printed: the bench sheet, a form for a run of
// readings with the drawing of the pack, the set-up of the leads and blank boxes in
// the order in which the values are typed in later. It is drawn in black and greys
// as a list of marks in millimetres, which tests read as text, and written as PDF.
//
// It records nothing, reads no clock and knows no window. Its number is worked out
// from what it was made of, so that a case tells later which sheet it has before it.
// What is expected and not measured is left out unless it is asked for, and then
// says so.
package report
