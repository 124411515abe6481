package sheet

import (
	"fmt"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
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
	w.add(Block{Kind: Row, ID: MinutesID + b.ID, Text: "To unplug it", Value: MinutesWords(&w.p.Case, b.ID)})
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
