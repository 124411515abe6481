package casebook

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// nameOf names a reading by its place and value: "M07 3.62 V".
func nameOf(r fault.Reading) string {
	return strings.TrimSpace(placeOf(r) + " " + valueOf(r.Quantity, r.Relation, r.Value))
}

// nameOfChange names a correction: "M07 3.62 V -> 36.2 V"; one that keeps the value
// for a reason is no change of it.
func nameOfChange(was, now fault.Reading) string {
	if now.Stands != "" && was.Value == now.Value {
		return "keep as read: " + nameOf(was)
	}
	if placeOf(was) == placeOf(now) && was.Quantity == now.Quantity {
		return nameOf(was) + " -> " + valueOf(now.Quantity, now.Relation, now.Value)
	}
	return nameOf(was) + " -> " + nameOf(now)
}

// placeOf says between what a reading was taken: a module for its own two ends,
// else red and black, with the test resistor if there was one.
func placeOf(r fault.Reading) string {
	place := r.Red
	switch {
	case r.Red == "":
		place = r.Black
	case r.Black == "":
	case strings.HasSuffix(r.Red, "+") && strings.TrimSuffix(r.Red, "+")+"-" == r.Black:
		place = strings.TrimSuffix(r.Red, "+")
	default:
		place = r.Red + " to " + r.Black
	}
	if r.Resistor != nil {
		place += " with " + r.Resistor.ID
	}
	return place
}

// valueOf writes a value with its unit: "3.62 V", "> 2 GΩ".
func valueOf(quantity, relation string, v float64) string {
	if math.IsNaN(v) {
		return "not measured"
	}
	s := ""
	if relation == fault.Less || relation == fault.Greater {
		s = relation + " "
	}
	switch quantity {
	case fault.Volts:
		return s + digits(v) + " V"
	case fault.Insulation, fault.Ohms, fault.Joint:
		return s + ohms(v)
	case fault.Amps:
		return s + digits(v) + " A"
	case fault.Celsius:
		return s + digits(v) + " °C"
	case fault.Kilopascal:
		return s + digits(v) + " kPa"
	}
	return s + digits(v)
}

func digits(v float64) string { return strconv.FormatFloat(v, 'g', 12, 64) }

func ohms(v float64) string {
	for _, unit := range []struct {
		from float64
		name string
	}{{1e9, "GΩ"}, {1e6, "MΩ"}, {1e3, "kΩ"}} {
		if math.Abs(v) >= unit.from {
			return digits(v/unit.from) + " " + unit.name
		}
	}
	return digits(v) + " Ω"
}

// change writes what a value became, and what it was.
func change(quantity string, was, now float64) string {
	if math.IsNaN(was) {
		return valueOf(quantity, "", now)
	}
	return valueOf(quantity, "", was) + " -> " + valueOf(quantity, "", now)
}

// nameOfState says what a new present state changes: "record SD as opened". It
// says what was recorded, not what is so.
func nameOfState(before fault.State, known bool, s fault.State) string {
	if !known {
		return "record state " + s.ID
	}
	var changes []string
	changes = append(changes, moved(before.Open, s.Open, "opened")...)
	changes = append(changes, moved(s.Open, before.Open, "closed")...)
	changes = append(changes, boards(before, s)...)
	for _, list := range []struct {
		was, is   []string
		into, out string
	}{
		{before.Removed, s.Removed, "removed", "put back"},
		{before.Connected, s.Connected, "connected", "disconnected"},
	} {
		changes = append(changes, moved(list.was, list.is, list.into)...)
		changes = append(changes, moved(list.is, list.was, list.out)...)
	}
	if before.Contactors != s.Contactors {
		changes = append(changes, "contactors as "+orUnknown(s.Contactors))
	}
	if before.Monitor != s.Monitor {
		changes = append(changes, "monitor as "+orUnknown(s.Monitor))
	}
	changes = append(changes, flag(before.Wet, s.Wet, "the pack as wet", "the pack as dry", "wetness")...)
	changes = append(changes, flag(before.Torqued, s.Torqued, "mounts as torqued", "mounts as loosened", "mounts")...)
	if before.Coolant != s.Coolant {
		changes = append(changes, "coolant as "+orUnknown(map[string]string{fault.CoolantIn: "in the pack", fault.CoolantOut: "drained"}[s.Coolant]))
	}
	changes = append(changes, figure(before.Celsius, s.Celsius, "the pack at", "°C")...)
	changes = append(changes, figure(before.Humidity, s.Humidity, "the air at", "% humidity")...)
	if len(changes) == 0 {
		return "record state " + s.ID
	}
	return "record " + strings.Join(changes, ", ")
}

// moved names what is in the second list and was not in the first.
func moved(was, is []string, word string) (out []string) {
	for _, id := range is {
		if !slices.Contains(was, id) {
			out = append(out, fmt.Sprintf("%s as %s", id, word))
		}
	}
	return out
}

func flag(was, is *bool, yes, no, what string) []string {
	switch {
	case is == nil && was == nil, is != nil && was != nil && *is == *was:
		return nil
	case is == nil:
		return []string{what + " as not known"}
	case *is:
		return []string{yes}
	}
	return []string{no}
}

// figure names a number of the state that changed.
func figure(was, is *float64, what, unit string) []string {
	switch {
	case is == nil && was == nil, is != nil && was != nil && *is == *was:
		return nil
	case is == nil:
		return []string{what + " not recorded " + unit}
	}
	return []string{what + " " + digits(*is) + " " + unit}
}

// boards says what a state changes about boards, one by one or all together.
func boards(before, s fault.State) []string {
	switch {
	case before.Boards == s.Boards:
		return append(moved(before.Unplugged, s.Unplugged, "unplugged"), moved(s.Unplugged, before.Unplugged, "plugged in")...)
	case s.Boards == fault.BoardsOut:
		return []string{"all boards as unplugged, or none fitted"}
	}
	return append([]string{"boards as plugged or not known"}, moved(nil, s.Unplugged, "unplugged")...)
}

func orUnknown(word string) string {
	if word == "" {
		return "not known"
	}
	return word
}
