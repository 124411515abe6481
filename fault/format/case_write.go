package format

import (
	"encoding/json"

	"halfsplit/fault"
)

// WriteCase writes a halfsplit-case/1 file. A case whose layout was named by
// its file names it again and does not write it; WriteLayout does. The error is
// a number that JSON cannot hold.
func WriteCase(c fault.Case) ([]byte, error) {
	w := newWriter()
	w.put("format", CaseFormat)
	w.text("title", c.Title)
	w.text("now", c.Now)
	w.text("layout_version", c.LayoutVersion)
	if c.LayoutFile != "" {
		w.put("layout_file", c.LayoutFile)
	} else {
		l := newWriter()
		putLayout(l, c.Layout)
		w.object("layout", l)
	}
	list(w, "instruments", c.Instruments, putInstrument)
	list(w, "resistors", c.Resistors, putResistor)
	list(w, "states", c.States, putState)
	list(w, "group_volts", c.GroupVolts, putGroupVolts)
	list(w, "readings", c.Readings, putReading)
	if len(c.Noted) > 0 {
		list(w, "noted", c.Noted, putNoted)
	}
	if len(c.MakeSafe) > 0 {
		list(w, "make_safe", c.MakeSafe, putMakeSafe)
	}
	if len(c.Provings) > 0 {
		list(w, "provings", c.Provings, putProving)
	}
	if len(c.Minutes) > 0 {
		w.put("minutes", c.Minutes) // a map is written in the order of its keys
	}
	w.extra(c.Extra)
	return w.finish()
}

func putState(w *writer, s fault.State) {
	w.put("id", s.ID)
	w.texts("open", s.Open)
	w.texts("unplugged", s.Unplugged)
	w.texts("removed", s.Removed)
	w.texts("connected", s.Connected)
	w.text("contactors", s.Contactors)
	w.text("monitor", s.Monitor)
	w.text("boards", s.Boards)
	opt(w, "wet", s.Wet)
	opt(w, "torqued", s.Torqued)
	w.text("coolant", s.Coolant)
	opt(w, "celsius", s.Celsius)
	opt(w, "humidity_pct", s.Humidity)
	w.extra(s.Extra)
}

func putGroupVolts(w *writer, g fault.GroupVolts) {
	w.put("module", g.Module)
	w.put("state", g.State)
	w.text("at", g.At)
	w.text("instrument", g.Instrument)
	w.put("volts", orNull(g.Volts))
	w.text("source", g.Source)
	w.extra(g.Extra)
}

func putReading(w *writer, r fault.Reading) {
	w.put("id", r.ID)
	w.text("at", r.At)
	w.put("state", r.State)
	w.put("quantity", r.Quantity)
	w.text("red", r.Red)
	w.text("black", r.Black)
	w.put("value", r.Value)
	w.text("raw", r.Raw)
	w.text("relation", r.Relation)
	w.text("instrument", r.Instrument)
	w.num("range", r.Range)
	extra := putFitted(w, r)
	w.num("test_volts", r.TestVolts)
	w.text("together_with", r.TogetherWith)
	opt(w, "after_touch_s", r.AfterTouchS)
	w.text("who", r.Who)
	w.text("note", r.Note)
	w.text("supersedes", r.Supersedes)
	w.text("why", r.Why)
	w.text("stands", r.Stands)
	w.text("answer", r.Answer)
	w.text("answered_by", r.AnsweredBy)
	w.extra(extra)
}

func putNoted(w *writer, n fault.Noted) {
	w.put("id", n.ID)
	w.text("at", n.At)
	w.text("who", n.Who)
	w.put("place", n.Place)
	w.put("what", n.What)
	w.text("why", n.Why)
	w.extra(n.Extra)
}

// putFitted writes the test resistor, across the probes by its id alone, and
// returns the unknown fields of the reading itself.
func putFitted(w *writer, r fault.Reading) map[string]json.RawMessage {
	kept, has := r.Extra["resistor"]
	switch {
	case r.Resistor == nil:
	case r.AcrossProbes() && !has:
		w.put("resistor", r.Resistor.ID)
	default:
		f := newWriter()
		f.put("id", r.Resistor.ID)
		f.text("from", r.Resistor.From)
		f.text("to", r.Resistor.To)
		var unknown map[string]json.RawMessage
		if json.Unmarshal(kept, &unknown) == nil {
			f.extra(unknown)
		}
		w.object("resistor", f)
	}
	if !has {
		return r.Extra
	}
	rest := map[string]json.RawMessage{}
	for k, v := range r.Extra {
		if k != "resistor" {
			rest[k] = v
		}
	}
	return rest
}
