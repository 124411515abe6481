package lists

import (
	"halfsplit/fault"
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
