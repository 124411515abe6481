package lists

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// table reads a row with the volts of several groups, each row lists of its own. A
// place that says nothing was not measured.
func (b *builder) table(r record, row *Row) {
	fail := func(err error) { row.Status, row.Why = Listed, err.Error() }
	if err := b.fitting(r); err != nil {
		fail(err)
		return
	}
	x, err := b.common(r)
	if err != nil {
		fail(err)
		return
	}
	if x.state == "" {
		fail(fmt.Errorf("no state is chosen that it was read in"))
		return
	}
	module := -1
	if b.column[Module] >= 0 {
		if module, err = b.places.moduleOf(b.field(r, Module)); err != nil {
			fail(err)
			return
		}
	}
	read, blanks, waiting, missed := 0, 0, 0, []string{}
	own := map[int]*fault.GroupVolts{}
	for _, i := range b.wide {
		text := ""
		if i < len(r.fields) {
			text = r.fields[i]
		}
		if saysNothing(text) {
			blanks++
			continue
		}
		if err := b.cell(own, row, module, i, text, x); err != nil {
			if errors.As(err, new(waits)) {
				waiting++
			}
			missed = append(missed, fmt.Sprintf("%s: %v", b.m.Columns[i].Name, err))
			continue
		}
		read++
	}
	switch {
	case read == 0 && len(missed) == 0:
		row.Status, row.Why = Listed, "it has no value"
		return
	case waiting > 0 && waiting == len(missed):
		row.Status = Waiting
	case read == 0:
		row.Status = Listed
	case len(missed) > 0:
		row.Status = Partly
	}
	b.p.Blanks += blanks
	if row.Why = strings.Join(missed, "; "); len(missed) > 3 {
		row.Why = fmt.Sprintf("%s; and %d more", strings.Join(missed[:3], "; "), len(missed)-3)
	}
	if read > 0 {
		row.Says = counted(read, "value", "values")
		if module >= 0 {
			row.Says += " of " + b.net.Layout.Modules[module].ID
		}
	}
}

// cell reads one place of a table.
func (b *builder) cell(own map[int]*fault.GroupVolts, row *Row, module, i int, text string, x common) error {
	col := b.m.Columns[i]
	e, raw, err := b.value(text, fault.Volts, x, "", col)
	if err != nil {
		return err
	}
	if e.Relation != fault.Equal {
		return fmt.Errorf("%s is a bound, and the volts of a group are a number", e.Echo)
	}
	b.doubtful(e.Value, 10, raw)
	p := place{module, col.K}
	if module < 0 {
		if p, err = b.ordered(col.K-1, e.Value); err != nil {
			return err
		}
	} else if _, _, err := b.places.within(module, col.K, strconv.Itoa(col.K)); err != nil {
		return err
	}
	l := own[p.module]
	if l == nil {
		l = b.newList(p.module, x)
		own[p.module] = l
		key := l.Module + "\x00" + x.state + "\x00" + x.meter
		if first, again := b.seen[key]; again && row.Twice == "" {
			row.Twice = fmt.Sprintf("%s has a list from line %d too; both are kept, and the later one counts", l.Module, first)
		} else if !again {
			b.seen[key] = row.Line
		}
	}
	l.Volts[p.k-1] = e.Value
	b.p.Values++
	return nil
}
