package edit

import (
	"fmt"

	"halfsplit/topology"
)

// Delete takes a selection out, with what hangs on it: a stack's modules, links to a
// module's terminals, bonds at a chassis piece; and out of what stays: sense leads,
// what parts lie over and hold, what the monitor measures. went says in sentences
// what went along or lost something, beyond the selection itself.
func Delete(l topology.Layout, sel Selection) (out topology.Layout, went []string, err error) {
	p, err := pick(l, sel)
	if err != nil {
		return l, nil, err
	}
	for _, i := range p.of[UnderlayKind] {
		if u := l.Underlays[i]; u.Locked {
			return l, nil, fmt.Errorf("the photo %s is locked; unlock it before it is taken out", u.ID)
		}
	}
	d := deletion{gone: p.has}
	d.stood(l)
	d.hung(l)
	d.lost(l)
	stays := mapper(func(id string) (string, bool) { return id, !d.gone[id] })
	out = l
	out.Stacks = without(l.Stacks, func(s topology.Stack) bool { return d.gone[s.ID] })
	out.Modules = without(l.Modules, func(m topology.Module) bool { return d.gone[m.ID] })
	out.Links = without(l.Links, func(k topology.Link) bool { return d.gone[k.ID] })
	out.Boards = without(l.Boards, func(b topology.Board) bool { return d.gone[b.ID] })
	out.Chassis = without(l.Chassis, func(c topology.ChassisPiece) bool { return d.gone[c.ID] })
	out.Bonds = without(l.Bonds, func(b topology.Bond) bool { return d.gone[b.ID] })
	out.Parts = without(l.Parts, func(p topology.Part) bool { return d.gone[p.ID] })
	out.Underlays = without(l.Underlays, func(u topology.Underlay) bool { return d.gone[u.ID] })
	return mapped(out, stays), d.went, nil
}

// A deletion is the ids that go and the sentences about it.
type deletion struct {
	gone map[string]bool
	went []string
}

func (d *deletion) say(format string, args ...any) {
	d.went = append(d.went, fmt.Sprintf(format, args...))
}

// stood adds the modules of stacks that go.
func (d *deletion) stood(l topology.Layout) {
	for _, s := range l.Stacks {
		if !d.gone[s.ID] {
			continue
		}
		var along []string
		for _, m := range l.Modules {
			if m.Stack == s.ID && !d.gone[m.ID] {
				d.gone[m.ID] = true
				along = append(along, m.ID)
			}
		}
		if len(along) > 0 {
			d.say("%s went with stack %s.", list(along), s.ID)
		}
	}
}

// hung adds links and bonds that lose an end.
func (d *deletion) hung(l topology.Layout) {
	ends := func(what, id, from, to string, lost func(string) bool) {
		var at []string
		for _, end := range []string{from, to} {
			if lost(end) {
				at = append(at, end)
			}
		}
		if len(at) > 0 && !d.gone[id] {
			d.gone[id] = true
			d.say("%s %s went: it was joined to %s.", what, id, list(at))
		}
	}
	for _, k := range l.Links {
		ends("Link", k.ID, k.From, k.To, d.lostRef)
	}
	for _, b := range l.Bonds {
		ends("Bond", b.ID, b.From, b.To, func(piece string) bool { return d.gone[piece] })
	}
}

func (d *deletion) lostRef(ref string) bool {
	module, _, ok := splitRef(ref)
	return ok && d.gone[module]
}

// lost tells what stays and has less than before.
func (d *deletion) lost(l topology.Layout) {
	among := func(of []string, lost func(string) bool) (gone []string) {
		for _, s := range of {
			if lost(s) {
				gone = append(gone, s)
			}
		}
		return gone
	}
	for _, b := range l.Boards {
		switch gone := among(b.Taps, d.lostRef); {
		case d.gone[b.ID] || len(gone) == 0:
		case len(gone) == len(b.Taps):
			d.say("Board %s senses nothing now; it sensed %s.", b.ID, list(gone))
		default:
			d.say("Board %s does not sense %s now.", b.ID, list(gone))
		}
	}
	for _, p := range l.Parts {
		if d.gone[p.ID] {
			continue
		}
		if gone := among(p.Over, func(id string) bool { return d.gone[id] }); len(gone) > 0 {
			d.say("Part %s does not lie over %s now.", p.ID, list(gone))
		}
		if gone := among(p.Holds, func(id string) bool { return d.gone[id] }); len(gone) > 0 {
			d.say("Part %s does not hold %s now.", p.ID, list(gone))
		}
	}
	if m := l.Monitor; m != nil {
		piece, _ := topology.ChassisRef(m.To)
		switch gone := among(m.From, d.lostRef); {
		case d.gone[piece] && piece != "":
			d.say("The insulation monitor's connection went: it measured to %s.", m.To)
		case len(gone) == 0:
		case len(gone) == len(m.From):
			d.say("The insulation monitor's connection went: it measured from %s.", list(gone))
		default:
			d.say("The insulation monitor does not measure from %s now.", list(gone))
		}
	}
	if v := l.OrderVolts; v != nil {
		var gone []string
		for _, t := range v.Values {
			if d.lostRef(t.Terminal) {
				gone = append(gone, t.Terminal)
			}
		}
		if len(gone) > 0 {
			d.say("The volts went that were measured on %s.", list(gone))
		}
	}
}
