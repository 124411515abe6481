package match

import (
	"cmp"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"halfsplit/topology"
)

// renamed is a reference of a as b would write it, where its module has another id.
// One that names nothing in a is nothing's in b, even where b has a module of that id.
func (c *comparison) renamed(ref string) string {
	end := strings.LastIndexAny(ref, "-+.")
	if end <= 0 {
		return ref
	}
	if id := c.names[ref[:end]]; id != "" {
		return id + ref[end:]
	}
	if c.back[ref[:end]] != "" {
		return "nothing: " + ref
	}
	return ref
}

// same tells whether two links join the same two ends, from either side.
func (c *comparison) same(x, y topology.Link) bool {
	from, to := c.renamed(x.From), c.renamed(x.To)
	return from == y.From && to == y.To || from == y.To && to == y.From
}

// links pairs links by id, and those that are left by what they join.
func (c *comparison) links() {
	taken := map[string]bool{}
	name := func(k topology.Link) string { return k.ID }
	inA, inB := places(c.a.Links, name), places(c.b.Links, name)
	var left []topology.Link // of b, which a has not by id
	for _, y := range c.b.Links {
		if _, known := inA[y.ID]; !known {
			left = append(left, y)
		}
	}
	find := func(x topology.Link) (topology.Link, bool) {
		if i, ok := inB[x.ID]; ok {
			return c.b.Links[i], true
		}
		i := slices.IndexFunc(left, func(y topology.Link) bool { return !taken[y.ID] && c.same(x, y) })
		if i < 0 {
			return topology.Link{}, false
		}
		return left[i], true
	}
	for _, x := range c.a.Links {
		y, ok := find(x)
		if !ok {
			c.add(Wiring, x.ID, "", true, "%s is missing: it joined %s and %s.", x.ID, x.From, x.To)
			continue
		}
		taken[y.ID] = true
		c.link(x, y)
	}
	for _, y := range c.b.Links {
		if !taken[y.ID] {
			c.add(Wiring, "", y.ID, true, "%s is only here: it joins %s and %s.", y.ID, y.From, y.To)
		}
	}
}

func (c *comparison) link(x, y topology.Link) {
	if x.ID != y.ID {
		c.add(Named, x.ID, y.ID, true, "%s joins what %s joined.", y.ID, x.ID)
	}
	if !c.same(x, y) {
		c.add(Wiring, x.ID, y.ID, true, "%s joins %s and %s, not %s and %s.", y.ID, y.From, y.To, x.From, x.To)
	}
	if x.Kind != y.Kind {
		c.add(Wiring, x.ID, y.ID, true, "%s is a %s, not a %s.", y.ID, y.Kind, x.Kind)
	}
	if !reflect.DeepEqual(x.Minutes, y.Minutes) {
		c.add(Access, x.ID, y.ID, false, "%s %s.", y.ID, told("time to open it", pointed(y.Minutes, "minutes"), pointed(x.Minutes, "minutes")))
	}
	if x.Fasteners != y.Fasteners {
		c.add(Access, x.ID, y.ID, false, "%s %s.", y.ID, told("fasteners", y.Fasteners, x.Fasteners))
	}
	if !reflect.DeepEqual(x.TorqueNm, y.TorqueNm) || x.TorqueSource != y.TorqueSource {
		c.add(Access, x.ID, y.ID, false, "%s %s.", y.ID, told("torque", torque(y), torque(x)))
	}
	c.extra(x.ID, y.ID, x.Extra, y.Extra)
}

func pointed(v *float64, unit string) string {
	if v == nil {
		return ""
	}
	return fmt.Sprintf("%g %s", *v, unit)
}

func (c *comparison) sensing() {
	there(c, c.a.Boards, c.b.Boards, func(x topology.Board) string { return x.ID }, Sensing, "Board ", true, func(x, y topology.Board) {
		taps := make([]string, 0, len(x.Taps))
		for _, t := range x.Taps {
			taps = append(taps, c.renamed(t))
		}
		if !slices.Equal(taps, y.Taps) {
			c.add(Sensing, x.ID, y.ID, true, "Board %s %s.", y.ID, told("taps", strings.Join(y.Taps, ", "), strings.Join(x.Taps, ", ")))
		}
		if !reflect.DeepEqual(x.Minutes, y.Minutes) {
			c.add(Access, x.ID, y.ID, false, "Board %s %s.", y.ID, told("time to unplug it", pointed(y.Minutes, "minutes"), pointed(x.Minutes, "minutes")))
		}
		c.extra(x.ID, y.ID, x.Extra, y.Extra)
	})
	if !reflect.DeepEqual(c.monitor(), c.b.Monitor) {
		c.add(Sensing, "", "", true, "The insulation monitor's connection differs.")
	}
}

// torque is a link's with its source, "" where neither is recorded.
func torque(k topology.Link) string {
	words := pointed(k.TorqueNm, "N·m")
	if k.TorqueSource != "" {
		words = cmp.Or(words, "unknown") + " by " + k.TorqueSource
	}
	return words
}

// bonded is what a bond joins, and its ohms where they are known.
func bonded(b topology.Bond) string {
	return b.From + " to " + b.To + ", " + cmp.Or(pointed(b.Ohms, "Ω"), "ohms not recorded")
}

// monitor is a's insulation monitor as b would write it.
func (c *comparison) monitor() *topology.Monitor {
	if c.a.Monitor == nil {
		return nil
	}
	m := *c.a.Monitor
	m.From = slices.Clone(m.From)
	for i, ref := range m.From {
		m.From[i] = c.renamed(ref)
	}
	return &m
}

func (c *comparison) metal() {
	there(c, c.a.Chassis, c.b.Chassis, func(x topology.ChassisPiece) string { return x.ID }, Metal, "Chassis piece ", true, func(x, y topology.ChassisPiece) {
		c.extra(x.ID, y.ID, x.Extra, y.Extra)
	})
	there(c, c.a.Bonds, c.b.Bonds, func(x topology.Bond) string { return x.ID }, Metal, "Bond ", true, func(x, y topology.Bond) {
		if x.From != y.From || x.To != y.To || !reflect.DeepEqual(x.Ohms, y.Ohms) {
			c.add(Metal, x.ID, y.ID, true, "Bond %s %s.", y.ID, told("place and value", bonded(y), bonded(x)))
		}
		c.extra(x.ID, y.ID, x.Extra, y.Extra)
	})
}

func (c *comparison) parts() {
	there(c, c.a.Parts, c.b.Parts, func(x topology.Part) string { return x.ID }, Access, "Part ", false, func(x, y topology.Part) {
		ex, ey := x.Extra, y.Extra
		x.Over, x.Holds = c.called(x.Over), c.called(x.Holds)
		x.Extra, y.Extra = nil, nil
		if !reflect.DeepEqual(x, y) {
			c.add(Access, x.ID, y.ID, false, "Part %s differs in what it is, covers, holds or takes to come off.", y.ID)
		}
		c.extra(x.ID, y.ID, ex, ey)
	})
}

// called are ids of a as b would write them, by the rule of renamed.
func (c *comparison) called(ids []string) []string {
	out := slices.Clone(ids)
	for i, id := range ids {
		switch {
		case c.names[id] != "":
			out[i] = c.names[id]
		case c.back[id] != "":
			out[i] = "nothing: " + id
		}
	}
	return out
}

func (c *comparison) photos() {
	there(c, c.a.Underlays, c.b.Underlays, func(x topology.Underlay) string { return x.ID }, Picture, "Photo ", false, func(x, y topology.Underlay) {
		if !reflect.DeepEqual(x, y) {
			c.add(Picture, x.ID, y.ID, false, "Photo %s is another, or lies or looks otherwise.", y.ID)
		}
	})
}

func (c *comparison) stacks() {
	there(c, c.a.Stacks, c.b.Stacks, func(x topology.Stack) string { return x.ID }, Place, "Stack ", false, func(x, y topology.Stack) {
		if words := shift(y.X-x.X, y.Y-x.Y); words != "" {
			c.add(Place, x.ID, y.ID, false, "Stack %s lies %s.", y.ID, words)
		}
		if x.Tier != y.Tier {
			c.add(Place, x.ID, y.ID, false, "Stack %s is on tier %d, not %d.", y.ID, y.Tier, x.Tier)
		}
		if x.Angle != y.Angle {
			c.add(Place, x.ID, y.ID, false, "Stack %s is turned to %g°, not %g°.", y.ID, y.Angle, x.Angle)
		}
		c.extra(x.ID, y.ID, x.Extra, y.Extra)
	})
}

// whole compares what is of the layout as a whole.
func (c *comparison) whole() {
	a, b := c.a, c.b
	if a.WorkingVolts != b.WorkingVolts {
		c.add(Volts, "", "", false, "The layout %s.", told("highest volts in service", figure(b.WorkingVolts, "V"), figure(a.WorkingVolts, "V")))
	}
	if a.NominalVolts != b.NominalVolts {
		c.add(Volts, "", "", false, "The layout %s.", told("nominal volts", figure(b.NominalVolts, "V"), figure(a.NominalVolts, "V")))
	}
	if a.Name != b.Name {
		c.add(Label, "", "", false, "The layout %s.", told("name", b.Name, a.Name))
	}
	if a.SeenFrom != b.SeenFrom {
		c.add(Picture, "", "", false, "The drawing %s.", told("side it is seen from", b.SeenFrom, a.SeenFrom))
	}
	if a.Front != b.Front {
		c.add(Picture, "", "", false, "The drawing %s.", told("way to the front", b.Front, a.Front))
	}
	if len(a.Sketch)+len(b.Sketch) > 0 && !reflect.DeepEqual(a.Sketch, b.Sketch) {
		c.add(Picture, "", "", false, "The sketch differs.")
	}
	c.proofs()
	c.extra("", "", a.Extra, b.Extra)
}

// proofs compares what the numbers and the order rest on. The volts are of one pack
// each, so that those of two packs differ always; that they do changes nothing.
func (c *comparison) proofs() {
	proof := func(p *topology.NumberingProof) (text string) {
		if p == nil {
			return ""
		}
		var said []string
		for _, s := range []string{p.Of, p.Done, p.Who, p.When} {
			if s != "" {
				said = append(said, s)
			}
		}
		return strings.Join(said, ", ")
	}
	if a, b := proof(c.a.Proof), proof(c.b.Proof); a != b {
		c.add(Proof, "", "", false, "The layout %s.", told("proof of its numbers", b, a))
	}
	values := func(v *topology.OrderVolts) (at map[string]float64) {
		at = map[string]float64{}
		if v != nil {
			for _, t := range v.Values {
				at[t.Terminal] = t.Volts
			}
		}
		return at
	}
	a, b := map[string]float64{}, values(c.b.OrderVolts)
	for terminal, v := range values(c.a.OrderVolts) {
		a[c.renamed(terminal)] = v
	}
	switch {
	case maps.Equal(a, b):
	case len(b) == 0:
		c.add(Proof, "", "", false, "The volts that the order was read off are missing: %s.", valuesOf(a))
	case len(a) == 0:
		c.add(Proof, "", "", false, "The volts that the order was read off are only here: %s.", valuesOf(b))
	default:
		c.add(Proof, "", "", false, "The volts that the order was read off differ; each is of one pack.")
	}
}

func valuesOf(at map[string]float64) string {
	if len(at) == 1 {
		return "1 value"
	}
	return fmt.Sprintf("%d values", len(at))
}
