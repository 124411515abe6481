package circuit_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// scenario is a pack with known leaks and what a 6000-count meter shows on it,
// worked out with another nodal solver.
type scenario struct {
	Name            string    `json:"name"`
	Modules         []int     `json:"modules"`
	DisconnectAfter int       `json:"disconnect_after"`
	GroupVolts      []float64 `json:"group_volts"`
	Leaks           []struct {
		At   string
		Ohms float64
	} `json:"leaks"`
	Background float64 `json:"background_per_module_ohms"`
	MeterOhms  float64 `json:"meter_ohms"`
	States     []struct {
		Open     []string
		Sections []scenarioSection
	} `json:"states"`
	Taps []struct {
		At    string
		Volts float64
	} `json:"taps"`
}

type scenarioSection struct {
	Bottom     string   `json:"bottom"`
	Top        string   `json:"top"`
	Volts      float64  `json:"volts"`
	TopV       float64  `json:"top_volts"`
	BottomV    float64  `json:"bottom_volts"`
	Ohms       float64  `json:"ohms"`
	Centroid   float64  `json:"centroid_volts"`
	Resistor   *float64 `json:"resistor_ohms"`
	TopWith    float64  `json:"top_volts_with_resistor"`
	BottomWith float64  `json:"bottom_volts_with_resistor"`
}

func scenarios(t *testing.T) []scenario {
	t.Helper()
	b, err := os.ReadFile("testdata/scenarios.json")
	if err != nil {
		t.Fatal(err)
	}
	var list []scenario
	if err := json.Unmarshal(b, &list); err != nil {
		t.Fatal(err)
	}
	return list
}

func (s scenario) pack(t *testing.T) circuit.Pack {
	p := circuit.Pack{Net: net(t, oneString(s.Modules, s.DisconnectAfter)), GroupVolts: s.GroupVolts, BackgroundPerModule: s.Background}
	for _, l := range s.Leaks {
		p.Leaks = append(p.Leaks, circuit.Leak{At: l.At, Ohms: l.Ohms})
	}
	return p
}

// shown is half a count of the range of 6, 60, 600 or 1000 V that holds v.
func shown(v float64) float64 {
	for _, r := range []struct{ max, count float64 }{{6, .001}, {60, .01}, {600, .1}, {1000, 1}} {
		if math.Abs(v) <= r.max {
			return r.count/2 + 1e-9
		}
	}
	return 0
}

func TestScenarios(t *testing.T) {
	for _, s := range scenarios(t) {
		t.Run(s.Name, func(t *testing.T) {
			p := s.pack(t)
			for _, state := range s.States {
				set := topology.Setting{Open: state.Open}
				for _, sec := range state.Sections {
					checkSection(t, p, set, sec, s.MeterOhms)
				}
			}
			for _, tap := range s.Taps {
				got := read(t, p, topology.Setting{}, tap.At, "chassis", s.MeterOhms)
				near(t, tap.At, got, tap.Volts, shown(tap.Volts))
			}
		})
	}
}

func checkSection(t *testing.T, p circuit.Pack, set topology.Setting, sec scenarioSection, meter float64) {
	t.Helper()
	name := sec.Bottom + " … " + sec.Top + " "
	near(t, name+"volts", read(t, p, set, sec.Top, sec.Bottom, meter), sec.Volts, shown(sec.Volts))
	near(t, name+"top", read(t, p, set, sec.Top, "chassis", meter), sec.TopV, shown(sec.TopV))
	near(t, name+"bottom", read(t, p, set, sec.Bottom, "chassis", meter), sec.BottomV, shown(sec.BottomV))
	if sec.Resistor != nil {
		for _, end := range []struct {
			at   string
			want float64
		}{{sec.Top, sec.TopWith}, {sec.Bottom, sec.BottomWith}} {
			r0 := circuit.Element{From: end.at, To: "chassis", Ohms: *sec.Resistor}
			near(t, name+end.at+" with resistor", read(t, p, set, end.at, "chassis", meter, r0), end.want, shown(end.want))
		}
	}
	open := read(t, p, set, sec.Bottom, "chassis", math.Inf(1))
	near(t, name+"centroid", -open, sec.Centroid, 0.0005+1e-9)
	near(t, name+"ohms", ohmsBehind(t, p, set, sec.Bottom), sec.Ohms, 0.5+1e-9*sec.Ohms)
}

// ohmsBehind is the resistance that a section shows to chassis: how far a
// source moves it, by the current that it takes.
func ohmsBehind(t *testing.T, p circuit.Pack, set topology.Setting, at string) float64 {
	t.Helper()
	var v, amps [2]float64
	for i, emf := range []float64{0, 100} {
		s, err := p.Solve(set, nil, []circuit.Element{{From: at, To: "chassis", Ohms: 1e5, EMF: emf}})
		if err != nil {
			t.Fatal(err)
		}
		if v[i], err = s.Volts(at, "chassis"); err != nil {
			t.Fatal(err)
		}
		amps[i] = s.Amps(0)
	}
	return (v[1] - v[0]) / (amps[1] - amps[0])
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %.6g, want %.6g ± %.2g", what, got, want, within)
	}
}
