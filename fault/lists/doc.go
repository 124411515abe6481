// Package lists reads lists that were made elsewhere, such as a CSV file of cell
// volts or columns pasted from a table, into readings and group volts.
//
// It goes in three steps, and nothing is stored by any of them. Decode turns bytes
// into numbered lines; Propose says what the columns seem to be, as a Mapping that a
// person changes; Build says row by row what would be stored. Every line of the text
// is accounted for: it is taken, or a heading, or empty, or listed with the reason
// why it was not read. What can be read in two ways is asked, as an Ask, and stays
// asked until a person has answered it.
//
// It works on values and returns values. It must not know of windows, files on a
// disk or SQL. Volts are volts, resistances ohms; the text of a value is read by
// fault.ParseEntry, as keystrokes are.
package lists
