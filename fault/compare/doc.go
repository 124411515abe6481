// Package compare holds two sets of readings of a case against each other: what was
// read in one state between two changes, or in a span that a person names. It says
// which values differ by more than their instruments can err, and whether the two
// sets can be compared at all: not where the state, the temperature, an instrument,
// the layout or the charge was another, or is not known.
//
// It never says that anything became better or worse, and nothing of leaks. An
// instrument errs as its specification has it: its gain is common to all readings
// on one range, its counts are new with each. Times are those of the records; it
// reads no clock. Volts are volts, resistances ohms, temperatures °C.
package compare
