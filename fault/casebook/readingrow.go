package casebook

import (
	"database/sql"

	"halfsplit/fault"
)

// readingRefs are the rows that a reading refers to; "" = none.
type readingRefs struct{ state, partner, old string }

func (c *command) insertReading(row caseRow, r fault.Reading, id string, ord int64, refs readingRefs) error {
	extra, err := packExtra(r.Extra)
	if err != nil {
		return err
	}
	var fitted fault.Fitted
	if r.Resistor != nil {
		fitted = *r.Resistor
	}
	return c.exec(`INSERT INTO readings (id, seq, ord, case_id, layout_version, label, at, state_id, quantity, red, black, value, raw,
		relation, instrument, range_max, resistor, resistor_from, resistor_to, test_volts, together_with, after_touch_s,
		who, note, supersedes, why, stands, answer, answered_by, extra)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		id, c.seq, ord, row.id, row.version, r.ID, orNull(r.At), refs.state, r.Quantity, orNull(r.Red), orNull(r.Black), r.Value, orNull(r.Raw),
		orNull(r.Relation), orNull(r.Instrument), number(r.Range), orNull(fitted.ID), orNull(fitted.From), orNull(fitted.To),
		number(r.TestVolts), orNull(refs.partner), r.AfterTouchS, orNull(r.Who), orNull(r.Note), orNull(refs.old), orNull(r.Why), orNull(r.Stands), orNull(r.Answer), orNull(r.AnsweredBy), extra)
}

// readReadings reads the readings t for which a condition holds, in the order in
// which they were recorded.
func readReadings(q queryer, where string, args ...any) (out []fault.Reading, err error) {
	err = each(q, `SELECT t.label, COALESCE(t.at, ''), s.label, t.quantity, COALESCE(t.red, ''), COALESCE(t.black, ''), t.value,
		COALESCE(t.raw, ''), COALESCE(t.relation, ''), COALESCE(t.instrument, ''), COALESCE(t.range_max, 0),
		t.resistor, COALESCE(t.resistor_from, ''), COALESCE(t.resistor_to, ''), COALESCE(t.test_volts, 0),
		COALESCE((SELECT label FROM readings p WHERE p.id = t.together_with), ''), t.after_touch_s,
		COALESCE(t.who, ''), COALESCE(t.note, ''), COALESCE((SELECT label FROM readings o WHERE o.id = t.supersedes), ''),
		COALESCE(t.why, ''), COALESCE(t.stands, ''), COALESCE(t.answer, ''), COALESCE(t.answered_by, ''), t.extra
		FROM readings t JOIN states s ON s.id = t.state_id WHERE `+where+` ORDER BY t.seq, t.ord`, args, func(rows *sql.Rows) error {
		r, err := scanReading(rows)
		if err == nil {
			out = append(out, r)
		}
		return err
	})
	return out, err
}

func scanReading(rows *sql.Rows, also ...any) (fault.Reading, error) {
	var r fault.Reading
	var resistor, extra *string
	var fitted fault.Fitted
	err := rows.Scan(append([]any{&r.ID, &r.At, &r.State, &r.Quantity, &r.Red, &r.Black, &r.Value, &r.Raw, &r.Relation, &r.Instrument,
		&r.Range, &resistor, &fitted.From, &fitted.To, &r.TestVolts, &r.TogetherWith, &r.AfterTouchS, &r.Who, &r.Note, &r.Supersedes,
		&r.Why, &r.Stands, &r.Answer, &r.AnsweredBy, &extra}, also...)...)
	if err != nil {
		return r, err
	}
	if resistor != nil {
		fitted.ID = *resistor
		r.Resistor = &fitted
	}
	r.Extra, err = unpackExtra(extra)
	return r, err
}
