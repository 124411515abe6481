package fault

import (
	"slices"
	"strconv"
	"strings"

	"halfsplit/topology"
)

// Items of the make-safe record. Each stands for one thing that is recorded by
// itself; Text, Date and Value of an entry are what the comments say.
const (
	SafeAuthorised = "authorised" // Text: name of the authorised person
	SafeAssistant  = "assistant"  // Text: name
	SafeStandby    = "standby"    // Text: name of who stands by
	SafeSite       = "site"       // Text: where the work is done
	SafeProcedure  = "procedure"  // Text: the workshop's or maker's own procedure, by its reference

	SafeGloves = "gloves" // Text: class; Date: of their test
	SafeMeter  = "meter"  // Text: measurement category; Date: calibration due; Instrument: its id
	SafeProver = "prover" // Text: which known source; Value: its volts; TolPct: ± %; Date: calibration due

	SafeLock = "lock" // Text: its number
	SafeKey  = "key"  // Text: who holds the key
	SafePlug = "plug" // Text: where lock, key and disconnect are kept

	SafeWait  = "wait"  // Value: the maker's wait in minutes; Text: where that stands
	SafeBegan = "began" // At: when the wait began
	SafeDecay = "decay" // Value: farads; Ohms: of the discharge path; Text: where these come from
	SafeLimit = "limit" // Value: volts below which the procedure goes on; Text: where that stands

	SafePoint  = "point"  // Text: where the meter is put, from now on
	SafeBefore = "before" // Value: volts shown at the known source, before the readings; Known: its volts
	SafePoles  = "poles"  // Value: volts, + above −
	SafePlus   = "plus"   // Value: volts, + above chassis
	SafeMinus  = "minus"  // Value: volts, − above chassis
	SafeAfter  = "after"  // as before, after the readings

	SafeReason = "reason" // Text: why the next step is taken although Lacked was lacking
)

// SafeItems lists the items in the order in which they are asked for.
var SafeItems = []string{
	SafeAuthorised, SafeAssistant, SafeStandby, SafeSite, SafeProcedure,
	SafeGloves, SafeMeter, SafeProver,
	SafeLock, SafeKey, SafePlug,
	SafeWait, SafeBegan, SafeDecay, SafeLimit,
	SafePoint, SafeBefore, SafePoles, SafePlus, SafeMinus, SafeAfter,
	SafeReason,
}

// A MakeSafe is one entry of the make-safe record: who, with what, behind which
// lock, how long was waited, what the meter showed. The newest entry of an item
// stands, for readings the newest at their point; what it supersedes stays.
// Everything in it is what a person recorded, and no statement about the metal.
type MakeSafe struct {
	ID         string
	At         string // RFC 3339, when it was done or read; "" = not recorded
	Who        string
	State      string // the present state then; "" = not known
	Item       string // one of SafeItems
	Point      string // of a reading: where the meter was put; "" = the pack's poles
	Text       string
	Date       string   // YYYY-MM-DD; "" = not recorded
	Value      *float64 // in the unit of the item; nil = not recorded
	Raw        string   // the keystrokes of Value
	Known      *float64 // V of the known source, of a proving
	TolPct     *float64 // ± % of the known source
	Ohms       *float64 // of the discharge path
	Instrument string   // that showed Value; "" = not recorded
	Lacked     []string // of a reason: what was lacking when it was written
	Extra      topology.Extra
}

// SafeVolts says that an item's value is volts that a meter shows.
func SafeVolts(item string) bool {
	switch item {
	case SafeBefore, SafePoles, SafePlus, SafeMinus, SafeAfter:
		return true
	}
	return false
}

var safeNames = map[string]string{
	SafeAuthorised: "authorised person", SafeAssistant: "assistant", SafeStandby: "standby", SafeSite: "place", SafeProcedure: "procedure",
	SafeGloves: "gloves", SafeMeter: "meter", SafeProver: "known source",
	SafeLock: "lock", SafeKey: "key", SafePlug: "where lock and key are",
	SafeWait: "the maker's wait", SafeBegan: "the wait began", SafeDecay: "what discharges", SafeLimit: "limit of the procedure",
	SafePoint: "measuring point", SafeBefore: "proving before", SafePoles: "pole to pole", SafePlus: "+ to chassis", SafeMinus: "- to chassis", SafeAfter: "proving after",
	SafeReason: "reason to go on",
}

// SafeName is an item in words.
func SafeName(item string) string {
	if n, ok := safeNames[item]; ok {
		return n
	}
	return item
}

// Name names an entry as one step of the history: "+ to chassis 0.2 V".
func (m MakeSafe) Name() string {
	parts := []string{SafeName(m.Item)}
	if m.Value != nil {
		unit := ""
		switch m.Item {
		case SafeWait:
			unit = " min"
		case SafeDecay:
			unit = " F"
		default:
			unit = " V"
		}
		parts = append(parts, strconv.FormatFloat(*m.Value, 'g', 12, 64)+unit)
	}
	if m.Item == SafeBegan && m.At != "" {
		parts = append(parts, m.At)
	}
	if m.Text != "" {
		text := []rune(m.Text)
		if len(text) > 40 {
			text = append(text[:39:39], '…')
		}
		parts = append(parts, string(text))
	}
	if m.Point != "" {
		parts = append(parts, "at "+m.Point)
	}
	return strings.Join(parts, " ")
}

// SafeNow is the entry of an item that stands: the newest in the order in which
// they were recorded.
func (c *Case) SafeNow(item string) (MakeSafe, bool) {
	for _, m := range slices.Backward(c.MakeSafe) {
		if m.Item == item {
			return m, true
		}
	}
	return MakeSafe{}, false
}

// SafeAt is the same for what is read at a point.
func (c *Case) SafeAt(item, point string) (MakeSafe, bool) {
	for _, m := range slices.Backward(c.MakeSafe) {
		if m.Item == item && m.Point == point {
			return m, true
		}
	}
	return MakeSafe{}, false
}
