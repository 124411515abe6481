package timeline

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
)

func TestTimeTicks_AreRoundByTheClock(t *testing.T) {
	zone := time.FixedZone("east", 2*3600)
	zero := time.Date(2026, 3, 2, 7, 2, 10, 0, time.UTC) // 09:02:10 there
	for name, c := range map[string]struct {
		from, to float64
		zero     time.Time
		want     string
	}{
		"minutes":  {0, 1800, zero, "09:05 09:10 09:15 09:20 09:25 09:30"},
		"seconds":  {0, 40, zero, "09:02:10 09:02:20 09:02:30 09:02:40 09:02:50"},
		"days":     {0, 5 * 86400, zero, "2026-03-03 2026-03-04 2026-03-05 2026-03-06 2026-03-07"},
		"touching": {0, 41, time.Time{}, "0 s 10 s 20 s 30 s 40 s"},
	} {
		t.Run(name, func(t *testing.T) {
			var got []string
			for _, k := range timeTicks(c.from, c.to, 6, c.zero, zone) {
				got = append(got, k.text)
			}
			if s := strings.Join(got, " "); s != c.want {
				t.Errorf("%s, want %s", s, c.want)
			}
		})
	}
}

func TestScale_TicksAreRound(t *testing.T) {
	for name, c := range map[string]struct {
		values []Value
		log    bool
		want   string
	}{
		"volts":   {[]Value{{V: 97.7, Low: 97.5, High: 97.9}, {V: 103.7, Low: 103.5, High: 103.9}}, false, "[98 100 102 104]"},
		"one":     {[]Value{{V: 5, Low: 5, High: 5}}, false, "[4.9 4.95 5 5.05 5.1]"},
		"decades": {[]Value{{V: 1e5, Low: 1e5, High: 1e5}, {V: 5e8, Low: 5e8, High: 5e8}}, true, "[100000 1e+06 1e+07 1e+08 1e+09]"},
		"nothing": {nil, false, "[0 0.2 0.4 0.6 0.8 1]"},
	} {
		t.Run(name, func(t *testing.T) {
			s := scaleOf(c.values, c.log)
			var got []float64
			for _, v := range s.ticks(8) {
				got = append(got, math.Round(1e6*v)/1e6)
				if f := s.at(v); f < -1e-9 || f > 1+1e-9 {
					t.Errorf("%g stands at %g", v, f)
				}
			}
			if g := fmt.Sprint(got); g != c.want {
				t.Errorf("%s, want %s", g, c.want)
			}
		})
	}
}
