package lists

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"halfsplit/fault"
	"halfsplit/topology"
)

// mostVolts is the largest value that a case file holds.
const mostVolts = 1e6

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

// numberBare gives the records of a bare column their indices, where it has as many
// values as the pack has groups: those that look like values, or else all rows. A
// row that then turns out to be unreadable keeps its index for itself.
func (b *builder) numberBare() {
	if !b.m.Indexed() || b.column[Index] >= 0 || len(b.wide) > 0 {
		return
	}
	looks, all := b.numbered(true), b.numbered(false)
	switch b.pack() {
	case looks[len(looks)-1] + 1:
		b.bareIndex = looks
	case all[len(all)-1] + 1:
		b.bareIndex = all
	}
}

// numbered counts the records below the headings; behind them is the last number.
func (b *builder) numbered(values bool) []int {
	out, n := make([]int, len(b.records)+1), 0
	for i, r := range b.records {
		out[i] = -1
		if i <= b.m.Head || r.blank() || values && (r.bad != "" || !looksLikeValue(b.field(r, Value))) {
			continue
		}
		out[i] = n
		n++
	}
	out[len(b.records)] = n - 1
	return out
}

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

// quantity of a row's value: by its column, by its unit, or as was chosen.
func (b *builder) quantity(r record, text string, col Column) (string, error) {
	if s := strings.ToLower(b.field(r, Quantity)); s != "" {
		for _, q := range Quantities {
			if s == q || s == strings.ToLower(QuantityName(q)) {
				return q, nil
			}
		}
		if q, ok := map[string]string{"v": fault.Volts, "volt": fault.Volts, "voltage": fault.Volts, "dcv": fault.Volts, "r": fault.Ohms, "resistance": fault.Ohms, "ohm": fault.Ohms, "insulation resistance": fault.Insulation, "temperature": fault.Celsius, "a": fault.Amps, "current": fault.Amps, "pressure": fault.Kilopascal, "joint resistance": fault.Joint}[s]; ok {
			return q, nil
		}
		return "", fmt.Errorf("%q is no quantity", s)
	}
	if b.m.Quantity != "" {
		return b.m.Quantity, nil
	}
	u := col.unit
	if s := b.field(r, Unit); s != "" {
		u, _ = unitOf(s)
	}
	if own, ok := unitOf(strings.TrimSpace(text[1+strings.LastIndexAny(text, "0123456789.,"):])); ok {
		u = own
	}
	if u.text != "" && u.quantity == "" {
		b.unsure++
		return fault.Insulation, nil // and asked
	}
	if u.quantity != "" {
		return u.quantity, nil
	}
	return fault.Volts, nil
}

// Quantities are what a list may hold, in the order in which they are offered.
var Quantities = []string{fault.Volts, fault.Insulation, fault.Ohms, fault.Joint, fault.Amps, fault.Celsius, fault.Kilopascal}

// QuantityName is a quantity in words.
func QuantityName(q string) string {
	switch q {
	case fault.Celsius:
		return "temperature"
	case fault.Kilopascal:
		return "pressure"
	case fault.Joint:
		return "joint resistance"
	case fault.Insulation:
		return "insulation, by a tester"
	case fault.Ohms:
		return "ohms, by a meter"
	}
	return q
}

// value reads the text of a value with the unit that its own text, its row, its
// heading or the mapping gives it, in this order.
func (b *builder) value(text, quantity string, x common, unitText string, col Column) (e fault.Entry, raw string, err error) {
	text = strings.TrimSpace(text)
	if saysNothing(text) {
		return e, "", fmt.Errorf("it has no value")
	}
	raw = text
	if !ownUnit(text) {
		switch {
		case unitText != "":
			u, ok := unitOf(unitText)
			if !ok {
				return e, "", fmt.Errorf("%q is no unit that is known", unitText)
			}
			raw += " " + u.text
		case col.unit.text != "":
			raw += " " + col.unit.text
		case quantity == fault.Volts && b.m.Bare == "mV":
			raw += " mV"
		}
	}
	o := fault.EntryOptions{Quantity: quantity, DecimalComma: b.m.Mark == CommaMark, Limit: b.limit(x.meter, quantity)}
	comma := strings.Contains(text, ",")
	if e, err = fault.ParseEntry(raw, o); err != nil && comma && b.m.Mark == FoundMark {
		o.DecimalComma = true
		if again, second := fault.ParseEntry(raw, o); second == nil {
			b.commas++ // either way: asked, and listed until it is answered
			_ = again
		}
	}
	switch {
	case err != nil:
		return e, "", err
	case math.Abs(e.Value) > mostVolts && (quantity == fault.Volts || quantity == fault.Amps || quantity == fault.Celsius || quantity == fault.Kilopascal):
		return e, "", fmt.Errorf("%s is more than can be", e.Echo)
	case quantity == fault.Celsius && e.Value < -273.15:
		return e, "", fmt.Errorf("%s is below the lowest temperature", e.Echo)
	}
	return e, raw, nil
}

// limit is the most that an instrument shows, for OL.
func (b *builder) limit(meter, quantity string) float64 {
	if in, ok := b.c.Instrument(meter); ok && quantity == fault.Volts {
		most := 0.0
		for _, r := range in.Ranges {
			most = math.Max(most, r.Max)
		}
		return most
	}
	if quantity == fault.Insulation || quantity == fault.Ohms {
		return b.m.Limit
	}
	return 0
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

// byIndex puts a value of the monitor's list where the chosen order says.
func (b *builder) byIndex(i int, r record, row *Row, e fault.Entry, raw string, x common) error {
	at, err := b.indexOf(i, r)
	if err != nil {
		return err
	}
	p, err := b.ordered(at, e.Value)
	if err != nil {
		b.doubtful(e.Value, 10, raw)
		return err
	}
	if named := b.field(r, Module); named != "" { // a check of the order
		if m, err := b.places.moduleOf(named); err != nil {
			return err
		} else if m != p.module {
			return fmt.Errorf("by the chosen order its index lies in %s, and the row says %q", b.net.Layout.Modules[p.module].ID, named)
		}
	}
	return b.group(row, p.module, p.k, e, raw, x)
}

// indexOf is the monitor's index of a row, counted from 0.
func (b *builder) indexOf(i int, r record) (int, error) {
	if b.column[Index] < 0 {
		if b.bareIndex == nil {
			return 0, fmt.Errorf("the column has another number of values than the pack has groups (%d), so that none has a certain index", b.pack())
		}
		return b.bareIndex[i], nil
	}
	s := strings.TrimLeft(strings.ToLower(b.field(r, Index)), "abcdefghijklmnopqrstuvwxyz #_.")
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil {
		return 0, fmt.Errorf("%q is no index", b.field(r, Index))
	}
	if !b.m.FromZero {
		n--
	}
	return n, nil
}

// waits is an error that ends when what is asked is answered.
type waits string

func (w waits) Error() string { return string(w) }

// ordered is the place of an index, counted from 0; its volts are noted.
func (b *builder) ordered(at int, volts float64) (place, error) {
	shown := at + 1
	if b.m.FromZero {
		shown = at
	}
	if at < 0 || at >= b.pack() {
		return place{}, fmt.Errorf("the pack has %d groups, and index %d is none of them", b.pack(), shown)
	}
	for len(b.p.List) < b.pack() {
		b.p.List = append(b.p.List, math.NaN())
	}
	if math.IsNaN(b.p.List[at]) {
		b.p.List[at] = volts
	}
	if b.m.Order == nil || len(b.m.Order.To) != b.pack() {
		return place{}, waits(fmt.Sprintf("index %d: how the monitor counts through the pack is not chosen", shown))
	}
	return b.along[b.m.Order.To[at]], nil
}
