package fault

import (
	"encoding/json"
	"math"
	"strconv"
)

// FindingFormat names the format of a finding.
const FindingFormat = "halfsplit-finding/1"

// Verdicts, in the order of the ladder: the first that holds is stated.
const (
	TooFewReadings      = "too-few-readings"
	Inconsistent        = "inconsistent"
	NotInString         = "not-in-string"
	NoLeakTestProved    = "no-leak-seen-test-proved"
	NoLeakTestNotProved = "no-leak-seen-test-not-proved"
	BeyondMethod        = "beyond-method"
	EquivalentOnly      = "equivalent-only"
	Located             = "located"
	NotDistinguishable  = "not-distinguishable"
	Narrowed            = "narrowed"
)

// Verdicts lists the ladder from its first rung.
var Verdicts = []string{TooFewReadings, Inconsistent, NotInString, NoLeakTestProved, NoLeakTestNotProved,
	BeyondMethod, EquivalentOnly, Located, NotDistinguishable, Narrowed}

// Kinds of a hypothesis.
const (
	None         = "none"
	One          = "one"
	Two          = "two"
	Spread       = "spread"
	BoardLeak    = "board"
	LinkLeak     = "link"
	RailLeak     = "rail"
	LoadSide     = "load-side"
	BadReference = "bad-reference"
	MonitorLeak  = "monitor"
)

// Kinds of a place.
const (
	PlaceModule = "module"
	PlaceLink   = "link"
	PlaceBoard  = "board"
	PlaceRail   = "rail"
	PlaceLoad   = "load"
	PlaceString = "string"
)

// Number is a figure of a finding. It is written with six significant digits,
// and as null where there is none (NaN).
type Number float64

// NoNumber stands where a bound has no value.
var NoNumber = Number(math.NaN())

// MarshalJSON writes six significant digits, or null for NaN and infinities.
func (n Number) MarshalJSON() ([]byte, error) {
	v := Round(float64(n))
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return []byte("null"), nil
	}
	return json.Marshal(v)
}

// UnmarshalJSON reads null as NaN.
func (n *Number) UnmarshalJSON(b []byte) error {
	if string(b) == "null" {
		*n = NoNumber
		return nil
	}
	return json.Unmarshal(b, (*float64)(n))
}

// Round keeps six significant digits, so that the same case gives the same
// bytes, and turns −0 into 0.
func Round(v float64) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return v + 0
	}
	r, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 5, 64), 64)
	if err != nil {
		return v
	}
	return r
}

// Interval is a 95 % interval with its middle.
type Interval struct {
	Low  Number `json:"low"`
	Mid  Number `json:"mid"`
	High Number `json:"high"`
}

// Bounded is an interval that may be a bound: "<" has low 0 and no mid, ">" has
// no high.
type Bounded struct {
	Low      Number `json:"low"`
	Mid      Number `json:"mid"`
	High     Number `json:"high"`
	Relation string `json:"relation"`
}

// Range2 is an interval without a middle.
type Range2 struct {
	Low  Number `json:"low"`
	High Number `json:"high"`
}

// Known says that an interval was given: neither end is missing, and it is not the 0
// to 0 of a field that was left out.
func (r Range2) Known() bool { return r.Low == r.Low && r.High == r.High && r != (Range2{}) }

// A Share is the probability of a place, from 0 to 1.
type Share struct {
	ID    string `json:"id"`
	Kind  string `json:"kind"`
	Share Number `json:"share"`
}

// TapRange names the taps that a leak lies between, rounded outward.
type TapRange struct {
	Low  string `json:"low"`
	Mid  string `json:"mid"`
	High string `json:"high"`
}

// A Leak is one effective leak that the readings resolve.
type Leak struct {
	String     string   `json:"string"`
	If         string   `json:"if"` // "one leak" where the finding rests on that
	Places     []Share  `json:"places"`
	Tap        TapRange `json:"tap"`
	Position   Interval `json:"position"`   // groups from the string's negative end, the leak path's own potential included
	Electrical Interval `json:"electrical"` // the same without it
	Volts      Interval `json:"volts_above_negative"`
	Ohms       Bounded  `json:"ohms"`
	Several    Number   `json:"several"` // P(more than one leak in this section)
}

// A HypothesisShare is the probability of one kind of explanation.
type HypothesisShare struct {
	Kind  string `json:"kind"`
	Share Number `json:"share"`
}

// A SectionFinding holds the two numbers that a section gives in one state.
type SectionFinding struct {
	State        string   `json:"state"`
	String       string   `json:"string"`
	From         string   `json:"from"`
	To           string   `json:"to"`
	Volts        Number   `json:"volts"`
	ChassisVolts Interval `json:"chassis_volts"` // chassis above From with the meter off
	Ohms         Bounded  `json:"ohms"`          // everything from this section to chassis, in parallel
	StandardOhms Number   `json:"standard_ohms"` // ohms ÷ max(f, 1 − f)
	OhmsPerVolt  Number   `json:"ohms_per_volt"` // standard ohms per volt of the divisor
	Divisor      string   `json:"divisor"`
	Readings     []string `json:"readings"`
}

// A Doubt is a slip in one reading that would explain what does not fit.
type Doubt struct {
	Reading string `json:"reading"`
	Kind    string `json:"kind"`
	With    string `json:"with"`
	FitsIf  string `json:"fits_if"`
	Odds    Number `json:"odds"`
}

// LeftOut is a reading that the finding does not rest on.
type LeftOut struct {
	Reading string `json:"reading"`
	Why     string `json:"why"`
}

// StateChange is what a proposed action would change.
type StateChange struct {
	Open      []string `json:"open,omitempty"`
	Unplugged []string `json:"unplugged,omitempty"`
}

// Kinds of a proposed test, by what comes first.
const (
	TestRead     = "read"     // a reading in the present state
	TestRepeat   = "repeat"   // a reading that was taken before, for drift
	TestOpen     = "open"     // a link is opened, then a reading
	TestUnplug   = "unplug"   // a board is unplugged, then a reading
	TestSeparate = "separate" // a string is opened at both ends, then a reading
)

// A NextTest is a proposed action and the reading that follows it. What it
// foretells is expected, not measured.
type NextTest struct {
	Kind     string      `json:"kind"`   // one of the Test words
	Action   string      `json:"action"` // in words: what to do, then what to read
	State    StateChange `json:"state"`
	Red      string      `json:"red"`
	Black    string      `json:"black"`
	Resistor string      `json:"resistor"` // id of a test resistor; "" = none
	// ResistorFrom and ResistorTo are where it goes; both "" = across the probes.
	ResistorFrom string     `json:"resistor_from,omitempty"`
	ResistorTo   string     `json:"resistor_to,omitempty"`
	Instrument   string     `json:"instrument"` // the meter that it was worked out for; "" = none is recorded
	Range        Number     `json:"range"`      // V, to lock on that meter; null where its ranges are not recorded
	Watts        Number     `json:"watts"`      // W in the resistor at the bad end of the interval; null without one
	Across       Number     `json:"across"`     // V at the resistor at the bad end of the interval; null without one
	Bits         Number     `json:"bits"`       // expected information about what must come out
	Minutes      Number     `json:"minutes"`    // of the change and the reading
	Total        Number     `json:"total"`      // expected minutes until it is known, begun with this
	Expected     Range2     `json:"expected"`   // V, 95 %
	GapVolts     Range2     `json:"gap_volts"`  // V across the link once it is open, before it is touched; null without one
	Then         []ThenTest `json:"then"`       // what would come after it, the likeliest outcome first
	Why          string     `json:"why"`        // in minutes and bits
	NotChecked   []string   `json:"not_checked"`
	Cautions     []string   `json:"cautions"`
}

// A ThenTest is what would be proposed after one outcome of a test.
type ThenTest struct {
	If     string `json:"if"`     // what would be read
	Share  Number `json:"share"`  // its probability
	Action string `json:"action"` // what then
}

// HeldBack is an action that is not proposed, and what would lift that.
type HeldBack struct {
	Action string `json:"action"`
	Why    string `json:"why"`
}

// A WorkedLine is one line of "Why?": what it is, the equation with this case's
// numbers, and what comes out.
type WorkedLine struct {
	What   string `json:"what"`
	Worked string `json:"worked"`
}

// A Closure compares what the sections of one state predict for another.
type Closure struct {
	State          string   `json:"state"`           // the state that is predicted
	From           string   `json:"from"`            // the state whose sections predict it
	Section        string   `json:"section"`         // negative end of the predicted section
	Predicted      Bounded  `json:"predicted"`       // ohms
	Measured       Bounded  `json:"measured"`        // ohms
	PredictedVolts Interval `json:"predicted_volts"` // chassis above the negative end
	MeasuredVolts  Interval `json:"measured_volts"`
	Passed         bool     `json:"passed"`
}

// A Subtraction compares two states of which the later lacks one thing: what
// was taken away leaked the difference of the two conductances, at the
// difference's own potential.
type Subtraction struct {
	Before   string   `json:"before"`   // state
	After    string   `json:"after"`    // state
	Away     string   `json:"away"`     // id of the board or module that was taken away
	Section  string   `json:"section"`  // negative end of the section before
	Detected bool     `json:"detected"` // the change is beyond two standard deviations
	Ohms     Bounded  `json:"ohms"`     // of what went; ">" where no change was detected
	Volts    Interval `json:"volts"`    // of what went, above the section's negative end; null where not detected
}

// Evidence is something besides readings that multiplies the odds of a place,
// given by the caller: a drain band in the cell voltages, a wet spot.
type Evidence struct {
	Place string  // id of a module, link or board, or the name of a tap
	Kind  string  // hypothesis kind that it speaks for; "" = any at that place
	With  string  // a second place, for Kind two: the odds are then of the pair, and of neither place by itself
	Odds  float64 // above 0; 1 changes nothing
	Why   string
}

// A Finding is what the engine states, with everything that it rests on.
type Finding struct {
	Format          string            `json:"format"`
	Engine          string            `json:"engine"`
	LayoutVersion   string            `json:"layout_version,omitempty"` // that the readings were taken on; "" = not known
	Verdict         string            `json:"verdict"`
	Statement       string            `json:"statement"`
	Leaks           []Leak            `json:"leaks"`
	Suspicion       []Share           `json:"suspicion"`
	Hypotheses      []HypothesisShare `json:"hypotheses"`
	Sections        []SectionFinding  `json:"sections"`
	Doubts          []Doubt           `json:"doubts"`
	Used            []string          `json:"used"`
	LeftOut         []LeftOut         `json:"left_out"`
	Calibration     []Calibrated      `json:"calibration,omitempty"` // of what was used, and of the group volts
	Assumes         []string          `json:"assumes"`
	WouldTell       string            `json:"would_tell"`
	LimitedBy       string            `json:"limited_by"`
	ReferenceProved bool              `json:"reference_proved"`
	Next            []NextTest        `json:"next"`           // the best first
	Stop            string            `json:"stop,omitempty"` // why no test is proposed
	HeldBack        []HeldBack        `json:"held_back,omitempty"`
	Closure         []Closure         `json:"closure"`
	Subtraction     []Subtraction     `json:"subtraction,omitempty"`
	Why             []WorkedLine      `json:"why"`
	Cautions        []string          `json:"cautions"`
	WhatIf          string            `json:"what_if,omitempty"` // what it was asked under; "" for a finding that stands
}
