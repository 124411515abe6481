package lists

import (
	"fmt"
	"strings"

	"halfsplit/topology"
)

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
