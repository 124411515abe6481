package fault

import (
	"fmt"
	"maps"
	"slices"

	"halfsplit/topology"
)

// A Case is one repair: a layout, the states that the pack was brought into,
// and everything that was read.
type Case struct {
	Title  string
	Now    string // id of the present state; "" = not known
	Layout topology.Layout
	// LayoutVersion names the version of the layout that the readings were taken
	// on: a number in a casebook; "" = not known.
	LayoutVersion string
	LayoutFile    string // where the layout was named instead of written; "" = inline
	Instruments   []Instrument
	Resistors     []Resistor
	States        []State
	GroupVolts    []GroupVolts
	Readings      []Reading
	Noted         []Noted
	MakeSafe      []MakeSafe // the make-safe record, in the order of recording
	Provings      []Proving  // the proving log of the instruments, in the order of recording
	// Minutes are the workshop's own access minutes, by id of a link or board, in
	// place of the layout's.
	Minutes map[string]float64
	Extra   topology.Extra
}

// MostMinutes bounds the access minutes of a link or board: about a week.
const MostMinutes = 10000

// Access is how many minutes a link or board takes to reach and open or unplug:
// the case's own figure or the layout's; ok is false where neither has one.
func (c *Case) Access(id string) (minutes float64, ok bool) {
	if m, own := c.Minutes[id]; own {
		return m, true
	}
	for _, l := range c.Layout.Links {
		if l.ID == id && l.Minutes != nil {
			return *l.Minutes, true
		}
	}
	for _, b := range c.Layout.Boards {
		if b.ID == id && b.Minutes != nil {
			return *b.Minutes, true
		}
	}
	return 0, false
}

// Contactor and monitor words of a state.
const (
	Open   = "open"
	Closed = "closed"

	MonitorDisconnected = "disconnected"
	MonitorConnected    = "connected" // joined, not powered: two resistors
	MonitorActive       = "active"    // injecting: no reading to chassis means anything

	CoolantIn  = "in"  // coolant stands in the pack
	CoolantOut = "out" // drained; what wets the metal is Wet

	BoardsOut = "out" // every monitoring board and its leads unplugged, or none fitted: drawn or not
)

// A State is what is open, unplugged, removed and connected. Every reading
// belongs to exactly one.
type State struct {
	ID         string
	Open       []string // links
	Unplugged  []string // boards
	Removed    []string // modules
	Connected  []string // anything else joined to pack or tray, in words
	Contactors string   // Open or Closed; "" = not recorded
	Monitor    string   // one of the Monitor words; "" = not recorded
	Boards     string   // BoardsOut, or "" = by Unplugged, and what is not drawn is not known
	Wet        *bool    // nil = not recorded
	Torqued    *bool    // nil = not recorded
	Coolant    string   // CoolantIn or CoolantOut; "" = not recorded
	Celsius    *float64 // °C of the pack; nil = not recorded
	Humidity   *float64 // % relative, of the air; nil = not recorded
	Extra      topology.Extra
}

// Setting is the part of the state that changes the circuit. Contactors that
// were not recorded are taken as open; Find says so in what it assumes.
func (s State) Setting() topology.Setting {
	return topology.Setting{Open: s.Open, Removed: s.Removed, ContactorsClosed: s.Contactors == Closed}
}

// Plugged says that a board of the layout is on its taps, as far as is recorded:
// it is not among the unplugged, and the boards are not out as a whole. A board
// that was not recorded unplugged counts as plugged.
func (s State) Plugged(board string) bool {
	return s.Boards != BoardsOut && !slices.Contains(s.Unplugged, board)
}

// GroupVolts are the volts of every group of one module, in order from its
// negative end. A group that was not measured is NaN.
type GroupVolts struct {
	Module     string
	State      string
	At         string
	Instrument string // "" = the monitor's or an unnamed instrument: 0.2 % common and 5 mV each
	Volts      []float64
	Source     string
	Extra      topology.Extra
}

// What a person noted at a place. Each word has its odds, which are documented
// where evidence is weighed.
const (
	NotedWet    = "wet"    // moisture or its track
	NotedChafed = "chafed" // worn, crushed or cut insulation
	NotedMark   = "mark"   // of arcing or corrosion
	NotedSmell  = "smell"
	NotedOther  = "other"
)

// NotedWords lists what may be noted, in the order in which it is offered.
var NotedWords = []string{NotedWet, NotedChafed, NotedMark, NotedSmell, NotedOther}

// Noted is something that a person saw or smelt at a place of the pack, no
// measured value.
type Noted struct {
	ID    string
	At    string // RFC 3339; "" = not recorded
	Who   string
	Place string // module, link, board or tap
	What  string // one of NotedWords
	Why   string // in the person's own words; "" = nothing more was said
	Extra topology.Extra
}

// State returns the state with that id.
func (c *Case) State(id string) (State, bool) {
	return find(c.States, id, func(s State) string { return s.ID })
}

// Instrument returns the instrument with that id.
func (c *Case) Instrument(id string) (Instrument, bool) {
	return find(c.Instruments, id, func(i Instrument) string { return i.ID })
}

// Resistor returns the test resistor with that id.
func (c *Case) Resistor(id string) (Resistor, bool) {
	return find(c.Resistors, id, func(r Resistor) string { return r.ID })
}

// Reading returns the reading with that id.
func (c *Case) Reading(id string) (Reading, bool) {
	return find(c.Readings, id, func(r Reading) string { return r.ID })
}

func find[T any](list []T, id string, key func(T) string) (T, bool) {
	for _, v := range list {
		if key(v) == id {
			return v, true
		}
	}
	var zero T
	return zero, false
}

// With returns the case with one more reading. A reading is never changed or
// deleted: to correct one, add another that supersedes it and says why.
func (c Case) With(r Reading) (Case, error) {
	if _, taken := c.Reading(r.ID); taken {
		return c, fmt.Errorf("reading %s is there already; a correction is a new reading that supersedes it", r.ID)
	}
	if r.Supersedes != "" {
		if _, ok := c.Reading(r.Supersedes); !ok {
			return c, fmt.Errorf("reading %s supersedes %s, which does not exist", r.ID, r.Supersedes)
		}
		if r.Why == "" {
			return c, fmt.Errorf("reading %s supersedes %s without saying why", r.ID, r.Supersedes)
		}
	}
	// A fresh slice: the case that the caller holds keeps its own readings.
	c.Readings = append(c.Readings[:len(c.Readings):len(c.Readings)], r)
	return c, nil
}

// WithMinutes returns the case with the workshop's own access minutes of a link or
// board, from 0 to MostMinutes; nil takes them back. Its error is in plain words.
func (c Case) WithMinutes(id string, minutes *float64) (Case, error) {
	_, has := c.Minutes[id]
	if !has && !slices.ContainsFunc(c.Layout.Links, func(l topology.Link) bool { return l.ID == id }) &&
		!slices.ContainsFunc(c.Layout.Boards, func(b topology.Board) bool { return b.ID == id }) {
		return c, fmt.Errorf("access minutes are those of a link or board, and the layout has none called %q", id)
	}
	// A fresh map: the case that the caller holds keeps its own minutes.
	own := maps.Clone(c.Minutes)
	switch {
	case minutes == nil:
		delete(own, id)
	case !(*minutes >= 0 && *minutes <= MostMinutes):
		return c, fmt.Errorf("access minutes of %s lie between 0 and %d, not at %g", id, MostMinutes, *minutes)
	case own == nil:
		own = map[string]float64{id: *minutes + 0} // −0 becomes 0
	default:
		own[id] = *minutes + 0
	}
	if len(own) == 0 {
		own = nil
	}
	c.Minutes = own
	return c, nil
}

// Superseded maps the id of every superseded reading to the one that replaced it.
func (c *Case) Superseded() map[string]Reading {
	m := make(map[string]Reading)
	for _, r := range c.Readings {
		if r.Supersedes != "" {
			m[r.Supersedes] = r
		}
	}
	return m
}
