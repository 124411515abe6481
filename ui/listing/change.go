package listing

import (
	"slices"
	"strconv"
	"strings"

	"halfsplit/fault/lists"
)

// change takes the next option of a line, or the one before.
func (v view) change(id string, by int) lists.Mapping {
	m := v.m
	for _, l := range v.lines() {
		if l.id == id && l.ask != "" {
			m = m.Settle(l.ask)
		}
	}
	switch id {
	case sepLine:
		i := slices.IndexFunc(separatorNames, func(s struct {
			sep  rune
			name string
		}) bool {
			return s.sep == m.Separator
		})
		return m.Parted(v.t, v.c, separatorNames[turn(i, by, len(separatorNames))].sep)
	case headLine:
		return m.Headed(v.t, v.c, turn(m.Head+1, by, min(12, len(v.p.Rows))+1)-1)
	case wideLine:
		for i, c := range m.Columns {
			if c.Role == lists.Wide {
				m = m.WithRole(i, lists.Unused)
			}
		}
	case markLine:
		m.Mark = lists.Mark(turn(int(m.Mark), by, len(markNames)))
	case bareLine:
		m.Bare = option(m.Bare, by, "V", "mV")
	case quantityLine:
		m.Quantity = option(m.Quantity, by, append([]string{""}, lists.Quantities...)...)
	case blackLine:
		refs := []string{"", "chassis"}
		for _, piece := range v.c.Layout.Chassis {
			refs = append(refs, "chassis:"+piece.ID)
		}
		m.Black = option(m.Black, by, refs...)
	case datesLine:
		m.Dates = lists.Dates(turn(int(m.Dates), by, len(dateNames)))
	case stampLine:
		m.Stamp = !m.Stamp
	case orderLine:
		m.Order = v.nextOrder(by)
	case stateLine:
		var ids []string
		for _, s := range v.c.States {
			ids = append(ids, s.ID)
		}
		m.State = option(m.State, by, ids...)
	case meterLine:
		ids := []string{""}
		for _, in := range v.c.Instruments {
			ids = append(ids, in.ID)
		}
		m.Meter = option(m.Meter, by, ids...)
	case limitLine:
		m.Limit = limits[turn(slices.Index(limits, m.Limit), by, len(limits))]
	default:
		if n, ok := strings.CutPrefix(id, columnLine); ok {
			i, err := strconv.Atoi(n)
			if err == nil && i < len(m.Columns) {
				return m.WithRole(i, lists.Role(turn(int(m.Columns[i].Role), by, len(lists.RoleNames))))
			}
		}
	}
	return m
}

// nextOrder is the next of the orders that were weighed, the likeliest first.
func (v view) nextOrder(by int) *lists.Order {
	var all []*lists.Order
	for _, m := range v.orders.Maps {
		if m.To != nil {
			all = append(all, &lists.Order{Name: m.Name, To: m.To})
		}
	}
	if len(all) == 0 {
		return v.m.Order
	}
	at := -1
	if v.m.Order != nil {
		at = slices.IndexFunc(all, func(o *lists.Order) bool { return slices.Equal(o.To, v.m.Order.To) })
	}
	if at < 0 && by < 0 {
		at = 0
	}
	return all[turn(at, by, len(all))]
}

func option(now string, by int, all ...string) string {
	if len(all) == 0 {
		return now
	}
	at := slices.Index(all, now)
	if at < 0 && by < 0 {
		at = 0
	}
	return all[turn(at, by, len(all))]
}

func turn(i, by, n int) int { return ((i+by)%n + n) % n }
