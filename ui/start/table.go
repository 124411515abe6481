package start

import (
	"fmt"
	"strings"

	"halfsplit/topology"
	"halfsplit/ui/command"
)

// tableCommands lead to the drawing table.
func (v *View) tableCommands() {
	v.topButton(&command.Command{Name: "Draw a pack", Help: "Begin an empty drawing of a pack that nobody has drawn yet", Keys: "P", Runes: "p", Do: func() { v.act(v.drawNew) }})
	v.set.Add(&command.Command{Name: "Draw", Help: "Open the drawing of the chosen layout, or of the chosen case's", Keys: "G", Runes: "g", Do: func() { v.act(v.drawChosen) }})
}

// drawNew begins an empty layout and opens it.
func (v *View) drawNew() {
	if v.deps.Draw == nil {
		return
	}
	taken := map[string]bool{}
	for _, l := range v.layouts {
		taken[l.Name] = true
	}
	name := "New pack"
	for n := 2; taken[name]; n++ {
		name = fmt.Sprintf("New pack %d", n)
	}
	id, err := v.book.ImportLayout(topology.Layout{Name: name, SeenFrom: "above"}, nil, v.by())
	if err != nil {
		v.fail("No drawing was begun", err)
		return
	}
	v.arrived("layout:"+id, "Begun: the drawing "+name+".")
	v.deps.Draw(id, "")
}

// drawChosen opens the drawing of what is chosen.
func (v *View) drawChosen() {
	if v.deps.Draw == nil {
		return
	}
	kind, id, _ := strings.Cut(v.chosen, ":")
	switch kind {
	case "layout":
		v.deps.Draw(id, "")
	case "case":
		v.deps.Draw("", id)
	default:
		v.say("Nothing is chosen.")
	}
}
