package format

import "halfsplit/topology"

// WriteLayout writes a halfsplit-layout/1 file. Fields that stand for "not
// given" are left out. The error is a number that JSON cannot hold.
func WriteLayout(l topology.Layout) ([]byte, error) {
	w := newWriter()
	putLayout(w, l)
	return w.finish()
}

// KeepLayout is WriteLayout, and with it the layout as ReadLayout reads it from what
// was written. The error is a number that JSON cannot hold, or the *Error of that
// reading: such a layout cannot be kept. It is for a drawing that is kept with every
// edit, whose file is parsed once here.
func KeepLayout(l topology.Layout) (file []byte, as topology.Layout, err error) {
	w := newWriter()
	putLayout(w, l)
	raw := w.close()
	if w.err != nil {
		return nil, l, w.err
	}
	r, o, bad := newReader("layout", raw, LayoutFormat, newIDs())
	if bad != nil {
		return nil, l, bad
	}
	as, net := r.layout(o)
	r.resolve(net)
	if err := r.result(); err != nil {
		return nil, l, err
	}
	return printed(raw, o.n), as, nil
}

func putLayout(w *writer, l topology.Layout) {
	w.put("format", LayoutFormat)
	w.text("name", l.Name)
	w.text("seen_from", l.SeenFrom)
	w.text("front", l.Front)
	w.num("working_volts", l.WorkingVolts)
	w.num("nominal_volts", l.NominalVolts)
	list(w, "stacks", l.Stacks, putStack)
	list(w, "modules", l.Modules, putModule)
	list(w, "links", l.Links, func(w *writer, k topology.Link) {
		w.put("id", k.ID)
		w.put("kind", k.Kind)
		w.put("from", k.From)
		w.put("to", k.To)
		opt(w, "minutes", k.Minutes)
		w.text("fasteners", k.Fasteners)
		opt(w, "torque_nm", k.TorqueNm)
		w.text("torque_source", k.TorqueSource)
		w.extra(k.Extra)
	})
	list(w, "boards", l.Boards, func(w *writer, b topology.Board) {
		w.put("id", b.ID)
		w.texts("taps", b.Taps)
		opt(w, "minutes", b.Minutes)
		w.extra(b.Extra)
	})
	if l.Monitor != nil {
		m := newWriter()
		m.texts("from", l.Monitor.From)
		m.put("to", l.Monitor.To)
		m.put("ohms", l.Monitor.Ohms) // null is "not known", and is worth saying
		m.extra(l.Monitor.Extra)
		w.object("monitor", m)
	}
	list(w, "chassis", l.Chassis, func(w *writer, c topology.ChassisPiece) {
		w.put("id", c.ID)
		w.extra(c.Extra)
	})
	if len(l.Bonds) > 0 {
		list(w, "bonds", l.Bonds, putBond)
	}
	if len(l.Parts) > 0 {
		list(w, "parts", l.Parts, putPart)
	}
	if len(l.Underlays) > 0 {
		list(w, "underlays", l.Underlays, putUnderlay)
	}
	if len(l.Sketch) > 0 {
		list(w, "sketch", l.Sketch, putStroke)
	}
	if l.Proof != nil {
		w.object("numbering_proof", proofOf(*l.Proof))
	}
	if l.OrderVolts != nil {
		w.object("order_volts", orderVoltsOf(*l.OrderVolts))
	}
	w.extra(l.Extra)
}

func putStack(w *writer, s topology.Stack) {
	w.put("id", s.ID)
	w.put("x", s.X)
	w.put("y", s.Y)
	w.put("tier", s.Tier)
	w.put("angle", s.Angle)
	w.extra(s.Extra)
}

func putModule(w *writer, m topology.Module) {
	w.put("id", m.ID)
	w.text("stack", m.Stack)
	w.put("series", m.Series)
	w.put("parallel", m.Parallel)
	w.put("x", m.X)
	w.put("y", m.Y)
	w.num("w", m.W)
	w.num("h", m.H)
	w.num("angle", m.Angle)
	w.text("minus", m.Minus)
	w.text("label", m.Label)
	if m.MonitorIndex != nil {
		w.put("monitor_index", m.MonitorIndex)
	}
	w.text("chemistry", m.Chemistry)
	w.num("cell_ah", m.CellAh)
	w.num("mass_kg", m.MassKg)
	w.extra(m.Extra)
}

func putBond(w *writer, b topology.Bond) {
	w.put("id", b.ID)
	w.put("from", b.From)
	w.put("to", b.To)
	w.put("ohms", b.Ohms)
	w.extra(b.Extra)
}

func putPart(w *writer, p topology.Part) {
	w.put("id", p.ID)
	w.put("kind", p.Kind)
	w.texts("over", p.Over)
	if len(p.Holds) > 0 {
		w.texts("holds", p.Holds)
	}
	opt(w, "minutes", p.Minutes)
	opt(w, "people", p.People)
	w.num("mass_kg", p.MassKg)
	w.extra(p.Extra)
}

func putUnderlay(w *writer, u topology.Underlay) {
	w.put("id", u.ID)
	w.put("photo", u.Photo)
	w.text("name", u.Name)
	w.put("tier", u.Tier)
	w.put("corners", u.Corners)
	w.put("x", u.X)
	w.put("y", u.Y)
	w.put("w", u.W)
	w.put("h", u.H)
	w.put("angle", u.Angle)
	w.put("opacity", u.Opacity)
	w.put("locked", u.Locked)
	w.extra(u.Extra)
}

func putStroke(w *writer, s topology.Stroke) {
	w.put("tier", s.Tier)
	w.put("points", s.Points)
	w.extra(s.Extra)
}
