// Package path tells from volts measured on the terminals of modules, all against
// one reference, which terminals are likely to be joined and in which order the
// modules follow each other. It also turns a pasted table of bench numbers, maker's
// labels and monitor indices into numbers of a layout.
//
// Conductors have no volts along them while no current flows, so two terminals that
// are joined have one potential. The reverse does not hold: equal potential is
// necessary and not sufficient, and the words here claim no more. A person accepts
// each link; Propose is then asked again with the link in the layout.
//
// It must know nothing of readings, instruments, files or windows: it takes values
// and returns values. Volts throughout, lengths in mm.
package path
