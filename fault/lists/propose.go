package lists

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
)

// Propose says what a text seems to be: its separator, its headings, and what each
// column holds. Nothing of it is certain; what Build asks is to be answered.
func Propose(t Text, c fault.Case) Mapping {
	sep, _ := findSeparator(t.Lines)
	m := Mapping{State: c.Now}
	return m.Parted(t, c, sep)
}

// Parted is the mapping anew with another separator, keeping what does not depend on it.
func (m Mapping) Parted(t Text, c fault.Case, sep rune) Mapping {
	m.Separator, m.Order, m.FromZero = sep, nil, false
	records := split(firstLines(t), sep)
	m.Head = findHead(records)
	return m.Headed(t, c, m.Head)
}

// Headed is the mapping anew with another record as headings; -1 = none.
func (m Mapping) Headed(t Text, c fault.Case, head int) Mapping {
	records := split(firstLines(t), m.Separator)
	m.Head = head
	if head >= len(records) {
		m.Head = -1
	}
	var names []string
	if m.Head >= 0 {
		names = records[m.Head].fields
	}
	p := proposal{data: records[m.Head+1:], names: names, layout: c.Layout}
	m.Columns = p.columns()
	for _, col := range m.Columns {
		if q := col.unit.quantity; q != "" && (col.Role == Value || col.Role == Wide) && m.open(AskQuantity) {
			m.Quantity = q
		}
	}
	if at, ok := m.has(Value); ok && m.open(AskQuantity) && m.Quantity == "" {
		m.Quantity = quantityIn(m.Columns[at].Name)
	}
	if m.open(AskMark) {
		m.Mark = p.mark(m)
	}
	if at, ok := m.has(Index); ok {
		for _, r := range p.data {
			if at < len(r.fields) && r.fields[at] == "0" {
				m.FromZero = true
			}
		}
	}
	return m
}

func firstLines(t Text) []Line { return t.Lines[:min(len(t.Lines), mostLooked)] }

// commonest is the number of columns that most records have.
func commonest(all []record) (width int) {
	count := map[int]int{}
	for _, r := range all {
		if r.bad == "" && !r.blank() {
			n := len(r.fields)
			count[n]++
			if count[n] > count[width] || count[n] == count[width] && n > width {
				width = n
			}
		}
	}
	return max(1, width)
}

// mostAbove is how many records may stand above the headings.
const mostAbove = 40

// findHead is the record with the headings: the first as wide as the data in which a
// column has a known name, or in which words stand where values follow; -1 = none.
func findHead(all []record) int {
	width := commonest(all)
	for i, r := range all[:min(len(all), mostAbove)] {
		if r.bad != "" || r.blank() || len(r.fields) < width {
			continue
		}
		known, values := 0, 0
		for _, f := range r.fields {
			if role, _, _ := roleOf(f); role != Unused && !looksLikeValue(f) {
				known++
			}
			if looksLikeValue(f) {
				values++
			}
		}
		if known > 0 && 2*known >= values || sequence(r.fields) >= 3 {
			return i
		}
		if values > 0 {
			return -1
		}
		if n := 0; width > 1 || len(r.fields) == 1 {
			for _, next := range all[i+1 : min(len(all), i+6)] {
				for _, f := range next.fields {
					if looksLikeValue(f) {
						n++
					}
				}
			}
			if n >= 1 && width > 1 {
				return i
			}
		}
	}
	return -1
}

// sequence is how long the run 1, 2, 3, … at the end of a row of headings is.
func sequence(fields []string) int {
	n := 0
	for i := len(fields) - 1; i >= 0; i-- {
		v, err := strconv.Atoi(fields[i])
		if err != nil || n > 0 && strconv.Itoa(v+1) != fields[i+1] {
			break
		}
		if n++; v == 1 {
			return n
		}
	}
	return 0
}

var names = map[string]Role{
	"module": Module, "mod": Module, "module no": Module, "module number": Module, "bench number": Module, "bench no": Module, "modul": Module,
	"group": Group, "grp": Group, "cell group": Group, "group no": Group, "group number": Group, "group in module": Group, "group in the module": Group,
	"index": Index, "monitor index": Index, "cell index": Index, "idx": Index, "monitor no": Index, "cell": Index, "cell no": Index, "cell number": Index, "cells": Index,
	"value": Value, "reading": Value, "measured": Value, "volts": Value, "volt": Value, "voltage": Value, "cell volts": Value, "cell voltage": Value, "u": Value, "v": Value, "r": Value,
	"resistance": Value, "insulation": Value, "insulation resistance": Value, "ohms": Value, "temperature": Value, "temp": Value, "amps": Value, "joint": Value, "joint resistance": Value, "module volts": Value, "group volts": Value,
	"red": Red, "red lead": Red, "from": Red, "point": Red, "terminal": Red, "tap": Red, "node": Red, "place": Red, "link": Red,
	"black": Black, "black lead": Black, "to": Black, "common": Black,
	"time": Time, "date": Time, "at": Time, "timestamp": Time, "date time": Time, "date and time": Time, "when": Time, "day": Time,
	"state": State, "instrument": Instrument, "meter": Instrument, "tester": Instrument, "quantity": Quantity, "what": Quantity, "kind": Quantity,
	"unit": Unit, "units": Unit, "note": Note, "notes": Note, "remark": Note, "remarks": Note, "comment": Note, "who": Who, "by": Who, "technician": Who,
}

var numbered = regexp.MustCompile(`^(?:cell|group|grp|g|c|u|v|cell volts|cell voltage|volts|index)?[ _#.-]*([0-9]{1,4})$`)

// roleOf knows a heading. A numbered one is a Wide column.
func roleOf(heading string) (r Role, k int, u unit) {
	switch whole := plain(heading); whole {
	case "r", "resistance", "ohms", "ohm":
		return Value, 0, units["ohm"]
	default:
		if r, ok := names[whole]; ok {
			u, _ := unitOf(heading)
			return r, 0, u
		}
	}
	name, u, _ := headed(heading)
	name = plain(name)
	if name == "" && u.text != "" {
		return Value, 0, u
	}
	if r, ok := names[name]; ok {
		return r, 0, u
	}
	if m := numbered.FindStringSubmatch(name); m != nil {
		k, _ := strconv.Atoi(m[1])
		return Wide, k, u
	}
	if u.text != "" {
		return Value, 0, u
	}
	return Unused, 0, u
}

// plain is a heading in small letters, with single blanks for its marks.
func plain(s string) string {
	s = strings.NewReplacer("_", " ", ".", " ", ":", " ", "#", " ").Replace(strings.ToLower(s))
	return strings.Trim(strings.Join(strings.Fields(s), " "), " -")
}

// quantityIn is what the name of a column of values says that it was.
func quantityIn(name string) string {
	name = strings.ToLower(name)
	for _, w := range []struct{ word, quantity string }{{"insulation", fault.Insulation}, {"joint", fault.Joint}, {"temp", fault.Celsius}, {"volt", fault.Volts}, {"amp", fault.Amps}} {
		if strings.Contains(name, w.word) {
			return w.quantity
		}
	}
	if name, _, _ = headed(name); name == "u" || name == "v" {
		return fault.Volts
	}
	return ""
}

// A proposal finds what the columns of records hold.
type proposal struct {
	data   []record
	names  []string
	layout topology.Layout
}

func (p proposal) columns() []Column {
	width := max(commonest(p.data), len(p.names))
	out := make([]Column, width)
	taken := map[Role]bool{}
	for i := range out {
		out[i].Name = fmt.Sprintf("column %d", i+1)
		if i >= len(p.names) || p.names[i] == "" {
			continue
		}
		out[i].Name = p.names[i]
		r, k, u := roleOf(p.names[i])
		if r != Wide && r != Time && r != Note && taken[r] {
			r = Unused // the first of a name is meant
		}
		taken[r] = true
		out[i].Role, out[i].K, out[i].unit = r, k, u
	}
	if taken[Index] && taken[Module] && !taken[Group] { // the cell of a module is its group
		for i := range out {
			if out[i].Role == Index {
				out[i].Role = Group
			}
		}
	}
	p.wide(out, taken)
	if len(p.names) == 0 {
		p.byLooks(out, taken)
	}
	if !taken[Value] && !taken[Wide] {
		p.lastOfValues(out)
	}
	return out
}

// wide takes numbered columns for values of groups where there are two at least, or
// where nothing else is a value.
func (p proposal) wide(out []Column, taken map[Role]bool) {
	n, zero := 0, false
	for _, c := range out {
		if c.Role == Wide {
			n++
			zero = zero || c.K == 0
		}
	}
	for i := range out {
		switch {
		case out[i].Role != Wide:
		case n == 1 && !taken[Value]:
			out[i].Role = Value
			taken[Value], taken[Wide] = true, false
		case n == 1:
			out[i].Role = Unused
		case zero:
			out[i].K++
		}
	}
}

// byLooks names columns without headings by what stands in them.
func (p proposal) byLooks(out []Column, taken map[Role]bool) {
	net, _ := topology.Compile(p.layout)
	at := newPlaces(net)
	for i := range out {
		n, modules, nodes, values, times := 0, 0, 0, 0, 0
		for _, r := range p.data {
			if i >= len(r.fields) || saysNothing(r.fields[i]) || r.bad != "" {
				continue
			}
			n++
			f := r.fields[i]
			if _, ok := at.named(f); ok {
				modules++
			} else if _, ok := at.node(f); ok {
				nodes++
			}
			if _, _, ok := parseTime(f, FoundDates, zoneless); ok {
				times++
			} else if looksLikeValue(f) {
				values++
			}
		}
		role := Unused
		switch {
		case n == 0:
		case 2*times > n:
			role = Time
		case 2*modules > n:
			role = Module
		case 2*nodes > n && !taken[Red]:
			role = Red
		case 2*nodes > n:
			role = Black
		case 2*values > n && len(out) == 1:
			role = Value
		}
		if taken[role] && role != Unused {
			role = Unused
		}
		out[i].Role = role
		taken[role] = true
	}
	p.numbers(out, taken)
}

// numbers shares out columns of numbers without headings: the last is the value, one
// before it the group where there is a module, else the monitor's index.
func (p proposal) numbers(out []Column, taken map[Role]bool) {
	var at []int
	for i, c := range out {
		if c.Role == Unused && p.mostly(i, looksLikeValue) {
			at = append(at, i)
		}
	}
	switch {
	case len(at) == 0 || taken[Value]:
		return
	case len(at) >= 3: // a table
		for k, i := range at {
			out[i].Role, out[i].K = Wide, k+1
		}
		taken[Wide] = true
		return
	}
	out[at[len(at)-1]].Role = Value
	taken[Value] = true
	if len(at) == 2 && p.mostly(at[0], whole) {
		out[at[0]].Role = Index
		if taken[Module] {
			out[at[0]].Role = Group
		}
	}
}

// lastOfValues takes the last column that holds values for the values.
func (p proposal) lastOfValues(out []Column) {
	for i := len(out) - 1; i >= 0; i-- {
		if out[i].Role == Unused && p.mostly(i, looksLikeValue) {
			out[i].Role = Value
			return
		}
	}
	if len(out) == 1 && p.mostly(0, looksLikeValue) { // "Cells" above a bare column
		out[0].Role = Value
	}
}

func (p proposal) mostly(i int, is func(string) bool) bool {
	n, yes := 0, 0
	for _, r := range p.data {
		if i < len(r.fields) && !saysNothing(r.fields[i]) && r.bad == "" {
			n++
			if is(r.fields[i]) {
				yes++
			}
		}
	}
	return 2*yes > n
}

// mark finds commas that can mark nothing but decimals, as in 103,6, where no value
// has a point.
func (p proposal) mark(m Mapping) Mark {
	found := FoundMark
	for _, r := range p.data {
		for i, col := range m.Columns {
			if i >= len(r.fields) || col.Role != Value && col.Role != Wide || !looksLikeValue(r.fields[i]) {
				continue
			}
			before, after, comma := strings.Cut(strings.TrimLeft(r.fields[i], "<>=+- "), ",")
			switch {
			case strings.Contains(r.fields[i], "."):
				return FoundMark
			case comma && (before == "0" || len(before) > 3 || len(strings.TrimRightFunc(after, notDigit)) != 3):
				found = CommaMark
			}
		}
	}
	return found
}

func notDigit(r rune) bool { return r < '0' || r > '9' }
