package casebook

import (
	"database/sql"
	"fmt"
	"strconv"

	"halfsplit/fault"
)

// AddNoted records what a person saw at a place and returns it as it was recorded.
// Without an id it gets the next free one, n1, n2, …; an id is never given twice
// in a case, not even after what was noted was withdrawn.
func (b *Book) AddNoted(caseID string, n fault.Noted, by By) (fault.Noted, error) {
	err := b.do("noted", caseID, caseID, by, func(c *command) error {
		whole, row, err := c.around(caseID)
		if err != nil {
			return err
		}
		if err := c.notedLabel(whole, caseID, &n); err != nil {
			return err
		}
		whole.Noted = append(whole.Noted, n)
		if whole, err = legal(whole); err != nil {
			return err
		}
		n = whole.Noted[len(whole.Noted)-1]
		c.name = nameOfNoted(n)
		return c.insertNoted(row, n)
	})
	return n, err
}

// WithdrawNoted strikes out something that was noted. It stays in the file, and an
// undo restores it. by must say why.
func (b *Book) WithdrawNoted(caseID, label string, by By) error {
	if by.Why == "" {
		return refuse("what was noted is withdrawn for a reason; say why")
	}
	return b.do("withdrawal", caseID, caseID, by, func(c *command) error {
		if _, err := c.caseRow(caseID); err != nil {
			return err
		}
		var id string
		var n fault.Noted
		ok, err := one(c.tx, `SELECT id, place, what FROM noted t WHERE case_id = ? AND label = ? AND `+live,
			[]any{caseID, label}, &id, &n.Place, &n.What)
		switch {
		case err != nil:
			return err
		case !ok:
			return missing(fmt.Sprintf("nothing noted as %q is in this case, or it was withdrawn", label))
		}
		c.name, c.subject = "withdraw "+label+": "+nameOfNoted(n), id
		return c.mark(id, true)
	})
}

// nameOfNoted names what was noted: "M03 noted as wet".
func nameOfNoted(n fault.Noted) string { return n.Place + " noted as " + n.What }

// notedLabel gives it its id within the case, or makes sure that the one it has is
// free.
func (c *command) notedLabel(whole fault.Case, caseID string, n *fault.Noted) error {
	if n.ID != "" {
		is, err := c.taken(caseID, n.ID)
		if err == nil && is {
			err = refuse(fmt.Sprintf("the id %s is taken in this case, or was taken before; choose another for what was noted", n.ID))
		}
		return err
	}
	for k, ids := len(whole.Noted)+1, idsOf(whole); ; k++ {
		n.ID = "n" + strconv.Itoa(k)
		if is, err := c.taken(caseID, n.ID); err != nil || !is && !ids[n.ID] {
			return err
		}
	}
}

// taken says that a reading, a state, something noted or an entry of the make-safe
// record has an id, or had it once:
// ids name one thing, whatever its kind.
func (c *command) taken(caseID, label string) (bool, error) {
	return one(c.tx, `SELECT 1 WHERE EXISTS (SELECT 1 FROM readings WHERE case_id = ?1 AND label = ?2)
		OR EXISTS (SELECT 1 FROM states WHERE case_id = ?1 AND label = ?2)
		OR EXISTS (SELECT 1 FROM noted WHERE case_id = ?1 AND label = ?2)
		OR EXISTS (SELECT 1 FROM make_safe WHERE case_id = ?1 AND label = ?2)`, []any{caseID, label}, new(int))
}

func (c *command) insertNoted(row caseRow, n fault.Noted) error {
	extra, err := packExtra(n.Extra)
	if err != nil {
		return err
	}
	id, ord := c.add("noted")
	return c.exec(`INSERT INTO noted (id, seq, ord, case_id, layout_version, label, at, who, place, what, why, extra)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		id, c.seq, ord, row.id, row.version, n.ID, orNull(n.At), orNull(n.Who), n.Place, n.What, orNull(n.Why), extra)
}

func readNoted(q queryer, caseID string) (out []fault.Noted, err error) {
	err = each(q, `SELECT label, COALESCE(at, ''), COALESCE(who, ''), place, what, COALESCE(why, ''), extra
		FROM noted t WHERE case_id = ? AND `+live+` ORDER BY seq, ord`, []any{caseID}, func(rows *sql.Rows) error {
		var n fault.Noted
		var extra *string
		err := rows.Scan(&n.ID, &n.At, &n.Who, &n.Place, &n.What, &n.Why, &extra)
		if err != nil {
			return err
		}
		n.Extra, err = unpackExtra(extra)
		out = append(out, n)
		return err
	})
	return out, err
}
