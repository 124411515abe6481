// Package kit is how an instrument or a test resistor is described before
// readings are taken with it: what its manual says, typed field by field. Nothing
// has a hidden default; what is not typed is asked for.
//
// It knows no widget and no store. Ohms are read by package fault.
package kit

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"halfsplit/fault"
)

// A Kind of thing.
type Kind uint8

// The kinds.
const (
	Voltmeter Kind = iota
	Tester
	Resistor
	Proof // an entry of the proving log
	kinds
)

// Fields of a voltmeter that are looked for by their place.
const (
	rangesField    = 5
	inputTolField  = 6
	connectedField = 11
)

// Names are the kinds in words.
var Names = [kinds]string{"Voltmeter", "Insulation tester", "Test resistor", "Proving"}

// A Field is one line of the description.
type Field struct {
	Name, Hint, Text string
	Scale            string // full scale of the range that it is of; "" = it is of no single range
}

// A Draft is a description in the making. It is a value: every change gives a
// new one.
type Draft struct {
	Kind   Kind
	Fields []Field
	At     int                     // the field that is typed into
	Of     string                  // id of what is put right; "" = something new is added
	Own    map[string][owns]string // what ranges have of their own, by full scale
	Failed string                  // why it could not be added

	was []string // what it held when it was opened, of something that is put right
}

// Begin is an empty description of a kind, with a name that is free.
func Begin(c fault.Case, k Kind) Draft {
	d := Draft{Kind: k, At: 1}
	switch k {
	case Voltmeter:
		d.Fields = []Field{{Name: "Name", Text: free(c, "dmm")}, {Name: "Input resistance", Hint: "such as 10M"}, {Name: "± % of reading", Hint: "from its manual, such as 0.5"},
			{Name: "± counts", Hint: "from its manual, such as 2"}, {Name: "Largest display", Hint: "such as 6000"}, {Name: "Ranges in V", Hint: "such as 6 60 600 1000"},
			{Name: "Input resistance, ± %", Hint: "from its manual, such as 1; may stay empty"}}
		d.Fields = append(d.Fields, papers()...)
		d.Fields = append(d.Fields, Field{Name: "Connected at", Hint: "nothing, or tcp://192.0.2.7:5025, or /dev/ttyUSB0 9600; kept on this computer alone"})
	case Tester:
		d.Fields = []Field{{Name: "Name", Text: free(c, "tester")}, {Name: "± % of reading", Hint: "from its manual, such as 3"}, {Name: "Shows at most", Hint: "such as 2G"}}
		d.Fields = append(d.Fields, papers()...)
	case Resistor:
		d.Fields = []Field{{Name: "Name", Text: free(c, "R1")}, {Name: "Ohms, as measured", Hint: "such as 199.6k"}, {Name: "± %", Hint: "such as 1"}, {Name: "Watts, its rating", Hint: "such as 2"}, {Name: "Volts, its rating", Hint: "such as 1000"}, {Name: "Serial number", Hint: "may stay empty"}}
	case Proof:
		name := ""
		if len(c.Instruments) > 0 {
			name = c.Instruments[0].ID
		}
		d.Fields = []Field{{Name: "Instrument", Hint: "its name in this case", Text: name}, {Name: "Before or after the readings", Hint: "before, after, or nothing"}, {Name: "Known source", Hint: "which prover"},
			{Name: "Volts of the source", Hint: "one for each that is shown, such as 9 690; may stay empty"}, {Name: "Points", Hint: "one for each, such as low high; may stay empty"}, {Name: "Volts shown", Hint: "one for each point, such as 9.1 689.5"}}
	}
	return d
}

// papers are the fields that instruments have in common.
func papers() []Field {
	return []Field{{Name: "Serial number", Hint: "may stay empty"}, {Name: "Categories", Hint: "as printed on it, such as CAT III 1000 V, CAT IV 600 V; may stay empty"},
		{Name: "Calibrated", Hint: "year-month-day, such as 2026-03-02; may stay empty"}, {Name: "Calibration due", Hint: "year-month-day; may stay empty, which is: not known"}}
}

// Typed says that something was filled in or changed that would be lost.
func (d Draft) Typed() bool {
	if d.Of != "" {
		return !slices.Equal(d.was, d.Texts())
	}
	for _, f := range d.Fields[min(1, len(d.Fields)):] { // the name is proposed
		if f.Text != "" {
			return true
		}
	}
	return false
}

// Texts are everything that is filled in.
func (d Draft) Texts() (out []string) {
	for _, f := range d.Fields {
		out = append(out, f.Text)
	}
	return out
}

func free(c fault.Case, stem string) string {
	taken := func(id string) bool {
		_, in := c.Instrument(id)
		_, r := c.Resistor(id)
		return in || r
	}
	id := stem
	for n := 2; taken(id); n++ {
		id = fmt.Sprintf("%s_%d", stem, n)
	}
	return id
}

// Type appends a character to the field.
func (d Draft) Type(r rune) Draft {
	return d.set(d.Fields[d.At].Text + string(r))
}

// Back takes the last character away.
func (d Draft) Back() Draft {
	if t := []rune(d.Fields[d.At].Text); len(t) > 0 {
		return d.set(string(t[:len(t)-1]))
	}
	return d
}

func (d Draft) set(text string) Draft {
	if len(text) > 90 {
		return d
	}
	d.Fields = append([]Field(nil), d.Fields...)
	d.Fields[d.At].Text, d.Failed = text, ""
	switch {
	case d.Fields[d.At].Scale != "":
		return d.owned(d.At, text)
	case d.Kind == Voltmeter && d.At == rangesField:
		return d.relaid()
	}
	return d
}

// Move goes to the next or the previous field.
func (d Draft) Move(by int) Draft {
	n := len(d.Fields)
	d.At = ((d.At+by)%n + n) % n
	return d
}

var legalName = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_]*$`)

// value reads a number of a field, greater than least; the error names the field
// and puts the keyboard on it.
func (d *Draft) value(i int, least float64, ohms bool) (float64, error) {
	f := d.Fields[i]
	fail := func(why string) (float64, error) {
		d.At = i
		return 0, fmt.Errorf("%s: %s", f.Name, why)
	}
	text := strings.TrimSpace(f.Text)
	if text == "" {
		return fail("nothing was typed; " + f.Hint)
	}
	var v float64
	if ohms {
		e, err := fault.ParseEntry(text, fault.EntryOptions{Quantity: fault.Ohms})
		if err != nil {
			return fail(err.Error())
		}
		v = e.Value
	} else {
		var err error
		if v, err = fault.ParseNumber(text, false); err != nil {
			return fail(err.Error())
		}
	}
	if v < least || v == 0 && ohms {
		return fail("too small")
	}
	return v, nil
}

// percent reads a tolerance, ± %.
func (d *Draft) percent(i int) (float64, error) {
	v, err := d.value(i, 0, false)
	if err == nil && v > 99 {
		d.At = i
		return 0, fmt.Errorf("%s: more than 99 %% is no tolerance", d.Fields[i].Name)
	}
	return v, err
}

func (d *Draft) name() (string, error) {
	id := strings.TrimSpace(d.Fields[0].Text)
	if !legalName.MatchString(id) {
		d.At = 0
		return "", fmt.Errorf("%s: a letter, then letters, digits and _ only", d.Fields[0].Name)
	}
	return id, nil
}

// Instrument reads the description of a voltmeter or a tester.
func (d *Draft) Instrument() (in fault.Instrument, err error) {
	if in.ID, err = d.name(); err != nil {
		return in, err
	}
	if d.Kind == Tester {
		in.Kind = "insulation tester"
		if in.GainPct, err = d.percent(1); err != nil {
			return in, err
		}
		most, err := d.value(2, 0, true)
		if err != nil {
			return in, err
		}
		in.Ranges = []fault.Range{{Max: most, Count: step(most, 2000)}}
		return in, d.papers(&in, 3)
	}
	in.Kind = "voltmeter"
	if in.InputOhms, err = d.value(1, 0, true); err != nil {
		return in, err
	}
	if in.GainPct, err = d.percent(2); err != nil {
		return in, err
	}
	if in.Counts, err = d.value(3, 0, false); err != nil {
		return in, err
	}
	display, err := d.value(4, 100, false)
	if err != nil {
		return in, err
	}
	if in.Ranges, err = d.ranges(rangesField, display); err != nil {
		return in, err
	}
	if strings.TrimSpace(d.Fields[inputTolField].Text) != "" {
		if in.InputTolPct, err = d.percent(inputTolField); err != nil {
			return in, err
		}
	}
	if err = d.papers(&in, inputTolField+1); err != nil {
		return in, err
	}
	for k := range in.Ranges {
		if err = d.figures(&in.Ranges[k]); err != nil {
			return in, err
		}
	}
	return in, nil
}

// ranges reads full scales, ascending; a count is the decade that the display
// can show on each.
func (d *Draft) ranges(i int, display float64) (out []fault.Range, err error) {
	last := 0.0
	for _, word := range scaleWords(d.Fields[i].Text) {
		v, bad := fault.ParseNumber(word, false)
		switch {
		case bad != nil:
			d.At = i
			return nil, fmt.Errorf("%s: %w; %s", d.Fields[i].Name, bad, d.Fields[i].Hint)
		case !(v > last):
			d.At = i
			return nil, fmt.Errorf("%s: %q does not go on upwards; %s", d.Fields[i].Name, word, d.Fields[i].Hint)
		}
		out = append(out, fault.Range{Max: v, Count: step(v, display)})
		last = v
	}
	if len(out) == 0 {
		d.At = i
		return nil, fmt.Errorf("%s: nothing was typed; %s", d.Fields[i].Name, d.Fields[i].Hint)
	}
	return out, nil
}

// step is the smallest decade of which the display can show a full scale.
func step(full, display float64) float64 {
	return math.Pow(10, math.Ceil(math.Log10(full/display)-1e-9))
}

// Resistor reads the description of a test resistor.
func (d *Draft) Resistor() (r fault.Resistor, err error) {
	if r.ID, err = d.name(); err != nil {
		return r, err
	}
	if r.Ohms, err = d.value(1, 0, true); err != nil {
		return r, err
	}
	if r.TolPct, err = d.percent(2); err != nil {
		return r, err
	}
	for i, to := range []*float64{&r.Watts, &r.MaxVolts} {
		if *to, err = d.value(3+i, 0, false); err != nil {
			return r, err
		}
	}
	r.Serial = strings.TrimSpace(d.Fields[5].Text)
	return r, nil
}
