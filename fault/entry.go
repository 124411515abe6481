package fault

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
)

// An Entry is what keystrokes mean: the value in the quantity's own unit, its
// relation, and the words to show large before it is saved.
type Entry struct {
	Raw       string
	Value     float64
	Relation  string
	OverRange bool   // "OL": the display overflowed; Value is the limit that was given
	Unit      string // V, Ω, A, °C, kPa
	Echo      string // "3.622 V", "more than 2 GΩ"
	Powers    string // how an exponent was read, "2.1 × 10^5"; "" = none was typed
}

// EntryOptions say how keystrokes are to be read.
type EntryOptions struct {
	Quantity     string
	DecimalComma bool    // this person writes 3,622 for three point six
	Millivolts   bool    // a bare number is millivolts: only in a run that was started so
	Limit        float64 // largest value that the instrument can show, 0 = not known
}

var entryUnits = map[string]string{Volts: "V", Insulation: "Ω", Ohms: "Ω", Amps: "A", Celsius: "°C", Kilopascal: "kPa", Joint: "Ω"}

// ParseEntry reads keystrokes such as 3.622, 3622 mV, 210k, .21M, 2.1E5, OL, >2G or
// 3,622. A bare number is in the quantity's own unit. Errors tell in plain words
// what could not be read and what to write instead; nothing is guessed.
func ParseEntry(raw string, o EntryOptions) (Entry, error) {
	e := Entry{Raw: raw, Relation: Equal, Unit: entryUnits[o.Quantity]}
	if e.Unit == "" {
		return e, fmt.Errorf("%q is not a quantity that can be entered", o.Quantity)
	}
	s := strings.TrimSpace(raw)
	for _, r := range []string{Greater, Less, Equal} {
		if rest, ok := strings.CutPrefix(s, r); ok {
			e.Relation, s = r, strings.TrimSpace(rest)
			break
		}
	}
	if s == "" {
		return e, fmt.Errorf("nothing was typed")
	}
	if word := strings.ToUpper(strings.TrimLeft(s, "-+")); word == "OL" || word == "O.L" || word == "0L" {
		return e.overRange(strings.HasPrefix(s, "-"), o)
	}
	number, unit := splitUnit(s)
	if number == "" {
		return e, fmt.Errorf("%q is not a number", s)
	}
	v, err := ParseNumber(number, o.DecimalComma)
	if err != nil {
		return e, err
	}
	if mantissa, power := splitPower(number); power != "" {
		e.Powers = mantissa + " × 10^" + power
	}
	scale, err := unitScale(unit, o)
	if err != nil {
		return e, err
	}
	e.Value = v * scale
	if scale < 1 { // 3627 mV is 3.627 V and nothing beside it
		e.Value = v / math.Round(1/scale)
	}
	if math.IsInf(e.Value, 0) || math.Abs(e.Value) > 1e15 {
		return e, fmt.Errorf("%s is larger than any reading", s)
	}
	if e.Unit == "Ω" && e.Value < 0 {
		return e, fmt.Errorf("a resistance cannot be below zero")
	}
	e.Value += 0 // −0 is 0
	e.Echo = e.words()
	return e, nil
}

func (e Entry) overRange(negative bool, o EntryOptions) (Entry, error) {
	if o.Limit <= 0 {
		return e, fmt.Errorf("OL is a bound: write what the instrument can show at most, such as >2G")
	}
	e.OverRange, e.Value, e.Relation = true, o.Limit, Greater
	if negative {
		e.Value, e.Relation = -o.Limit, Less
	}
	e.Echo = e.words()
	return e, nil
}

// splitUnit cuts after the last character that can belong to a number.
func splitUnit(s string) (number, unit string) {
	i := strings.LastIndexAny(s, "0123456789.,")
	return s[:i+1], strings.TrimSpace(s[i+1:])
}

// EntryUnit is what stands after the number of keystrokes, as it was typed: "mV", or
// "" for a bare number.
func EntryUnit(raw string) string {
	_, unit := splitUnit(strings.TrimSpace(raw))
	return unit
}

// ParseNumber reads a number as a person types it: 3.6, 3,6, -.5, 12 500, 2.1E5. With
// comma this person writes a decimal comma, and 3,622 is not asked back. Its error names
// the character that does not belong there; nothing is left out of what was typed.
func ParseNumber(s string, comma bool) (float64, error) {
	t := strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		if r == '−' {
			return '-'
		}
		return r
	}, s)
	mantissa, power := splitPower(t)
	for _, r := range mantissa + power {
		if !strings.ContainsRune("0123456789.,+-", r) {
			return 0, fmt.Errorf("%q is not a number: %q does not belong in it", s, string(r))
		}
	}
	commas, points := strings.Count(mantissa, ","), strings.Count(mantissa, ".")
	switch {
	case commas+points > 1:
		return 0, fmt.Errorf("%q has more than one decimal mark", s)
	case commas == 1 && !comma && ambiguous(mantissa):
		return 0, fmt.Errorf("%q may be a thousand or a decimal: write %s or %s", s, strings.Replace(t, ",", ".", 1), strings.Replace(t, ",", "", 1))
	}
	t = strings.Replace(mantissa, ",", ".", 1)
	if power != "" {
		t += "e" + power
	}
	v, err := strconv.ParseFloat(t, 64)
	switch {
	case errors.Is(err, strconv.ErrRange):
		return 0, fmt.Errorf("%q is not a number that can be kept: its exponent is too large", s)
	case err != nil || math.IsNaN(v):
		return 0, fmt.Errorf("%q is not a number", s)
	case v == 0 && strings.ContainsAny(mantissa, "123456789"):
		return 0, fmt.Errorf("%q is not a number that can be kept: its exponent is too small", s)
	}
	return v, nil
}

// splitPower parts a number from its exponent: the digits, with their sign, after an E
// that follows a digit or a decimal mark. Whatever else has an E has no exponent.
func splitPower(s string) (mantissa, power string) {
	i := strings.IndexAny(s, "eE")
	if i < 1 || !strings.ContainsRune("0123456789.,", rune(s[i-1])) {
		return s, ""
	}
	digits := strings.TrimPrefix(strings.TrimPrefix(s[i+1:], "-"), "+")
	if digits == "" || strings.Trim(digits, "0123456789") != "" {
		return s, ""
	}
	return s[:i], strings.TrimPrefix(s[i+1:], "+")
}

// ambiguous: one to three digits, a comma, exactly three digits.
func ambiguous(s string) bool {
	before, after, _ := strings.Cut(strings.TrimLeft(s, "-+"), ",")
	return len(after) == 3 && len(before) >= 1 && len(before) <= 3 && before != "0"
}

// unitScale knows the prefixes that a bench writes. Case matters for m and M.
func unitScale(unit string, o EntryOptions) (float64, error) {
	own := entryUnits[o.Quantity]
	if unit == "" {
		if o.Millivolts && o.Quantity == Volts {
			return 1e-3, nil
		}
		return 1, nil
	}
	name := strings.TrimSuffix(unit, "s")
	for _, tail := range []string{"ohm", "Ohm", "OHM", "Ω", "Ω", "V", "v", "A", "°C", "C", "Pa"} {
		if p, ok := strings.CutSuffix(name, tail); ok {
			if !sameUnit(tail, own) {
				return 0, fmt.Errorf("%s does not belong here: this field takes %s", unit, own)
			}
			name = strings.TrimSpace(p)
			if own == "kPa" {
				return prefixScale(name, unit, -3)
			}
			return prefixScale(name, unit, 0)
		}
	}
	if own == "Ω" || name == "m" || name == "k" {
		return prefixScale(name, unit, 0)
	}
	return 0, fmt.Errorf("%q is not a unit of %s", unit, own)
}

func sameUnit(tail, own string) bool {
	switch tail {
	case "V", "v":
		return own == "V"
	case "A":
		return own == "A"
	case "°C", "C":
		return own == "°C"
	case "Pa":
		return own == "kPa"
	}
	return own == "Ω"
}

func prefixScale(prefix, unit string, shift int) (float64, error) {
	pow, ok := map[string]int{"": 0, "u": -6, "µ": -6, "μ": -6, "m": -3, "k": 3, "K": 3, "M": 6, "G": 9, "T": 12}[prefix]
	if !ok {
		return 0, fmt.Errorf("%q is not a unit", unit)
	}
	return math.Pow10(pow + shift), nil
}

// words is the value as it will be stored, large enough to check at a glance.
func (e Entry) words() string {
	text := engineering(e.Value, e.Unit)
	switch e.Relation {
	case Greater:
		return "more than " + text
	case Less:
		return "less than " + text
	}
	return text
}

// engineering writes a value with the prefix that keeps it between 1 and 1000;
// volts stay in volts, so that no prefix can be overlooked.
func engineering(v float64, unit string) string {
	if unit != "Ω" || v == 0 {
		return strconv.FormatFloat(Round(v), 'f', -1, 64) + " " + unit
	}
	for _, p := range []struct {
		at     float64
		prefix string
	}{{1e9, "G"}, {1e6, "M"}, {1e3, "k"}, {1, ""}, {1e-3, "m"}, {0, "µ"}} {
		if math.Abs(v) >= p.at*0.9999995 {
			scale := p.at
			if scale == 0 {
				scale = 1e-6
			}
			return strconv.FormatFloat(Round(v/scale), 'f', -1, 64) + " " + p.prefix + unit
		}
	}
	return strconv.FormatFloat(v, 'g', 6, 64) + " " + unit
}
