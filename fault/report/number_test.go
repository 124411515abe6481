package report_test

import (
	"slices"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/report"
	"halfsplit/fault/series"
)

// Whatever can be printed is known again by its number, with its boxes in order.
func TestRecognise_WhatWasPrinted(t *testing.T) {
	c := made(t, 6, 2)
	c.Layout.Chassis = append(c.Layout.Chassis, c.Layout.Chassis...)
	seen := map[string]report.Request{}
	for _, state := range []string{"whole", "split"} {
		for _, k := range series.Kinds {
			for _, o := range report.Orders {
				for _, resistor := range []string{"", "R200k", "R10k"} {
					r := report.Request{Kind: k, Order: o, State: state, Resistor: resistor}
					if o == series.OneStack {
						r.Stack = "A"
					}
					if resistor != "" && k != series.ToChassis {
						continue
					}
					s := sheet(t, c, r)
					if other, twice := seen[s.Number]; twice {
						t.Errorf("%s is %+v and %+v", s.Number, other, r)
					}
					seen[s.Number] = r
					m, err := report.Recognise(c, s.Number)
					if err != nil {
						t.Errorf("%+v: %v", r, err)
						continue
					}
					if m.Kind != k || m.Order != o || m.State != state || m.Resistor != resistor || m.Stack != r.Stack || m.OtherCase || m.OtherNow != (state != c.Now) {
						t.Errorf("%+v is taken for %+v", r, m)
					}
					var points []series.Point
					for _, b := range s.Boxes {
						points = append(points, b.Point)
					}
					if !slices.Equal(points, m.Boxes) {
						t.Errorf("%+v has other boxes", r)
					}
				}
			}
		}
	}
}

func TestRecognise_SaysWhatDoesNotFit(t *testing.T) {
	c := made(t, 6, 2)
	s := sheet(t, c, report.Request{Kind: series.ToChassis})
	c.Now = "whole"
	m, err := report.Recognise(c, strings.ReplaceAll(s.Number, "-", " "))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := m.Say(), "This sheet was printed for state split (SD recorded open); the present state is whole. The values can be entered for split."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	c.Title = "Another"
	if m, err := report.Recognise(c, s.Number); err != nil || !m.OtherCase || !strings.Contains(m.Say(), "another title") {
		t.Errorf("another case: %+v %v", m, err)
	}
	// A reading more, or a state more, changes nothing; a module more does.
	c.States = append(c.States, fault.State{ID: "wet"})
	c.Readings = append(c.Readings, fault.Reading{ID: "r1", State: "split", Quantity: fault.Volts, Red: "M01-", Black: "chassis", Value: 3})
	if _, err := report.Recognise(c, s.Number); err != nil {
		t.Errorf("a reading more: %v", err)
	}
	other := made(t, 7, 2)
	if _, err := report.Recognise(other, s.Number); err == nil || !strings.Contains(err.Error(), "no sheet with this number") {
		t.Errorf("another layout: %v", err)
	}
}

func TestRecognise_Typed(t *testing.T) {
	c := made(t, 6, 2)
	for typed, want := range map[string]string{
		"": "no number was typed", "31-48": "has 11 digits", "31-48291a-507": "digits alone", "99-482915-507": "begins with 99", "00-482915-507": "begins with 00",
		"31-482915-5071": "has 11 digits", "٣١482915507": "digits alone",
	} {
		if _, err := report.Recognise(c, typed); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, want %s", typed, err, want)
		}
	}
	// One digit wrong is not taken for another sheet.
	s := sheet(t, c, report.Request{Kind: series.ToChassis})
	wrong := 0
	for i, d := range s.Number[:9] {
		if d == '-' {
			continue
		}
		for e := '0'; e <= '9'; e++ {
			if e == d {
				continue
			}
			if m, err := report.Recognise(c, s.Number[:i]+string(e)+s.Number[i+1:]); err == nil {
				wrong++
				t.Logf("taken for %+v", m.Request)
			}
		}
	}
	if wrong > 0 {
		t.Errorf("%d of 72 slips of a digit are taken for another sheet", wrong)
	}
}

func BenchmarkRecognise(b *testing.B) {
	c := made(b, 125, 8)
	for i := range 50 {
		c.States = append(c.States, fault.State{ID: string(rune('a'+i%26)) + string(rune('a'+i/26))})
	}
	s := sheet(b, c, report.Request{Kind: series.GroupVolts, State: "bb"})
	for b.Loop() {
		if _, err := report.Recognise(c, s.Number); err != nil {
			b.Fatal(err)
		}
	}
}
