package casebook

import (
	"context"
	"encoding/json"
	"fmt"

	"halfsplit/fault/format"
	"halfsplit/topology"
)

// A caseRow is what a case is besides the lists that belong to it.
type caseRow struct {
	id, version, title, symptom, present string
	minutes, extra                       *string
}

// caseRow reads a case that was not withdrawn.
func (c *command) caseRow(id string) (caseRow, error) { return readCaseRow(c.tx, id) }

func readCaseRow(q queryer, id string) (r caseRow, err error) {
	ok, err := one(q, `SELECT id, layout_version, title, symptom, present, minutes, extra FROM cases t WHERE id = ? AND `+live,
		[]any{id}, &r.id, &r.version, &r.title, &r.symptom, &r.present, &r.minutes, &r.extra)
	if err == nil && !ok {
		err = missing("there is no such case, or it was taken back")
	}
	return r, err
}

// A user is a case that rests on a layout version.
type user struct{ id, title string }

// casesOn are the cases of a layout version that were not withdrawn.
func casesOn(q queryer, version string) (out []user, err error) {
	rows, err := q.QueryContext(context.Background(), `SELECT id, title FROM cases t WHERE layout_version = ? AND `+live+` ORDER BY seq`, version)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var u user
		if err := rows.Scan(&u.id, &u.title); err != nil {
			return nil, err
		}
		out = append(out, u)
	}
	return out, rows.Err()
}

// layoutOf reads the layout of a version.
func layoutOf(q queryer, version string) (topology.Layout, error) {
	var body string
	ok, err := one(q, `SELECT body FROM layout_versions WHERE id = ?`, []any{version}, &body)
	switch {
	case err != nil:
		return topology.Layout{}, err
	case !ok:
		return topology.Layout{}, missing("there is no such layout version")
	}
	raw, err := load(q, body)
	if err != nil {
		return topology.Layout{}, err
	}
	l, _, err := format.ReadLayout("layout", raw)
	if err != nil {
		return l, &Error{Damaged, "", "the layout of this case cannot be read: " + reason(err), err}
	}
	return l, nil
}

// Fields that this version of the formats does not know are one JSON object in a
// column.

func packExtra(x topology.Extra) (any, error) {
	if len(x) == 0 {
		return nil, nil
	}
	raw, err := encode(x)
	return string(raw), err
}

func unpackExtra(s *string) (topology.Extra, error) {
	if s == nil {
		return nil, nil
	}
	var x topology.Extra
	if err := json.Unmarshal([]byte(*s), &x); err != nil {
		return nil, &Error{Damaged, "", "fields kept for a later version cannot be read", err}
	}
	return x, nil
}

// Lists of ids and texts are a JSON list in a column.

func packList(list []string) (any, error) {
	if len(list) == 0 {
		return nil, nil
	}
	raw, err := encode(list)
	return string(raw), err
}

func unpackList(s *string) ([]string, error) {
	if s == nil {
		return nil, nil
	}
	var list []string
	if err := json.Unmarshal([]byte(*s), &list); err != nil {
		return nil, fmt.Errorf("a list cannot be read: %w", err)
	}
	return list, nil
}
