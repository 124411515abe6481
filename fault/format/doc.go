// Package format reads and writes the three files of the program: a layout, a
// case and a finding, all JSON. Reading is strict: the first thing that is wrong
// is refused with its file, place and reason in one line, because a file that is
// half understood gives a finding that is half wrong. Fields that this version
// does not know are kept, written back in the object they came from, and noted.
//
// It knows the files and nothing else: no leaks, no window, no database, and it
// opens nothing by itself. Volts, ohms, amperes, degrees Celsius, minutes,
// kilograms, millimetres; times are RFC 3339 and stay as they were written.
package format

import "halfsplit/fault"

// The formats that this version reads and writes.
const (
	LayoutFormat  = "halfsplit-layout/1"
	CaseFormat    = "halfsplit-case/1"
	FindingFormat = fault.FindingFormat
)

// Limits that keep a damaged or hostile file from costing more than a message.
const (
	MaxBytes  = 32 << 20 // of one file
	maxDepth  = 64       // of objects and lists in each other
	maxValues = 2000000  // in one file
	maxGroups = 100000   // of one module, and of the whole pack
)
