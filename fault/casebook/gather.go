package casebook

import (
	"cmp"
	"database/sql"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
)

// A dossier is a case as the rows of one casebook: what an export takes along, and
// what two casebooks that have the same case are compared by.
type dossier struct {
	q      queryer
	id     string                               // of the case
	rows   map[string]map[string]map[string]any // by table and key, child rows in their list
	marks  map[string]mark                      // the newest one by subject
	last   map[string]string                    // the event that set a single value last, by field
	known  map[string]bool                      // ids of events that this casebook has
	marked map[string]bool                      // ids of marks that it has, or had word of
	source origin
}

// An origin says which casebook something came from, and how far that was.
type origin struct {
	book string // identity; "" = none
	head Head
	file Head // of the file, where it was made to hold the case alone; no hash = it was not
}

// A mark withdraws a row, or restores it.
type mark struct {
	id        string
	withdrawn bool
	undoes    bool // it came with the undo of what brought its row
}

// gather reads everything of a case, and of the layouts of these ids besides.
func gather(q queryer, caseID string, layouts ...string) (*dossier, error) {
	d := &dossier{q: q, id: caseID, rows: map[string]map[string]map[string]any{}, marks: map[string]mark{}, marked: map[string]bool{}}
	readLayouts := func() error { return d.readLayouts(layouts) }
	for _, step := range []func() error{d.readRows, readLayouts, d.readMarks, d.readKnown, d.readLast, d.readSource} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return d, nil
}

func (d *dossier) readRows() error {
	for _, t := range logged {
		where, key := "WHERE case_id = ?", d.id
		if t.name == "cases" {
			where = "WHERE id = ?"
		} else if !t.inCase {
			continue
		}
		if err := d.read(t, where, fmt.Sprintf("WHERE %s IN (SELECT id FROM %s WHERE case_id = ?)", t.childKey, t.name), key); err != nil {
			return err
		}
	}
	return nil
}

func (d *dossier) read(t table, where, childWhere string, args ...any) error {
	rows, err := collect(d.q, t, where, childWhere, args...)
	if err != nil {
		return err
	}
	if d.rows[t.name] == nil {
		d.rows[t.name] = map[string]map[string]any{}
	}
	maps.Copy(d.rows[t.name], rows)
	return nil
}

// readLayouts reads the layouts that rows of the case rest on, and these, with all
// versions.
func (d *dossier) readLayouts(also []string) error {
	ids := map[string]bool{}
	for _, id := range also {
		ids[id] = true
	}
	seen := map[string]bool{}
	for _, rows := range d.rows {
		for _, row := range rows {
			v := word(row["layout_version"])
			if v == "" || seen[v] {
				continue
			}
			seen[v] = true
			var id string
			if _, err := one(d.q, `SELECT layout_id FROM layout_versions WHERE id = ?`, []any{v}, &id); err != nil {
				return err
			}
			ids[id] = true
		}
	}
	for id := range ids {
		for name, column := range map[string]string{"layouts": "id", "layout_versions": "layout_id", "layout_photos": "layout_id"} {
			t, _ := tableOf(name)
			if err := d.read(t, "WHERE "+column+" = ?", "", id); err != nil {
				return err
			}
		}
	}
	return nil
}

// has says whether a row of this key belongs to the case.
func (d *dossier) has(table, key string) bool { return d.rows[table][key] != nil }

// live says that a row was not withdrawn.
func (d *dossier) live(key string) bool { return !d.marks[key].withdrawn }

// sorted are the keys of a table in the order in which the rows were recorded.
func (d *dossier) sorted(table string) []string {
	rows := d.rows[table]
	return slices.SortedFunc(maps.Keys(rows), func(a, b string) int {
		return cmp.Or(cmp.Compare(whole(rows[a]["seq"]), whole(rows[b]["seq"])), cmp.Compare(whole(rows[a]["ord"]), whole(rows[b]["ord"])), cmp.Compare(a, b))
	})
}

func whole(v any) int64 {
	n, _ := v.(int64)
	return n
}

func word(v any) string {
	s, _ := v.(string)
	return s
}

// readMarks reads the newest mark of every row. All marks are looked through: they
// are few beside the rows, and one does not say which case it is of.
func (d *dossier) readMarks() error {
	ours := map[string]bool{}
	for _, rows := range d.rows {
		for key := range rows {
			ours[key] = true
		}
	}
	err := each(d.q, `SELECT m.id, m.subject, m.withdrawn, e.kind = ?1 AND COALESCE((SELECT kind IN (?2, ?3) FROM events WHERE seq = e.reverts), 0)
		FROM marks m JOIN events e ON e.seq = m.seq ORDER BY m.seq`, []any{kindUndo, kindImport, kindCase}, func(rows *sql.Rows) error {
		var m mark
		var subject string
		if err := rows.Scan(&m.id, &subject, &m.withdrawn, &m.undoes); err != nil {
			return err
		}
		if ours[subject] {
			d.marks[subject] = m
			d.marked[m.id] = true
		}
		return nil
	})
	if err != nil {
		return err
	}
	return each(d.q, `SELECT after FROM foreign_events WHERE after LIKE '%"marks"%'`, nil, func(rows *sql.Rows) error {
		var after string
		if err := rows.Scan(&after); err != nil {
			return err
		}
		byTable, err := decodeRows(after)
		for key := range byTable["marks"] {
			d.marked[key] = true
		}
		return err
	})
}

func (d *dossier) readKnown() error {
	d.known = map[string]bool{}
	return each(d.q, `SELECT id FROM events UNION ALL SELECT id FROM foreign_events`, nil, func(rows *sql.Rows) error {
		var id string
		err := rows.Scan(&id)
		d.known[id] = true
		return err
	})
}

// readSource finds out which casebook this is. One that was made to hold the case
// alone, and in which nothing was done since, stands for the casebook that it was
// made from.
func (d *dossier) readSource() error {
	if _, err := one(d.q, `SELECT value FROM settings WHERE key = ?`, []any{settingIdentity}, &d.source.book); err != nil {
		return err
	}
	var err error
	if d.source.head, err = head(d.q); err != nil {
		return err
	}
	all := d.sorted("imports") // the last one is the import's own, the others came with the case
	if len(all) == 0 {
		return nil
	}
	key := all[len(all)-1]
	row := d.rows["imports"][key]
	if whole(row["wraps"]) == 1 && whole(row["seq"]) == d.source.head.Seq {
		d.source = origin{book: word(row["book"]), head: Head{Seq: whole(row["head_seq"]), Hash: word(row["head_hash"])}, file: d.source.head}
		delete(d.rows["imports"], key)
	}
	return nil
}

// foreign calls f for every event about the case: those of other casebooks that
// came here, and this casebook's own, unless it only wraps the case.
func (d *dossier) foreign(f func(book string, e event) error) error {
	err := each(d.q, `SELECT book, `+eventColumns+` FROM foreign_events WHERE case_id = '' OR import_id IN (SELECT id FROM imports WHERE case_id = ?) ORDER BY book, seq, hash`,
		[]any{d.id}, func(rows *sql.Rows) error {
			var book string
			var e event
			if err := rows.Scan(append([]any{&book}, e.fields()...)...); err != nil {
				return err
			}
			if e.caseID == "" && e.seq > 1 {
				if about, err := d.about(e); err != nil || !about {
					return err
				}
			}
			return f(book, e)
		})
	if err != nil || d.source.file.Hash != "" {
		return err
	}
	return each(d.q, `SELECT `+eventColumns+` FROM events WHERE case_id IN (?, '') ORDER BY seq`, []any{d.id}, func(rows *sql.Rows) error {
		var e event
		if err := rows.Scan(e.fields()...); err != nil {
			return err
		}
		about, err := d.about(e)
		if err != nil || !about {
			return err
		}
		return f(d.source.book, e)
	})
}

// about says whether an event is about this case: by its name, or by a layout that
// the case rests on; the first event of a log tells whose log it is.
func (d *dossier) about(e event) (bool, error) {
	if e.caseID == d.id || e.seq == 1 {
		return true, nil
	}
	after, err := decodeRows(e.after)
	if err != nil {
		return false, err
	}
	for _, name := range ofLayouts {
		for key := range after[name] {
			if d.has(name, key) {
				return true, nil
			}
		}
	}
	for _, row := range after["marks"] {
		var m markRow
		if err := json.Unmarshal([]byte(row), &m); err != nil {
			return false, err
		}
		for _, name := range ofLayouts {
			if d.has(name, m.Subject) {
				return true, nil
			}
		}
	}
	return false, nil
}

// ofLayouts are the tables whose rows go with the case that rests on their layout.
var ofLayouts = []string{"layouts", "layout_versions", "layout_photos"}
