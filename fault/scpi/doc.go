// Package scpi reads a meter that speaks SCPI, the commands of IEEE 488.2, over a
// serial port or TCP: who it is, one value, and what it reports of itself.
//
// A value is never guessed and never old. Answers come in the order of the
// questions, so after anything that was not answered as it should be the line is
// opened anew and the meter is asked who it is until every answer that it still
// owes has come and was thrown away. What it says besides a plain number is an
// error in words which name the port.
//
// Nothing runs beside a call: a Meter reads in short waits and looks at the
// context between them. The package knows no case, no window and no clock of a
// record. It is the one package of the house that opens a line to elsewhere, and it
// opens none that was not typed by a person.
package scpi
