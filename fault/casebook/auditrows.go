package casebook

import (
	"bytes"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
)

// implied are the rows that the events leave behind, by table and key, and the
// event that each came with.
type implied map[string]map[string]impliedRow

type impliedRow struct {
	text string
	seq  int64
}

// take works in one event. It returns what does not follow, "" if all does.
func (rows implied) take(e event) string {
	before, err := decodeRows(e.before)
	if err != nil {
		return "what it says of the rows before cannot be read"
	}
	after, err := decodeRows(e.after)
	if err != nil {
		return "what it says of the rows after cannot be read"
	}
	for _, t := range logged {
		for key, was := range before[t.name] {
			if _, changes := after[t.name][key]; !changes || rows[t.name][key].text != was {
				return fmt.Sprintf("it changes a %s that was otherwise before", t.word)
			}
		}
		for key, is := range after[t.name] {
			_, changes := before[t.name][key]
			if _, known := rows[t.name][key]; known && !changes {
				return fmt.Sprintf("it adds a %s that was there already", t.word)
			}
			if rows[t.name] == nil {
				rows[t.name] = map[string]impliedRow{}
			}
			rows[t.name][key] = impliedRow{is, e.seq}
		}
	}
	return ""
}

// tables compares every row with what the events leave behind.
func (a *auditor) tables() error {
	for _, t := range logged {
		if err := a.ctx.Err(); err != nil {
			return err
		}
		are, err := snapshots(a.q, t)
		if err != nil {
			return err
		}
		should := a.rows[t.name]
		for _, key := range slices.Sorted(maps.Keys(should)) {
			switch is, there := are[key]; {
			case !there:
				a.problem("%s, which event %d recorded, is missing", t.called(key, should[key].text), should[key].seq)
			case is != should[key].text:
				a.problem("%s is not as event %d recorded it: %s", t.called(key, should[key].text), should[key].seq, differing(should[key].text, is))
			}
		}
		for _, key := range slices.Sorted(maps.Keys(are)) {
			if _, known := should[key]; !known {
				a.problem("%s is there, and no event recorded it", t.called(key, are[key]))
			}
		}
		if !a.report.Holds() {
			return nil
		}
	}
	return nil
}

// called names a row: by what the case calls it if it has such a name.
func (t table) called(key, row string) string {
	var named struct{ Label, Name, Title, Module string }
	if err := json.Unmarshal([]byte(row), &named); err == nil {
		for _, name := range []string{named.Label, named.Name, named.Title, named.Module} {
			if name != "" {
				return fmt.Sprintf("%s %s (%s)", t.word, name, key)
			}
		}
	}
	return fmt.Sprintf("%s %s", t.word, key)
}

// differing names the first column in which a row is not what it should be.
func differing(should, is string) string {
	var a, b map[string]json.RawMessage
	if json.Unmarshal([]byte(should), &a) != nil || json.Unmarshal([]byte(is), &b) != nil {
		return "it cannot be read"
	}
	columns := slices.Collect(maps.Keys(a))
	columns = slices.AppendSeq(columns, maps.Keys(b))
	slices.Sort(columns)
	for _, c := range columns {
		if !bytes.Equal(a[c], b[c]) {
			return fmt.Sprintf("%s was %s and is %s", c, orNothing(a[c]), orNothing(b[c]))
		}
	}
	return "it is written differently"
}

func orNothing(raw json.RawMessage) string {
	const most = 80
	switch {
	case raw == nil:
		return "nothing"
	case len(raw) > most:
		return string(bytes.ToValidUTF8(raw[:most], nil)) + "…"
	}
	return string(raw)
}

// blobs computes the hash of everything that is stored under its hash, and makes
// sure that everything which a row refers to is there.
func (a *auditor) blobs() error {
	var hashes []string
	err := each(a.q, `SELECT sha256 FROM blobs ORDER BY rowid`, nil, func(rows *sql.Rows) error {
		var h string
		err := rows.Scan(&h)
		hashes = append(hashes, h)
		return err
	})
	if err != nil {
		return err
	}
	for _, h := range hashes { // one at a time: photos are large
		if err := a.ctx.Err(); err != nil {
			return err
		}
		data, err := load(a.q, h)
		var own *Error
		if err != nil && !errors.As(err, &own) {
			return err
		}
		if sum := sha256.Sum256(data); err != nil || hex.EncodeToString(sum[:]) != h {
			a.problem("stored bytes were changed: those kept as %s are others now", h)
			return nil
		}
	}
	return each(a.q, `SELECT body FROM (SELECT body FROM layout_versions UNION SELECT body FROM findings UNION SELECT body FROM photos UNION SELECT body FROM layout_photos
			UNION SELECT source FROM cases UNION SELECT source FROM layouts)
		WHERE body IS NOT NULL AND body NOT IN (SELECT sha256 FROM blobs) LIMIT 1`, nil, func(rows *sql.Rows) error {
		var h string
		err := rows.Scan(&h)
		a.problem("stored bytes are missing: those kept as %s", h)
		return err
	})
}

// guards compares the tables, and the triggers that keep rows from being changed,
// with those that this format has.
func (a *auditor) guards() error {
	should, err := ownSchema()
	if err != nil {
		return err
	}
	is, err := schemaOf(a.q)
	if err != nil {
		return err
	}
	for _, name := range slices.Sorted(maps.Keys(should)) {
		if is[name] != should[name] {
			a.problem("the file itself was changed: %s is missing or is another", name)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(is)) {
		if _, known := should[name]; !known {
			a.problem("the file itself was changed: %s does not belong to it", name)
		}
	}
	return nil
}

// ownSchema is what the migrations make of an empty database.
func ownSchema() (map[string]string, error) {
	db, err := connectMemory()
	if err != nil {
		return nil, err
	}
	defer db.Close()
	for _, script := range migrations() {
		if _, err := db.Exec(script); err != nil {
			return nil, err
		}
	}
	return schemaOf(db)
}

// schemaOf is the text of every table, index and trigger by kind and name.
// Tables of SQLite's own, such as statistics, do not count.
func schemaOf(q queryer) (map[string]string, error) {
	out := map[string]string{}
	err := each(q, `SELECT type || ' ' || name, COALESCE(sql, '') FROM sqlite_schema WHERE name NOT LIKE 'sqlite!_%' ESCAPE '!'`, nil,
		func(rows *sql.Rows) error {
			var name, text string
			err := rows.Scan(&name, &text)
			out[name] = text
			return err
		})
	return out, err
}
