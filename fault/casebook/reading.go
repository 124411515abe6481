package casebook

import (
	"fmt"
	"strconv"

	"halfsplit/fault"
)

// AddReading records a reading and returns it as it was recorded. Without an id
// it gets the next free one, r1, r2, …; an id is never given twice in a case, not
// even after the reading was withdrawn. What is odd is recorded as well as what is
// expected; Refused is only what no case file could hold.
func (b *Book) AddReading(caseID string, r fault.Reading, by By) (fault.Reading, error) {
	if r.Supersedes != "" {
		return r, refuse("a correction says which reading it supersedes and why; it is not just added")
	}
	err := b.do("reading", caseID, caseID, by, func(c *command) (err error) {
		if r, err = c.addReading(caseID, r); err == nil {
			c.name = nameOf(r)
		}
		return err
	})
	return r, err
}

// SupersedeReading records a correction of an earlier reading, which stays. by
// must say why.
func (b *Book) SupersedeReading(caseID, old string, r fault.Reading, by By) (fault.Reading, error) {
	if by.Why == "" {
		return r, refuse("a correction says why it was made")
	}
	r.Supersedes, r.Why = old, by.Why
	err := b.do("correction", caseID, caseID, by, func(c *command) error {
		id, err := c.readingID(caseID, old)
		if err != nil {
			return err
		}
		was, err := readReadings(c.tx, `t.id = ?`, id)
		if err != nil {
			return err
		}
		var by string
		switch done, err := one(c.tx, `SELECT label FROM readings t WHERE supersedes = ? AND `+live, []any{id}, &by); {
		case err != nil:
			return err
		case done:
			return refuse(fmt.Sprintf("%s was corrected by %s already; correct %s", old, by, by))
		}
		if r, err = c.addReading(caseID, r); err == nil {
			c.name = nameOfChange(was[0], r)
		}
		return err
	})
	return r, err
}

// WithdrawReading strikes a reading out without putting another in its place. It
// stays in the file, and an undo restores it. by must say why.
func (b *Book) WithdrawReading(caseID, label string, by By) error {
	if by.Why == "" {
		return refuse("a reading is withdrawn for a reason; say why")
	}
	return b.do("withdrawal", caseID, caseID, by, func(c *command) error {
		if _, err := c.caseRow(caseID); err != nil {
			return err
		}
		id, err := c.readingID(caseID, label)
		if err != nil {
			return err
		}
		var rests string
		switch on, err := one(c.tx, `SELECT label FROM readings t WHERE (supersedes = ?1 OR together_with = ?1) AND `+live, []any{id}, &rests); {
		case err != nil:
			return err
		case on:
			return refuse(fmt.Sprintf("%s refers to %s; withdraw %s first", rests, label, rests))
		}
		was, err := readReadings(c.tx, `t.id = ?`, id)
		if err != nil {
			return err
		}
		c.name, c.subject = "withdraw "+label+": "+nameOf(was[0]), id
		return c.mark(id, true)
	})
}

// addReading checks and inserts a reading.
func (c *command) addReading(caseID string, r fault.Reading) (fault.Reading, error) {
	whole, row, err := c.around(caseID)
	if err != nil {
		return r, err
	}
	if err := c.label(whole, row, &r); err != nil {
		return r, err
	}
	refs := readingRefs{}
	for _, ref := range []struct {
		label string
		id    *string
	}{{r.TogetherWith, &refs.partner}, {r.Supersedes, &refs.old}} {
		if ref.label == "" {
			continue
		}
		if *ref.id, err = c.readingID(caseID, ref.label); err != nil {
			return r, err
		}
	}
	if whole.Readings, err = readReadings(c.tx, relatives, refs.partner, refs.old); err != nil {
		return r, err
	}
	whole.Readings = append(whole.Readings, r)
	if whole, err = legal(whole); err != nil {
		return r, err
	}
	r = whole.Readings[len(whole.Readings)-1]
	if refs.state, err = c.stateID(caseID, r.State); err != nil {
		return r, err
	}
	id, ord := c.add("readings")
	return r, c.insertReading(row, r, id, ord, refs)
}

// relatives are two readings, and all that are tied to them by corrections or by
// having been taken together, one way or the other: what the rules between
// readings need to see.
const relatives = live + ` AND t.id IN (
	WITH RECURSIVE near (id) AS (
		SELECT column1 FROM (VALUES (?1), (?2))
		UNION SELECT r.id FROM near JOIN readings r ON r.supersedes = near.id
		UNION SELECT r.id FROM near JOIN readings r ON r.together_with = near.id
		UNION SELECT r.supersedes FROM near JOIN readings r ON r.id = near.id
		UNION SELECT r.together_with FROM near JOIN readings r ON r.id = near.id)
	SELECT id FROM near)`

// label gives a reading its id within the case, or makes sure that the one it
// has is free.
func (c *command) label(whole fault.Case, row caseRow, r *fault.Reading) error {
	if r.ID != "" {
		taken, err := one(c.tx, `SELECT 1 FROM readings WHERE case_id = ? AND label = ?`, []any{row.id, r.ID}, new(int))
		if err == nil && taken {
			err = refuse(fmt.Sprintf("there is a reading %s in this case already, or was one; a correction supersedes it", r.ID))
		}
		return err
	}
	var last int
	_, err := one(c.tx, `SELECT COALESCE(max(CAST(substr(label, 2) AS INTEGER)), 0) FROM readings WHERE case_id = ? AND label GLOB 'r[0-9]*'`,
		[]any{row.id}, &last)
	for taken := idsOf(whole); ; {
		last++
		if r.ID = "r" + strconv.Itoa(last); !taken[r.ID] {
			return err
		}
	}
}

// around is a case without its readings and group volts: what the rules for a
// new one need.
func (c *command) around(caseID string) (whole fault.Case, row caseRow, err error) {
	if row, err = c.caseRow(caseID); err != nil {
		return whole, row, err
	}
	whole.Title, whole.Now = row.title, row.present
	if whole.Layout, err = layoutOf(c.tx, row.version); err != nil {
		return whole, row, err
	}
	if whole.Instruments, err = readInstruments(c.tx, caseID); err != nil {
		return whole, row, err
	}
	if whole.Resistors, err = readResistors(c.tx, caseID); err != nil {
		return whole, row, err
	}
	if whole.States, err = readStates(c.tx, caseID); err != nil {
		return whole, row, err
	}
	if whole.Noted, err = readNoted(c.tx, caseID); err != nil {
		return whole, row, err
	}
	if whole.MakeSafe, err = readMakeSafe(c.tx, caseID); err != nil {
		return whole, row, err
	}
	whole.Provings, err = readProvings(c.tx, caseID)
	return whole, row, err
}

// readingID finds a reading that was not withdrawn by its label.
func (c *command) readingID(caseID, label string) (id string, err error) {
	ok, err := one(c.tx, `SELECT id FROM readings t WHERE case_id = ? AND label = ? AND `+live, []any{caseID, label}, &id)
	if err == nil && !ok {
		err = missing(fmt.Sprintf("there is no reading %q in this case, or it was withdrawn", label))
	}
	return id, err
}
