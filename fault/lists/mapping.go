package lists

import (
	"slices"
	"strings"
	"time"

	"halfsplit/fault"
)

// A Role is what a column holds.
type Role uint8

// The roles. A Wide column holds the values of one group, K, of the row's module; where
// no column names a module, K is the monitor's index.
const (
	Unused Role = iota
	Module
	Group
	Index // in the monitor's list
	Value
	Wide
	Red
	Black
	Time
	State
	Instrument
	Quantity
	Unit
	Note
	Who
	roles
)

// RoleNames are the roles in words, by Role.
var RoleNames = [roles]string{"not used", "module", "group in the module", "monitor index", "value", "values of one group", "red lead", "black lead", "time", "state", "instrument", "quantity", "unit", "note", "who"}

// A Mark is how decimals are written.
type Mark uint8

// The marks. By FoundMark a value with a comma is read where that has one meaning.
const (
	FoundMark Mark = iota
	PointMark
	CommaMark
)

// A Dates says which of two numbers is the day where a date may be read either way.
type Dates uint8

// The orders of a date.
const (
	FoundDates Dates = iota
	DayFirst
	MonthFirst
)

// A Column is what one column holds.
type Column struct {
	Name string // its heading, or "column 3"
	Role Role
	K    int  // of a Wide column, counted from 1
	unit unit // from its heading
}

// HeadUnit is the unit that its heading says; "" = none.
func (c Column) HeadUnit() string { return c.unit.text }

// An Order puts the values of a monitor's list into the pack: Order.To[i] is how many
// groups lie below the group of index i+1, counted along the strings in their order.
type Order struct {
	Name string // in words: "forward from the negative end"
	To   []int
}

// A Mapping is how a list is to be read. Its zero values are "as found".
type Mapping struct {
	Separator rune
	Head      int // the record that has the headings; -1 = none
	Columns   []Column
	Mark      Mark
	Bare      string // unit of bare volts: "V", "mV"; "" = V, as everywhere
	Quantity  string // of the values; "" = by column or unit
	Black     string // where no black lead is given; "" = none
	State     string
	Meter     string  // instrument where no column names one; "" = none named
	Limit     float64 // what OL is more than, where the instrument does not say; 0 = not known
	Dates     Dates
	Stamp     bool   // rows without a time were read when the list is taken in; else it is not known when
	Order     *Order // nil = not chosen
	FromZero  bool   // the monitor's indices count from 0

	settled []string // Asks that a person has answered
}

// Settle notes that a person has chosen what an Ask is about.
func (m Mapping) Settle(key string) Mapping {
	if !slices.Contains(m.settled, key) {
		m.settled = append(slices.Clone(m.settled), key)
	}
	return m
}

func (m Mapping) open(key string) bool { return !slices.Contains(m.settled, key) }

// What an Ask is about.
const (
	AskSeparator = "separator"
	AskMark      = "mark"
	AskBare      = "bare"
	AskQuantity  = "quantity"
	AskBlack     = "black"
	AskDates     = "dates"
	AskOrder     = "order"
	AskState     = "state"
)

// An Ask is a question that a person answers before the list is stored, since the
// text can be read in two ways.
type Ask struct{ Key, Text string }

// has is the first column with a role.
func (m Mapping) has(r Role) (at int, ok bool) {
	at = slices.IndexFunc(m.Columns, func(c Column) bool { return c.Role == r })
	return at, at >= 0
}

// WithRole gives a column a role. A role that one column can have alone is taken from
// the column that had it.
func (m Mapping) WithRole(at int, r Role) Mapping {
	m.Columns = slices.Clone(m.Columns)
	if r != Unused && r != Wide && r != Time && r != Note {
		for i := range m.Columns {
			if m.Columns[i].Role == r {
				m.Columns[i].Role = Unused
			}
		}
	}
	m.Columns[at].Role = r
	if r == Wide && m.Columns[at].K == 0 {
		k := 1
		for _, c := range m.Columns[:at] {
			if c.Role == Wide {
				k = c.K + 1
			}
		}
		m.Columns[at].K = k
	}
	return m
}

// Indexed says that values come by monitor index: from a column, from the place in a
// bare column, or from columns that no module stands beside.
func (m Mapping) Indexed() bool {
	has := func(r Role) bool { _, ok := m.has(r); return ok }
	switch {
	case has(Group) || has(Red):
		return false
	case has(Wide):
		return !has(Module)
	case !has(Value):
		return false
	case has(Index):
		return true
	}
	return !has(Module) && !has(Quantity) && (m.Quantity == "" || m.Quantity == fault.Volts)
}

// parseTime reads a time with a day; zone is that of times that name none.
func parseTime(s string, d Dates, zone *time.Location) (at time.Time, either, ok bool) {
	s = strings.TrimSpace(s)
	for _, layout := range []string{time.RFC3339Nano, "2006-01-02T15:04:05", "2006-01-02 15:04:05", "2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02", "2006/01/02 15:04:05", "2006/01/02 15:04", "2006/01/02", "20060102 150405", "2 Jan 2006 15:04:05", "2 Jan 2006 15:04"} {
		if t, err := time.ParseInLocation(layout, s, zone); err == nil && plausible(t) {
			return t, false, true
		}
	}
	var day, month []time.Time
	for _, clock := range []string{"", " 15:04", " 15:04:05"} {
		for _, sep := range []string{".", "/", "-"} {
			if t, err := time.ParseInLocation("2"+sep+"1"+sep+"2006"+clock, s, zone); err == nil && plausible(t) {
				day = append(day, t)
			}
			if t, err := time.ParseInLocation("1"+sep+"2"+sep+"2006"+clock, s, zone); err == nil && plausible(t) && sep != "." {
				month = append(month, t)
			}
		}
	}
	switch {
	case len(day) > 0 && (len(month) == 0 || day[0].Equal(month[0])):
		return day[0], false, true
	case len(month) > 0 && len(day) == 0:
		return month[0], false, true
	case len(day) == 0:
		return at, false, false
	case d == MonthFirst:
		return month[0], true, true
	}
	return day[0], true, true
}

// plausible: a year that a file can hold, and that somebody measured in.
func plausible(t time.Time) bool { return t.Year() >= 1990 && t.Year() < 2200 }
