package fault

import (
	"math"
	"strconv"
	"strings"

	"halfsplit/topology"
)

// An Instrument reads a value within ± (gain % of the reading + counts of the
// range). The gain error is common to every reading on one range; the counts
// are independent.
type Instrument struct {
	ID          string
	Kind        string
	GainPct     float64 // ± % of reading, common to one range
	Counts      float64 // ± counts of the range, independent
	InputOhms   float64 // input resistance; 0 = not given
	InputTolPct float64 // ± %
	Ranges      []Range // ascending by Max
	Serial      string  // its maker's number; "" = not recorded
	Ratings     []Rating
	Calibrated  string     // YYYY-MM-DD; "" = not recorded
	CalDue      string     // YYYY-MM-DD, the last day on which it counts; "" = not recorded
	Functions   []Function // what it reads besides its kind's own quantity
	Extra       topology.Extra
}

// A Range of an instrument: its full scale and what one count is worth.
type Range struct {
	Max       float64
	Count     float64
	InputOhms float64  // 0 = the instrument's
	GainPct   *float64 // ± % of reading; nil = the instrument's
	Counts    *float64 // ± counts; nil = the instrument's
	Extra     topology.Extra
}

// A Rating is a measurement category and the volts to earth up to which it holds
// (IEC 61010-031): CAT III 1000 V.
type Rating struct {
	Category string // one of Categories
	Volts    float64
	Extra    topology.Extra
}

// Categories are the measurement categories, the lowest first.
var Categories = []string{"II", "III", "IV"}

// A Function is how an instrument reads another quantity than its kind's own: its
// ranges are in the unit of that quantity.
type Function struct {
	Quantity    string
	GainPct     float64
	Counts      float64
	InputOhms   float64 // 0 = not given
	InputTolPct float64
	Ranges      []Range
	Extra       topology.Extra
}

// A Resistor is a known resistor put from a node to chassis on purpose.
type Resistor struct {
	ID       string
	Ohms     float64 // measured value
	TolPct   float64 // ± %
	Watts    float64 // rating; 0 = not given
	MaxVolts float64 // rating; 0 = not given
	Serial   string  // its number; "" = not recorded
	Extra    topology.Extra
}

// RangeFor is the range that a value was read on: the locked one where it is
// recorded, else the smallest that holds the value. ok is false when no range
// of the instrument holds the value, or the locked one does not exist.
func (in Instrument) RangeFor(value, locked float64) (rg Range, index int, ok bool) {
	for i, r := range in.Ranges {
		if locked != 0 && r.Max != locked {
			continue
		}
		if math.Abs(value) <= r.Max {
			return r, i, true
		}
	}
	return Range{}, -1, false
}

// RangeOf is the range that a reading was taken on. A meter that chooses its own
// range goes up near full scale, so the same number may stand for two ranges:
// there the keystrokes decide, by whether they have the range's decimals.
func (in Instrument) RangeOf(r Reading) (rg Range, index int, ok bool) {
	in = in.For(r.Quantity)
	rg, index, ok = in.RangeFor(r.Value, r.Range)
	if ok && r.Range == 0 && index+1 < len(in.Ranges) && math.Abs(r.Value) > 0.95*rg.Max && coarser(r.Raw, rg.Count) {
		return in.Ranges[index+1], index + 1, true
	}
	return rg, index, ok
}

// coarser says that keystrokes which are a plain number have fewer decimals than
// a display that counts in steps of count.
func coarser(raw string, count float64) bool {
	raw = strings.ReplaceAll(strings.TrimSpace(raw), ",", ".")
	if _, err := strconv.ParseFloat(raw, 64); err != nil {
		return false
	}
	if strings.ContainsAny(raw, "eE") { // its decimals are not the display's
		return false
	}
	_, decimals, _ := strings.Cut(raw, ".")
	return math.Pow10(-len(decimals)) > count*1.001
}

// Input is the input resistance on a range, in ohms; +Inf where none is given.
func (in Instrument) Input(r Range) float64 {
	switch {
	case r.InputOhms > 0:
		return r.InputOhms
	case in.InputOhms > 0:
		return in.InputOhms
	}
	return math.Inf(1)
}

// For is the instrument as it reads a quantity: its function of that quantity where
// one is described, else itself.
func (in Instrument) For(quantity string) Instrument {
	for _, f := range in.Functions {
		if f.Quantity == quantity {
			in.GainPct, in.Counts, in.InputOhms, in.InputTolPct, in.Ranges = f.GainPct, f.Counts, f.InputOhms, f.InputTolPct, f.Ranges
			break
		}
	}
	return in
}

// Gain is the gain tolerance on a range, ± % of the reading.
func (in Instrument) Gain(r Range) float64 {
	if r.GainPct != nil {
		return *r.GainPct
	}
	return in.GainPct
}

// Off is how many counts a reading on a range may be off, ±.
func (in Instrument) Off(r Range) float64 {
	if r.Counts != nil {
		return *r.Counts
	}
	return in.Counts
}

// GainSD is the standard uncertainty of the common gain, relative, of a range
// without a gain of its own. A tolerance of ± a with nothing else known is uniform:
// u = a/√3 (JCGM 100, 4.3.7).
func (in Instrument) GainSD() float64 { return in.GainPct / 100 / math.Sqrt(3) }

// GainSDOn is the same on a range.
func (in Instrument) GainSDOn(r Range) float64 { return in.Gain(r) / 100 / math.Sqrt(3) }

// CountSD is the standard uncertainty of one reading's counts on a range, in
// the unit of the range: u = counts·count/√3.
func (in Instrument) CountSD(r Range) float64 { return in.Off(r) * r.Count / math.Sqrt(3) }
