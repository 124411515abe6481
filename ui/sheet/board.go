package sheet

import (
	"fmt"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/words"
)

// board is the page of a cell-monitoring board with its sense leads.
func (w *writer) board(b topology.Board) {
	w.add(Block{Kind: Title, Text: "Board " + b.ID, Bold: true})
	w.share(b.ID)
	standing := "not recorded unplugged"
	switch {
	case w.p.State.Boards == fault.BoardsOut:
		standing = "recorded unplugged, with all boards"
	case !w.p.State.Plugged(b.ID):
		standing = "recorded unplugged"
	}
	if !w.p.Known {
		standing = "not known"
	}
	w.row("In this state", standing)
	if len(b.Taps) > 0 {
		w.row("Its taps", fmt.Sprintf("%s to %s, %d of them", b.Taps[0], b.Taps[len(b.Taps)-1], len(b.Taps)))
	}
	w.row("To unplug it", w.access(b.ID))
	w.problems(b.ID)
	if f := w.p.Result.Finding; f != nil {
		for _, s := range f.Subtraction {
			if s.Away == b.ID {
				w.subtraction(s)
			}
		}
	}
	w.noted(func(place string) bool { return place == b.ID })
}

// access is how long a link or board takes, and whose figure that is where it is not
// the layout's.
func (w *writer) access(id string) string {
	minutes, ok := w.p.Case.Access(id)
	if !ok {
		return "minutes not recorded"
	}
	s := fmt.Sprintf("%g%smin", minutes, words.Thin)
	if _, own := w.p.Case.Minutes[id]; own {
		s += ", this workshop's figure"
	}
	return s
}

// boardsAt are the boards with a tap in a module; a press leads to each.
func (w *writer) boardsAt(m int) {
	for _, b := range w.p.Net.Layout.Boards {
		if slices.ContainsFunc(b.Taps, func(tap string) bool {
			n, ok := w.p.Net.Node(tap)
			at, _, in := w.p.Net.ModuleAt(n)
			return ok && in && at == m
		}) {
			value := "taps " + strings.Join(b.Taps[:min(1, len(b.Taps))], "") + " to " + b.Taps[len(b.Taps)-1]
			w.add(Block{Kind: Row, ID: "board:" + b.ID, Text: "Board " + b.ID, Value: value})
		}
	}
}
