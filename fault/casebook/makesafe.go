package casebook

import (
	"database/sql"
	"fmt"
	"strconv"

	"halfsplit/fault"
)

// AddMakeSafe records one entry of the make-safe record and returns it as it was
// recorded. It supersedes what stood for its item before, which stays. Without an
// id it gets the next free one, k1, k2, …; an id is never given twice in a case.
func (b *Book) AddMakeSafe(caseID string, m fault.MakeSafe, by By) (fault.MakeSafe, error) {
	err := b.do("make-safe", caseID, caseID, by, func(c *command) error {
		whole, _, err := c.around(caseID)
		if err != nil {
			return err
		}
		if err := c.makeSafeLabel(whole, caseID, &m); err != nil {
			return err
		}
		whole.MakeSafe = append(whole.MakeSafe, m)
		if whole, err = legal(whole); err != nil {
			return err
		}
		m = whole.MakeSafe[len(whole.MakeSafe)-1]
		state := ""
		if m.State != "" {
			if state, err = c.stateID(caseID, m.State); err != nil {
				return err
			}
		}
		c.name = m.Name()
		return c.insertMakeSafe(caseID, m, state)
	})
	return m, err
}

// makeSafeLabel gives an entry its id within the case, or makes sure that the one
// it has is free.
func (c *command) makeSafeLabel(whole fault.Case, caseID string, m *fault.MakeSafe) error {
	if m.ID != "" {
		is, err := c.taken(caseID, m.ID)
		if err == nil && is {
			err = refuse(fmt.Sprintf("the id %s is taken in this case, or was taken before; choose another for the make-safe entry", m.ID))
		}
		return err
	}
	for k, ids := len(whole.MakeSafe)+1, idsOf(whole); ; k++ {
		m.ID = "k" + strconv.Itoa(k)
		if is, err := c.taken(caseID, m.ID); err != nil || !is && !ids[m.ID] {
			return err
		}
	}
}

func (c *command) insertMakeSafe(caseID string, m fault.MakeSafe, state string) error {
	extra, err := packExtra(m.Extra)
	if err != nil {
		return err
	}
	lacked, err := packList(m.Lacked)
	if err != nil {
		return err
	}
	id, ord := c.add("make_safe")
	return c.exec(`INSERT INTO make_safe (id, seq, ord, case_id, label, at, who, state_id, item, point, text, date, value, raw, known_volts, tol_pct, ohms, instrument, lacked, extra)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		id, c.seq, ord, caseID, m.ID, orNull(m.At), orNull(m.Who), orNull(state), m.Item, orNull(m.Point), orNull(m.Text), orNull(m.Date),
		m.Value, orNull(m.Raw), m.Known, m.TolPct, m.Ohms, orNull(m.Instrument), lacked, extra)
}

func readMakeSafe(q queryer, caseID string) (out []fault.MakeSafe, err error) {
	err = each(q, `SELECT t.label, COALESCE(at, ''), COALESCE(who, ''), COALESCE((SELECT label FROM states WHERE id = t.state_id), ''), item, COALESCE(point, ''),
		COALESCE(text, ''), COALESCE(date, ''), value, COALESCE(raw, ''), known_volts, tol_pct, ohms, COALESCE(instrument, ''), lacked, extra
		FROM make_safe t WHERE case_id = ? AND `+live+` ORDER BY seq, ord`, []any{caseID}, func(rows *sql.Rows) error {
		var m fault.MakeSafe
		var lacked, extra *string
		err := rows.Scan(&m.ID, &m.At, &m.Who, &m.State, &m.Item, &m.Point, &m.Text, &m.Date, &m.Value, &m.Raw, &m.Known, &m.TolPct, &m.Ohms, &m.Instrument, &lacked, &extra)
		if err != nil {
			return err
		}
		if m.Lacked, err = unpackList(lacked); err != nil {
			return err
		}
		m.Extra, err = unpackExtra(extra)
		out = append(out, m)
		return err
	})
	return out, err
}
