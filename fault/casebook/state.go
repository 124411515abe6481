package casebook

import (
	"database/sql"
	"fmt"
	"strconv"

	"halfsplit/fault"
)

// RecordState records that the pack was brought into a state: the state is added
// and is the present one. It is recorded, not measured. Without an id it gets the
// next free one, s1, s2, …. The state is returned as it was recorded.
func (b *Book) RecordState(caseID string, s fault.State, by By) (fault.State, error) {
	return b.addState(caseID, s, true, by)
}

// AddState adds a state without making it the present one.
func (b *Book) AddState(caseID string, s fault.State, by By) (fault.State, error) {
	return b.addState(caseID, s, false, by)
}

func (b *Book) addState(caseID string, s fault.State, present bool, by By) (fault.State, error) {
	err := b.do("state", caseID, caseID, by, func(c *command) error {
		whole, row, err := c.around(caseID)
		if err != nil {
			return err
		}
		if err := c.stateLabel(whole, caseID, &s); err != nil {
			return err
		}
		before, known := whole.State(whole.Now)
		whole.States = append(whole.States, s)
		if whole, err = legal(whole); err != nil {
			return err
		}
		s = whole.States[len(whole.States)-1]
		id, err := c.insertState(caseID, s)
		if err != nil {
			return err
		}
		c.subject = id
		c.name = "state " + s.ID
		if !present {
			return nil
		}
		c.name = nameOfState(before, known, s)
		return c.setPresent(row, s.ID)
	})
	return s, err
}

// SetNow makes a state that was recorded before the present one again; "" says
// that the present state is not known.
func (b *Book) SetNow(caseID, state string, by By) error {
	return b.do("state", caseID, caseID, by, func(c *command) error {
		row, err := c.caseRow(caseID)
		if err != nil || row.present == state {
			return err
		}
		if state != "" {
			if c.subject, err = c.stateID(caseID, state); err != nil {
				return err
			}
		}
		c.name = "present state " + state
		if state == "" {
			c.name = "present state not known"
		}
		return c.setPresent(row, state)
	})
}

func (c *command) setPresent(row caseRow, state string) error {
	if err := c.touch("cases", row.id); err != nil {
		return err
	}
	return c.exec(`UPDATE cases SET present = ? WHERE id = ?`, state, row.id)
}

// stateLabel gives a state its id within the case.
func (c *command) stateLabel(whole fault.Case, caseID string, s *fault.State) error {
	if s.ID != "" {
		is, err := c.taken(caseID, s.ID)
		if err == nil && is {
			err = refuse(fmt.Sprintf("the id %s is taken in this case, or was taken before; choose another for the state", s.ID))
		}
		return err
	}
	for n, ids := len(whole.States)+1, idsOf(whole); ; n++ {
		s.ID = "s" + strconv.Itoa(n)
		if is, err := c.taken(caseID, s.ID); err != nil || !is && !ids[s.ID] {
			return err
		}
	}
}

// stateID finds a state that was not withdrawn by its label.
func (c *command) stateID(caseID, label string) (id string, err error) {
	ok, err := one(c.tx, `SELECT id FROM states t WHERE case_id = ? AND label = ? AND `+live, []any{caseID, label}, &id)
	if err == nil && !ok {
		err = missing(fmt.Sprintf("there is no state %q in this case", label))
	}
	return id, err
}

func (c *command) insertState(caseID string, s fault.State) (id string, err error) {
	var lists [4]any
	for i, list := range [][]string{s.Open, s.Unplugged, s.Removed, s.Connected} {
		if lists[i], err = packList(list); err != nil {
			return "", err
		}
	}
	extra, err := packExtra(s.Extra)
	if err != nil {
		return "", err
	}
	id, ord := c.add("states")
	return id, c.exec(`INSERT INTO states (id, seq, ord, case_id, label, open, unplugged, removed, connected, contactors, monitor, boards, wet, torqued, coolant, celsius, humidity_pct, extra)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		id, c.seq, ord, caseID, s.ID, lists[0], lists[1], lists[2], lists[3], orNull(s.Contactors), orNull(s.Monitor), orNull(s.Boards), s.Wet, s.Torqued, orNull(s.Coolant), s.Celsius, s.Humidity, extra)
}

func readStates(q queryer, caseID string) (out []fault.State, err error) {
	err = each(q, `SELECT label, open, unplugged, removed, connected, COALESCE(contactors, ''), COALESCE(monitor, ''), COALESCE(boards, ''), wet, torqued, COALESCE(coolant, ''), celsius, humidity_pct, extra
		FROM states t WHERE case_id = ? AND `+live+` ORDER BY seq, ord`, []any{caseID}, func(rows *sql.Rows) error {
		var s fault.State
		var lists [4]*string
		var extra *string
		err := rows.Scan(&s.ID, &lists[0], &lists[1], &lists[2], &lists[3], &s.Contactors, &s.Monitor, &s.Boards, &s.Wet, &s.Torqued, &s.Coolant, &s.Celsius, &s.Humidity, &extra)
		if err != nil {
			return err
		}
		for i, into := range []*[]string{&s.Open, &s.Unplugged, &s.Removed, &s.Connected} {
			if *into, err = unpackList(lists[i]); err != nil {
				return err
			}
		}
		s.Extra, err = unpackExtra(extra)
		takeBoards(&s)
		out = append(out, s)
		return err
	})
	return out, err
}
