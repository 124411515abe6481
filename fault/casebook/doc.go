// Package casebook is the one file that a workshop's cases live in: an SQLite
// file, the casebook, with layouts, cases, states, readings, instruments,
// findings, photos and settings.
//
// Whatever a person does is one command: one transaction that changes rows and
// writes one event, which says who did what, when and why, and holds the rows as
// they were and as they became. Events are chained by SHA-256, so that Audit can
// tell whether the log is whole and whether the rows are what the log says.
// Readings are never changed or deleted: a correction is a new row that
// supersedes the old one, and an undo marks a row as withdrawn and keeps it.
//
// A case goes out as one file, a casebook that holds it alone, and comes into another
// row by row: keys tell the rows apart, so that the work of two laptops comes together
// and taking the same in again changes nothing. What came of the other log is kept and
// audited. A file that was closed is sealed, so that every byte of it is covered.
//
// A casebook is in WAL mode while it is open and one single file after Close. Any
// number of Books, in this process or in others, may have the same file open;
// commands wait for each other. The methods of a Book may be called from any
// goroutine. Errors are *Error, in plain words that a window can show.
//
// The package must not know of windows, engines or circuits: a finding comes in
// as the JSON bytes of its format and is kept as they are. Volts, ohms, amperes,
// degrees Celsius, seconds where a name says so; times are RFC 3339 and stay as
// they were written. A group that was not measured is NaN in a fault.GroupVolts
// and NULL in the file.
package casebook
