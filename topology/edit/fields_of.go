package edit

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"halfsplit/topology"
)

// Spans of figures: lengths either way, minutes of up to a month's work, kilograms of
// more than any pack.
var (
	anywhere = span{-furthest, furthest}
	size     = span{MinSize, furthest}
	minutes  = span{0, 50000}
)

const (
	mostKg    = 1e5
	mostVolts = 1e4
	mostOhms  = 1e12
)

var sides = []string{"left", "right", "top", "bottom"}

var moduleFields = []Field{
	{Key: "series", Name: "Groups in series", get: func(l *topology.Layout, i int) string { return strconv.Itoa(l.Modules[i].Series) }, set: setSeries},
	countField("parallel", "Cells of a group", 1, topology.MostParallel, func(l *topology.Layout, i int) *int { return &l.Modules[i].Parallel }),
	resized("w", "Width", func(l *topology.Layout, i int) *float64 { return &l.Modules[i].W }),
	resized("h", "Depth", func(l *topology.Layout, i int) *float64 { return &l.Modules[i].H }),
	figureField("x", "x in its stack", "mm", anywhere, tidy, func(l *topology.Layout, i int) *float64 { return &l.Modules[i].X }),
	figureField("y", "y in its stack", "mm", anywhere, tidy, func(l *topology.Layout, i int) *float64 { return &l.Modules[i].Y }),
	angleField(func(l *topology.Layout, i int) *float64 { return &l.Modules[i].Angle }),
	wordField("minus", "Minus end", sides, false, func(l *topology.Layout, i int) *string { return &l.Modules[i].Minus }),
	textField("label", "Maker's label", func(l *topology.Layout, i int) *string { return &l.Modules[i].Label }),
	{Key: "monitor_index", Name: "Monitor's index", get: getIndex, set: setIndex},
	textField("chemistry", "Chemistry", func(l *topology.Layout, i int) *string { return &l.Modules[i].Chemistry }),
	givenField("cell_ah", "Capacity of a cell", "Ah", 1e5, func(l *topology.Layout, i int) *float64 { return &l.Modules[i].CellAh }),
	givenField("mass_kg", "Mass", "kg", mostKg, func(l *topology.Layout, i int) *float64 { return &l.Modules[i].MassKg }),
	{Key: "stack", Name: "Stack", get: func(l *topology.Layout, i int) string { return l.Modules[i].Stack }, together: regroup},
}

var stackFields = []Field{
	figureField("x", "x of its origin", "mm", anywhere, tidy, func(l *topology.Layout, i int) *float64 { return &l.Stacks[i].X }),
	figureField("y", "y of its origin", "mm", anywhere, tidy, func(l *topology.Layout, i int) *float64 { return &l.Stacks[i].Y }),
	angleField(func(l *topology.Layout, i int) *float64 { return &l.Stacks[i].Angle }),
	countField("tier", "Tier", -mostTier, mostTier, func(l *topology.Layout, i int) *int { return &l.Stacks[i].Tier }),
}

var linkFields = []Field{
	wordField("kind", "Kind", topology.LinkKinds, false, func(l *topology.Layout, i int) *string { return &l.Links[i].Kind }),
	{Key: "from", Name: "From", get: func(l *topology.Layout, i int) string { return l.Links[i].From }, set: func(l *topology.Layout, i int, text string) error {
		return setEnds(l, i, text, l.Links[i].To)
	}},
	{Key: "to", Name: "To", get: func(l *topology.Layout, i int) string { return l.Links[i].To }, set: func(l *topology.Layout, i int, text string) error {
		return setEnds(l, i, l.Links[i].From, text)
	}},
	knownField("minutes", "Minutes to open it", "min", minutes, func(l *topology.Layout, i int) **float64 { return &l.Links[i].Minutes }),
	textField("fasteners", "Fasteners", func(l *topology.Layout, i int) *string { return &l.Links[i].Fasteners }),
	knownField("torque_nm", "Torque", "N m", span{0.01, 1000}, func(l *topology.Layout, i int) **float64 { return &l.Links[i].TorqueNm }),
	textField("torque_source", "Where that torque is from", func(l *topology.Layout, i int) *string { return &l.Links[i].TorqueSource }),
}

var boardFields = []Field{
	listField("taps", "Taps", func(l *topology.Layout, i int) []string { return l.Boards[i].Taps }, func(l *topology.Layout, i int, taps []string) (err error) {
		*l, err = SetBoard(*l, l.Boards[i].ID, taps)
		return err
	}),
	knownField("minutes", "Minutes to unplug it", "min", minutes, func(l *topology.Layout, i int) **float64 { return &l.Boards[i].Minutes }),
}

var partFields = []Field{
	{Key: "kind", Name: "Kind", get: func(l *topology.Layout, i int) string { return l.Parts[i].Kind }, set: func(l *topology.Layout, i int, text string) error {
		if text == "" {
			return fmt.Errorf("a part is of some kind in words, such as cover, strap or cooling plate")
		}
		return setText(&l.Parts[i].Kind, text)
	}},
	listField("over", "Lies over", func(l *topology.Layout, i int) []string { return l.Parts[i].Over }, func(l *topology.Layout, i int, ids []string) (err error) {
		*l, err = SetOver(*l, l.Parts[i].ID, ids)
		return err
	}),
	listField("holds", "Holds", func(l *topology.Layout, i int) []string { return l.Parts[i].Holds }, func(l *topology.Layout, i int, ids []string) (err error) {
		*l, err = SetHolds(*l, l.Parts[i].ID, ids)
		return err
	}),
	knownField("minutes", "Minutes to take it off", "min", minutes, func(l *topology.Layout, i int) **float64 { return &l.Parts[i].Minutes }),
	{Key: "people", Name: "People", get: getPeople, set: setPeople},
	givenField("mass_kg", "Mass", "kg", mostKg, func(l *topology.Layout, i int) *float64 { return &l.Parts[i].MassKg }),
}

var bondFields = []Field{
	{Key: "from", Name: "From", get: func(l *topology.Layout, i int) string { return l.Bonds[i].From }, set: func(l *topology.Layout, i int, text string) error {
		return setBond(l, i, text, l.Bonds[i].To)
	}},
	{Key: "to", Name: "To", get: func(l *topology.Layout, i int) string { return l.Bonds[i].To }, set: func(l *topology.Layout, i int, text string) error {
		return setBond(l, i, l.Bonds[i].From, text)
	}},
	knownField("ohms", "Resistance", "ohm", span{0, mostOhms}, func(l *topology.Layout, i int) **float64 { return &l.Bonds[i].Ohms }),
}

var layoutFields = []Field{
	textField("name", "Name", func(l *topology.Layout, _ int) *string { return &l.Name }),
	wordField("seen_from", "Seen from", []string{"above", "below"}, true, func(l *topology.Layout, _ int) *string { return &l.SeenFrom }),
	wordField("front", "The vehicle's front lies", []string{"up", "down", "left", "right"}, true, func(l *topology.Layout, _ int) *string { return &l.Front }),
	givenField("working_volts", "Highest working voltage", "V", mostVolts, func(l *topology.Layout, _ int) *float64 { return &l.WorkingVolts }),
	givenField("nominal_volts", "Nominal voltage", "V", mostVolts, func(l *topology.Layout, _ int) *float64 { return &l.NominalVolts }),
}

var underlayFields = []Field{
	textField("name", "Name", func(l *topology.Layout, i int) *string { return &l.Underlays[i].Name }),
	countField("tier", "Tier", -mostTier, mostTier, func(l *topology.Layout, i int) *int { return &l.Underlays[i].Tier }),
	still(figureField("x", "x", "mm", anywhere, tidy, func(l *topology.Layout, i int) *float64 { return &l.Underlays[i].X })),
	still(figureField("y", "y", "mm", anywhere, tidy, func(l *topology.Layout, i int) *float64 { return &l.Underlays[i].Y })),
	still(figureField("w", "Width", "mm", span{1, furthest}, tidy, func(l *topology.Layout, i int) *float64 { return &l.Underlays[i].W })),
	still(figureField("h", "Depth", "mm", span{1, furthest}, tidy, func(l *topology.Layout, i int) *float64 { return &l.Underlays[i].H })),
	still(angleField(func(l *topology.Layout, i int) *float64 { return &l.Underlays[i].Angle })),
	figureField("opacity", "Opacity", "", span{0, 1}, func(v float64) float64 { return v }, func(l *topology.Layout, i int) *float64 { return &l.Underlays[i].Opacity }),
	{Key: "locked", Name: "Locked", Choices: []string{"yes", "no"}, get: func(l *topology.Layout, i int) string {
		return map[bool]string{true: "yes", false: "no"}[l.Underlays[i].Locked]
	}, set: func(l *topology.Layout, i int, text string) error {
		if text == "" {
			return fmt.Errorf("yes or no is wanted")
		}
		l.Underlays[i].Locked = text == "yes"
		return nil
	}},
}

// still refuses to set where a locked photo lies.
func still(f Field) Field {
	set := f.set
	f.set = func(l *topology.Layout, i int, text string) error {
		if u := l.Underlays[i]; u.Locked {
			return fmt.Errorf("the photo %s is locked; unlock it before it is moved", u.ID)
		}
		return set(l, i, text)
	}
	return f
}

// resized is a width or a depth; the outline's middle stays.
func resized(key, name string, of func(*topology.Layout, int) *float64) Field {
	f := figureField(key, name, "mm", size, tidy, of)
	set := f.set
	f.set = func(l *topology.Layout, i int, text string) error {
		m := &l.Modules[i]
		x, y := m.X+m.W/2, m.Y+m.H/2
		if err := set(l, i, text); err != nil {
			return err
		}
		m.X, m.Y = tidy(x-m.W/2), tidy(y-m.H/2)
		return inReach(m.ID, m.X, m.Y)
	}
	return f
}

// setSeries refuses a number of groups that leaves something at a tap that would not
// be there, and keeps what was at the module's last tap at its plus terminal.
func setSeries(l *topology.Layout, i int, text string) error {
	n, err := whole(text, 1, topology.MostSeries)
	if err != nil {
		return err
	}
	m := l.Modules[i]
	if err := room(*l, 0, n-m.Series); err != nil {
		return err
	}
	last := m.ID + "." + strconv.Itoa(m.Series)
	plus := func(ref string) string {
		if ref == last {
			return m.ID + "+"
		}
		return ref
	}
	links := l.Links
	if slices.ContainsFunc(links, func(k topology.Link) bool { return k.From == last || k.To == last }) {
		links = slices.Clone(links)
	}
	for k, link := range links {
		if link.From != last && link.To != last {
			continue
		}
		link.From, link.To = plus(link.From), plus(link.To)
		if links[k] = link; link.From == link.To {
			return fmt.Errorf("link %s begins and ends at %s; change that first", link.ID, link.To)
		}
	}
	if n < m.Series {
		if by := beyond(*l, links, m.ID, n); by != "" {
			return fmt.Errorf("%s, which %s with %d groups does not have; change that first", by, m.ID, n)
		}
	}
	l.Links = links
	l.Modules[i].Series = n
	return nil
}

// beyond says what is at a tap of a module above its n-th, "" for nothing.
func beyond(l topology.Layout, links []topology.Link, module string, n int) string {
	high := func(ref string) bool {
		tap, ok := strings.CutPrefix(ref, module+".")
		if !ok {
			return false
		}
		k, err := strconv.Atoi(tap)
		return err == nil && k > n
	}
	for _, k := range links {
		for _, end := range []string{k.From, k.To} {
			if high(end) {
				return fmt.Sprintf("link %s is joined to %s", k.ID, end)
			}
		}
	}
	for _, b := range l.Boards {
		for _, tap := range b.Taps {
			if high(tap) {
				return fmt.Sprintf("board %s senses %s", b.ID, tap)
			}
		}
	}
	if l.Monitor != nil {
		for _, from := range l.Monitor.From {
			if high(from) {
				return fmt.Sprintf("the insulation monitor measures from %s", from)
			}
		}
	}
	return ""
}

func getIndex(l *topology.Layout, i int) string {
	x := l.Modules[i].MonitorIndex
	if len(x) != 2 {
		return ""
	}
	return fmt.Sprintf("%d to %d", x[0], x[1])
}

// setIndex reads the first and the last index in the monitor's list, which may run
// backward: 1 to 8, or 8-1.
func setIndex(l *topology.Layout, i int, text string) error {
	if text == "" {
		l.Modules[i].MonitorIndex = nil
		return nil
	}
	two := strings.FieldsFunc(strings.ReplaceAll(text, "to", " "), func(r rune) bool { return strings.ContainsRune(" -–,;", r) })
	if len(two) != 2 {
		return fmt.Errorf("a first and a last index are wanted, such as 1 to 8, and not %q", text)
	}
	var x [2]int
	for k := range two {
		v, err := whole(two[k], 0, mostGroups)
		if err != nil {
			return err
		}
		x[k] = v
	}
	l.Modules[i].MonitorIndex = x[:]
	return nil
}

func regroup(l topology.Layout, at []int, text string) (topology.Layout, error) {
	var sel Selection
	for _, i := range at {
		sel = append(sel, l.Modules[i].ID)
	}
	return SetStack(l, sel, text, false)
}

// setEnds joins a link elsewhere, refused as Link refuses.
func setEnds(l *topology.Layout, i int, from, to string) error {
	others := *l
	others.Links = slices.Delete(slices.Clone(l.Links), i, i+1)
	from, to, err := newWiring(others).joins(strings.ReplaceAll(from, "\u2212", "-"), strings.ReplaceAll(to, "\u2212", "-"))
	if err != nil {
		return err
	}
	l.Links[i].From, l.Links[i].To = from, to
	return nil
}

func setBond(l *topology.Layout, i int, from, to string) error {
	if err := bondOK(*l, from, to, l.Bonds[i].ID); err != nil {
		return err
	}
	l.Bonds[i].From, l.Bonds[i].To = from, to
	return nil
}

func getPeople(l *topology.Layout, i int) string {
	if p := l.Parts[i].People; p != nil {
		return strconv.Itoa(*p)
	}
	return ""
}

func setPeople(l *topology.Layout, i int, text string) error {
	if text == "" {
		l.Parts[i].People = nil
		return nil
	}
	v, err := whole(text, 1, 100)
	if err == nil {
		l.Parts[i].People = &v
	}
	return err
}
