package casebook

import (
	"database/sql"

	"halfsplit/fault"
)

// AddProvings records entries of the proving log of the case's instruments in one
// command, and returns them as they were recorded.
func (b *Book) AddProvings(caseID string, entries []fault.Proving, by By) (out []fault.Proving, err error) {
	if len(entries) == 0 {
		return nil, refuse("there is nothing to record")
	}
	err = b.do("proving", caseID, caseID, by, func(c *command) error {
		whole, _, err := c.around(caseID)
		if err != nil {
			return err
		}
		had := len(whole.Provings)
		whole.Provings = append(whole.Provings, entries...)
		if whole, err = legal(whole); err != nil {
			return err
		}
		out = whole.Provings[had:]
		c.name = fault.NameProvings(out)
		for _, p := range out {
			if err := c.insertProving(caseID, p); err != nil {
				return err
			}
		}
		return nil
	})
	return out, err
}

func (c *command) insertProving(caseID string, p fault.Proving) error {
	extra, err := packExtra(p.Extra)
	if err != nil {
		return err
	}
	id, ord := c.add("provings")
	return c.exec(`INSERT INTO provings (id, seq, ord, case_id, at, who, instrument, proved, source, known_volts, point, shown_volts, raw, answer, answered_by, note, extra)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		id, c.seq, ord, caseID, orNull(p.At), orNull(p.Who), text(p.Instrument), orNull(p.When), orNull(p.Source), p.Known, orNull(p.Point),
		p.Shown, orNull(p.Raw), orNull(p.Answer), orNull(p.AnsweredBy), orNull(p.Note), extra)
}

func readProvings(q queryer, caseID string) (out []fault.Proving, err error) {
	err = each(q, `SELECT COALESCE(at, ''), COALESCE(who, ''), instrument, COALESCE(proved, ''), COALESCE(source, ''), known_volts, COALESCE(point, ''),
		shown_volts, COALESCE(raw, ''), COALESCE(answer, ''), COALESCE(answered_by, ''), COALESCE(note, ''), extra
		FROM provings t WHERE case_id = ? AND `+live+` ORDER BY seq, ord`, []any{caseID}, func(rows *sql.Rows) error {
		var p fault.Proving
		var extra *string
		err := rows.Scan(&p.At, &p.Who, &p.Instrument, &p.When, &p.Source, &p.Known, &p.Point, &p.Shown, &p.Raw, &p.Answer, &p.AnsweredBy, &p.Note, &extra)
		if err != nil {
			return err
		}
		p.Extra, err = unpackExtra(extra)
		out = append(out, p)
		return err
	})
	return out, err
}
