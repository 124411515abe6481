package fault

import "strconv"

// Conditions are what is recorded of what the pack is like in a state, in words;
// what was not recorded is not among them.
func (s State) Conditions() (parts []string) {
	flag := func(v *bool, yes, no string) {
		switch {
		case v == nil:
		case *v:
			parts = append(parts, yes)
		default:
			parts = append(parts, no)
		}
	}
	number := func(v *float64, unit string) {
		if v != nil {
			parts = append(parts, strconv.FormatFloat(Round(*v), 'f', -1, 64)+unit)
		}
	}
	flag(s.Wet, "wet", "dry")
	flag(s.Torqued, "mounts torqued", "mounts loosened")
	switch s.Coolant {
	case CoolantIn:
		parts = append(parts, "coolant in")
	case CoolantOut:
		parts = append(parts, "coolant drained")
	}
	number(s.Celsius, ThinSpace+"°C")
	number(s.Humidity, ThinSpace+"% humidity")
	return parts
}
