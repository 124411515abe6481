package fault

import "halfsplit/topology"

// Quantities of a reading and the unit that a bare number has.
const (
	Volts      = "volts"      // V
	Insulation = "insulation" // ohms, by an insulation tester
	Ohms       = "ohms"       // ohms
	Amps       = "amps"       // A
	Celsius    = "celsius"    // °C
	Kilopascal = "kpa"        // kPa
	Joint      = "joint"      // ohms, of a bolted joint
)

// Relations of a reading's value.
const (
	Equal   = "="
	Less    = "<"
	Greater = ">"
)

// A Reading is one measured value, red lead above black lead.
type Reading struct {
	ID           string
	At           string // RFC 3339; "" = not recorded
	State        string
	Quantity     string
	Red, Black   string // node or chassis references
	Value        float64
	Raw          string // the keystrokes
	Relation     string // Equal, Less or Greater; "" means Equal
	Instrument   string
	Range        float64 // full scale of the range that was locked; 0 = not recorded
	Resistor     *Fitted // test resistor in place during the reading; nil = none
	TestVolts    float64 // signed, forced on red above black by an insulation tester; 0 = not recorded
	TogetherWith string  // a second meter connected at the same time
	AfterTouchS  *float64
	Who          string
	Note         string
	Supersedes   string // id of the reading that this one corrects
	Why          string // why it supersedes
	Stands       string // why it is kept as read although it was doubted; "" = nobody said so
	Answer       string // what a connected meter answered, as it came; "" = typed by a person
	AnsweredBy   string // who that meter says it is; "" = not known
	Extra        topology.Extra
}

// Fitted is a test resistor in place from one node to another. Files may give
// the id alone: From and To are then the red and black of the reading.
type Fitted struct {
	ID       string
	From, To string
}

// AcrossProbes says that the resistor sits on the meter's own two probes.
func (r Reading) AcrossProbes() bool {
	return r.Resistor != nil && r.Resistor.From == r.Red && r.Resistor.To == r.Black
}
