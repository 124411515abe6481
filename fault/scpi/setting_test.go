package scpi_test

import (
	"context"
	"slices"
	"strings"
	"testing"

	"halfsplit/fault/scpi"
	"halfsplit/fault/scpi/simulated"
)

func TestReadAsSet(t *testing.T) {
	overLines(t, func(t *testing.T, r rig) {
		for name, c := range map[string]struct {
			says  map[string]string
			f     scpi.Function
			read  bool
			known bool
			rng   float64
			last  string
			err   string
		}{
			"locked":    {map[string]string{"FUNC?": `"VOLT"`, "VOLT:RANG:AUTO?": "0", "VOLT:RANG?": "+1.0E+02", "READ?": "1.5"}, scpi.VoltsDC, true, true, 100, "READ?", ""},
			"auto":      {map[string]string{"FUNC?": `"VOLT:DC"`, "VOLT:DC:RANG:AUTO?": "1", "READ?": "1.5"}, scpi.VoltsDC, true, true, 0, "READ?", ""},
			"four wire": {map[string]string{"FUNC?": `"FRES"`, "FRES:RANG:AUTO?": "1", "READ?": "1.5"}, scpi.Ohms, true, true, 0, "READ?", ""},
			"other":     {map[string]string{"FUNC?": `"RES"`, "RES:RANG:AUTO?": "1", "READ?": "1.5"}, scpi.VoltsDC, false, true, 0, "RES:RANG:AUTO?", ""},
			"conf":      {map[string]string{"CONF?": `"VOLT +1.0E+01,+1.0E-05"`, "VOLT:RANG:AUTO?": "1", "READ?": "1.5"}, scpi.VoltsDC, true, true, 0, "READ?", ""},
			"sense":     {map[string]string{"SENS:FUNC?": `"VOLT"`, "VOLT:RANG:AUTO?": "1", "READ?": "1.5"}, scpi.VoltsDC, true, true, 0, "READ?", ""},
			"conf's":    {map[string]string{"CONF?": `"VOLT +1.0E+01,+1.0E-05"`, "VOLT:RANG:AUTO?": "0", "READ?": "1.5"}, scpi.VoltsDC, true, true, 10, "READ?", ""},
			"silent":    {map[string]string{"MEAS:VOLT:DC?": "1.5"}, scpi.VoltsDC, true, false, 0, "MEAS:VOLT:DC?", ""},
			"garbage":   {map[string]string{"FUNC?": "12"}, scpi.VoltsDC, false, false, 0, "FUNC?", "which is no function"},
		} {
			r.Set(func(q string) simulated.Reply {
				if a, ok := c.says[q]; ok {
					return simulated.Line(a)
				}
				return simulated.Usual(q)
			})
			before := len(r.Asked())
			m := scpi.New(r.at, brief)
			v, s, read, err := m.ReadAsSet(context.Background(), c.f)
			m.Close()
			if (err != nil) != (c.err != "") || err != nil && !strings.Contains(err.Error(), c.err) || read != c.read || s.Known != c.known || s.Range != c.rng || read && v.Number != 1.5 {
				t.Errorf("%s: %+v %+v %v %v", name, v, s, read, err)
			}
			if asked := r.Asked(); asked[len(asked)-1] != c.last || c.known && slices.Contains(asked[before:], "MEAS:VOLT:DC?") {
				t.Errorf("%s: asked %q", name, asked)
			}
		}
	})
}

// At whichever question a meter is unplugged, there is an error in words and no value.
func TestReadAsSet_UnpluggedAtEachQuestion(t *testing.T) {
	says := map[string]string{"FUNC?": `"VOLT"`, "VOLT:RANG:AUTO?": "0", "VOLT:RANG?": "+1.0E+02", "READ?": "1.5"}
	for at := range says {
		in := simulated.New(func(q string) simulated.Reply {
			if q == at {
				return simulated.Reply{Text: "1", HangUp: true}
			}
			if a, ok := says[q]; ok {
				return simulated.Line(a)
			}
			return simulated.Usual(q)
		})
		address, stop, err := in.Listen()
		if err != nil {
			t.Fatal(err)
		}
		where, _ := scpi.ParseAddress(address)
		m := scpi.New(where, brief)
		v, _, read, err := m.ReadAsSet(context.Background(), scpi.VoltsDC)
		if k, _ := scpi.KindOf(err); err == nil || k != scpi.Unplugged || read || v.Answer != "" {
			t.Errorf("at %s: %+v %v %v", at, v, read, err)
		}
		m.Close()
		stop()
	}
}

// What a meter was silent to it is not asked again, as long as it is the same meter.
func TestReadAsSet_SilenceIsRemembered(t *testing.T) {
	overLines(t, func(t *testing.T, r rig) {
		r.Set(func(q string) simulated.Reply {
			if q == "MEAS:VOLT:DC?" {
				return simulated.Line("1.5")
			}
			return simulated.Usual(q)
		})
		m := scpi.New(r.at, brief)
		defer m.Close()
		for n := range 2 {
			before := len(r.Asked())
			v, s, read, err := m.ReadAsSet(context.Background(), scpi.VoltsDC)
			if err != nil || !read || s.Known || v.Number != 1.5 {
				t.Fatalf("%+v %+v %v %v", v, s, read, err)
			}
			asked := r.Asked()[before:]
			if again := slices.Contains(asked, "FUNC?"); again != (n == 0) {
				t.Errorf("time %d it was asked %q", n+1, asked)
			}
		}
	})
}

// A meter that answers nothing at all is late: it is not told to choose a range.
func TestReadAsSet_LateIsNotSilent(t *testing.T) {
	overLines(t, func(t *testing.T, r rig) {
		asked := false
		r.Set(func(q string) simulated.Reply {
			if q == "FUNC?" {
				asked = true
			}
			if asked {
				return simulated.Reply{}
			}
			return simulated.Usual(q)
		})
		m := scpi.New(r.at, brief)
		defer m.Close()
		_, _, read, err := m.ReadAsSet(context.Background(), scpi.VoltsDC)
		if k, _ := scpi.KindOf(err); err == nil || read || k != scpi.Late {
			t.Errorf("it was read %v, %v", read, err)
		}
		if slices.Contains(r.Asked(), "MEAS:VOLT:DC?") {
			t.Errorf("it was told to choose a range: %q", r.Asked())
		}
	})
}
