package casebook

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"fmt"
)

// A table is one whose rows are in the log. Rows that belong to another row, such
// as the ranges of an instrument, are part of it there, in a list.
type table struct {
	name, key string
	word      string // what a row is, in a message
	child     string // table of the rows that belong to one of this; "" = none
	childKey  string // column of the child that names its row here
	list      string // name of the child rows in the log
	inCase    bool   // its rows belong to one case each, and go where the case goes
}

// logged is every table that the log speaks of, in the order in which rows
// refer to each other.
var logged = []table{
	{name: "layouts", key: "id", word: "layout"},
	{name: "layout_versions", key: "id", word: "layout version"},
	{name: "layout_photos", key: "id", word: "layout photo"},
	{name: "cases", key: "id", word: "case"},
	{name: "states", key: "id", word: "state", inCase: true},
	{name: "instruments", key: "id", word: "instrument", child: "instrument_ranges", childKey: "instrument_id", list: "ranges", inCase: true},
	{name: "resistors", key: "id", word: "test resistor", inCase: true},
	{name: "group_volts", key: "id", word: "list of group volts", child: "group_volt_values", childKey: "set_id", list: "volts", inCase: true},
	{name: "readings", key: "id", word: "reading", inCase: true},
	{name: "noted", key: "id", word: "note", inCase: true},
	{name: "make_safe", key: "id", word: "entry of the make-safe record", inCase: true},
	{name: "provings", key: "id", word: "entry of the proving log", inCase: true},
	{name: "findings", key: "id", word: "finding", inCase: true},
	{name: "photos", key: "id", word: "photo", inCase: true},
	{name: "imports", key: "id", word: "import", inCase: true},
	{name: "signoffs", key: "id", word: "sign-off", inCase: true},
	{name: "clock_steps", key: "id", word: "step of the clock"},
	{name: "settings", key: "key", word: "setting"},
	{name: "marks", key: "id", word: "mark"},
}

func tableOf(name string) (table, bool) {
	for _, t := range logged {
		if t.name == name {
			return t, true
		}
	}
	return table{}, false
}

// snapshot is a row as the log writes it: JSON with its columns by name, those
// that are NULL left out, so that a column which a later version adds changes
// nothing. It is "" if there is no such row.
func snapshot(q queryer, t table, key string) (string, error) {
	rows, err := dump(q, t, "WHERE "+t.key+" = ?", "WHERE "+t.childKey+" = ?", key)
	if err != nil {
		return "", err
	}
	return rows[key], nil
}

// snapshots are all rows of a table by key.
func snapshots(q queryer, t table) (map[string]string, error) { return dump(q, t, "", "") }

// dump reads rows of a table, and of its child, where these conditions hold, as the
// log writes them.
func dump(q queryer, t table, where, childWhere string, args ...any) (map[string]string, error) {
	found, err := collect(q, t, where, childWhere, args...)
	if err != nil {
		return nil, err
	}
	out := make(map[string]string, len(found))
	for key, row := range found {
		raw, err := encode(row)
		if err != nil {
			return nil, err
		}
		out[key] = string(raw)
	}
	return out, nil
}

// collect reads rows by key, those of the child as a list in their owner.
func collect(q queryer, t table, where, childWhere string, args ...any) (map[string]map[string]any, error) {
	found := map[string]map[string]any{}
	err := eachMap(q, "SELECT * FROM "+t.name+" "+where, args, func(row map[string]any) error {
		found[fmt.Sprint(row[t.key])] = row
		return nil
	})
	if err != nil || t.child == "" {
		return found, err
	}
	order := " ORDER BY " + t.childKey + ", n"
	err = eachMap(q, "SELECT * FROM "+t.child+" "+childWhere+order, args, func(row map[string]any) error {
		owner := fmt.Sprint(row[t.childKey])
		delete(row, t.childKey)
		parent := found[owner]
		if parent == nil {
			parent = map[string]any{t.key: owner} // a row whose owner is gone must show
			found[owner] = parent
		}
		list, _ := parent[t.list].([]any)
		parent[t.list] = append(list, row)
		return nil
	})
	return found, err
}

// eachMap calls f on every row as a map that lacks what is NULL.
func eachMap(q queryer, query string, args []any, f func(map[string]any) error) error {
	var names []string
	return each(q, query, args, func(rows *sql.Rows) error {
		if names == nil {
			var err error
			if names, err = rows.Columns(); err != nil {
				return err
			}
		}
		values, into := make([]any, len(names)), make([]any, len(names))
		for i := range values {
			into[i] = &values[i]
		}
		if err := rows.Scan(into...); err != nil {
			return err
		}
		row := make(map[string]any, len(names))
		for i, v := range values {
			if v != nil {
				row[names[i]] = v
			}
		}
		return f(row)
	})
}

// encode is JSON with sorted keys and without the escapes meant for web pages.
func encode(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), nil
}
