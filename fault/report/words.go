package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/series"
)

// kindWords name a kind of series as the sheet's title.
var kindWords = map[series.Kind]string{
	series.ModuleVolts: "Volts of each module", series.GroupVolts: "Volts of each group", series.ToChassis: "Volts of each terminal to chassis",
	series.Insulation: "Insulation to chassis", series.Joint: "Resistance of each joint",
}

// orderWords say in which order the boxes go.
func (r Request) orderWords() string {
	switch r.Order {
	case series.Snake:
		return "row by row as the modules lie, every other row backwards"
	case series.Reverse:
		return "along the string from its positive end"
	case series.OneStack:
		return "stack " + r.Stack + ", along the string from its negative end"
	}
	return "along the string from its negative end"
}

// stateWords say in short what is recorded of a state.
func stateWords(s fault.State) string {
	var parts []string
	add := func(ids []string, what string) {
		if len(ids) > 0 {
			parts = append(parts, strings.Join(ids, ", ")+" recorded "+what)
		}
	}
	add(s.Open, "open")
	if s.Boards == fault.BoardsOut {
		parts = append(parts, "all boards recorded unplugged or none fitted")
	} else {
		add(s.Unplugged, "unplugged")
	}
	add(s.Removed, "removed")
	add(s.Connected, "connected")
	if len(parts) == 0 {
		parts = append(parts, "no link recorded open")
	}
	return strings.Join(parts, "; ")
}

// wholeState is stateWords with everything else that a state may record.
func wholeState(s fault.State) string {
	w := func(what, word string) string {
		if word == "" {
			return what + " not recorded"
		}
		return what + " recorded " + word
	}
	parts := []string{stateWords(s), w("contactors", s.Contactors), w("monitor", s.Monitor)}
	yes := func(b *bool, is, not, unknown string) {
		switch {
		case b == nil:
			parts = append(parts, unknown)
		case *b:
			parts = append(parts, is)
		default:
			parts = append(parts, not)
		}
	}
	yes(s.Wet, "recorded wet", "recorded dry", "wet or dry not recorded")
	yes(s.Torqued, "recorded torqued", "recorded not torqued", "torque not recorded")
	if s.Coolant != "" {
		parts = append(parts, "coolant recorded "+s.Coolant)
	}
	if s.Celsius != nil {
		parts = append(parts, fmt.Sprintf("%.3g °C", *s.Celsius))
	}
	if s.Humidity != nil {
		parts = append(parts, fmt.Sprintf("%.3g %% humidity", *s.Humidity))
	}
	return strings.Join(parts, "; ")
}

// voltsText is a voltage in four digits.
func voltsText(v float64) string {
	if math.IsNaN(v) {
		return "volts not known"
	}
	decimals := 0
	for a := math.Abs(v); a < 1000 && decimals < 3; a, decimals = a*10, decimals+1 {
		if a == 0 {
			break
		}
	}
	return strconv.FormatFloat(v, 'f', decimals, 64) + " V"
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
