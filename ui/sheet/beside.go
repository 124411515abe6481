package sheet

import (
	"fmt"

	"halfsplit/fault"
	"halfsplit/fault/cells"
)

// NotedID and an id is something noted, on the page of its place.
const NotedID = "noted:"

// notedNames are the words for what can be noted.
var notedNames = map[string]string{
	fault.NotedWet: "Wet", fault.NotedChafed: "Chafed", fault.NotedMark: "Burn or corrosion", fault.NotedSmell: "Smell", fault.NotedOther: "Something else",
}

// NotedName is what was noted, in words.
func NotedName(what string) string {
	if n, ok := notedNames[what]; ok {
		return n
	}
	return what
}

// Weight says by how much something noted raises the odds of its place.
func Weight(what string) string { return fmt.Sprintf("weight %g", cells.NotedOdds[what]) }

// beside is the part with what speaks for a place besides readings to chassis.
func (w *writer) beside() {
	signs, noted := w.p.Result.Signs, w.p.Case.Noted
	n := len(signs) + len(noted)
	if n == 0 || !w.fold(BesideFold, n) {
		return
	}
	if len(signs) > 0 {
		w.add(Block{Kind: Para, Bold: true, Text: "What the cell volts say"})
	}
	for _, s := range signs {
		w.add(Block{Kind: Item, ID: w.signID(s), Text: s.Text})
	}
	if len(signs) > 0 {
		w.soft("Only a drain band speaks for leaks, and has its weight in Why? The others say where else low volts come from.")
	}
	if len(noted) > 0 {
		w.add(Block{Kind: Para, Bold: true, Text: "What persons noted"})
	}
	for _, m := range noted {
		w.add(Block{Kind: Row, ID: w.placeOf(m.Place), Text: m.Place, Value: notedLine(m)})
	}
}

// notedLine is something noted in one line.
func notedLine(n fault.Noted) string {
	s := NotedName(n.What)
	if n.Why != "" {
		s += ": " + n.Why
	}
	who := n.Who
	if who == "" {
		who = "not named"
	}
	return s + " (" + who + "; " + Weight(n.What) + ")"
}

// placeOf is a place's target, "" where it has none.
func (w *writer) placeOf(name string) string {
	if _, ok := w.p.Net.Module(name); ok {
		return "module:" + name
	}
	if _, ok := w.p.Net.Link(name); ok {
		return "link:" + name
	}
	for _, b := range w.p.Net.Layout.Boards {
		if b.ID == name {
			return "board:" + name
		}
	}
	if _, ok := w.p.Net.Node(name); ok {
		return "node:" + name
	}
	return ""
}

// signID is where a sign of the cell volts lies.
func (w *writer) signID(s cells.Signature) string {
	if s.Place == "" {
		return ""
	}
	return w.placeOf(s.Place)
}

// noted lists what was noted at a place, if anything was; a press withdraws it.
func (w *writer) noted(at func(place string) bool) bool {
	first := true
	for _, n := range w.p.Case.Noted {
		if !at(n.Place) {
			continue
		}
		if first {
			w.title("Noted here")
			first = false
		}
		w.add(Block{Kind: Row, ID: NotedID + n.ID, Text: n.ID + "  " + n.Place, Value: notedLine(n)})
	}
	if !first {
		w.soft("Press one to withdraw it; it stays in the history.")
	}
	return !first
}
