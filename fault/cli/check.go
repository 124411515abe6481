package cli

import (
	"context"
	"fmt"
	"io"

	"halfsplit/fault/format"
	"halfsplit/topology"
)

// check prints what a person should look at in a layout.
func (p Program) check(_ context.Context, args []string, out io.Writer) (int, error) {
	path, err := oneFile("check", "LAYOUT.json", args, nil)
	if err != nil {
		return exitBad, err
	}
	data, err := readFile(path)
	if err != nil {
		return exitBad, err
	}
	layout, notes, err := format.ReadLayout(path, data)
	if err != nil {
		return exitBad, err
	}
	net, problems := topology.Compile(layout)
	w := &page{out: out}
	w.heading("%s", orElse(layout.Name, path))
	for _, s := range net.Strings {
		w.item("", "%s", stringText(net, s))
	}
	if len(net.Strings) == 0 {
		w.item("", "There are no modules yet.")
	}
	if len(problems) > 0 {
		w.heading("%s to look at", count(len(problems), "thing"))
		for _, q := range problems {
			w.item(orElse(q.GoTo, "-"), "%s", q.Text)
		}
	}
	w.notes(notes)
	if len(problems) > 0 {
		return exitProblem, nil
	}
	w.gap()
	w.item("", "No problems found in the layout.")
	return exitDone, nil
}

func stringText(net *topology.Net, s topology.String) string {
	first, last := net.Layout.Modules[s.Modules[0]].ID, net.Layout.Modules[s.Modules[len(s.Modules)-1]].ID
	text := fmt.Sprintf("String %s: %s, %s in series", s.ID, count(len(s.Modules), "module"), count(s.Groups, "group"))
	if first != last {
		text += ", from " + first + " to " + last
	}
	return text + "."
}
