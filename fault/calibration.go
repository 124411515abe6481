package fault

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"halfsplit/topology"
)

// A Calibration is how an instrument's calibration stands at a time. It never
// decides whether a reading is taken or used; it is said wherever one is shown.
type Calibration uint8

// The states of a calibration.
const (
	CalUnknown Calibration = iota // no due date is recorded, or the time is not
	CalCurrent                    // not yet due
	CalOverdue                    // the due date has passed
	CalLater                      // calibrated after that time; what held then is not recorded
)

// CalibrationAt is how the calibration stood at a time, RFC 3339 or a date: by the
// calendar day that is written there. The due date itself still counts.
func (in Instrument) CalibrationAt(at string) Calibration {
	if len(at) < len(time.DateOnly) {
		return CalUnknown
	}
	day := at[:len(time.DateOnly)] // such dates are in the order of their texts
	switch {
	case in.Calibrated != "" && day < in.Calibrated:
		return CalLater
	case in.CalDue == "":
		return CalUnknown
	case day > in.CalDue:
		return CalOverdue
	}
	return CalCurrent
}

// CalibrationWords is the same as a person reads it: what is recorded, and what is
// not.
func (in Instrument) CalibrationWords(at string) string {
	switch in.CalibrationAt(at) {
	case CalOverdue:
		return "calibration overdue: it was due " + in.CalDue
	case CalLater:
		return "read before its calibration of " + in.Calibrated + "; the one before is not recorded"
	case CalCurrent:
		return "calibration due " + in.CalDue
	}
	switch {
	case in.CalDue != "":
		return "calibration due " + in.CalDue + "; when it was read is not recorded"
	case in.Calibrated != "":
		return "calibrated " + in.Calibrated + "; when it is due is not recorded"
	}
	return "calibration not recorded: not known"
}

// String is the same in few words, for a column of a table.
func (k Calibration) String() string {
	switch k {
	case CalCurrent:
		return "not yet due"
	case CalOverdue:
		return "overdue"
	case CalLater:
		return "before its calibration"
	}
	return "not recorded"
}

// A Calibrated is one line of what a finding rests on: readings whose instrument's
// calibration stood alike when they were taken, each by its own time.
type Calibrated struct {
	Instrument string   `json:"instrument"`       // its id; "" = the readings name none that is described
	Due        string   `json:"due,omitempty"`    // YYYY-MM-DD; "" = not recorded
	Stood      string   `json:"stood"`            // a Calibration in words
	Words      string   `json:"words"`            // the same as a sentence without its end
	Readings   []string `json:"readings"`         // ids
	Groups     []string `json:"groups,omitempty"` // modules whose group volts it gave
}

// Calibrations tell how the instruments of readings and of all lists of group volts
// stood, each at its own time: overdue first, then what is not known, then the rest.
// Lists that name no instrument are left out; they are a monitor's.
func (c *Case) Calibrations(readings []string) []Calibrated {
	var out []Calibrated
	stood := map[int]Calibration{} // by index in out
	line := func(instrument, at string) *Calibrated {
		in, _ := c.Instrument(instrument)
		x := Calibrated{Instrument: in.ID, Due: in.CalDue, Stood: in.CalibrationAt(at).String(), Words: in.CalibrationWords(at), Readings: []string{}}
		i := slices.IndexFunc(out, func(y Calibrated) bool { return y.Instrument == x.Instrument && y.Words == x.Words })
		if i < 0 {
			i, out = len(out), append(out, x)
			stood[i] = in.CalibrationAt(at)
		}
		return &out[i]
	}
	for _, id := range readings {
		if r, ok := c.Reading(id); ok {
			if x := line(r.Instrument, r.At); !slices.Contains(x.Readings, id) {
				x.Readings = append(x.Readings, id)
			}
		}
	}
	for _, g := range c.GroupVolts {
		if _, ok := c.Instrument(g.Instrument); ok {
			if x := line(g.Instrument, g.At); !slices.Contains(x.Groups, g.Module) {
				x.Groups = append(x.Groups, g.Module)
			}
		}
	}
	var sorted []Calibrated
	for _, k := range []Calibration{CalOverdue, CalLater, CalUnknown, CalCurrent} {
		for i, x := range out {
			if stood[i] == k {
				sorted = append(sorted, x)
			}
		}
	}
	return sorted
}

// ParseDate reads a day as it is written in a record. The error explains what is
// wrong with another.
func ParseDate(text string) (string, error) {
	text = strings.TrimSpace(text)
	if text == "" {
		return "", nil
	}
	if _, err := time.Parse(time.DateOnly, text); err == nil {
		return text, nil
	}
	var y, m, d int
	shape := strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return 'd'
		}
		return r
	}, text)
	if shape != "dddd-dd-dd" {
		return "", fmt.Errorf("a date is written like 2026-03-02, year, month, day, and this is %q", text)
	}
	if n, err := fmt.Sscanf(text, "%d-%d-%d", &y, &m, &d); n != 3 || err != nil || m < 1 || m > 12 {
		return "", fmt.Errorf("%q has no month from 01 to 12", text)
	}
	last := time.Date(y, time.Month(m)+1, 0, 0, 0, 0, 0, time.UTC).Day()
	return "", fmt.Errorf("%s %04d has %d days, and this is %q", time.Month(m), y, last, text)
}

// String is a rating as it is printed on an instrument.
func (r Rating) String() string { return fmt.Sprintf("CAT %s %g V", r.Category, r.Volts) }

// A Proving is one entry of an instrument's proving log: what it showed of a known
// source. It is recorded as it was; nothing is concluded from it here.
type Proving struct {
	At         string // RFC 3339; "" = not recorded
	Who        string
	Instrument string   // its id
	When       string   // ProvedBefore or ProvedAfter the readings; "" = not recorded
	Source     string   // which known source
	Known      *float64 // V that the source gives; nil = not recorded
	Point      string   // where on the source, or which pair of leads
	Shown      float64  // V
	Raw        string   // the keystrokes of Shown
	Answer     string   // what a connected meter answered; "" = typed
	AnsweredBy string
	Note       string
	Extra      topology.Extra
}

// When an instrument was proved.
const (
	ProvedBefore = "before"
	ProvedAfter  = "after"
)

// ProvingsOf are the entries of an instrument's log, the newest last.
func (c *Case) ProvingsOf(instrument string) []Proving {
	var out []Proving
	for _, p := range c.Provings {
		if p.Instrument == instrument {
			out = append(out, p)
		}
	}
	return out
}

// NameProvings names entries that were recorded together as one step of the
// history: "proving of dmm before, 9.1 V and 401.2 V".
func NameProvings(list []Proving) string {
	if len(list) == 0 {
		return "proving"
	}
	s := "proving of " + list[0].Instrument
	if list[0].When != "" {
		s += " " + list[0].When
	}
	for i, p := range list {
		join := ", "
		if i > 0 && i == len(list)-1 {
			join = " and "
		}
		s += fmt.Sprintf("%s%.6g V", join, p.Shown)
	}
	return s
}
