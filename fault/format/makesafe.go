package format

import "halfsplit/fault"

// makeSafe reads one entry of the make-safe record.
func (o *object) makeSafe() fault.MakeSafe {
	m := fault.MakeSafe{
		ID:         o.id("make-safe entry"),
		At:         o.time("at"),
		Who:        o.text("who", false),
		State:      o.ref("state", false, "state"),
		Item:       o.word("item", true, fault.SafeItems...),
		Point:      o.text("point", false),
		Text:       o.text("text", false),
		Date:       o.date("date"),
		Raw:        o.text("raw", false),
		Known:      o.optNum("known_volts", within(hugeVolts)),
		TolPct:     o.optNum("tol_pct", tolerance()),
		Ohms:       o.optNum("ohms", positive()),
		Instrument: o.ref("instrument", false, "instrument"),
		Lacked:     o.texts("lacked", false, nil),
	}
	m.Value = o.optNum("value", safeLimits(m.Item))
	switch {
	case fault.SafeVolts(m.Item) && m.Value == nil:
		o.r.fail(o.n, o.at("value"), "%s needs the volts that the meter showed", fault.SafeName(m.Item))
	case m.Item == fault.SafeReason && m.Text == "":
		o.r.fail(o.n, o.at("text"), "a reason needs its words")
	}
	m.Extra = o.rest()
	return m
}

// safeLimits bound the value of an item: volts may have either sign where a meter
// shows them.
func safeLimits(item string) limits {
	if fault.SafeVolts(item) {
		return within(hugeVolts)
	}
	return limits{0, hugeVolts, false}
}

// date reads a day and keeps it as it was written; "" is not recorded.
func (o *object) date(key string) string {
	n := o.get(key)
	if !o.is(n, key, textKind) || n.text == "" {
		return ""
	}
	day, err := fault.ParseDate(n.text)
	if err != nil {
		o.r.fail(n, o.at(key), "%v", err)
	}
	return day
}

func putMakeSafe(w *writer, m fault.MakeSafe) {
	w.put("id", m.ID)
	w.text("at", m.At)
	w.text("who", m.Who)
	w.text("state", m.State)
	w.put("item", m.Item)
	w.text("point", m.Point)
	w.text("text", m.Text)
	w.text("date", m.Date)
	opt(w, "value", m.Value)
	w.text("raw", m.Raw)
	opt(w, "known_volts", m.Known)
	opt(w, "tol_pct", m.TolPct)
	opt(w, "ohms", m.Ohms)
	w.text("instrument", m.Instrument)
	if len(m.Lacked) > 0 {
		w.texts("lacked", m.Lacked)
	}
	w.extra(m.Extra)
}
