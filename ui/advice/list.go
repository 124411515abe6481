package advice

import "halfsplit/ui/sheet"

// A List is the page that leads to the others.
type List struct{ cursor }

// pages are what the list leads to.
var pages = []struct {
	id, name, about string
	act             func(w World) Act
}{
	{"timer", "How long to wait: the settle timer", "Capacitors charge through leak and meter. It counts the seconds since the leads touched and takes values at 2, 5, 10\u2009s.", func(w World) Act { return Act{Kind: Open, Guide: Settle{}} }},
	{"range", "Lock the meter's range", "Both ends of a section on one range: the meter's gain error then cancels.", func(World) Act { return Act{Kind: Open, Guide: Range{}} }},
	{"resistor", "Choose a test resistor", "By the pack's volts, the leak that is expected, and the watts at hand.", func(w World) Act { return Act{Kind: Open, Guide: NewResistor(w)} }},
	{"input", "Measure the meter's own input resistance", "Two readings on a steady source, straight and through a known resistor.", func(w World) Act { return Act{Kind: Open, Guide: NewInput(w)} }},
	{"socket", "Locate at the socket, pack in the vehicle", "With the disconnect out, its two poles alone give a half and a place in it.", func(w World) Act { return Act{Kind: Open, Guide: NewSocket(w)} }},
	{"time", "Readings over time", "Drying, drift, steps and settling of whatever was read more than once.", func(World) Act { return Act{Kind: OverTime} }},
}

// Blocks are the page.
func (l List) Blocks(World) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Help with measuring", Bold: true}}
	for i, p := range pages {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: lineID + p.id, Text: p.name, Value: p.about, On: i == l.at})
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Up and down choose, Enter opens, Esc leaves. Nothing here keeps a reading from being saved."})
}

// Move goes to another line.
func (l List) Move(_ World, by int) Guide { l.cursor = l.moved(by, len(pages)); return l }

// Turn does the same: the list has no options.
func (l List) Turn(w World, by int) Guide { return l.Move(w, by) }

// Type takes nothing.
func (l List) Type(rune) (Guide, bool) { return l, false }

// Back takes nothing away.
func (l List) Back() Guide { return l }

// Pick opens what was pressed.
func (l List) Pick(w World, id string) (Guide, Act) {
	for i, p := range pages {
		if id == lineID+p.id {
			l.at = i
			return l, p.act(w)
		}
	}
	return l, Act{}
}

// Primary opens the line that the keyboard is on.
func (l List) Primary(w World) (string, Act) { return "Open this help", pages[l.at].act(w) }

// ListAt is the list with the keyboard on the page that one comes back from.
func ListAt(g Guide) List {
	var name string
	switch g.(type) {
	case Settle:
		name = "timer"
	case Range:
		name = "range"
	case Resistor:
		name = "resistor"
	case Input:
		name = "input"
	case Socket:
		name = "socket"
	}
	for i, p := range pages {
		if p.id == name {
			return List{at(i)}
		}
	}
	return List{}
}
