package lists

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A builder reads records one after the other.
type builder struct {
	text    Text
	m       Mapping
	c       fault.Case
	o       Options
	net     *topology.Net
	places  *places
	along   []place
	records []record
	states  map[string]string // by lower-case name
	meters  map[string]string
	p       Preview

	seen  map[string]int               // by place: the line of its first value
	lists []*fault.GroupVolts          // in the order of beginning
	list  map[string]*fault.GroupVolts // by module, state and instrument

	column    []int // of each role that is had once; -1 = none
	times     []int
	wide      []int
	bareIndex []int // of the records of a bare column, counted from 0; -1 = none

	commas, unsure, days int // what is asked about, counted
	large                int // bare volts that look like millivolts
	noBlack              int
	small                int // volts over a module that are no more than a group's
}

func newBuilder(t Text, m Mapping, c fault.Case, o Options) *builder {
	net, _ := topology.Compile(c.Layout)
	if o.Zone == nil {
		o.Zone = time.UTC
	}
	b := &builder{text: t, m: m, c: c, o: o, net: net, places: newPlaces(net), along: along(net), records: split(t.Lines, m.Separator),
		states: map[string]string{}, meters: map[string]string{}, seen: map[string]int{}, list: map[string]*fault.GroupVolts{}, column: make([]int, roles)}
	for _, s := range c.States {
		b.states[strings.ToLower(s.ID)] = s.ID
	}
	for _, in := range c.Instruments {
		b.meters[strings.ToLower(in.ID)] = in.ID
	}
	for r := range b.column {
		b.column[r] = -1
	}
	for i, col := range m.Columns {
		switch col.Role {
		case Time:
			b.times = append(b.times, i)
		case Wide:
			b.wide = append(b.wide, i)
		}
		if b.column[col.Role] < 0 {
			b.column[col.Role] = i
		}
	}
	b.numberBare()
	return b
}

// pack is how many groups it has.
func (b *builder) pack() int { return len(b.along) }

// field is what a row has in the column of a role.
func (b *builder) field(r record, role Role) string {
	at := b.column[role]
	if at < 0 || at >= len(r.fields) {
		return ""
	}
	return r.fields[at]
}

// take reads one record into the preview.
func (b *builder) take(i int, r record) {
	row := Row{Line: r.line, Last: r.last, Text: r.text}
	switch {
	case r.blank():
		row.Status = Empty
	case i == b.m.Head:
		row.Status, row.Says = Heading, "the headings"
	case r.bad != "":
		row.Status, row.Why = Listed, r.bad
	case i < b.m.Head:
		row.Status, row.Why = Listed, "it stands above the headings"
	case len(b.wide) > 0:
		b.table(r, &row)
	default:
		if err := b.single(i, r, &row); err != nil {
			row.Status, row.Why = Listed, err.Error()
			if errors.As(err, new(waits)) {
				row.Status = Waiting
			}
		}
	}
	b.p.Rows = append(b.p.Rows, row)
}

// common is what a row says besides values and places.
type common struct{ state, meter, at, who, note string }

func (b *builder) common(r record) (x common, err error) {
	x.state, x.meter, x.who, x.note = b.m.State, b.m.Meter, b.field(r, Who), b.field(r, Note)
	if s := b.field(r, State); s != "" {
		id, ok := b.states[strings.ToLower(s)]
		if !ok {
			return x, fmt.Errorf("this case has no state %q", s)
		}
		x.state = id
	}
	if s := b.field(r, Instrument); !saysNothing(s) {
		id, ok := b.meters[strings.ToLower(s)]
		if !ok {
			return x, fmt.Errorf("this case has no instrument %q", s)
		}
		x.meter = id
	}
	if b.m.Stamp {
		x.at = b.o.Now
	}
	if len(b.times) > 0 {
		x.at, err = b.time(r, x.at)
	}
	return x, err
}

// time is when a row says that it was read; otherwise where it says nothing.
func (b *builder) time(r record, otherwise string) (string, error) {
	var parts []string
	for _, i := range b.times {
		if i < len(r.fields) && r.fields[i] != "" {
			parts = append(parts, r.fields[i])
		}
	}
	s := strings.Join(parts, " ")
	if saysNothing(s) {
		return otherwise, nil
	}
	t, either, ok := parseTime(s, b.m.Dates, b.o.Zone)
	if !ok {
		return "", fmt.Errorf("%q is no time with a day, such as 2026-03-02 10:04", s)
	}
	if either {
		b.days++
	}
	return t.UTC().Format(time.RFC3339), nil
}

// fitting refuses a row that says something beyond the columns that are known.
func (b *builder) fitting(r record) error {
	for i := len(b.m.Columns); i < len(r.fields); i++ {
		if r.fields[i] != "" {
			return fmt.Errorf("it has %d columns where %d are known", len(r.fields), len(b.m.Columns))
		}
	}
	return nil
}

// single reads a row with one value.
func (b *builder) single(i int, r record, row *Row) error {
	if err := b.fitting(r); err != nil {
		return err
	}
	if b.column[Value] < 0 {
		return fmt.Errorf("no column is taken for the value")
	}
	col := b.m.Columns[b.column[Value]]
	text := b.field(r, Value)
	quantity, err := b.quantity(r, text, col)
	if err != nil {
		return err
	}
	x, err := b.common(r)
	if err != nil {
		return err
	}
	e, raw, err := b.value(text, quantity, x, b.field(r, Unit), col)
	if err != nil {
		return err
	}
	if x.state == "" {
		return fmt.Errorf("no state is chosen that it was read in")
	}
	if b.m.Indexed() {
		if quantity != fault.Volts {
			return fmt.Errorf("a monitor's list has volts, and this is %s", QuantityName(quantity))
		}
		return b.byIndex(i, r, row, e, raw, x)
	}
	if g := b.field(r, Group); g != "" {
		if quantity != fault.Volts {
			return fmt.Errorf("a group has volts, and this is %s", QuantityName(quantity))
		}
		m, known := 0, false
		if b.column[Module] >= 0 {
			if m, err = b.places.moduleOf(b.field(r, Module)); err != nil {
				return err
			}
			known = true
		}
		m, k, err := b.places.groupOf(m, known, g)
		if err != nil {
			return err
		}
		return b.group(row, m, k, e, raw, x)
	}
	return b.reading(r, row, quantity, e, raw, x)
}
