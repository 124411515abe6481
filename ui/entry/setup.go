package entry

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"halfsplit/fault/series"
	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
)

// A Setup is a run before it is begun: what is chosen about it, and the line that the
// keyboard is on. It is a value.
type Setup struct {
	Kind     series.Kind
	Order    series.Order
	Stack    string
	Own      string // ids as they were typed or pressed
	From     int    // of the points, where it begins
	Prefix   string
	Resistor string
	Name     string
	At       SetupRow
}

// A SetupRow is a line of the page.
type SetupRow uint8

// The lines.
const (
	SetupWhat SetupRow = iota
	SetupOrder
	SetupStack
	SetupOwn
	SetupFrom
	SetupUnit
	SetupResistor
	SetupName
)

// Ids on the page.
const (
	ContinueID = "run:continue"
	RunID      = "run:" // before a line's number
)

// NewSetup proposes a run: of the kind of the last one or of module volts, in
// electrical order, named by its number.
func NewSetup(p *facts.Pack, last *Run, runs int) Setup {
	s := Setup{Kind: series.ModuleVolts, Order: series.Electrical, Name: fmt.Sprintf("run %d", runs+1)}
	if last != nil {
		s.Kind, s.Prefix, s.Resistor = last.Kind, last.Prefix, last.Resistor
	}
	if st := stacks(p); len(st) > 0 {
		s.Stack = st[0]
	}
	return s
}

// Run is the run that would begin, and its points.
func (s Setup) Run(p *facts.Pack) *Run {
	r := &Run{Name: strings.TrimSpace(s.Name), Kind: s.Kind, Order: s.Order, Last: -1}
	if r.Name == "" {
		r.Name = string(s.Kind)
	}
	switch s.Order {
	case series.OneStack:
		r.Stack = s.Stack
	case series.Own:
		r.Own = s.ids()
	}
	if slices.Contains(s.prefixes(), s.Prefix) {
		r.Prefix = s.Prefix
	}
	if _, ok := p.Case.Resistor(s.Resistor); ok && s.Kind == series.ToChassis {
		r.Resistor = s.Resistor
	}
	r.Start(p, s.From)
	return r
}

// ids are the names of the own list.
func (s Setup) ids() []string {
	return strings.FieldsFunc(s.Own, func(c rune) bool { return c == ',' || c == ';' || unicode.IsSpace(c) })
}

// Trouble says why no run can begin so, "" where one can.
func (s Setup) Trouble(p *facts.Pack) string {
	r := s.Run(p)
	if !p.Known {
		return "The present state is not known: record it first (S), every reading belongs to one."
	}
	if no := series.Unknown(p.Net, s.Kind, r.Own); len(no) > 0 {
		return "This pack has no " + s.thing() + " called " + strings.Join(no, ", ") + "."
	}
	switch {
	case len(r.points) > 0:
		return ""
	case s.Order == series.Own:
		return "The list is empty: type names, or press them on the plan."
	case s.Order == series.Missing:
		return "Nothing of it is missing in this state."
	}
	return "There is nothing of it on this pack."
}

func (s Setup) thing() string {
	if s.Kind == series.Joint {
		return "link"
	}
	return "module"
}

// prefixes are what a bare number can be.
func (s Setup) prefixes() []string {
	switch s.Kind {
	case series.ModuleVolts, series.GroupVolts:
		return []string{"", "m"}
	case series.Insulation:
		return Prefixes(Insulation)
	case series.Joint:
		return Prefixes(JointOhms)
	}
	return []string{""}
}

// Rows are the lines of the page now.
func (s Setup) Rows(p *facts.Pack) []SetupRow {
	rows := []SetupRow{SetupWhat, SetupOrder}
	switch s.Order {
	case series.OneStack:
		rows = append(rows, SetupStack)
	case series.Own:
		rows = append(rows, SetupOwn)
	}
	rows = append(rows, SetupFrom)
	if len(s.prefixes()) > 1 {
		rows = append(rows, SetupUnit)
	}
	if s.Kind == series.ToChassis && len(p.Case.Resistors) > 0 {
		rows = append(rows, SetupResistor)
	}
	return append(rows, SetupName)
}

// Move puts the keyboard on the next or the previous line.
func (s Setup) Move(p *facts.Pack, by int) Setup {
	s.At = next(s.Rows(p), s.At, by)
	return s
}

// Turn chooses the next or the previous option of a line.
func (s Setup) Turn(p *facts.Pack, row SetupRow, by int) Setup {
	s.At = row
	switch row {
	case SetupWhat:
		s.Kind, s.From, s.Prefix = next(series.Kinds, s.Kind, by), 0, ""
	case SetupOrder:
		s.Order, s.From = next(series.Orders, s.Order, by), 0
	case SetupStack:
		s.Stack, s.From = next(stacks(p), s.Stack, by), 0
	case SetupFrom:
		if n := len(s.Run(p).points); n > 0 {
			s.From = ((s.From+by)%n + n) % n
		}
	case SetupUnit:
		s.Prefix = next(s.prefixes(), s.Prefix, by)
	case SetupResistor:
		s.Resistor = next(append([]string{""}, resistors(p)...), s.Resistor, by)
	}
	return s
}

// Type adds a character to the line that is typed into; ok is false where none is.
func (s Setup) Type(r rune) (Setup, bool) {
	switch {
	case !unicode.IsPrint(r):
	case s.At == SetupOwn && len(s.Own) < 2000:
		s.Own, s.From = s.Own+string(r), 0
		return s, true
	case s.At == SetupName && len(s.Name) < 60:
		s.Name += string(r)
		return s, true
	}
	return s, false
}

// Back takes a character away.
func (s Setup) Back() Setup {
	switch s.At {
	case SetupOwn:
		s.Own, s.From = shorter(s.Own), 0
	case SetupName:
		s.Name = shorter(s.Name)
	}
	return s
}

func shorter(s string) string {
	if r := []rune(s); len(r) > 0 {
		return string(r[:len(r)-1])
	}
	return s
}

// Press takes a press on the drawings: into the own list, or as where to begin. ok is
// false where the run has nothing there.
func (s Setup) Press(p *facts.Pack, id string) (Setup, bool) {
	kind, name, _ := strings.Cut(id, ":")
	if s.Order == series.Own {
		if kind != s.thing() || len(series.Unknown(p.Net, s.Kind, []string{name})) > 0 {
			return s, false
		}
		ids := s.ids()
		if i := slices.Index(ids, name); i >= 0 { // pressed again: out of the list
			ids = slices.Delete(ids, i, i+1)
		} else {
			ids = append(ids, name)
		}
		s.Own, s.At, s.From = strings.Join(ids, " "), SetupOwn, 0
		return s, true
	}
	r := s.Run(p)
	i, ok := r.Find(p, id)
	if ok {
		s.From, s.At = i, SetupFrom
	}
	return s, ok
}

func stacks(p *facts.Pack) []string {
	var out []string
	for _, s := range p.Net.Layout.Stacks {
		out = append(out, s.ID)
	}
	return out
}

// setupNames are the lines' names.
var setupNames = map[SetupRow]string{SetupWhat: "What", SetupOrder: "Order", SetupStack: "Stack", SetupFrom: "Begin at", SetupUnit: "A bare number is", SetupResistor: "Resistor across the probes"}

// orderWords are the orders in words.
var orderWords = map[series.Order]string{series.Electrical: "along the string", series.Snake: "as they lie, in a snake", series.Reverse: "the string backwards",
	series.OneStack: "one stack", series.Missing: "what is not read yet", series.Own: "my own list"}

// kindWords are the kinds in words.
var kindWords = map[series.Kind]string{series.ModuleVolts: "Module volts", series.GroupVolts: "Group volts", series.ToChassis: "Terminals to chassis",
	series.Insulation: "Insulation at 15 and 60 s", series.Joint: "Joint resistance of links"}

// Blocks are the page. left is a run that was begun and not ended, nil for none.
func (s Setup) Blocks(p *facts.Pack, left *Run) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "A run of readings", Bold: true}}
	if left != nil {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: ContinueID, Text: left.Continue(), Value: left.Standing() + " Key: 0."})
	}
	r := s.Run(p)
	var tiles []sheet.Tile
	for _, row := range s.Rows(p) {
		if name := setupNames[row]; name != "" {
			tiles = append(tiles, sheet.Tile{ID: fmt.Sprint(RunID, int(row)), Name: name, Value: s.value(p, r, row), On: s.At == row})
		}
	}
	b = append(b, sheet.Block{Kind: sheet.Tiles, Tiles: tiles})
	if s.Order == series.Own {
		b = append(b, sheet.Block{Kind: sheet.Input, ID: fmt.Sprint(RunID, int(SetupOwn)), Text: "Names in your order", Value: s.Own, On: s.At == SetupOwn},
			sheet.Block{Kind: sheet.Soft, Text: "Type names with a space between them, or press them on the plan one after the other; a second press takes one out."})
	}
	b = append(b, sheet.Block{Kind: sheet.Soft, Text: "Its name:"}, sheet.Block{Kind: sheet.Input, ID: fmt.Sprint(RunID, int(SetupName)), Text: "Name of the run", Value: s.Name, On: s.At == SetupName})
	if t := s.Trouble(p); t != "" {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: t})
	} else {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: fmt.Sprintf("%s, from %s to %s.", values(len(r.points)), r.points[0].Name(), r.points[len(r.points)-1].Name())})
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Up and down choose a line, left and right its options; a press takes the next one. A press on the plan says where to begin. Enter starts; Esc leaves."})
}

func values(n int) string {
	if n == 1 {
		return "1 value"
	}
	return fmt.Sprintf("%d values", n)
}

func (s Setup) value(p *facts.Pack, r *Run, row SetupRow) string {
	switch row {
	case SetupWhat:
		return kindWords[s.Kind]
	case SetupOrder:
		return orderWords[s.Order]
	case SetupStack:
		return orNone(s.Stack, "none drawn")
	case SetupFrom:
		if pt, ok := r.Point(); ok {
			return pt.Name()
		}
		return "nothing"
	case SetupUnit:
		return r.Form(p, Form{}).unit()
	case SetupResistor:
		return orNone(s.Resistor, "none")
	}
	return ""
}
