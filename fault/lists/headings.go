package lists

import (
	"regexp"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// mostAbove is how many records may stand above the headings.
const mostAbove = 40

// findHead is the record with the headings: the first as wide as the data in which a
// column has a known name, or in which words stand where values follow; -1 = none.
func findHead(all []record) int {
	width := commonest(all)
	for i, r := range all[:min(len(all), mostAbove)] {
		if r.bad != "" || r.blank() || len(r.fields) < width {
			continue
		}
		known, values := 0, 0
		for _, f := range r.fields {
			if role, _, _ := roleOf(f); role != Unused && !looksLikeValue(f) {
				known++
			}
			if looksLikeValue(f) {
				values++
			}
		}
		if known > 0 && 2*known >= values || sequence(r.fields) >= 3 {
			return i
		}
		if values > 0 {
			return -1
		}
		if n := 0; width > 1 || len(r.fields) == 1 {
			for _, next := range all[i+1 : min(len(all), i+6)] {
				for _, f := range next.fields {
					if looksLikeValue(f) {
						n++
					}
				}
			}
			if n >= 1 && width > 1 {
				return i
			}
		}
	}
	return -1
}

// sequence is how long the run 1, 2, 3, … at the end of a row of headings is.
func sequence(fields []string) int {
	n := 0
	for i := len(fields) - 1; i >= 0; i-- {
		v, err := strconv.Atoi(fields[i])
		if err != nil || n > 0 && strconv.Itoa(v+1) != fields[i+1] {
			break
		}
		if n++; v == 1 {
			return n
		}
	}
	return 0
}

var names = map[string]Role{
	"module": Module, "mod": Module, "module no": Module, "module number": Module, "bench number": Module, "bench no": Module, "modul": Module,
	"group": Group, "grp": Group, "cell group": Group, "group no": Group, "group number": Group, "group in module": Group, "group in the module": Group,
	"index": Index, "monitor index": Index, "cell index": Index, "idx": Index, "monitor no": Index, "cell": Index, "cell no": Index, "cell number": Index, "cells": Index,
	"value": Value, "reading": Value, "measured": Value, "volts": Value, "volt": Value, "voltage": Value, "cell volts": Value, "cell voltage": Value, "u": Value, "v": Value, "r": Value,
	"resistance": Value, "insulation": Value, "insulation resistance": Value, "ohms": Value, "temperature": Value, "temp": Value, "amps": Value, "joint": Value, "joint resistance": Value, "module volts": Value, "group volts": Value,
	"red": Red, "red lead": Red, "from": Red, "point": Red, "terminal": Red, "tap": Red, "node": Red, "place": Red, "link": Red,
	"black": Black, "black lead": Black, "to": Black, "common": Black,
	"time": Time, "date": Time, "at": Time, "timestamp": Time, "date time": Time, "date and time": Time, "when": Time, "day": Time,
	"state": State, "instrument": Instrument, "meter": Instrument, "tester": Instrument, "quantity": Quantity, "what": Quantity, "kind": Quantity,
	"unit": Unit, "units": Unit, "note": Note, "notes": Note, "remark": Note, "remarks": Note, "comment": Note, "who": Who, "by": Who, "technician": Who,
}

var numbered = regexp.MustCompile(`^(?:cell|group|grp|g|c|u|v|cell volts|cell voltage|volts|index)?[ _#.-]*([0-9]{1,4})$`)

// roleOf knows a heading. A numbered one is a Wide column.
func roleOf(heading string) (r Role, k int, u unit) {
	switch whole := plain(heading); whole {
	case "r", "resistance", "ohms", "ohm":
		return Value, 0, units["ohm"]
	default:
		if r, ok := names[whole]; ok {
			u, _ := unitOf(heading)
			return r, 0, u
		}
	}
	name, u, _ := headed(heading)
	name = plain(name)
	if name == "" && u.text != "" {
		return Value, 0, u
	}
	if r, ok := names[name]; ok {
		return r, 0, u
	}
	if m := numbered.FindStringSubmatch(name); m != nil {
		k, _ := strconv.Atoi(m[1])
		return Wide, k, u
	}
	if u.text != "" {
		return Value, 0, u
	}
	return Unused, 0, u
}

// plain is a heading in small letters, with single blanks for its marks.
func plain(s string) string {
	s = strings.NewReplacer("_", " ", ".", " ", ":", " ", "#", " ").Replace(strings.ToLower(s))
	return strings.Trim(strings.Join(strings.Fields(s), " "), " -")
}

// quantityIn is what the name of a column of values says that it was.
func quantityIn(name string) string {
	name = strings.ToLower(name)
	for _, w := range []struct{ word, quantity string }{{"insulation", fault.Insulation}, {"joint", fault.Joint}, {"temp", fault.Celsius}, {"volt", fault.Volts}, {"amp", fault.Amps}} {
		if strings.Contains(name, w.word) {
			return w.quantity
		}
	}
	if name, _, _ = headed(name); name == "u" || name == "v" {
		return fault.Volts
	}
	return ""
}
