package scpi

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// SCPI-99, volume 1, 7.2.1: an overflow is written as these numbers, and what is
// no number as the last.
const (
	overload  = 9.9e37
	notNumber = 9.91e37
)

// most is the largest magnitude that is taken for a measured value: nothing that
// a meter measures reaches a petaohm.
const most = 1e15

// A Value is one answer of a meter.
type Value struct {
	Number   float64 // in V, Ω or A, as the function has it; 0 where Overload
	Overload int     // +1 or −1: beyond the range, upwards or downwards; 0 = a number
	Answer   string  // as the meter wrote it
	Identity string  // its own answer to *IDN?
}

// ParseValue reads an answer: a number as IEEE 488.2 writes them (NR1, NR2, NR3),
// and nothing else beside it. Two numbers, a unit or words are refused, since what
// they mean would be a guess.
func ParseValue(answer string) (Value, error) {
	v := Value{Answer: answer}
	s := strings.TrimSpace(answer)
	switch {
	case s == "":
		return v, errors.New("an empty line")
	case strings.ContainsRune(s, ','):
		return v, fmt.Errorf("%s, which is more than one value", quoted(s))
	case !plainNumber(s):
		return v, fmt.Errorf("%s, which is not a number", quoted(s))
	}
	f, err := strconv.ParseFloat(s, 64)
	switch {
	case err == nil && math.Abs(f) == overload:
		v.Overload = 1
		if f < 0 {
			v.Overload = -1
		}
		return v, nil
	case err == nil && f == notNumber:
		return v, fmt.Errorf("%s, by which a meter says that it has no number", quoted(s))
	case err != nil || math.Abs(f) > most:
		return v, fmt.Errorf("%s, which is larger than any reading", quoted(s))
	}
	v.Number = f + 0 // −0 is 0
	return v, nil
}

// plainNumber is the grammar of a decimal number: sign, digits with at most one
// point, and an exponent. strconv alone would take more, such as "infinity".
func plainNumber(s string) bool {
	rest := strings.TrimLeft(s, "+-")
	if len(s)-len(rest) > 1 {
		return false
	}
	mantissa, exponent, has := strings.Cut(strings.ToUpper(rest), "E")
	whole, part, _ := strings.Cut(mantissa, ".")
	if whole+part == "" || !digits(whole) || !digits(part) {
		return false
	}
	if !has {
		return true
	}
	e := strings.TrimLeft(exponent, "+-")
	return len(exponent)-len(e) <= 1 && e != "" && len(e) <= 3 && digits(e)
}

func digits(s string) bool { return strings.Trim(s, "0123456789") == "" }

// Decimal is the number written out without an exponent, with every digit that
// the meter gave: "+1.03450E+02" is "103.450". It is "" where there is none.
func (v Value) Decimal() string {
	s := strings.TrimSpace(v.Answer)
	if v.Overload != 0 || !plainNumber(s) {
		return ""
	}
	mantissa, exponent, _ := strings.Cut(strings.ToUpper(s), "E")
	shift, _ := strconv.Atoi(exponent)
	_, part, _ := strings.Cut(mantissa, ".")
	r, ok := new(big.Rat).SetString(s)
	if !ok || shift > 20 || shift < -40 {
		return ""
	}
	text := r.FloatString(max(0, len(part)-shift))
	if v.Number == 0 {
		return strings.TrimPrefix(text, "-")
	}
	return text
}

// A Report is one entry of a meter's own error queue.
type Report struct {
	Number int // 0 = nothing to report
	Text   string
}

// ParseReport reads an answer to SYST:ERR?: a number, a comma and a text in
// quotes.
func ParseReport(answer string) (Report, error) {
	number, text, ok := strings.Cut(strings.TrimSpace(answer), ",")
	n, err := strconv.Atoi(strings.TrimPrefix(strings.TrimSpace(number), "+"))
	text = strings.TrimSpace(text)
	if !ok || err != nil || len(text) < 2 || text[0] != '"' || text[len(text)-1] != '"' {
		return Report{}, fmt.Errorf("%s, which is no number and text of an error", quoted(answer))
	}
	return Report{n, strings.ReplaceAll(text[1:len(text)-1], `""`, `"`)}, nil
}

// identity says that a line is an answer to *IDN?: four fields, IEEE 488.2 10.14.
func identity(line string) bool {
	fields := strings.Split(line, ",")
	return len(fields) >= 4 && strings.TrimSpace(fields[0]) != ""
}

// quoted is what a meter wrote, short and printable.
func quoted(s string) string {
	if r := []rune(s); len(r) > 40 {
		s = string(r[:39]) + "…"
	}
	return strconv.QuoteToASCII(s)
}
