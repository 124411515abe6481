package casebook

import (
	"database/sql"
	"fmt"
	"math"
	"strconv"

	"halfsplit/fault"
)

// AddGroupVolts records lists of group volts, such as a pasted list of the whole
// pack, as one command. A list of a module and state that has one already stands
// beside it, and the later one counts. A group that was not measured is NaN.
func (b *Book) AddGroupVolts(caseID string, lists []fault.GroupVolts, by By) error {
	return b.do("group volts", caseID, caseID, by, func(c *command) error {
		whole, row, err := c.around(caseID)
		if err != nil {
			return err
		}
		whole.GroupVolts = lists
		if whole, err = legal(whole); err != nil {
			return err
		}
		for _, g := range whole.GroupVolts {
			state, err := c.stateID(caseID, g.State)
			if err != nil {
				return err
			}
			if err := c.insertGroupVolts(row, g, state); err != nil {
				return err
			}
		}
		c.name = "group volts of " + strconv.Itoa(len(lists)) + " modules"
		if len(lists) == 1 {
			c.name = "group volts of " + lists[0].Module
		}
		return nil
	})
}

// EnterGroupVolts records the volts of one group, counted from 1 at the module's
// negative end: in the module's newest list of that state and instrument, or in a
// list that this begins. What the group had before stays in the file.
func (b *Book) EnterGroupVolts(caseID, module, state, instrument string, group int, volts float64, by By) error {
	return b.do("group volts", caseID, caseID, by, func(c *command) error {
		whole, row, err := c.around(caseID)
		if err != nil {
			return err
		}
		if whole.GroupVolts, err = readGroupVolts(c.tx, caseID); err != nil {
			return err
		}
		now, err := listWith(whole, module, state, instrument, group, volts)
		if err != nil {
			return err
		}
		was := math.NaN()
		stateID, err := c.stateID(caseID, state)
		if err != nil {
			return err
		}
		list, ok, err := newestList(c.tx, caseID, module, stateID, instrument)
		switch {
		case err != nil:
			return err
		case !ok:
			err = c.insertGroupVolts(row, now, stateID)
		default:
			was = lastOf(whole, module, state, instrument).Volts[group-1]
			if was == volts || math.IsNaN(was) && math.IsNaN(volts) {
				return nil
			}
			err = c.amend(row, list, now, stateID, group)
		}
		c.name = fmt.Sprintf("%s group %d %s", module, group, change(fault.Volts, was, volts))
		return err
	})
}

// listWith is the list that one more group gives, checked as a file would be.
func listWith(c fault.Case, module, state, instrument string, group int, volts float64) (fault.GroupVolts, error) {
	series := 0
	for _, m := range c.Layout.Modules {
		if m.ID == module {
			series = m.Series
		}
	}
	if group < 1 || group > series {
		return fault.GroupVolts{}, refuse(fmt.Sprintf("module %s has no group %d", module, group))
	}
	g := fault.GroupVolts{Module: module, State: state, Instrument: instrument, Volts: make([]float64, series)}
	for i := range g.Volts {
		g.Volts[i] = math.NaN()
	}
	g.Volts[group-1] = volts
	c.GroupVolts = []fault.GroupVolts{g}
	c, err := legal(c)
	if err != nil {
		return g, err
	}
	return c.GroupVolts[0], nil
}

// lastOf is the list that newestList names.
func lastOf(c fault.Case, module, state, instrument string) (g fault.GroupVolts) {
	for _, x := range c.GroupVolts {
		if x.Module == module && x.State == state && x.Instrument == instrument {
			g = x
		}
	}
	return g
}

func newestList(q queryer, caseID, module, stateID, instrument string) (id string, ok bool, err error) {
	ok, err = one(q, `SELECT id FROM group_volts t WHERE case_id = ? AND module = ? AND state_id = ?
		AND COALESCE(instrument, '') = ? AND amends IS NULL AND `+live+` ORDER BY seq DESC, ord DESC LIMIT 1`,
		[]any{caseID, module, stateID, instrument}, &id)
	return id, ok, err
}

// insertGroupVolts adds a list with all its groups.
func (c *command) insertGroupVolts(row caseRow, g fault.GroupVolts, stateID string) error {
	id, err := c.groupVoltsRow(row, nil, g, stateID)
	for n := 1; n <= len(g.Volts) && err == nil; n++ {
		err = c.groupVolt(id, n, g.Volts[n-1])
	}
	return err
}

// amend adds one group to what a list says.
func (c *command) amend(row caseRow, list string, g fault.GroupVolts, stateID string, n int) error {
	id, err := c.groupVoltsRow(row, list, g, stateID)
	if err != nil {
		return err
	}
	return c.groupVolt(id, n, g.Volts[n-1])
}

func (c *command) groupVoltsRow(row caseRow, amends any, g fault.GroupVolts, stateID string) (string, error) {
	extra, err := packExtra(g.Extra)
	if err != nil {
		return "", err
	}
	id, ord := c.add("group_volts")
	return id, c.exec(`INSERT INTO group_volts (id, seq, ord, case_id, layout_version, amends, module, state_id, at, instrument, source, extra)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		id, c.seq, ord, row.id, row.version, amends, g.Module, stateID, orNull(g.At), orNull(g.Instrument), orNull(g.Source), extra)
}

// groupVolt writes one group. SQLite would store NaN as NULL by itself; here it
// is meant: not measured.
func (c *command) groupVolt(list string, n int, volts float64) error {
	var v any = volts + 0 // −0 becomes 0, as SQLite would make it
	if math.IsNaN(volts) {
		v = nil
	}
	return c.exec(`INSERT INTO group_volt_values (set_id, n, volts) VALUES (?, ?, ?)`, list, n, v)
}

// readGroupVolts reads the lists of group volts with what amends them.
func readGroupVolts(q queryer, caseID string) (out []fault.GroupVolts, err error) {
	at := map[string]int{} // list -> index in out
	err = each(q, `SELECT t.id, t.amends, t.module, s.label, COALESCE(t.at, ''), COALESCE(t.instrument, ''), COALESCE(t.source, ''), t.extra
		FROM group_volts t JOIN states s ON s.id = t.state_id WHERE t.case_id = ? AND `+live+` ORDER BY t.seq, t.ord`,
		[]any{caseID}, func(rows *sql.Rows) error {
			var id string
			var amends, extra *string
			var g fault.GroupVolts
			if err := rows.Scan(&id, &amends, &g.Module, &g.State, &g.At, &g.Instrument, &g.Source, &extra); err != nil {
				return err
			}
			if amends != nil {
				if i, known := at[*amends]; known {
					at[id] = i
				}
				return nil
			}
			if g.Extra, err = unpackExtra(extra); err != nil {
				return err
			}
			at[id] = len(out)
			out = append(out, g)
			return nil
		})
	if err != nil {
		return nil, err
	}
	err = each(q, `SELECT t.id, x.n, x.volts FROM group_volts t JOIN group_volt_values x ON x.set_id = t.id
		WHERE t.case_id = ? AND `+live+` ORDER BY t.seq, t.ord, x.n`, []any{caseID}, func(rows *sql.Rows) error {
		var id string
		var n int
		var volts *float64
		if err := rows.Scan(&id, &n, &volts); err != nil {
			return err
		}
		i, known := at[id]
		if !known {
			return nil // it amends a list that was withdrawn
		}
		g := &out[i]
		for len(g.Volts) < n {
			g.Volts = append(g.Volts, math.NaN())
		}
		if volts != nil {
			g.Volts[n-1] = *volts
		} else {
			g.Volts[n-1] = math.NaN()
		}
		return nil
	})
	return out, err
}
