package format

import (
	"halfsplit/topology"
)

// ReadLayout reads a halfsplit-layout/1 file. The error is an *Error. What the
// layout means is not judged here: topology.Compile does that.
func ReadLayout(name string, data []byte) (topology.Layout, []Note, error) {
	r, o, err := newReader(name, data, LayoutFormat, newIDs())
	if err != nil {
		return topology.Layout{}, nil, err
	}
	l, net := r.layout(o)
	r.resolve(net)
	return l, r.notes, r.result()
}

// layout reads every field. The net is nil if there was an error.
func (r *reader) layout(o *object) (topology.Layout, *topology.Net) {
	l := topology.Layout{
		Name:         o.text("name", false),
		SeenFrom:     o.word("seen_from", false, "above", "below"),
		Front:        o.word("front", false, "up", "down", "left", "right"),
		WorkingVolts: o.num("working_volts", false, limits{0, hugeVolts, true}),
		NominalVolts: o.num("nominal_volts", false, limits{0, hugeVolts, true}),
	}
	o.objects("stacks", false, func(s *object) { l.Stacks = append(l.Stacks, s.stack()) })
	groups := 0
	o.objects("modules", true, func(m *object) {
		mod := m.module()
		if groups += mod.Series; groups > maxGroups && groups-mod.Series <= maxGroups {
			r.fail(m.n, m.path, "with this module the pack has more than %d groups", maxGroups)
		}
		l.Modules = append(l.Modules, mod)
	})
	o.objects("links", false, func(k *object) { l.Links = append(l.Links, k.link()) })
	o.objects("boards", false, func(b *object) { l.Boards = append(l.Boards, b.board()) })
	if n := o.get("monitor"); n != nil && n.kind != nullKind {
		m := r.object(n, o.at("monitor")).monitor()
		l.Monitor = &m
	}
	o.objects("chassis", false, func(c *object) {
		l.Chassis = append(l.Chassis, topology.ChassisPiece{ID: c.id("chassis piece"), Extra: c.rest()})
	})
	o.objects("bonds", false, func(b *object) { l.Bonds = append(l.Bonds, b.bond()) })
	o.objects("parts", false, func(p *object) { l.Parts = append(l.Parts, p.part()) })
	o.objects("underlays", false, func(u *object) { l.Underlays = append(l.Underlays, u.underlay()) })
	l.Sketch = o.sketch()
	l.Proof = o.numberingProof()
	l.OrderVolts = o.orderVolts()
	l.Extra = o.rest()
	if r.err != nil {
		return l, nil
	}
	net, _ := topology.Compile(l)
	return l, net
}

func (o *object) stack() topology.Stack {
	return topology.Stack{
		ID:    o.id("stack"),
		X:     o.num("x", false, within(hugeLength)),
		Y:     o.num("y", false, within(hugeLength)),
		Tier:  o.count("tier", false, -1000, 1000, 0),
		Angle: o.num("angle", false, within(hugeLength)),
		Extra: o.rest(),
	}
}

func (o *object) module() topology.Module {
	m := topology.Module{
		ID:        o.id("module"),
		Stack:     o.ref("stack", false, "stack"),
		Series:    o.count("series", true, 1, maxGroups, 0),
		Parallel:  o.count("parallel", false, 1, maxGroups, 1),
		X:         o.num("x", false, within(hugeLength)),
		Y:         o.num("y", false, within(hugeLength)),
		W:         o.num("w", false, limits{0, hugeLength, true}),
		H:         o.num("h", false, limits{0, hugeLength, true}),
		Angle:     o.num("angle", false, within(hugeLength)),
		Minus:     o.word("minus", false, "left", "right", "top", "bottom"),
		Label:     o.text("label", false),
		Chemistry: o.text("chemistry", false),
		CellAh:    o.num("cell_ah", false, positive()),
		MassKg:    o.num("mass_kg", false, positive()),
	}
	m.MonitorIndex = o.monitorIndex()
	m.Extra = o.rest()
	return m
}

// monitorIndex is the first and the last index in the monitor's list; nil where
// it is missing or null. The list may run either way.
func (o *object) monitorIndex() []int {
	const key = "monitor_index"
	n := o.get(key)
	if n == nil || n.kind == nullKind || !o.is(n, key, listKind) {
		return nil
	}
	if len(n.list) != 2 {
		o.r.fail(n, o.at(key), "must hold two numbers, the first and the last index, and holds %d", len(n.list))
		return nil
	}
	first, _ := o.r.whole(n.list[0], o.at(key)+"[0]", 0, maxGroups)
	last, _ := o.r.whole(n.list[1], o.at(key)+"[1]", 0, maxGroups)
	return []int{first, last}
}

func (o *object) link() topology.Link {
	l := topology.Link{
		ID:      o.id("link"),
		Kind:    o.word("kind", true, topology.LinkKinds...),
		From:    o.node("from", true, taps|terminals),
		To:      o.node("to", true, taps|terminals),
		Minutes: o.optNum("minutes", notNegative()),

		Fasteners:    o.text("fasteners", false),
		TorqueNm:     o.optNum("torque_nm", positive()),
		TorqueSource: o.text("torque_source", false),
	}
	if l.From != "" && l.From == l.To {
		o.r.fail(o.get("to"), o.at("to"), "the link begins and ends at %s", quote(l.To))
	}
	if n := o.get("id"); n != nil && l.ID != "" && !plainWord(l.ID) {
		o.r.later = append(o.r.later, func(*topology.Net) {
			if stem := l.ID[:len(l.ID)-1]; o.r.ids.what[stem] == "module" {
				o.r.fail(n, o.at("id"), "%s is also a terminal of module %s", quote(l.ID), stem)
			}
		})
	}
	l.Extra = o.rest()
	return l
}

func (o *object) board() topology.Board {
	b := topology.Board{ID: o.id("board")}
	b.Taps = o.texts("taps", true, func(n *node, place string) { o.r.laterNode(n, place, taps) })
	b.Minutes = o.optNum("minutes", notNegative())
	b.Extra = o.rest()
	return b
}

func (o *object) monitor() topology.Monitor {
	m := topology.Monitor{
		From: o.texts("from", true, func(n *node, place string) { o.r.laterNode(n, place, taps|terminals) }),
		To:   o.node("to", true, chassis),
		Ohms: o.optNum("ohms", positive()),
	}
	m.Extra = o.rest()
	return m
}

func (o *object) bond() topology.Bond {
	b := topology.Bond{
		ID:   o.id("bond"),
		From: o.ref("from", true, "chassis piece"),
		To:   o.ref("to", true, "chassis piece"),
		Ohms: o.optNum("ohms", notNegative()),
	}
	b.Extra = o.rest()
	return b
}

// coverable is what a part may cover or hold.
var coverable = []string{"stack", "module", "link", "board", "chassis piece", "bond", "part"}

func (o *object) part() topology.Part {
	p := topology.Part{
		ID:      o.id("part"),
		Kind:    o.text("kind", true),
		Over:    o.refs("over", false, coverable...),
		Holds:   o.refs("holds", false, coverable...),
		Minutes: o.optNum("minutes", notNegative()),
		MassKg:  o.num("mass_kg", false, positive()),
	}
	if n := o.get("people"); n != nil && n.kind != nullKind {
		v, _ := o.r.whole(n, o.at("people"), 1, 1000)
		p.People = &v
	}
	p.Extra = o.rest()
	return p
}
