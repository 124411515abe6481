package topology

// A NumberingProof says how it was proved that a layout's numbers are those of the
// pack. All of it is as a person wrote it; "" = not recorded.
type NumberingProof struct {
	Of    string // which numbers: the maker's labels, the monitor's indices
	Done  string // what was done
	Who   string
	When  string
	Extra Extra
}

// OrderVolts are the volts that a meter showed on the modules' terminals, against one
// reference: what the order of the modules was read off. They were measured on one
// pack, whatever other packs the layout describes.
type OrderVolts struct {
	Reference string      // a terminal, or a word such as B-; "" = the first module's negative terminal
	Meter     *OrderMeter // nil = not known
	At        string      // RFC 3339, of the latest value; "" = not recorded
	Who       string      // "" = not recorded
	Values    []TerminalVolts
	Extra     Extra
}

// An OrderMeter is how far such volts can err.
type OrderMeter struct {
	Name    string  // "" = not recorded
	GainPct float64 // ± % of the value, common to all of them
	Counts  float64 // ± of the last digit, each value's own
	Range   float64 // V at most, of a range that was locked; 0 = by the last digit that was typed
	Extra   Extra
}

// TerminalVolts is one value.
type TerminalVolts struct {
	Terminal string  // of a module, such as M03+
	Volts    float64 // V above the reference
	Raw      string  // as it was typed; "" = by the number alone
	Extra    Extra
}
