package advice_test

import (
	"strings"
	"testing"
	"time"

	"halfsplit/ui/advice"
)

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

func after(s float64) time.Time { return noon.Add(time.Duration(s * float64(time.Second))) }

func TestTimer_ValuesCountAtTheirMark(t *testing.T) {
	t0 := advice.Touch(noon, "a")
	for name, c := range map[string]struct{ typing, saved, want float64 }{
		"at the mark":             {2.4, 4, 2},
		"typed slowly":            {5.5, 9.8, 5},
		"ten":                     {12.9, 15, 10},
		"between the marks":       {14.2, 15, 14},
		"before the first":        {0.4, 1.5, 1},
		"long after the last one": {500, 505, 500},
	} {
		t.Run(name, func(t *testing.T) {
			tm := t0.Typing(after(c.typing)).Typing(after(c.saved - 0.1)) // the first character counts
			if got := tm.Counts(after(c.saved)); got != c.want {
				t.Errorf("counts as %g s, want %g", got, c.want)
			}
		})
	}
	two := t0.With(advice.Timed{After: 2, Value: 1}).Typing(after(4))
	if got := two.Counts(after(5)); got != 4 {
		t.Errorf("a second value at the same mark counts as %g s", got)
	}
	if got := t0.Typing(after(2.2)).Cleared().Typing(after(5.4)).Counts(after(7)); got != 5 {
		t.Errorf("typed anew it counts as %g s", got)
	}
}

func TestTimer_SettledIsTenSecondsWithinTwoCounts(t *testing.T) {
	take := func(v ...advice.Timed) advice.Timer {
		tm := advice.Touch(noon, "a")
		for _, x := range v {
			x.Count = 0.1
			tm = tm.With(x)
		}
		return tm
	}
	for name, c := range map[string]struct {
		timer advice.Timer
		want  bool
	}{
		"nothing":           {take(), false},
		"one":               {take(advice.Timed{After: 10, Value: -67}), false},
		"too close in time": {take(advice.Timed{After: 5, Value: -67}, advice.Timed{After: 10, Value: -67}), false},
		"two counts":        {take(advice.Timed{After: 10, Value: -67}, advice.Timed{After: 20, Value: -67.2}), true},
		"three counts":      {take(advice.Timed{After: 10, Value: -67}, advice.Timed{After: 20, Value: -67.3}), false},
		"the newest counts": {take(advice.Timed{After: 2, Value: -90}, advice.Timed{After: 10, Value: -67}, advice.Timed{After: 20, Value: -67.1}), true},
	} {
		t.Run(name, func(t *testing.T) {
			if got := c.timer.Settled(); got != c.want {
				t.Errorf("settled: %v", got)
			}
		})
	}
}

func TestTimer_CountsDown(t *testing.T) {
	tm := advice.Touch(noon, "a")
	for s, want := range map[float64]string{0.2: "next value is at 2 s, in 2 s", 2.1: "read now: 2 s", 6: "read now: 5 s", 9: "next value is at 10 s, in 1 s", 17: "next value is at 20 s, in 3 s", 900: "A value can still be typed"} {
		big, about := tm.Words(after(s))
		if !strings.Contains(big+" "+about, want) {
			t.Errorf("at %g s: %q %q, want %q", s, big, about, want)
		}
	}
	if big, _ := tm.Typing(after(10.5)).Words(after(14)); big != "counts as 10 s" {
		t.Errorf("while it is typed: %q", big)
	}
	if b := (advice.Timer{}).Countdown(noon, false); b != nil {
		t.Errorf("a timer that does not run shows %v", b)
	}
}

// Four values of 60 V and 40·exp(−t/6.5).
func TestTimer_SaysWhereItHeads(t *testing.T) {
	tm := advice.Touch(noon, "a")
	for _, v := range []advice.Timed{{After: 2, Value: -89.4}, {After: 5, Value: -78.5}, {After: 10, Value: -68.6}, {After: 20, Value: -61.8}, {After: 30, Value: -60.4}} {
		v.Count, v.SD = 0.1, 0.12
		tm = tm.With(v)
	}
	if h := tm.Heading(); !strings.Contains(h, "head for -60.") && !strings.Contains(h, "head for -59.9") || !strings.Contains(h, "expected, not measured") {
		t.Errorf("%q", h)
	}
	if h := advice.Touch(noon, "a").With(advice.Timed{After: 2, Value: 1}).Heading(); h != "" {
		t.Errorf("one value heads somewhere: %q", h)
	}
}
