package cli

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// sections prints the two resistances of every section side by side, because
// limits are written for one and repairs are made by the other.
func (w *printed) sections() {
	if len(w.f.Sections) == 0 {
		return
	}
	w.heading("Sections to chassis")
	for _, s := range w.f.Sections {
		v := ""
		if !missing(s.Volts) {
			v = fmt.Sprintf(", %s V", fixed(float64(s.Volts), digitsFor(0, float64(s.Volts))))
		}
		w.item("", "%s: %s to %s%s%s", s.State, s.From, s.To, v, from(s.Readings))
		w.under("Chassis", "%s", volts(s.ChassisVolts, s.From))
		w.under("Physical", "%s", bounded(s.Ohms))
		w.under("Standard", "%s", standard(s))
	}
	w.item("", "Physical: everything from the section to chassis, in parallel; repairs go by it. Standard: the same divided by the larger of f and 1 - f, as the regulations' voltmeter method gives it; limits are written for it.")
}

func from(readings []string) string {
	if len(readings) == 0 {
		return ""
	}
	return ", from " + run(readings)
}

func standard(s fault.SectionFinding) string {
	if missing(s.StandardOhms) || s.StandardOhms == 0 {
		return "not determined"
	}
	bound, round := "", math.Round
	switch s.Ohms.Relation {
	case fault.Less:
		bound, round = "less than ", math.Ceil
	case fault.Greater:
		bound, round = "more than ", math.Floor
	}
	text := bound + ohmsRounded(s.StandardOhms, round)
	if s.Divisor != "" && !missing(s.OhmsPerVolt) && s.OhmsPerVolt != 0 {
		text += ", " + bound + ohmsRounded(s.OhmsPerVolt, round) + "/V of " + s.Divisor
	}
	return text
}

// run lists ids, a row of consecutive ones by its ends: "r2 to r14 r17".
func run(ids []string) string {
	var out []string
	for i := 0; i < len(ids); {
		j := i
		for j+1 < len(ids) && follows(ids[j], ids[j+1]) {
			j++
		}
		if j-i < 2 {
			j = i
			out = append(out, ids[i])
		} else {
			out = append(out, ids[i]+" to "+ids[j])
		}
		i = j + 1
	}
	return strings.Join(out, " ")
}

// follows says whether b is a with its final number one higher.
func follows(a, b string) bool {
	stem := strings.TrimRight(a, "0123456789")
	digits, next := a[len(stem):], strings.TrimPrefix(b, stem)
	if digits == "" || len(digits) > 9 || next == b && stem != "" {
		return false
	}
	n, _ := strconv.Atoi(digits)
	return strconv.Itoa(n+1) == next
}
