package printing

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"halfsplit/fault/report"
	"halfsplit/fault/series"
	"halfsplit/ui/sheet"
)

// rowID and a number is a line of the choices.
const rowID = "choice:"

// A choice is a line of what is chosen about the sheet: what it says now, and what
// another turn of it does.
type choice struct {
	name, value string
	turn        func(by int)
}

// next is the option that comes by steps after one, round.
func next[T comparable](options []T, now T, by int) T {
	if len(options) == 0 {
		return now
	}
	i := slices.Index(options, now)
	if i < 0 {
		return options[0]
	}
	n := len(options)
	return options[((i+by)%n+n)%n]
}

var kindNames = map[series.Kind]string{series.ModuleVolts: "Module volts", series.GroupVolts: "Group volts", series.ToChassis: "Terminals to chassis",
	series.Insulation: "Insulation at 15 and 60 s", series.Joint: "Joint resistance of links"}

var orderNames = map[series.Order]string{series.Electrical: "Along the string", series.Snake: "As they lie, in a snake", series.Reverse: "The string backwards"}

var paperNames = map[report.Paper]string{report.A4: "A4", report.Letter: "Letter"}

// An ordering is an order with its stack.
type ordering struct {
	order series.Order
	stack string
}

func (p *Page) orderings() []ordering {
	out := []ordering{{series.Electrical, ""}, {series.Snake, ""}, {series.Reverse, ""}}
	if stacks := p.deps.Case().Layout.Stacks; len(stacks) > 1 {
		for _, s := range stacks {
			out = append(out, ordering{series.OneStack, s.ID})
		}
	}
	return out
}

// choices are the lines, in their order.
func (p *Page) choices() []choice {
	c, r := p.deps.Case(), &p.ask
	order := orderNames[r.Order]
	if r.Order == series.OneStack {
		order = "Stack " + r.Stack
	}
	out := []choice{
		{"What is read", kindNames[r.Kind], func(by int) { r.Kind = next(series.Kinds, r.Kind, by) }},
		{"Order of the boxes", order, func(by int) {
			o := next(p.orderings(), ordering{r.Order, r.Stack}, by)
			r.Order, r.Stack = o.order, o.stack
		}},
		{"Paper", paperNames[r.Paper], func(by int) { r.Paper = next([]report.Paper{report.A4, report.Letter}, r.Paper, by) }},
	}
	instruments := []string{""}
	for _, in := range c.Instruments {
		instruments = append(instruments, in.ID)
	}
	if len(instruments) > 1 {
		out = append(out, choice{"Instrument", or(r.Instrument, "to be written by hand"), func(by int) { r.Instrument = next(instruments, r.Instrument, by) }})
	}
	resistors := []string{""}
	for _, x := range c.Resistors {
		resistors = append(resistors, x.ID)
	}
	if r.Kind == series.ToChassis && len(resistors) > 1 {
		out = append(out, choice{"Test resistor", or(r.Resistor, "none"), func(by int) { r.Resistor = next(resistors, r.Resistor, by) }})
	}
	if r.Kind == series.ModuleVolts || r.Kind == series.GroupVolts || r.Kind == series.ToChassis {
		value := "left out"
		if r.Expected {
			value = "printed, as expected, not measured"
		}
		out = append(out, choice{"What is expected", value, func(int) { r.Expected = !r.Expected }})
	}
	return out
}

func or(s, none string) string {
	if s == "" {
		return none
	}
	return s
}

func (p *Page) move(by int) {
	if n := len(p.choices()); n > 0 {
		p.row = ((p.row+by)%n + n) % n
		p.show()
	}
}

// choose takes another option of a line.
func (p *Page) choose(row, by int) {
	all := p.choices()
	if row < 0 || row >= len(all) || p.saving.on || p.typing.on {
		return
	}
	p.row, p.said = row, ""
	all[row].turn(by)
	p.at = 0
	p.make()
	p.row = min(p.row, len(p.choices())-1)
}

// pick is a press on a line.
func (p *Page) pick(id string) {
	if n, ok := strings.CutPrefix(id, rowID); ok {
		if i, err := strconv.Atoi(n); err == nil {
			p.choose(i, 1)
		}
	}
}

// Blocks are the words of the page.
func (p *Page) Blocks() []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Bench sheet", Bold: true}}
	if p.said != "" {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: p.said})
	}
	var tiles []sheet.Tile
	for i, c := range p.choices() {
		tiles = append(tiles, sheet.Tile{ID: rowID + strconv.Itoa(i), Name: c.name, Value: c.value, On: i == p.row})
	}
	b = append(b, sheet.Block{Kind: sheet.Tiles, Tiles: tiles})
	if p.wrong != "" {
		return append(b, sheet.Block{Kind: sheet.Doubt, Text: "There is no such sheet: " + p.wrong + "."})
	}
	s := p.sheet
	if s == nil {
		return b // the page was not opened yet
	}
	if len(p.deps.Case().Layout.Modules) == 0 {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "No modules are drawn: the sheet has no boxes. Draw the pack first."})
	} else {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "Sheet", Value: s.Number},
			sheet.Block{Kind: sheet.Row, Text: "Boxes", Value: fmt.Sprintf("%d on %d %s", len(s.Boxes), len(p.pages), map[bool]string{true: "page", false: "pages"}[len(p.pages) == 1])},
			sheet.Block{Kind: sheet.Row, Text: "Printed for", Value: or(stateName(s), "no recorded state")})
	}
	if p.ask.Expected && p.ask.Kind == series.ToChassis && p.ask.Finding == nil {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "There is no finding of the case as it stands: nothing is expected to chassis, and nothing of it is printed."})
	}
	if p.ask.Expected {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: "A value that is expected biases who reads. It is printed slanted, as expected, not measured."})
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "The number is worked out from the case, the state and the boxes: the same sheet has the same number again, and the case knows it without a record. Up and down choose a line, left and right its options; a press takes the next one."})
}

func stateName(s *report.Sheet) string {
	if s.State == "" {
		return ""
	}
	return "state " + s.State
}
