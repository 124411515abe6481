package advice

import (
	"fmt"
	"math"
	"slices"
	"time"

	"halfsplit/fault/insulation"
	"halfsplit/fault/probing"
	"halfsplit/ui/sheet"
)

// marks are the seconds after touching at which a value is asked for.
var marks = []float64{2, 5, 10, 20, 30, 40, 50, 60, 80, 100, 120, 150, 180, 240, 300}

// late is how many seconds after a mark a value still counts as of the mark: what it
// takes to begin typing.
const late = 3

// A Timed is one value after touching.
type Timed struct {
	ID                  string // of its reading
	After, Value, Count float64
	SD                  float64
}

// A Timer counts the seconds since the leads touched. It holds nothing up: a reading
// can be typed and saved at any time. It is a value without a clock; the window tells
// it the time.
type Timer struct {
	Start time.Time // zero = not running
	For   string    // the circuit that the leads touched
	Until float64   // s after touching, the one value that is asked for; 0 = one after another
	Taken []Timed
	begun float64 // seconds after touching at which typing began; 0 = not begun
}

// Touch starts the timer for a circuit.
func Touch(at time.Time, circuit string) Timer { return Timer{Start: at, For: circuit} }

// Running says that the leads are touching.
func (t Timer) Running() bool { return !t.Start.IsZero() }

// After is the seconds since touching.
func (t Timer) After(now time.Time) float64 { return math.Max(0, now.Sub(t.Start).Seconds()) }

// Typing notes when a value began to be typed: that is when it was read.
func (t Timer) Typing(now time.Time) Timer {
	if t.Running() && t.begun == 0 {
		t.begun = math.Max(0.1, t.After(now))
	}
	return t
}

// Cleared is the timer after what was typed was taken away again.
func (t Timer) Cleared() Timer { t.begun = 0; return t }

// Counts is the seconds after touching that a value typed now stands for: its mark,
// where typing began shortly after one, else the whole seconds at which it began.
func (t Timer) Counts(now time.Time) float64 {
	s := t.begun
	if s == 0 {
		s = t.After(now)
	}
	for _, m := range slices.Backward(marks) {
		if s >= m && s <= m+late && m > t.last() {
			return m
		}
	}
	return math.Max(1, math.Floor(s))
}

// last is the seconds of the newest value, 0 for none.
func (t Timer) last() float64 {
	if n := len(t.Taken); n > 0 {
		return t.Taken[n-1].After
	}
	return 0
}

// With is the timer with one more value, taken at the seconds that Counts gave.
func (t Timer) With(v Timed) Timer {
	t.Taken, t.begun = append(slices.Clone(t.Taken), v), 0
	return t
}

// Keeping is the timer with those of its values whose readings still stand.
func (t Timer) Keeping(stands func(id string) bool) Timer {
	t.Taken = slices.DeleteFunc(slices.Clone(t.Taken), func(v Timed) bool { return !stands(v.ID) })
	return t
}

// Settled says whether the newest value agrees within two counts with one that was
// taken 10 s or more before it.
func (t Timer) Settled() bool {
	n := len(t.Taken)
	if n < 2 {
		return false
	}
	last := t.Taken[n-1]
	for _, v := range slices.Backward(t.Taken[:n-1]) {
		if last.After-v.After >= 10 {
			a := insulation.Volt{V: insulation.Exact(v.Value), Count: v.Count}
			b := insulation.Volt{V: insulation.Exact(last.Value), Count: last.Count}
			return insulation.Settled(a, b)
		}
	}
	return false
}

// Next is the next mark and the seconds until it; due says that one has passed and
// is still waiting for its value.
func (t Timer) Next(now time.Time) (mark, in float64, due bool) {
	s := t.After(now)
	if t.Until > 0 {
		return t.Until, math.Max(0, t.Until-s), s >= t.Until
	}
	for _, m := range marks {
		if m <= t.last() {
			continue
		}
		if s < m {
			return m, m - s, false
		}
		if s <= m+late {
			return m, 0, true
		}
	}
	return 0, 0, false
}

// Words are the countdown.
func (t Timer) Words(now time.Time) (big, about string) {
	s := t.After(now)
	mark, in, due := t.Next(now)
	switch {
	case t.begun > 0:
		return fmt.Sprintf("counts as %.0f s", t.Counts(now)), "after touching: Enter saves it so."
	case due:
		return fmt.Sprintf("read now: %.0f s", mark), "Type what the meter shows at this moment."
	case mark > 0:
		return fmt.Sprintf("%.0f s", math.Floor(s)), fmt.Sprintf("since touching. The next value is at %.0f s, in %.0f s.", mark, math.Ceil(in))
	}
	return fmt.Sprintf("%.0f s", math.Floor(s)), "since touching. A value can still be typed."
}

// Heading is where the values taken so far are heading; "" while that cannot be told.
func (t Timer) Heading() string {
	var p []probing.Point
	for _, v := range t.Taken {
		p = append(p, probing.Point{T: v.After, V: v.Value, SD: math.Max(v.SD, v.Count/math.Sqrt(12))})
	}
	if len(p) < 3 {
		return ""
	}
	switch s := probing.ShapeOf(p); s.Kind {
	case probing.Level:
		return "Within their counts the values stand at " + volts(s.Mean) + "."
	case probing.Settles:
		e := s.Exponential
		return fmt.Sprintf("They head for %s as an exponential, time constant %s s; %s are left, expected, not measured.", volts(e.End), number(e.Tau), volts(e.Left(t.last())))
	case probing.Drifts:
		return fmt.Sprintf("They lie on a straight line, %s V a minute: that is a leak that drifts, or too short a time to see a capacitor settle.", number(60*s.Line.Slope))
	case probing.Steps:
		return fmt.Sprintf("They step between %s and %s: a path that comes and goes.", volts(s.Levels.Low), volts(s.Levels.High))
	case probing.Swings:
		return "They swing to and fro: look for an insulation monitor that still injects, or a contact that comes and goes."
	}
	return "They change, and neither a line nor an exponential fits."
}

// Countdown is the timer on the sheet of the reading in the making, at the place of
// the value while nothing is typed, so that nothing below it moves.
func (t Timer) Countdown(now time.Time, typing bool) []sheet.Block {
	if !t.Running() {
		return nil
	}
	big, about := t.Words(now)
	if typing {
		return []sheet.Block{{Kind: sheet.Soft, Text: upper(big) + " " + about}}
	}
	return []sheet.Block{{Kind: sheet.Big, Value: big}, {Kind: sheet.Soft, Text: about}}
}

// Blocks are the values that were taken, and what ends the timer.
func (t Timer) Blocks() []sheet.Block {
	if !t.Running() {
		return nil
	}
	b := []sheet.Block{{Kind: sheet.Action, ID: StopID, Text: "End the timer (F5)", Value: "What was saved stays."}}
	if n := len(t.Taken); n > 0 {
		text := ""
		for i, v := range t.Taken[max(0, n-4):] {
			if i > 0 {
				text += ", "
			}
			text += fmt.Sprintf("%s at %.0f s", volts(v.Value), v.After)
		}
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: "Taken: " + text + "."})
	}
	if h := t.Heading(); h != "" {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: h})
	}
	return b
}

// StopID is the line that ends the timer.
const StopID = lineID + "stop"
