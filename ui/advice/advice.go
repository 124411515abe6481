// Package advice is help at the place of measuring: which test resistor, which range
// to lock, what a meter's own input resistance is, how long to wait, and how a leak
// is located from the socket of a disconnect while the pack is still in the vehicle.
//
// Each page is a value that keys and presses change; what it asks for is given back
// as an Act, which the window carries out. The package draws nothing, records
// nothing, has no clock, and reckons nothing of its own: numbers come from the
// finding and from the packages insulation and probing. What is computed says
// "expected, not measured".
package advice

import (
	"fmt"
	"strings"

	"halfsplit/fault"
	"halfsplit/ui/entry"
	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
)

// A World is what a page knows: the case as it stands, and the reading in the
// making.
type World struct {
	Pack *facts.Pack
	Form entry.Form
}

// A Guide is one page. Every change gives a new one.
type Guide interface {
	// Blocks are the page.
	Blocks(w World) []sheet.Block
	// Move puts the keyboard on the next or the previous line.
	Move(w World, by int) Guide
	// Turn takes the next or the previous option of the line.
	Turn(w World, by int) Guide
	// Type adds a character to the field; ok is false where nothing is typed.
	Type(r rune) (g Guide, ok bool)
	// Back takes the last character away.
	Back() Guide
	// Pick is a press on a line: what it changes, or what it asks for.
	Pick(w World, id string) (Guide, Act)
	// Primary is the one action that comes next.
	Primary(w World) (label string, a Act)
}

// A Kind of act.
type Kind uint8

// What a page can ask the window for.
const (
	Nothing Kind = iota
	Open         // another page: Guide
	AddResistor
	UseResistor // Resistor.ID is in the case already
	AddInstrument
	LockRange   // Range; 0 = the meter chooses
	StartTimer  // the leads have touched
	StopTimer   // no more timed values
	Enter       // a reading: Form
	RecordState // State
	Finding     // show it
	OverTime    // the readings over time
	Again       // the page itself, changed: Guide
)

// An Act is what a page asks the window for.
type Act struct {
	Kind       Kind
	Guide      Guide
	Resistor   fault.Resistor
	Instrument fault.Instrument
	Range      float64
	Form       entry.Form
	State      fault.State
}

// lineID and a name is a line on a page.
const lineID = "advice:"

// A cursor is where the keyboard is among the lines of a page.
type cursor struct{ at int }

func (c cursor) moved(by, n int) cursor {
	if n > 0 {
		c.at = ((c.at+by)%n + n) % n
	}
	return c
}

// turn is the option so many places on, round the end.
func turn(now, by, n int) int {
	if n == 0 {
		return 0
	}
	return ((now+by)%n + n) % n
}

// upper begins a sentence.
func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// sentence ends one.
func sentence(s string) string {
	s = upper(s)
	if s != "" && !strings.HasSuffix(s, ".") && !strings.HasSuffix(s, "?") {
		s += "."
	}
	return s
}

// free is a name that neither an instrument nor a test resistor has.
func free(c *fault.Case, id string) string {
	taken := func(id string) bool {
		_, in := c.Instrument(id)
		_, r := c.Resistor(id)
		return in || r
	}
	for stem, n := id, 2; taken(id); n++ {
		id = fmt.Sprintf("%s_%d", stem, n)
	}
	return id
}
