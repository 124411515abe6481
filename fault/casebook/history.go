package casebook

import (
	"database/sql"

	"halfsplit/fault"
)

// An Entry is one event in the words of its command.
type Entry struct {
	Seq                      int64
	At, Who, Kind, Name, Why string
}

// History is what happened to a case, newest first, at most limit entries; 0 is
// all of them.
func (b *Book) History(caseID string, limit int) (out []Entry, err error) {
	if limit <= 0 {
		limit = -1 // SQLite's "all"
	}
	err = b.view(func(q queryer) error {
		return each(q, `SELECT seq, at, who, kind, name, why FROM events WHERE case_id = ? ORDER BY seq DESC LIMIT ?`,
			[]any{caseID, limit}, func(rows *sql.Rows) error {
				var e Entry
				err := rows.Scan(&e.Seq, &e.At, &e.Who, &e.Kind, &e.Name, &e.Why)
				out = append(out, e)
				return err
			})
	})
	return out, err
}

// A WithdrawnReading is a reading that counts no more, with the event that
// withdrew it.
type WithdrawnReading struct {
	Reading fault.Reading
	By      Entry
}

// Withdrawn are the readings of a case that an undo or a person withdrew, in the
// order in which they were recorded.
func (b *Book) Withdrawn(caseID string) (out []WithdrawnReading, err error) {
	err = b.view(func(q queryer) error {
		readings, err := readReadings(q, `t.case_id = ?1 AND NOT (`+live+`)`, caseID)
		if err != nil {
			return err
		}
		for _, r := range readings {
			w := WithdrawnReading{Reading: r}
			_, err := one(q, `SELECT e.seq, e.at, e.who, e.kind, e.name, e.why FROM readings t JOIN marks m ON m.subject = t.id
				JOIN events e ON e.seq = m.seq WHERE t.case_id = ? AND t.label = ? ORDER BY m.seq DESC LIMIT 1`,
				[]any{caseID, r.ID}, &w.By.Seq, &w.By.At, &w.By.Who, &w.By.Kind, &w.By.Name, &w.By.Why)
			if err != nil {
				return err
			}
			out = append(out, w)
		}
		return nil
	})
	return out, err
}
