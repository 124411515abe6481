package format

import (
	"fmt"
	"math"

	"halfsplit/fault"
	"halfsplit/topology"
)

// ReadCase reads a halfsplit-case/1 file. A case that names its layout in
// "layout_file" gets it through open, which is given the path as it is written
// and resolves it from where the case lies; open may be nil. The error is an
// *Error; it names the layout's file where the fault lies there.
func ReadCase(name string, data []byte, open func(path string) ([]byte, error)) (fault.Case, []Note, error) {
	ids := newIDs()
	r, o, err := newReader(name, data, CaseFormat, ids)
	if err != nil {
		return fault.Case{}, nil, err
	}
	c := fault.Case{Title: o.text("title", false), Now: o.ref("now", false, "state"), LayoutVersion: o.text("layout_version", false)}
	net, err := r.caseLayout(o, &c, open)
	if err != nil {
		return fault.Case{}, nil, err
	}
	o.objects("instruments", false, func(i *object) { c.Instruments = append(c.Instruments, i.instrument()) })
	o.objects("resistors", false, func(i *object) { c.Resistors = append(c.Resistors, i.testResistor()) })
	o.objects("states", false, func(s *object) { c.States = append(c.States, s.state()) })
	o.objects("group_volts", false, func(g *object) { c.GroupVolts = append(c.GroupVolts, g.groupVolts()) })
	r.readings(o, &c)
	o.objects("noted", false, func(n *object) { c.Noted = append(c.Noted, n.noted()) })
	o.objects("make_safe", false, func(m *object) { c.MakeSafe = append(c.MakeSafe, m.makeSafe()) })
	o.objects("provings", false, func(p *object) { c.Provings = append(c.Provings, p.proving()) })
	c.Minutes = o.minutes()
	c.Extra = o.rest()
	r.resolve(net)
	return c, r.notes, r.result()
}

// caseLayout reads the layout, which must be there in exactly one of two ways.
func (r *reader) caseLayout(o *object, c *fault.Case, open func(string) ([]byte, error)) (net *topology.Net, err *Error) {
	inline, file := o.get("layout"), o.get("layout_file")
	switch {
	case inline != nil && file != nil:
		r.fail(file, o.at("layout_file"), `the case has both "layout" and "layout_file"; one of them must go`)
	case inline != nil:
		in := r.object(inline, o.at("layout"))
		in.format(LayoutFormat, false)
		c.Layout, net = r.layout(in)
	case !o.is(file, "layout_file", textKind):
		if file == nil {
			r.failAt(o.n.end, o.n.off, "top level", `the case has neither "layout" nor "layout_file"`)
		}
	default:
		c.LayoutFile = file.text
		return r.layoutFile(file, o.at("layout_file"), c, open)
	}
	return net, nil
}

// layoutFile reads the layout from its own file, whose errors come first.
func (r *reader) layoutFile(n *node, place string, c *fault.Case, open func(string) ([]byte, error)) (*topology.Net, *Error) {
	if n.text == "" || open == nil {
		r.fail(n, place, "names no file that can be opened here")
		return nil, nil
	}
	data, err := open(n.text)
	if err != nil {
		r.fail(n, place, "%v", err)
		return nil, nil
	}
	lr, o, bad := newReader(n.text, data, LayoutFormat, r.ids)
	if bad != nil {
		return nil, bad
	}
	l, net := lr.layout(o)
	lr.resolve(net)
	c.Layout = l
	r.notes = append(r.notes, lr.notes...)
	return net, lr.err
}

func (o *object) state() fault.State {
	return fault.State{
		ID:         o.id("state"),
		Open:       o.refs("open", false, "link"),
		Unplugged:  o.refs("unplugged", false, "board"),
		Removed:    o.refs("removed", false, "module"),
		Connected:  o.texts("connected", false, nil),
		Contactors: o.word("contactors", false, fault.Open, fault.Closed),
		Monitor:    o.word("monitor", false, fault.MonitorDisconnected, fault.MonitorConnected, fault.MonitorActive),
		Boards:     o.word("boards", false, fault.BoardsOut),
		Wet:        o.flag("wet"),
		Torqued:    o.flag("torqued"),
		Coolant:    o.word("coolant", false, fault.CoolantIn, fault.CoolantOut),
		Celsius:    o.optNum("celsius", limits{-100, 1000, false}),
		Humidity:   o.optNum("humidity_pct", limits{0, 100, false}),
		Extra:      o.rest(),
	}
}

// minutes reads the workshop's own access minutes: an object whose keys are ids of
// links and boards.
func (o *object) minutes() map[string]float64 {
	n := o.get("minutes")
	if !o.is(n, "minutes", objectKind) || len(n.members) == 0 {
		return nil
	}
	out := make(map[string]float64, len(n.members))
	for _, m := range n.members {
		place := o.at("minutes") + "." + shownKey(m.key)
		out[m.key], _ = o.r.float(m.value, place, limits{0, fault.MostMinutes, false})
		o.r.later = append(o.r.later, func(*topology.Net) {
			switch is := o.r.ids.what[m.key]; is {
			case "link", "board":
			case "":
				o.r.failAt(m.off, m.off, place, "access minutes are those of a link or board, and the layout has none called %s", quote(m.key))
			default:
				o.r.failAt(m.off, m.off, place, "access minutes are those of a link or board, and %s is a %s", quote(m.key), is)
			}
		})
	}
	return out
}

// groupVolts reads one module's groups; null is a group that was not measured.
func (o *object) groupVolts() fault.GroupVolts {
	g := fault.GroupVolts{
		Module:     o.ref("module", true, "module"),
		State:      o.ref("state", true, "state"),
		At:         o.time("at"),
		Instrument: o.ref("instrument", false, "instrument"),
		Source:     o.text("source", false),
	}
	n := o.get("volts")
	o.list("volts", true, func(e *node, place string) {
		v := math.NaN()
		if e.kind != nullKind {
			v, _ = o.r.float(e, place, within(hugeVolts))
		}
		g.Volts = append(g.Volts, v)
	})
	o.r.later = append(o.r.later, func(net *topology.Net) {
		if m, ok := net.Module(g.Module); ok && net.Layout.Modules[m].Series != len(g.Volts) {
			o.r.fail(n, o.at("volts"), "%s", wrongLength(g.Module, net.Layout.Modules[m].Series, len(g.Volts)))
		}
	})
	g.Extra = o.rest()
	return g
}

// noted reads what a person saw at a place.
func (o *object) noted() fault.Noted {
	return fault.Noted{
		ID:    o.id("note"),
		At:    o.time("at"),
		Who:   o.text("who", false),
		Place: o.node("place", true, taps|leakable),
		What:  o.word("what", true, fault.NotedWords...),
		Why:   o.text("why", false),
		Extra: o.rest(),
	}
}

func wrongLength(module string, series, given int) string {
	return fmt.Sprintf("%s has %d groups in series, and %d values are given (null stands for one that was not measured)", module, series, given)
}
