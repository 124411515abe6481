// Package csvout writes all readings and group volts of a case as a table of
// comma-separated values (RFC 4180, UTF-8): every field, what was typed, the state in
// words, and what became of each value. What was superseded or withdrawn is there and
// says so. Every line ends with the head of the log that the table is of, so that a
// line that is cut out still tells where it came from.
//
// It knows no file and no casebook that is open: it takes a record and writes lines.
// Numbers have a decimal point whatever the machine's language.
package csvout

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
)

// Columns are the names of the columns, in order.
var Columns = []string{
	"kind", "label", "key", "event", "at", "state", "state_in_words", "quantity", "red", "black", "module", "group",
	"relation", "value", "unit", "raw", "instrument", "instrument_in_words", "calibration_due", "calibration_at_reading", "range", "test_resistor", "resistor_from", "resistor_to", "test_volts",
	"together_with", "seconds_after_touch", "who", "note", "supersedes", "why", "superseded_by", "stands_because",
	"counts", "withdrawn_at", "withdrawn_by", "withdrawn_why", "layout_version", "source", "amends", "further_fields", "casebook", "log_head",
}

// Write writes the table.
func Write(w io.Writer, r casebook.Record) error {
	c := csv.NewWriter(w)
	c.UseCRLF = true
	if err := c.Write(Columns); err != nil {
		return err
	}
	states, instruments := map[string]string{}, map[string]fault.Instrument{}
	for _, s := range r.Case.States {
		states[s.ID] = StateWords(s)
	}
	for _, in := range r.Case.Instruments {
		instruments[in.ID] = in
	}
	write := func(f map[string]string) error {
		f["state_in_words"] = states[f["state"]]
		in, known := instruments[f["instrument"]]
		if known {
			f["instrument_in_words"] = instrumentWords(in)
		}
		f["calibration_due"], f["calibration_at_reading"] = calibration(in, f["at"])
		if f["state_in_words"] == "" {
			f["state_in_words"] = "taken back"
		}
		f["casebook"], f["log_head"] = r.Book, r.Head.String()
		line := make([]string, len(Columns))
		for i, name := range Columns {
			line[i] = f[name]
		}
		return c.Write(line)
	}
	for _, x := range r.Readings {
		f, err := reading(x)
		if err == nil {
			err = write(f)
		}
		if err != nil {
			return err
		}
	}
	for _, x := range r.Volts {
		if err := write(groupVolts(x)); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

func reading(r casebook.RecordedReading) (map[string]string, error) {
	f := map[string]string{
		"kind": "reading", "label": r.ID, "key": r.Key, "event": strconv.FormatInt(r.Event, 10), "at": r.At, "state": r.State, "quantity": r.Quantity,
		"red": r.Red, "black": r.Black, "relation": r.Relation, "value": number(r.Value), "unit": unit(r.Quantity), "raw": r.Raw, "instrument": r.Instrument,
		"range": given(r.Range), "test_volts": given(r.TestVolts), "together_with": r.TogetherWith, "who": r.Who, "note": r.Note,
		"supersedes": r.Supersedes, "why": r.Why, "superseded_by": r.SupersededBy, "stands_because": r.Stands, "layout_version": strconv.Itoa(r.Layout),
		"counts": counts(r.Withdrawn != nil, r.SupersededBy != ""),
	}
	if r.Relation == "" {
		f["relation"] = fault.Equal
	}
	if r.Resistor != nil {
		f["test_resistor"], f["resistor_from"], f["resistor_to"] = r.Resistor.ID, r.Resistor.From, r.Resistor.To
	}
	if r.AfterTouchS != nil {
		f["seconds_after_touch"] = number(*r.AfterTouchS)
	}
	withdrawn(f, r.Withdrawn)
	if len(r.Extra) > 0 {
		raw, err := json.Marshal(r.Extra)
		if err != nil {
			return nil, err
		}
		f["further_fields"] = string(raw)
	}
	return f, nil
}

func groupVolts(v casebook.RecordedVolts) map[string]string {
	f := map[string]string{
		"kind": "group volts", "key": v.Key, "event": strconv.FormatInt(v.Event, 10), "at": v.At, "state": v.State, "quantity": fault.Volts, "module": v.Module,
		"group": strconv.Itoa(v.Group), "relation": fault.Equal, "unit": "V", "instrument": v.Instrument, "layout_version": strconv.Itoa(v.Layout),
		"source": v.Source, "amends": v.Amends, "counts": counts(v.Withdrawn != nil, v.Later), "value": "not measured",
	}
	if v.Volts != nil {
		f["value"] = number(*v.Volts)
	} else {
		f["relation"] = ""
	}
	withdrawn(f, v.Withdrawn)
	return f
}

func withdrawn(f map[string]string, e *casebook.Entry) {
	if e == nil {
		return
	}
	f["withdrawn_at"], f["withdrawn_by"], f["withdrawn_why"] = e.At, e.Who, e.Why
	if e.Why == "" {
		f["withdrawn_why"] = e.Name
	}
}

func counts(withdrawn, superseded bool) string {
	switch {
	case withdrawn:
		return "no, withdrawn"
	case superseded:
		return "no, superseded"
	}
	return "yes"
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// given is a number of which 0 says that it was not recorded.
func given(v float64) string {
	if v == 0 {
		return ""
	}
	return number(v)
}

func unit(quantity string) string {
	switch quantity {
	case fault.Volts:
		return "V"
	case fault.Insulation, fault.Ohms, fault.Joint:
		return "ohm"
	case fault.Amps:
		return "A"
	case fault.Celsius:
		return "°C"
	case fault.Kilopascal:
		return "kPa"
	}
	return ""
}

// StateWords is a state as it was recorded, in words. It says nothing of what is so.
func StateWords(s fault.State) string {
	var out []string
	for _, l := range []struct {
		ids  []string
		word string
	}{{s.Open, "open"}, {s.Unplugged, "unplugged"}, {s.Removed, "removed"}, {s.Connected, "connected besides"}} {
		if len(l.ids) > 0 {
			out = append(out, strings.Join(l.ids, " and ")+" "+l.word)
		}
	}
	word := func(name, is string) {
		if is == "" {
			is = "not recorded"
		}
		out = append(out, name+" "+is)
	}
	word("contactors", s.Contactors)
	word("monitor", s.Monitor)
	if s.Boards == fault.BoardsOut {
		out = append(out, "all boards unplugged or none fitted")
	}
	flag := func(is *bool, yes, no string) {
		switch {
		case is == nil:
		case *is:
			out = append(out, yes)
		default:
			out = append(out, no)
		}
	}
	flag(s.Wet, "wet", "dry")
	flag(s.Torqued, "mounts torqued", "mounts loosened")
	if s.Coolant != "" {
		out = append(out, "coolant "+s.Coolant)
	}
	if s.Celsius != nil {
		out = append(out, number(*s.Celsius)+" °C")
	}
	if s.Humidity != nil {
		out = append(out, number(*s.Humidity)+" % relative humidity")
	}
	return "recorded: " + strings.Join(out, "; ")
}

// calibration is until when an instrument's calibration counts, and how it stood at a
// reading's time.
func calibration(in fault.Instrument, at string) (due, stood string) {
	due, stood = in.CalDue, in.CalibrationAt(at).String()
	if due == "" {
		due = "not recorded"
	}
	return due, stood
}

func instrumentWords(in fault.Instrument) string {
	s := in.Kind + ", ± (" + number(in.GainPct) + " % + " + number(in.Counts) + " counts)"
	if in.InputOhms > 0 {
		s += ", input " + number(in.InputOhms) + " ohm"
	}
	return s
}
