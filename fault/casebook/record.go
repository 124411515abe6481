package casebook

import (
	"database/sql"

	"halfsplit/fault"
)

// A Record is everything that was read in a case, whatever became of it, with the
// head of the log that it is of.
type Record struct {
	Case     fault.Case // as it stands
	Head     Head
	Book     string // identity of the casebook
	Readings []RecordedReading
	Volts    []RecordedVolts
}

// A RecordedReading is a reading with what became of it.
type RecordedReading struct {
	fault.Reading
	Key          string // of its row, the same in every casebook
	Event        int64  // that it came with
	Layout       int    // version that it was read on
	SupersededBy string // label; "" = nothing corrects it
	Withdrawn    *Entry // the event that withdrew it; nil = it was not
}

// RecordedVolts are one group's volts of one list, or one group that amends a list.
type RecordedVolts struct {
	Module, State, At, Instrument, Source string
	Key                                   string // of the list
	Amends                                string // key of the list that this one amends; "" = none
	Event                                 int64
	Layout                                int
	Group                                 int      // from 1 at the module's negative end
	Volts                                 *float64 // nil = not measured
	Later                                 bool     // a later list or amendment gives this group of this state again
	Withdrawn                             *Entry
}

// Record is everything that was read in a case.
func (b *Book) Record(caseID string) (r Record, err error) {
	err = b.view(func(q queryer) error {
		row, err := readCaseRow(q, caseID)
		if err != nil {
			return err
		}
		if r.Case, err = readCase(q, row); err != nil {
			return err
		}
		if r.Head, err = head(q); err != nil {
			return err
		}
		if _, err = one(q, `SELECT value FROM settings WHERE key = ?`, []any{settingIdentity}, &r.Book); err != nil {
			return err
		}
		withdrawn, err := withdrawals(q)
		if err != nil {
			return err
		}
		if r.Readings, err = recordedReadings(q, caseID, withdrawn); err != nil {
			return err
		}
		r.Volts, err = recordedVolts(q, caseID, withdrawn)
		return err
	})
	return r, err
}

// withdrawals are the events that withdrew rows which count no more, by row.
func withdrawals(q queryer) (map[string]*Entry, error) {
	out := map[string]*Entry{}
	err := each(q, `SELECT m.subject, m.withdrawn, e.seq, e.at, e.who, e.kind, e.name, e.why FROM marks m JOIN events e ON e.seq = m.seq ORDER BY m.seq`,
		nil, func(rows *sql.Rows) error {
			var subject string
			var is bool
			var e Entry
			err := rows.Scan(&subject, &is, &e.Seq, &e.At, &e.Who, &e.Kind, &e.Name, &e.Why)
			if out[subject] = &e; !is {
				delete(out, subject)
			}
			return err
		})
	return out, err
}

func recordedReadings(q queryer, caseID string, withdrawn map[string]*Entry) ([]RecordedReading, error) {
	all, err := readReadings(q, `t.case_id = ?1`, caseID)
	if err != nil {
		return nil, err
	}
	out := make([]RecordedReading, len(all))
	by := map[string]int{}
	for i, r := range all {
		out[i].Reading, by[r.ID] = r, i
	}
	err = each(q, `SELECT t.label, t.id, t.seq, v.number FROM readings t JOIN layout_versions v ON v.id = t.layout_version WHERE t.case_id = ?`,
		[]any{caseID}, func(rows *sql.Rows) error {
			var label string
			var r RecordedReading
			err := rows.Scan(&label, &r.Key, &r.Event, &r.Layout)
			i := by[label]
			r.Reading, r.Withdrawn = out[i].Reading, withdrawn[r.Key]
			out[i] = r
			return err
		})
	for _, r := range out {
		if i, known := by[r.Supersedes]; known && r.Supersedes != "" && r.Withdrawn == nil {
			out[i].SupersededBy = r.ID
		}
	}
	return out, err
}

func recordedVolts(q queryer, caseID string, withdrawn map[string]*Entry) (out []RecordedVolts, err error) {
	newest := map[[2]string]map[int]int{} // module and state -> group -> index
	err = each(q, `SELECT t.id, COALESCE(t.amends, ''), t.seq, v.number, t.module, s.label, COALESCE(t.at, ''), COALESCE(t.instrument, ''), COALESCE(t.source, ''), x.n, x.volts
		FROM group_volts t JOIN states s ON s.id = t.state_id JOIN layout_versions v ON v.id = t.layout_version JOIN group_volt_values x ON x.set_id = t.id
		WHERE t.case_id = ? ORDER BY t.seq, t.ord, x.n`, []any{caseID}, func(rows *sql.Rows) error {
		var v RecordedVolts
		err := rows.Scan(&v.Key, &v.Amends, &v.Event, &v.Layout, &v.Module, &v.State, &v.At, &v.Instrument, &v.Source, &v.Group, &v.Volts)
		if v.Withdrawn = withdrawn[v.Key]; v.Withdrawn == nil {
			at := [2]string{v.Module, v.State}
			if newest[at] == nil {
				newest[at] = map[int]int{}
			}
			if i, before := newest[at][v.Group]; before {
				out[i].Later = true
			}
			newest[at][v.Group] = len(out)
		}
		out = append(out, v)
		return err
	})
	return out, err
}
