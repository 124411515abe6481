package format

import (
	"fmt"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
)

// numberingProof reads how the numbers were proved; nil where it is missing or null.
// A text alone says what was done, and perhaps by whom: layouts were kept so at first.
func (o *object) numberingProof() *topology.NumberingProof {
	const key = "numbering_proof"
	n := o.get(key)
	switch {
	case n == nil || n.kind == nullKind || n.kind == textKind && n.text == "":
		return nil
	case n.kind == textKind:
		return &topology.NumberingProof{Done: n.text}
	case n.kind != objectKind:
		o.r.fail(n, o.at(key), "must be an object or a text, not %s", n.shown())
		return nil
	}
	p := o.r.object(n, o.at(key))
	out := &topology.NumberingProof{Of: p.text("of", false), Done: p.text("done", false), Who: p.text("who", false), When: p.text("when", false)}
	out.Extra = p.rest()
	return out
}

func proofOf(p topology.NumberingProof) *writer {
	w := newWriter()
	w.text("of", p.Of)
	w.text("done", p.Done)
	w.text("who", p.Who)
	w.text("when", p.When)
	w.extra(p.Extra)
	return w
}

// orderVolts reads the volts that the order was read off; nil where they are missing
// or null.
func (o *object) orderVolts() *topology.OrderVolts {
	const key = "order_volts"
	n := o.get(key)
	if n == nil || n.kind == nullKind {
		return nil
	}
	v := o.r.object(n, o.at(key))
	out := &topology.OrderVolts{Reference: v.text("reference", false), At: v.time("at"), Who: v.text("who", false)}
	if m := v.get("meter"); m != nil && m.kind != nullKind {
		out.Meter = o.r.object(m, v.at("meter")).orderMeter()
	}
	if list := v.get("values"); list != nil && list.kind == objectKind {
		out.Values = o.r.typedVolts(list, v.at("values"))
	} else {
		seen := map[string]bool{}
		v.objects("values", false, func(one *object) { out.Values = append(out.Values, one.terminalVolts(seen)) })
	}
	out.Extra = v.rest()
	return out
}

func (o *object) orderMeter() *topology.OrderMeter {
	m := &topology.OrderMeter{
		Name:    o.text("name", false),
		GainPct: o.num("gain_pct", true, tolerance()),
		Counts:  o.num("counts", true, notNegative()),
		Range:   o.num("range", false, limits{0, hugeVolts, false}),
	}
	m.Extra = o.rest()
	return m
}

func (o *object) terminalVolts(seen map[string]bool) topology.TerminalVolts {
	t := topology.TerminalVolts{
		Terminal: o.text("terminal", true),
		Volts:    o.num("volts", true, within(hugeVolts)),
		Raw:      o.text("raw", false),
	}
	if n := o.get("terminal"); n != nil && n.kind == textKind {
		if seen[t.Terminal] {
			o.r.fail(n, o.at("terminal"), "%s has a value in this list already", quote(t.Terminal))
		}
		seen[t.Terminal] = true
		o.r.later = append(o.r.later, func(*topology.Net) {
			if !o.r.moduleTerminal(t.Terminal) {
				o.r.fail(n, o.at("terminal"), "%s is no terminal of a module of this layout, such as M03+", quote(t.Terminal))
			}
		})
	}
	t.Extra = o.rest()
	return t
}

// moduleTerminal tells whether a reference is an end of a module.
func (r *reader) moduleTerminal(ref string) bool {
	module, minus := strings.CutSuffix(ref, "-")
	module, plus := strings.CutSuffix(module, "+")
	return minus != plus && r.ids.what[module] == "module"
}

// typedVolts reads values as they were kept at first: what was typed, by terminal. One
// of a terminal that the layout does not have any more is left out, and that is noted.
func (r *reader) typedVolts(n *node, place string) (out []topology.TerminalVolts) {
	for _, m := range n.members {
		at := place + "." + shownKey(m.key)
		switch e, err := fault.ParseEntry(m.value.text, fault.EntryOptions{Quantity: fault.Volts, DecimalComma: true}); {
		case m.value.kind != textKind:
			r.fail(m.value, at, "must be a text, not %s", m.value.shown())
		case err != nil:
			r.fail(m.value, at, "%s", err)
		case e.Relation != fault.Equal || e.OverRange || e.Value < -hugeVolts || e.Value > hugeVolts:
			r.fail(m.value, at, "%s is no value in volts", quote(m.value.text))
		case !r.moduleTerminal(m.key):
			r.note(at, fmt.Sprintf("is no terminal of this layout; the value %s is left out", quote(m.value.text)))
		default:
			out = append(out, topology.TerminalVolts{Terminal: m.key, Volts: e.Value, Raw: m.value.text})
		}
	}
	return out
}

func orderVoltsOf(v topology.OrderVolts) *writer {
	w := newWriter()
	w.text("reference", v.Reference)
	if m := v.Meter; m != nil {
		e := newWriter()
		e.text("name", m.Name)
		e.put("gain_pct", m.GainPct)
		e.put("counts", m.Counts)
		e.num("range", m.Range)
		e.extra(m.Extra)
		w.object("meter", e)
	}
	w.text("at", v.At)
	w.text("who", v.Who)
	list(w, "values", v.Values, func(w *writer, t topology.TerminalVolts) {
		w.put("terminal", t.Terminal)
		w.put("volts", t.Volts)
		w.text("raw", t.Raw)
		w.extra(t.Extra)
	})
	w.extra(v.Extra)
	return w
}
