package timeline_test

import (
	"strings"
	"testing"
	"time"

	"halfsplit/fault"
	"halfsplit/ui/facts"
	"halfsplit/ui/sample"
	"halfsplit/ui/timeline"
)

// TestSeries_AnotherCircuitIsNotCompared: a volt to chassis of the whole string and
// one of a half may be alike by chance.
func TestSeries_AnotherCircuitIsNotCompared(t *testing.T) {
	c, f := sample.Case(), sample.Finding()
	c.States = []fault.State{{ID: "closed", Contactors: fault.Open}, {ID: "split", Open: []string{"SD"}, Contactors: fault.Open},
		{ID: "later", Open: []string{"SD"}, Contactors: fault.Open, Unplugged: []string{"B1"}}}
	c.Readings = nil
	for i, state := range []string{"closed", "split", "later"} {
		c.Readings = append(c.Readings, fault.Reading{ID: "r" + state, At: start.Add(time.Duration(i) * 10 * time.Minute).Format(time.RFC3339),
			State: state, Quantity: fault.Volts, Red: "M14+", Black: "chassis", Value: 103.4, Instrument: "dmm", Range: 600})
	}
	for _, s := range timeline.Gather(facts.New(c, facts.Result{Status: facts.Ready, Finding: &f})) {
		if s.Like.Red != "M14+" || s.Section || s.Touch {
			continue
		}
		if n := len(s.Judged()); n != 2 || s.Judged()[0].State != "split" {
			t.Errorf("%d values judged together: %+v", n, s.Judged())
		}
		if says := s.Says(); !strings.Contains(says, "One value was read while other links were open or closed") {
			t.Error(says)
		}
		return
	}
	t.Error("no series at M14+")
}
