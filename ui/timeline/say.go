package timeline

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/probing"
	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// OneValue is said where there is nothing to draw a line through.
const OneValue = "One value is no series."

// Says is what the series looks like, in words.
func (s Series) Says() string {
	text := s.looks()
	if n := s.elsewhere(); n > 0 {
		text += fmt.Sprintf(" %s read while other links were open or closed: another circuit, not compared.", were(n))
	}
	return text
}

func were(n int) string {
	if n == 1 {
		return "One value was"
	}
	return fmt.Sprintf("%d values were", n)
}

// looks is what the judged values look like.
func (s Series) looks() string {
	counted := len(s.Judged())
	shape := s.Shape()
	switch shape.Kind {
	case probing.None:
		return "None of its values is a number with a time: there is nothing to draw a line through."
	case probing.Single:
		return OneValue + " Read it again, and what changed is drawn here."
	}
	if s.Log() {
		return s.growth(shape)
	}
	switch shape.Kind {
	case probing.Level:
		return fmt.Sprintf("Level: nothing moves beyond the errors of the values, %d values about %s.", counted, s.write(shape.Mean))
	case probing.Drifts:
		return s.drift(shape, counted)
	case probing.Settles:
		e := shape.Exponential
		return fmt.Sprintf("Settling: an exponential with a time constant of %s, heading for %s, as a capacitor does that charges through leak and meter. At the last value %s were left, expected, not measured.",
			span(e.Tau), s.write(e.End), s.write(two(e.Left(s.last()))))
	case probing.Steps:
		return fmt.Sprintf("Steps: %s between two levels, %s and %s. That is a path that comes and goes; the two are two states of the pack, and their mean is neither.",
			times(shape.Levels.Steps), s.write(shape.Levels.Low), s.write(shape.Levels.High))
	case probing.Swings:
		return "Swings: the values turn round again and again, which neither a capacitor nor a drifting leak does. Look for an insulation monitor that still injects, or for a contact that comes and goes."
	}
	text := "It moves, and neither a straight line nor an exponential fits."
	if l := shape.Line; l.Rises() {
		text += fmt.Sprintf(" On average it is %s a minute.", s.signed(two(60*l.Slope)))
	}
	return text
}

// drift is a straight line in words.
func (s Series) drift(shape probing.Shape, counted int) string {
	l := shape.Line
	pct := math.NaN()
	if l.At != 0 {
		pct = 100 * 60 * l.Slope / math.Abs(l.At)
	}
	text := "Drift: a straight line, " + s.signed(two(60*l.Slope)) + " a minute"
	if !math.IsNaN(pct) && s.Quantity == fault.Volts {
		text += fmt.Sprintf(", %s %% of the value a minute", sign(number(two(math.Abs(pct))), l.Slope*l.At))
	}
	text += "."
	if counted == 2 {
		text += " Two values always lie on a line: a third tells whether it is one."
	}
	return text
}

// growth is what ohms do, by their logarithms.
func (s Series) growth(shape probing.Shape) string {
	l := shape.Line
	if shape.Kind == probing.Steps {
		return fmt.Sprintf("Steps: %s between two levels, %s and %s.", times(shape.Levels.Steps), words.Ohms(math.Exp(shape.Levels.Low)), words.Ohms(math.Exp(shape.Levels.High)))
	}
	if shape.Kind == probing.Level || !l.Rises() {
		return "Level: the ohms do not move beyond their errors, about " + words.Ohms(math.Exp(shape.Mean)) + "."
	}
	verb, how := "The ohms grow", "double"
	if l.Slope < 0 {
		verb, how = "The ohms fall", "halve"
	}
	text := fmt.Sprintf("%s by %s %% a minute: they %s in %s.", verb, number(two(100*math.Abs(l.PerMinute()))), how, span(math.Abs(l.Doubling())))
	if l.Slope > 0 {
		text += " A leak that dries does so: what has gone cannot be located any more."
	}
	if l.DF > 0 && !l.Fits() {
		text += " The values lie beside this line by more than their errors."
	}
	if l.DF == 0 {
		text += " Two values always lie on a line: a third tells whether it is one."
	}
	return text
}

// last is the seconds of the last value that counts.
func (s Series) last() (t float64) {
	for _, v := range s.Values {
		if v.Counts(s.Touch) {
			t = v.T
		}
	}
	return t
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

// sign puts the sign of a number before a text.
func sign(text string, of float64) string {
	if of < 0 {
		return "-" + text
	}
	return "+" + text
}

func (s Series) signed(v float64) string { return sign(s.write(math.Abs(v)), v) }

// write is a value with its unit.
func (s Series) write(v float64) string {
	switch s.Quantity {
	case fault.Insulation, fault.Ohms, fault.Joint:
		return words.Ohms(v)
	case fault.Celsius:
		return number(v) + words.Thin + "°C"
	case fault.Kilopascal:
		return number(v) + words.Thin + "kPa"
	case fault.Amps:
		return number(v) + words.Thin + "A"
	}
	return number(v) + words.Thin + "V"
}

// two keeps two digits: a slope is known no better.
func two(x float64) float64 {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return x
	}
	p := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-1)
	return math.Round(x/p) * p
}

// number writes at most four digits.
func number(x float64) string { return words.Digits(x, 4) }

// tick writes a value of an axis, with as many decimals as its steps have.
func (s Series) tick(v float64, all []float64) string {
	if s.Log() || len(all) < 2 {
		return s.write(v)
	}
	d := max(0, -int(math.Floor(math.Log10(math.Abs(all[1]-all[0]))+1e-9)))
	text := strconv.FormatFloat(v+0, 'f', d, 64)
	_, unit, _ := strings.Cut(s.write(1), words.Thin)
	return text + words.Thin + unit
}

// span writes a length of time.
func span(s float64) string {
	short := func(v float64) string { return strconv.FormatFloat(v, 'g', 2, 64) }
	switch {
	case s < 90:
		return short(s) + words.Thin + "s"
	case s < 90*60:
		return short(s/60) + words.Thin + "min"
	case s < 48*3600:
		return short(s/3600) + words.Thin + "h"
	}
	return strconv.FormatFloat(math.Round(s/86400), 'f', 0, 64) + words.Thin + "days"
}

// useWords are how a value counts.
func useWords(v Value) string {
	switch v.Use {
	case facts.Used:
		return "used"
	case facts.LeftOut:
		return "left out: " + v.Why
	case facts.Superseded:
		return v.Why
	}
	return "not judged by the finding"
}

// value writes a value with its bound.
func (s Series) value(v Value) string {
	text := s.write(v.V)
	if s.Section && v.Relation == fault.Equal {
		text = words.Bounded(fault.Bounded{Low: fault.Number(v.Low), Mid: fault.Number(v.V), High: fault.Number(v.High), Relation: v.Relation})
	}
	switch v.Relation {
	case fault.Less:
		return "less than " + text
	case fault.Greater:
		return "more than " + text
	}
	return text
}

// when writes a value's time.
func (s Series) when(v Value, zone *time.Location) string {
	switch {
	case s.Touch:
		return number(v.T) + words.Thin + "s"
	case v.At.IsZero():
		return "no time recorded"
	}
	return v.At.In(zone).Format("2006-01-02 15:04:05")
}

// Table is the series as a table.
func (s Series) Table(zone *time.Location) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "The values of " + s.Name, Bold: true}}
	for _, v := range s.Values {
		text := s.value(v)
		if v.Struck() {
			text = "struck: " + text
		}
		b = append(b, sheet.Block{Kind: sheet.Row, ID: "reading:" + v.Reading, Text: s.when(v, zone), Value: text + ", state " + v.State + ", " + v.Reading + ", " + useWords(v)})
	}
	return b
}

// Text is the series as text: for the clipboard and for those who do not see the
// drawing.
func (s Series) Text(zone *time.Location) string {
	return sheet.Text(append(append([]sheet.Block{{Kind: sheet.Para, Text: s.Name + ", " + s.About}, {Kind: sheet.Para, Text: s.Says()}}, s.Table(zone)...), sheet.Block{}))
}
