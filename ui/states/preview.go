package states

import (
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/makesafe"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// Preview says what a change would record and what would be live then, by the
// layout and the cells: expected, not measured.
func Preview(p *facts.Pack, c Change) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: c.Verb() + "?", Bold: true},
		{Kind: sheet.Para, Text: "Nothing is recorded yet. Record it when it has been done; the program cannot see the metal."}}
	next := p.Case
	state := Apply(p.Case.Layout, p.State, c)
	state.ID = "then"
	next.States = append(slices.Clone(next.States), state)
	next.Now = state.ID
	then := facts.New(next, facts.Result{})
	b = append(b, sheet.Block{Kind: sheet.Title, Text: "Recorded then"}, sheet.Block{Kind: sheet.Para, Text: then.StateLine()})
	if !p.Known {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: "The present state is not known: this begins a first state, with what is not listed taken as not recorded."})
	}
	b = append(b, sheet.Block{Kind: sheet.Title, Text: "Live then, expected, not measured"})
	b = append(b, live(then)...)
	if c.Kind == Open || c.Kind == Close {
		b = append(b, gap(p, c)...)
	}
	return append(b, cautions(p, c)...)
}

// live lists every section of a state with its volts.
func live(p *facts.Pack) []sheet.Block {
	var b []sheet.Block
	if len(p.Sections) == 0 || strings.HasPrefix(p.LiveLine(), "Live: not known") {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "Not known; treat all as live."})
	}
	for i := range p.Sections {
		s := &p.Sections[i]
		v := words.Volts(s.Volts)
		switch {
		case math.IsNaN(s.Volts):
			v = "volts not known"
		case s.Rough:
			v = "about " + v + ", nominal"
		}
		b = append(b, sheet.Block{Kind: sheet.Row, Text: s.From + " to " + s.To, Value: v, Computed: true})
	}
	return append(b, sheet.Block{Kind: sheet.Para, Text: "Modules cannot be switched off."})
}

// gap is what is expected across the link: from the finding where it proposes
// this very step, from the sections where it is open already.
func gap(p *facts.Pack, c Change) []sheet.Block {
	l, ok := p.Net.Link(c.ID)
	if !ok {
		return nil
	}
	b := []sheet.Block{{Kind: sheet.Title, Text: "Across " + c.ID + ", expected, not measured"}}
	if c.Kind == Close {
		if g := p.GapOf(l); g.Known {
			b = append(b, sheet.Block{Kind: sheet.Row, Text: "Red " + g.Red + ", black " + g.Black, Value: words.Gap(g.Low, g.High), Computed: true})
		} else {
			b = append(b, sheet.Block{Kind: sheet.Para, Text: "Not known: no finding gives the chassis potential on both sides."})
		}
		return append(b, sheet.Block{Kind: sheet.Caution, Text: "Measure the gap before it is closed. A reading far from what is expected says that something bridges it."})
	}
	low, high, ok := proposed(p.Result.Finding, c.ID)
	if ok {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "When it is open", Value: words.Gap(low, high), Computed: true})
	} else {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "Not known before both sides are read to chassis. Up to the volts of both sections together."})
	}
	return b
}

// proposed is the gap that the finding gives for opening a link.
func proposed(f *fault.Finding, id string) (low, high float64, ok bool) {
	if f == nil {
		return 0, 0, false
	}
	for _, n := range f.Next {
		if slices.Contains(n.State.Open, id) && n.GapVolts.Known() {
			return float64(n.GapVolts.Low), float64(n.GapVolts.High), true
		}
	}
	return 0, 0, false
}

// cautions are those that belong to the change itself.
func cautions(p *facts.Pack, c Change) []sheet.Block {
	var b []sheet.Block
	say := func(s string) { b = append(b, sheet.Block{Kind: sheet.Caution, Text: s}) }
	if l, ok := p.Net.Link(c.ID); ok && c.Kind == Open {
		at := p.Net.Layout.Links[l]
		said := map[string]bool{}
		for _, ref := range []string{at.From, at.To} {
			n, ok := p.Net.Node(ref)
			m, _, isTap := p.Net.ModuleAt(n)
			if !ok || !isTap {
				continue
			}
			for _, bd := range p.Case.Layout.Boards {
				if touches(bd, p.Net.Layout.Modules[m].ID) && p.State.Plugged(bd.ID) && !said[bd.ID] {
					said[bd.ID] = true
					say("Board " + bd.ID + " is not recorded unplugged: it can bridge the gap.")
				}
			}
		}
		if len(p.Case.Layout.Boards) == 0 && p.State.Boards != fault.BoardsOut {
			say("No boards are drawn: whether one bridges the gap is not known.")
		}
		if at.Kind != topology.Contactor && p.State.Contactors != fault.Open {
			say("The contactors are not recorded open: whether current flows in " + c.ID + " is not known.")
		}
	}
	if c.Kind == Monitor && c.To == fault.MonitorActive {
		say("With an active monitor no reading to chassis says anything about a leak.")
	}
	if c.Kind == Boards && c.To == fault.BoardsOut {
		say("This is for when every monitoring board is off, those that are not drawn too, with its sense leads at the cell end, or when none is fitted. Leads that stay on the taps can leak to chassis and bridge a gap.")
	}
	if c.Kind == Boards && c.To == "" {
		say("No board counts as unplugged then, not even one that was recorded unplugged by itself: each can bridge a gap.")
	}
	for _, t := range conditionCautions(p, c) {
		say(t)
	}
	if c.Kind == Remove {
		say("A removed module keeps its volts at its terminals.")
	}
	return b
}

// conditionCautions are those of what is connected and of what the pack is like, and
// of a make-safe record that a change would leave behind.
func conditionCautions(p *facts.Pack, c Change) (out []string) {
	switch {
	case c.Kind == Connect && strings.Contains(c.ID, "laptop"):
		out = append(out, "It ties the laptop to the measuring circuit: an isolated interface, the laptop on its battery.")
	case c.Kind == Connect:
		out = append(out, "What is joined to pack or tray can leak to chassis, or tie it to earth: readings to chassis then tell of it too.")
	case c.Kind == Wet && c.To == IsDry:
		out = append(out, "Readings of a dry pack say nothing of the same pack wet: absence now is no repair.")
	case c.Kind == Torqued && c.To == IsLoosened:
		out = append(out, "A leak that a mount pinches goes with its torque: readings before and after stand apart.")
	case c.Kind == Coolant && c.To == fault.CoolantIn:
		out = append(out, "Coolant conducts: where it reaches a terminal it is a leak of its own.")
	}
	if m, ok := p.Case.SafeNow(fault.SafePoles); ok {
		was, known := p.Case.State(m.State)
		if back := makesafe.BroughtBack(was, Apply(p.Case.Layout, p.State, c)); known && len(back) > 0 {
			out = append(out, "The readings that prove the isolation were taken before this ("+strings.Join(back, ", ")+"): read and prove again after it.")
		}
	}
	return out
}
