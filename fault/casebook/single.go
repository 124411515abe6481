package casebook

import (
	"database/sql"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// Single values are what a case has one of: its title, the symptom, the present
// state, the minutes of each link. Each has an event that set it last; that event
// tells which of two casebooks knew of the other's value when it set its own.

// minutesPrefix begins the field of the minutes of one link or board.
const minutesPrefix = "minutes:"

// values are the single values of a case by field, as JSON. The state is meant by
// its key and the layout by its bytes: labels and versions may differ.
func (d *dossier) values() map[string]string {
	row := d.rows["cases"][d.id]
	out := valuesOf(row)
	if label := word(row["present"]); label != "" {
		for key, state := range d.rows["states"] {
			if word(state["label"]) == label {
				out["present"] = key
			}
		}
	}
	if v := d.rows["layout_versions"][word(row["layout_version"])]; v != nil {
		out["layout_version"] = word(v["body"])
	}
	return out
}

// valuesOf are the values of a row of cases as they stand there.
func valuesOf(row map[string]any) map[string]string {
	out := map[string]string{}
	for column, v := range row {
		switch column {
		case "id", "seq", "source":
			continue
		case "minutes":
			var minutes map[string]float64
			if json.Unmarshal([]byte(word(v)), &minutes) == nil {
				for id, m := range minutes {
					out[minutesPrefix+id] = strconv.FormatFloat(m, 'g', -1, 64)
				}
				continue
			}
		}
		out[column] = fmt.Sprint(v)
	}
	return out
}

// readLast walks the events of the case and finds what set each single value last.
func (d *dossier) readLast() error {
	d.last = map[string]string{}
	now := map[string]string{}
	scopes := slices.Collect(maps.Keys(d.rows["layouts"]))
	list, err := encode(scopes)
	if err != nil {
		return err
	}
	return each(d.q, `SELECT id, kind, after FROM events WHERE case_id = ?1 OR scope IN (SELECT value FROM json_each(?2)) ORDER BY seq`,
		[]any{d.id, string(list)}, func(rows *sql.Rows) error {
			var id, kind, after string
			if err := rows.Scan(&id, &kind, &after); err != nil {
				return err
			}
			return d.follow(now, id, after)
		})
}

// follow takes in one event. What an import took from elsewhere was set by the
// event that set it there; what it kept, it set anew.
func (d *dossier) follow(now map[string]string, id, after string) error {
	byTable, err := decodeRows(after)
	if err != nil {
		return err
	}
	took, kept, err := tookAndKept(byTable["imports"])
	if err != nil {
		return err
	}
	if text, changed := byTable["cases"][d.id]; changed {
		row := map[string]any{}
		if err := json.Unmarshal([]byte(text), &row); err != nil {
			return err
		}
		is := valuesOf(row)
		for field := range now {
			if _, still := is[field]; !still {
				d.last[field] = id
			}
		}
		for field, v := range is {
			if was, had := now[field]; !had || was != v {
				d.last[field] = id
			}
		}
		clear(now)
		maps.Copy(now, is)
	}
	for key := range byTable["layout_versions"] {
		if key == now["layout_version"] {
			d.last["layout_version"] = id
		}
	}
	maps.Copy(d.last, took)
	for field := range kept {
		d.last[field] = id
	}
	return nil
}

// tookAndKept are the single values that an import was about, from its own row: the
// last one of the event. Those before it came with the case.
func tookAndKept(imports map[string]string) (took, kept map[string]string, err error) {
	most := -1.0
	for _, text := range imports {
		var row struct {
			Ord        float64
			Took, Kept string
		}
		if err := json.Unmarshal([]byte(text), &row); err != nil {
			return nil, nil, err
		}
		if row.Ord < most {
			continue
		}
		most, took, kept = row.Ord, nil, nil
		for text, into := range map[string]*map[string]string{row.Took: &took, row.Kept: &kept} {
			if text == "" {
				continue
			}
			if err := json.Unmarshal([]byte(text), into); err != nil {
				return nil, nil, err
			}
		}
	}
	return took, kept, nil
}

// An outcome is what becomes of a single value that two casebooks have differently.
type outcome uint8

const (
	stays   outcome = iota // what is here was set with knowledge of what is there
	taken                  // the other way round
	differs                // both were set without knowledge of each other
)

// decide says what becomes of a field.
func (d *dossier) decide(there *dossier, field string) outcome {
	here1, there1 := d.last[field], there.last[field]
	knowsHere, knowsThere := here1 == "" || there.known[here1], there1 == "" || d.known[there1]
	switch {
	case knowsHere && !knowsThere:
		return taken
	case knowsThere && !knowsHere:
		return stays
	case knowsHere && knowsThere && here1 == there1:
		return stays
	}
	return differs
}

// spokenField is what a field is called.
func spokenField(field string) string {
	switch field {
	case "title", "symptom":
		return field
	case "present":
		return "present state"
	case "layout_version":
		return "layout"
	case "extra":
		return "further fields of the case file"
	}
	if id, ok := strings.CutPrefix(field, minutesPrefix); ok {
		return "access minutes of " + id
	}
	return field
}
