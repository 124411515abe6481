// Package fault is the vocabulary of a repair: the case, the states that a pack
// went through, the readings taken in them, the instruments they were taken
// with, and the finding that an engine states about them.
//
// It holds data and the small rules that belong to the words themselves: which
// range a reading was on, what a bare number means, that readings are only ever
// added. It computes nothing about leaks, and must not know of files, SQL or
// windows. Volts, ohms, amperes, minutes; times are RFC 3339 strings in files
// and stay as they were written.
package fault
