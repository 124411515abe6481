package lists

import (
	"regexp"
	"strings"
	"unicode"

	"halfsplit/fault"
)

// A unit as headings write it, what it measures, and how fault.ParseEntry has it.
// Resistance alone does not say by what it was measured.
type unit struct {
	text     string
	quantity string // "" for a resistance
}

var units = map[string]unit{
	"v": {"V", fault.Volts}, "volt": {"V", fault.Volts}, "volts": {"V", fault.Volts}, "mv": {"mV", fault.Volts}, "millivolt": {"mV", fault.Volts}, "millivolts": {"mV", fault.Volts}, "kv": {"kV", fault.Volts},
	"a": {"A", fault.Amps}, "amps": {"A", fault.Amps}, "°c": {"°C", fault.Celsius}, "degc": {"°C", fault.Celsius}, "celsius": {"°C", fault.Celsius},
	"kpa": {"kPa", fault.Kilopascal}, "pa": {"Pa", fault.Kilopascal},
	"ohm": {"ohm", ""}, "ohms": {"ohm", ""}, "Ω": {"ohm", ""}, "kohm": {"kohm", ""}, "kohms": {"kohm", ""}, "kΩ": {"kohm", ""}, "k": {"kohm", ""},
	"gohm": {"Gohm", ""}, "gohms": {"Gohm", ""}, "gΩ": {"Gohm", ""}, "µohm": {"µohm", ""}, "µΩ": {"µohm", ""}, "uohm": {"µohm", ""}, "uΩ": {"µohm", ""},
}

// cased are the units in which the case of a letter counts.
var cased = map[string]unit{
	"mohm": {"mohm", ""}, "mohms": {"mohm", ""}, "mΩ": {"mohm", ""}, "Mohm": {"Mohm", ""}, "Mohms": {"Mohm", ""}, "MΩ": {"Mohm", ""}, "MOhm": {"Mohm", ""}, "mOhm": {"mohm", ""}, "M": {"Mohm", ""}, "G": {"Gohm", ""},
	"mA": {"mA", fault.Amps},
}

// unitOf knows a unit as it is written in a heading or in a column of units. What
// could be milli or mega is not known.
func unitOf(s string) (unit, bool) {
	s = strings.ReplaceAll(strings.TrimSpace(s), "\u2126", "Ω") // the sign of the unit is the letter
	s = strings.ReplaceAll(s, "μ", "µ")
	if u, ok := cased[s]; ok {
		return u, true
	}
	if u, ok := units[s]; ok {
		return u, true
	}
	low := strings.ReplaceAll(strings.ToLower(s), "ω", "Ω")
	if u, ok := units[low]; ok && s != "MV" {
		return u, true
	}
	return unit{}, false
}

func isUnit(s string) bool { _, ok := unitOf(s); return ok }

// headed parts a heading into its name and the unit that stands in it:
// "U [mV]", "Cell 12 (V)", "R/kΩ", "R in kΩ".
func headed(s string) (name string, u unit, ok bool) {
	s = strings.TrimSpace(s)
	if m := bracketed.FindStringSubmatch(s); m != nil {
		if u, ok := unitOf(m[2]); ok {
			return strings.TrimSpace(m[1] + " " + m[3]), u, true
		}
	}
	for _, mark := range []string{"/", " in ", ",", "_", " "} {
		if i := strings.LastIndex(s, mark); i > 0 {
			if u, ok := unitOf(s[i+len(mark):]); ok {
				return strings.TrimSpace(s[:i]), u, true
			}
		}
	}
	if u, ok := unitOf(s); ok && len([]rune(s)) > 1 { // "mV" alone; "V" names the volts too
		return "", u, true
	}
	return s, unit{}, false
}

var bracketed = regexp.MustCompile(`^(.*?)[\[(]([^\])]*)[\])](.*)$`)

// ownUnit says that the text of a value ends in letters: a unit of its own, or what
// ParseEntry will refuse.
func ownUnit(s string) bool {
	r := []rune(strings.TrimSpace(s))
	return len(r) > 0 && (unicode.IsLetter(r[len(r)-1]) || unicode.IsSymbol(r[len(r)-1]))
}

// looksLikeValue says that a cell holds a number, with or without a unit, or the word
// of an overflow.
func looksLikeValue(s string) bool {
	s = strings.TrimLeft(strings.TrimSpace(s), "<>=+-− ")
	if up := strings.ToUpper(s); up == "OL" || up == "O.L" || up == "0L" {
		return true
	}
	if s == "" || !strings.ContainsRune("0123456789.,", rune(s[0])) {
		return false
	}
	end := strings.LastIndexAny(s, "0123456789.,")
	if strings.IndexFunc(exponent.ReplaceAllString(s[:end+1], "$1"), func(r rune) bool {
		return !(unicode.IsDigit(r) || r == '.' || r == ',' || unicode.IsSpace(r))
	}) >= 0 {
		return false
	}
	tail := strings.TrimSpace(s[end+1:])
	return end >= 0 && (tail == "" || isUnit(tail))
}

// exponent is that of a number, as instruments and tables write it: 3.6218E+00.
var exponent = regexp.MustCompile(`([0-9.,])[eE][+-]?[0-9]+$`)

// saysNothing says that a cell stands for no value.
func saysNothing(s string) bool {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "", "-", "--", "---", "–", "—", "n/a", "na", "nan", "null", "none", ".", "?", "not measured", "not read":
		return true
	}
	return false
}
