// Package states is what can be changed about a pack's state, one thing at a
// time: a link opened or closed, a board unplugged or all of them, a module removed,
// contactors, the monitor, what else is joined to pack or tray, and what the pack is
// like: wet, torqued, with coolant, at which temperature. It says what would be
// recorded and what would be live then, and gives the state that a record makes.
//
// Recorded is not the metal: everything here is words about what a person says
// was done. It knows no widget and no store.
package states

import (
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
)

// A Change is one thing that a person did to the pack.
type Change struct {
	Kind Kind
	ID   string // of the link, board or module; what is connected, in words; "" for what has none
	To   string // the word or number that is recorded, of the kinds that have one
}

// A Kind of change.
type Kind uint8

// The kinds.
const (
	Open Kind = iota
	Close
	Unplug
	Plug
	Remove
	PutBack
	Contactors
	Monitor
	Boards // all of them together, drawn or not
	Connect
	Disconnect
	Wet      // To: wet, dry or ""
	Torqued  // To: torqued, loosened or ""
	Coolant  // To: one of the coolant words, or ""
	Celsius  // To: degrees
	Humidity // To: per cent
)

var verbs = [...]string{Open: "opened", Close: "closed", Unplug: "unplugged", Plug: "plugged in", Remove: "removed", PutBack: "put back", Connect: "connected", Disconnect: "disconnected"}

// Verb is the change as its button says it: "Record SD as opened".
func (c Change) Verb() string {
	switch c.Kind {
	case Contactors:
		return "Record contactors as " + c.To
	case Monitor:
		return "Record monitor as " + c.To
	case Boards:
		if c.To == fault.BoardsOut {
			return "Record all boards as unplugged, or none fitted"
		}
		return "Record boards as plugged or not known"
	case Wet, Torqued, Coolant, Celsius, Humidity:
		return "Record " + c.condition()
	}
	return "Record " + c.ID + " as " + verbs[c.Kind]
}

// Said is the change after it was recorded: "SD recorded as opened".
func (c Change) Said() string {
	s := strings.TrimPrefix(c.Verb(), "Record ")
	for _, word := range []string{" as ", " at "} {
		if what, how, ok := strings.Cut(s, word); ok {
			return what + " recorded" + word + how
		}
	}
	return s + " recorded"
}

// wish is the id that the new state would have.
func (c Change) wish() string {
	name := strings.NewReplacer("+", "_pos", "-", "_neg").Replace(c.ID)
	switch c.Kind {
	case Open:
		return name + "_open"
	case Close:
		return name + "_closed"
	case Unplug:
		return name + "_unplugged"
	case Plug:
		return name + "_plugged"
	case Remove:
		return name + "_removed"
	case PutBack:
		return name + "_back"
	case Contactors:
		return "contactors_" + c.To
	case Boards:
		if c.To == fault.BoardsOut {
			return "boards_out"
		}
		return "boards_in_or_not_known"
	case Connect, Disconnect, Wet, Torqued, Coolant, Celsius, Humidity:
		return c.conditionWish()
	}
	return "monitor_" + c.To
}

// Apply gives the state that a change makes of another. Nothing else changes:
// what was not recorded stays not recorded. Where all boards were out, one that is
// plugged in leaves the others of the layout unplugged, and what is not drawn not
// known.
func Apply(l topology.Layout, s fault.State, c Change) fault.State {
	s.ID = c.wish()
	switch c.Kind {
	case Open:
		s.Open = with(s.Open, c.ID)
	case Close:
		s.Open = without(s.Open, c.ID)
	case Unplug:
		s.Unplugged = with(s.Unplugged, c.ID)
	case Plug:
		if s.Boards == fault.BoardsOut {
			s.Boards = ""
			for _, b := range l.Boards {
				s.Unplugged = with(s.Unplugged, b.ID)
			}
		}
		s.Unplugged = without(s.Unplugged, c.ID)
	case Remove:
		s.Removed = with(s.Removed, c.ID)
	case PutBack:
		s.Removed = without(s.Removed, c.ID)
	case Contactors:
		s.Contactors = c.To
	case Monitor:
		s.Monitor = c.To
	case Boards:
		s.Boards = c.To
		if c.To == "" {
			s.Unplugged = nil // none is taken to be off
		}
	default:
		c.applyCondition(&s)
	}
	return s
}

func with(list []string, id string) []string {
	if slices.Contains(list, id) {
		return list
	}
	return append(slices.Clone(list), id)
}

func without(list []string, id string) []string {
	return slices.DeleteFunc(slices.Clone(list), func(s string) bool { return s == id })
}

// ForTest are the changes that a proposed test begins with, as far as they are not
// recorded yet.
func ForTest(p *facts.Pack, n fault.NextTest) (out []Change) {
	for _, id := range n.State.Open {
		if !slices.Contains(p.State.Open, id) {
			out = append(out, Change{Kind: Open, ID: id})
		}
	}
	for _, id := range n.State.Unplugged {
		if !slices.Contains(p.State.Unplugged, id) {
			out = append(out, Change{Kind: Unplug, ID: id})
		}
	}
	return out
}

// Offers are the changes that belong to what is selected, the nearest first,
// and after them those of the whole pack.
func Offers(p *facts.Pack, selected string) (own, rest []Change) {
	kind, name, _ := strings.Cut(selected, ":")
	switch kind {
	case "link":
		if l, ok := p.Net.Link(name); ok {
			own = append(own, link(p, l)...)
		}
	case "module":
		if m, ok := p.Net.Module(name); ok {
			own = append(own, module(p, m))
			for _, b := range p.Case.Layout.Boards {
				if c := board(p, b.ID); touches(b, name) && !slices.Contains(own, c) {
					own = append(own, c)
				}
			}
		}
	case "board":
		own = append(own, board(p, name))
	}
	for _, l := range p.Case.Layout.Links {
		if i, ok := p.Net.Link(l.ID); ok && l.Kind == topology.Disconnect {
			rest = append(rest, link(p, i)...)
		}
	}
	for _, b := range p.Case.Layout.Boards {
		if c := board(p, b.ID); !slices.Contains(rest, c) {
			rest = append(rest, c)
		}
	}
	if c := boards(p); !slices.Contains(rest, c) {
		rest = append(rest, c) // also where none is drawn: they may be there
	}
	if p.State.Contactors != fault.Open {
		rest = append(rest, Change{Kind: Contactors, To: fault.Open})
	}
	if p.State.Contactors != fault.Closed {
		rest = append(rest, Change{Kind: Contactors, To: fault.Closed})
	}
	for _, w := range []string{fault.MonitorDisconnected, fault.MonitorConnected, fault.MonitorActive} {
		if p.State.Monitor != w {
			rest = append(rest, Change{Kind: Monitor, To: w})
		}
	}
	rest = append(rest, conditions(p)...)
	return own, slices.DeleteFunc(rest, func(c Change) bool { return slices.Contains(own, c) })
}

// link offers to open or close a link. A contactor that is not listed moves with
// all of them.
func link(p *facts.Pack, l int) []Change {
	at := p.Net.Layout.Links[l]
	if slices.Contains(p.State.Open, at.ID) {
		return []Change{{Kind: Close, ID: at.ID}}
	}
	return []Change{{Kind: Open, ID: at.ID}}
}

func module(p *facts.Pack, m int) Change {
	id := p.Net.Layout.Modules[m].ID
	if slices.Contains(p.State.Removed, id) {
		return Change{Kind: PutBack, ID: id}
	}
	return Change{Kind: Remove, ID: id}
}

// board offers to unplug a board or to plug it in; while all of them are recorded
// out together, to take that back.
func board(p *facts.Pack, id string) Change {
	switch {
	case p.State.Boards == fault.BoardsOut:
		return boards(p)
	case !p.State.Plugged(id):
		return Change{Kind: Plug, ID: id}
	}
	return Change{Kind: Unplug, ID: id}
}

func boards(p *facts.Pack) Change {
	if p.State.Boards == fault.BoardsOut {
		return Change{Kind: Boards}
	}
	return Change{Kind: Boards, To: fault.BoardsOut}
}

func touches(b topology.Board, module string) bool {
	return slices.ContainsFunc(b.Taps, func(t string) bool {
		rest, ok := strings.CutPrefix(t, module)
		return ok && rest != "" && strings.ContainsAny(rest[:1], ".+-")
	})
}
