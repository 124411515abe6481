package format

import (
	"halfsplit/fault"
)

func (o *object) instrument() fault.Instrument {
	in := fault.Instrument{
		ID:          o.id("instrument"),
		Kind:        o.text("kind", true),
		GainPct:     o.num("gain_pct", true, tolerance()),
		Counts:      o.num("counts", true, notNegative()),
		InputOhms:   o.num("input_ohms", false, positive()),
		InputTolPct: o.num("input_tol_pct", false, tolerance()),
		Ranges:      o.ranges(),
		Serial:      o.text("serial", false),
		Calibrated:  o.date("calibrated"),
		CalDue:      o.date("cal_due"),
	}
	if in.CalDue != "" && in.CalDue < in.Calibrated {
		o.r.fail(o.get("cal_due"), o.at("cal_due"), "due on %s, before it was calibrated on %s", in.CalDue, in.Calibrated)
	}
	o.objects("ratings", false, func(g *object) {
		in.Ratings = append(in.Ratings, fault.Rating{Category: g.word("category", true, fault.Categories...), Volts: g.num("volts", true, limits{0, hugeVolts, true}), Extra: g.rest()})
	})
	o.objects("functions", false, func(g *object) {
		f := fault.Function{
			Quantity:    g.word("quantity", true, fault.Volts, fault.Insulation, fault.Ohms, fault.Amps, fault.Celsius, fault.Kilopascal, fault.Joint),
			GainPct:     g.num("gain_pct", true, tolerance()),
			Counts:      g.num("counts", true, notNegative()),
			InputOhms:   g.num("input_ohms", false, positive()),
			InputTolPct: g.num("input_tol_pct", false, tolerance()),
			Ranges:      g.ranges(),
			Extra:       g.rest(),
		}
		for _, other := range in.Functions {
			if other.Quantity == f.Quantity {
				g.r.fail(g.get("quantity"), g.at("quantity"), "%s is described twice", f.Quantity)
			}
		}
		in.Functions = append(in.Functions, f)
	})
	in.Extra = o.rest()
	return in
}

// ranges reads full scales, which must ascend.
func (o *object) ranges() (out []fault.Range) {
	o.objects("ranges", false, func(g *object) {
		rg := fault.Range{
			Max:       g.num("max", true, positive()),
			Count:     g.num("count", true, positive()),
			InputOhms: g.num("input_ohms", false, positive()),
			GainPct:   g.optNum("gain_pct", tolerance()),
			Counts:    g.optNum("counts", notNegative()),
			Extra:     g.rest(),
		}
		switch last := len(out) - 1; {
		case rg.Count > rg.Max:
			o.r.fail(g.n, g.at("count"), "one count is more than the whole range")
		case last >= 0 && rg.Max <= out[last].Max:
			o.r.fail(g.n, g.at("max"), "the ranges must ascend: %v follows %v", rg.Max, out[last].Max)
		}
		out = append(out, rg)
	})
	return out
}

func (o *object) testResistor() fault.Resistor {
	return fault.Resistor{
		ID:       o.id("resistor"),
		Ohms:     o.num("ohms", true, positive()),
		TolPct:   o.num("tol_pct", true, tolerance()),
		Watts:    o.num("watts", false, positive()),
		MaxVolts: o.num("max_volts", false, limits{0, hugeVolts, true}),
		Serial:   o.text("serial", false),
		Extra:    o.rest(),
	}
}

// proving reads one entry of the proving log.
func (o *object) proving() fault.Proving {
	return fault.Proving{
		At:         o.time("at"),
		Who:        o.text("who", false),
		Instrument: o.ref("instrument", true, "instrument"),
		When:       o.word("when", false, fault.ProvedBefore, fault.ProvedAfter),
		Source:     o.text("source", false),
		Known:      o.optNum("known_volts", within(hugeVolts)),
		Point:      o.text("point", false),
		Shown:      o.num("shown_volts", true, within(hugeVolts)),
		Raw:        o.text("raw", false),
		Answer:     o.text("answer", false),
		AnsweredBy: o.text("answered_by", false),
		Note:       o.text("note", false),
		Extra:      o.rest(),
	}
}

func putInstrument(w *writer, in fault.Instrument) {
	w.put("id", in.ID)
	w.put("kind", in.Kind)
	w.put("gain_pct", in.GainPct)
	w.put("counts", in.Counts)
	w.num("input_ohms", in.InputOhms)
	w.num("input_tol_pct", in.InputTolPct)
	list(w, "ranges", in.Ranges, putRange)
	w.text("serial", in.Serial)
	if len(in.Ratings) > 0 {
		list(w, "ratings", in.Ratings, func(w *writer, r fault.Rating) {
			w.put("category", r.Category)
			w.put("volts", r.Volts)
			w.extra(r.Extra)
		})
	}
	w.text("calibrated", in.Calibrated)
	w.text("cal_due", in.CalDue)
	if len(in.Functions) > 0 {
		list(w, "functions", in.Functions, func(w *writer, f fault.Function) {
			w.put("quantity", f.Quantity)
			w.put("gain_pct", f.GainPct)
			w.put("counts", f.Counts)
			w.num("input_ohms", f.InputOhms)
			w.num("input_tol_pct", f.InputTolPct)
			list(w, "ranges", f.Ranges, putRange)
			w.extra(f.Extra)
		})
	}
	w.extra(in.Extra)
}

func putRange(w *writer, r fault.Range) {
	w.put("max", r.Max)
	w.put("count", r.Count)
	w.num("input_ohms", r.InputOhms)
	opt(w, "gain_pct", r.GainPct)
	opt(w, "counts", r.Counts)
	w.extra(r.Extra)
}

func putResistor(w *writer, r fault.Resistor) {
	w.put("id", r.ID)
	w.put("ohms", r.Ohms)
	w.put("tol_pct", r.TolPct)
	w.num("watts", r.Watts)
	w.num("max_volts", r.MaxVolts)
	w.text("serial", r.Serial)
	w.extra(r.Extra)
}

func putProving(w *writer, p fault.Proving) {
	w.text("at", p.At)
	w.text("who", p.Who)
	w.put("instrument", p.Instrument)
	w.text("when", p.When)
	w.text("source", p.Source)
	opt(w, "known_volts", p.Known)
	w.text("point", p.Point)
	w.put("shown_volts", p.Shown)
	w.text("raw", p.Raw)
	w.text("answer", p.Answer)
	w.text("answered_by", p.AnsweredBy)
	w.text("note", p.Note)
	w.extra(p.Extra)
}
