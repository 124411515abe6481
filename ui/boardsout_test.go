package ui

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/states"
)

// stepTo chooses a change on the page of states by its words, with the arrow keys.
func (r *rig) stepTo(t *testing.T, verb string) {
	t.Helper()
	for range r.change.offers {
		if r.change.offers[r.change.at].Verb() == verb {
			return
		}
		r.key(fyne.KeyDown)
	}
	t.Fatalf("%q is not offered:\n%s", verb, r.onSheet())
}

func TestState_AllBoardsOutAndBack(t *testing.T) {
	const out, back = "Record all boards as unplugged, or none fitted", "Record boards as plugged or not known"
	for name, record := range map[string]func(r *rig, verb string){
		"keys": func(r *rig, verb string) {
			r.typed("s")
			r.stepTo(t, verb)
			r.key(fyne.KeyReturn)
			if !strings.Contains(r.onSheet(), verb+"?") || !strings.Contains(r.onSheet(), "Nothing is recorded yet") {
				t.Errorf("the first step shows\n%s", r.onSheet())
			}
			r.key(fyne.KeyReturn)
		},
		"presses": func(r *rig, verb string) {
			r.openStates()
			at := slices.IndexFunc(r.change.offers, func(c states.Change) bool { return c.Verb() == verb })
			r.tapSheet(t, offerID+strconv.Itoa(at))
			if got := r.primary.Command.Label(); got != verb {
				t.Fatalf("the button says %q", got)
			}
			r.primary.Tapped(nil)
		},
	} {
		t.Run(name, func(t *testing.T) {
			r := ready(t)
			for _, step := range []struct{ verb, now, boards, line string }{
				{out, "boards_out", fault.BoardsOut, "Recorded: SD open, all boards unplugged or none fitted, contactors open, monitor disconnected."},
				{back, "boards_in_or_not_known", "", "Recorded: SD open, contactors open, monitor disconnected."},
			} {
				record(r, step.verb)
				c := r.store.Case()
				if s, _ := c.State(c.Now); c.Now != step.now || s.Boards != step.boards || r.pack.StateLine() != step.line {
					t.Errorf("present state %q: %+v; the strip says %q", c.Now, s, r.pack.StateLine())
				}
			}
			if n := len(r.store.Case().States); n != 4 {
				t.Errorf("%d states", n)
			}
		})
	}
}
