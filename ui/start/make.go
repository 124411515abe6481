package start

import (
	"fmt"
	"strconv"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/words"
)

// Fields are the layout maker's fields as they were typed.
type Fields struct {
	Name                      string
	Modules, Series, Parallel string
	PerRow, Disconnect        string
	Width, Depth, Gap         string // mm
	Nominal, Working          string // V; "" = not known
	HeadToTail                bool
}

// FirstFields are what the maker starts with.
func FirstFields() Fields {
	return Fields{Modules: "12", Series: "8", Parallel: "2", PerRow: "6", Disconnect: "6", Width: "150", Depth: "330", Gap: "12"}
}

// Spec reads the fields. An error is a sentence that names the field.
func (f Fields) Spec() (topology.MakeSpec, error) {
	s := topology.MakeSpec{Name: strings.TrimSpace(f.Name), Alternate: !f.HeadToTail}
	for _, n := range []struct {
		what, text string
		to         *int
	}{
		{"Modules in series", f.Modules, &s.Modules}, {"Groups in a module", f.Series, &s.Series},
		{"Cells in a group", f.Parallel, &s.Parallel}, {"Modules in a row", f.PerRow, &s.PerRow},
		{"Disconnect after module", f.Disconnect, &s.Disconnect},
	} {
		v, err := strconv.Atoi(strings.TrimSpace(n.text))
		if err != nil {
			return s, fmt.Errorf("%s: %s is no whole number", n.what, quoted(n.text))
		}
		*n.to = v
	}
	for _, n := range []struct {
		what, text string
		optional   bool
		to         *float64
	}{
		{"Width of a module", f.Width, false, &s.W}, {"Depth of a module", f.Depth, false, &s.H}, {"Gap between modules", f.Gap, false, &s.Gap},
		{"Nominal volts", f.Nominal, true, &s.NominalVolts}, {"Highest working volts", f.Working, true, &s.WorkingVolts},
	} {
		text := strings.TrimSpace(n.text)
		if text == "" && n.optional {
			continue
		}
		v, err := fault.ParseNumber(text, false)
		switch {
		case text != "" && err != nil:
			return s, fmt.Errorf("%s: %w", n.what, err)
		case err != nil || n.optional && v <= 0:
			return s, fmt.Errorf("%s: %s is no number that makes sense here", n.what, quoted(n.text))
		}
		*n.to = v
	}
	return s, nil
}

func quoted(s string) string {
	if strings.TrimSpace(s) == "" {
		return "nothing"
	}
	return strconv.Quote(s)
}

// Layout draws what the fields say, or says in a sentence why it cannot.
func (f Fields) Layout() (topology.Layout, error) {
	s, err := f.Spec()
	if err != nil {
		return topology.Layout{}, err
	}
	l, err := topology.Make(s)
	if err != nil {
		return l, fmt.Errorf("%s", words.Sentence(err.Error()))
	}
	return l, nil
}

// Summary says what a layout is in one sentence.
func Summary(l topology.Layout) string {
	net, _ := topology.Compile(l)
	groups, cells := 0, 0
	for _, m := range l.Modules {
		groups += m.Series
		cells += m.Series * m.Parallel
	}
	s := fmt.Sprintf("%s, %s, %s in all", Count(len(l.Modules), "module"), Count(groups, "group"), Count(cells, "cell"))
	if n := len(net.Strings); n > 1 {
		s += fmt.Sprintf(", in %d strings", n)
	}
	if l.NominalVolts > 0 {
		s += fmt.Sprintf("; %g V nominal", l.NominalVolts)
	}
	return s + "."
}
