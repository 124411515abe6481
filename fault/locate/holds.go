package locate

import (
	"fmt"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
)

// holdAll says why no link may be proposed to be opened in a state, "" where that
// can be thought of. What was not recorded is not taken for none, open or zero.
func (a *analysis) holdAll(s fault.State) string {
	switch {
	case s.Contactors == "":
		return fmt.Sprintf("the contactors are not recorded in state %s; record them as open once they are, by the maker's procedure", s.ID)
	case s.Contactors == fault.Closed:
		return fmt.Sprintf("the contactors are recorded closed in state %s: what is joined beyond them can carry current", s.ID)
	case s.Monitor == "":
		return fmt.Sprintf("the insulation monitor is not recorded in state %s; record whether it is connected", s.ID)
	case len(s.Connected) > 0:
		return fmt.Sprintf("%s is recorded as connected in state %s; take it off and record that", join(s.Connected, "and"), s.ID)
	}
	for _, p := range a.problems {
		if p.Kind == topology.Loop {
			return "the layout has a loop with volts in it: " + p.Text
		}
	}
	return ""
}

// holdLink says why one link may not be proposed to be opened, "" where it may.
func (a *analysis) holdLink(s fault.State, l topology.Link) string {
	if len(a.net.Layout.Boards) == 0 && s.Boards != fault.BoardsOut && l.Kind != topology.Disconnect {
		return "no monitoring boards are drawn, and none are recorded as out: a board across an opened link joins its two sides. Draw them, or record all boards as unplugged or none fitted"
	}
	return ""
}

// bridging lists the boards on their taps that join the two sides of a link: what
// lies on either side is every module that the link's two ends belong to.
func (a *analysis) bridging(s fault.State, b topology.Branch) (boards []string) {
	low, _, okA := a.net.ModuleAt(b.A)
	high, _, okB := a.net.ModuleAt(b.B)
	if !okA || !okB {
		return nil
	}
	for _, board := range a.net.Layout.Boards {
		if s.Plugged(board.ID) && a.tapsOn(board, low) && a.tapsOn(board, high) {
			boards = append(boards, board.ID)
		}
	}
	return boards
}

func (a *analysis) tapsOn(b topology.Board, module int) bool {
	return slices.ContainsFunc(b.Taps, func(tap string) bool {
		node, ok := a.net.Node(tap)
		if !ok {
			return false
		}
		m, _, ok := a.net.ModuleAt(node)
		return ok && m == module
	})
}

// notChecked lists what a proposal to change something rests on that nobody has
// recorded.
func (a *analysis) notChecked(s fault.State, t *move) (out []string) {
	for _, l := range t.links {
		link := a.net.Layout.Links[l]
		switch {
		case len(a.net.Layout.Boards) == 0 && s.Boards != fault.BoardsOut:
			out = append(out, fmt.Sprintf("No monitoring boards are drawn: whether one joins the two sides of %s is not known.", link.ID))
		case s.Boards != fault.BoardsOut:
			for _, m := range a.modulesAt(link) {
				if !slices.ContainsFunc(a.net.Layout.Boards, func(b topology.Board) bool { return a.tapsOn(b, m) }) {
					out = append(out, fmt.Sprintf("No board is drawn on %s: whether one joins the two sides of %s is not known.", a.net.Layout.Modules[m].ID, link.ID))
				}
			}
		}
		out = append(out, a.covers(link)...)
	}
	if t.kind != fault.TestRead && t.assumed {
		out = append(out, fmt.Sprintf("The minutes to %s are not recorded: %g were taken to rank it.", t.verb(a), t.minutes))
	}
	if s.Wet == nil && t.kind != fault.TestRead {
		out = append(out, "Whether the pack is wet is not recorded.")
	}
	return out
}

func (a *analysis) modulesAt(l topology.Link) (out []int) {
	for _, ref := range []string{l.From, l.To} {
		if node, ok := a.net.Node(ref); ok {
			if m, _, ok := a.net.ModuleAt(node); ok {
				out = append(out, m)
			}
		}
	}
	return out
}

// covers names the parts that lie over what a link joins: whether they are off is
// no part of a state.
func (a *analysis) covers(l topology.Link) (out []string) {
	over := []string{l.ID}
	for _, m := range a.modulesAt(l) {
		over = append(over, a.net.Layout.Modules[m].ID)
	}
	for _, p := range a.net.Layout.Parts {
		if !slices.ContainsFunc(p.Over, func(id string) bool { return slices.Contains(over, id) }) {
			continue
		}
		var with []string
		if p.Minutes != nil {
			with = append(with, fmt.Sprintf("%g min", *p.Minutes))
		}
		if p.People != nil && *p.People > 1 {
			with = append(with, fmt.Sprintf("%d people", *p.People))
		}
		if p.MassKg > 0 {
			with = append(with, fmt.Sprintf("%g kg", p.MassKg))
		}
		text := "Whether " + p.ID + " is off is not recorded"
		if len(with) > 0 {
			text += " (" + strings.Join(with, ", ") + ")"
		}
		out = append(out, text+".")
	}
	return out
}
