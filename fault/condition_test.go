package fault_test

import (
	"strings"
	"testing"

	"halfsplit/fault"
)

func TestState_Conditions(t *testing.T) {
	yes, no, cold, damp := true, false, -4.5, 60.0
	for want, s := range map[string]fault.State{
		"":                                {Open: []string{"SD"}},
		"wet, mounts loosened":            {Wet: &yes, Torqued: &no},
		"dry, mounts torqued, coolant in": {Wet: &no, Torqued: &yes, Coolant: fault.CoolantIn},
		"coolant drained, -4.5 °C, 60 % humidity": {Coolant: fault.CoolantOut, Celsius: &cold, Humidity: &damp},
	} {
		if got := strings.ReplaceAll(strings.Join(s.Conditions(), ", "), fault.ThinSpace, " "); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
