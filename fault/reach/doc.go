// Package reach asks what can be reached on a pack before anything is measured:
// how small a place leaks of every size can be pinned to with these instruments,
// from which states, in how many minutes, and how often that is right. It draws
// hidden leaks, lets package circuit's bench read them with meters that err within
// their specification, gives package locate the readings, and counts.
//
// It is a simulation: what comes out is expected, not measured. It knows no files,
// no windows and no clocks. One Question gives one Answer, whatever the number of
// cores. Ohms, volts, minutes; positions in groups from a string's negative end.
package reach
