package casebook

import (
	"encoding/json"
	"maps"
	"slices"
)

// ScopeBook is the scope of what happens to the casebook as a whole: cases begun
// or imported, layouts imported. A case and a layout are scopes of their own, by
// their ids; so is each setting.
const ScopeBook = "book"

// ScopeSetting is the scope of one setting.
func ScopeSetting(key string) string { return "setting:" + key }

// Undo takes back the newest command of a scope and returns its name. Nothing
// leaves the file: rows that the command added are marked as withdrawn, rows that
// it changed get their old values by a new event. Kind Nothing if there is none,
// Refused if something else rests on it by now.
func (b *Book) Undo(scope string, by By) (name string, err error) {
	return b.turn(kindUndo, scope, by)
}

// Redo does again what the last Undo of a scope took back.
func (b *Book) Redo(scope string, by By) (name string, err error) {
	return b.turn(kindRedo, scope, by)
}

// UndoName is the name of the command that Undo would take back, "" for none.
func (b *Book) UndoName(scope string) (string, error) { return b.turnName(kindUndo, scope) }

// RedoName is the name of the command that Redo would do again, "" for none.
func (b *Book) RedoName(scope string) (string, error) { return b.turnName(kindRedo, scope) }

func (b *Book) turnName(kind, scope string) (name string, err error) {
	err = b.view(func(q queryer) error {
		e, ok, err := target(q, kind, scope)
		if ok {
			name = e.name
		}
		return err
	})
	return name, err
}

// target is the event that an undo or a redo would be about.
func target(q queryer, kind, scope string) (e event, ok bool, err error) {
	which := `SELECT max(seq) FROM steps WHERE scope = ? AND undone = 0`
	if kind == kindRedo {
		which = `SELECT min(seq) FROM steps WHERE scope = ? AND undone = 1`
	}
	ok, err = one(q, `SELECT `+eventColumns+` FROM events WHERE seq = (`+which+`)`, []any{scope}, e.fields()...)
	return e, ok, err
}

// step keeps the list of what can be undone: a new command ends what could be
// redone.
func (c *command) step() error {
	switch {
	case c.scope == "":
		return nil
	case c.reverts != 0:
		return c.exec(`UPDATE steps SET undone = ? WHERE seq = ?`, c.kind == kindUndo, c.reverts)
	}
	if err := c.exec(`DELETE FROM steps WHERE scope = ? AND undone = 1`, c.scope); err != nil {
		return err
	}
	return c.exec(`INSERT INTO steps (seq, scope, undone) VALUES (?, ?, 0)`, c.seq, c.scope)
}

// turn undoes or redoes one command.
func (b *Book) turn(kind, scope string, by By) (name string, err error) {
	err = b.do(kind, "", scope, by, func(c *command) error {
		e, ok, err := target(c.tx, kind, scope)
		switch {
		case err != nil:
			return err
		case !ok:
			return &Error{Kind: Nothing, Text: "there is nothing to " + kind}
		}
		if err := c.needTurnable(e); err != nil {
			return err
		}
		name = e.name
		c.name, c.subject, c.caseID, c.reverts = kind+": "+e.name, e.subject, e.caseID, e.seq
		if err := c.applyTurn(e, kind == kindUndo); err != nil || onlyEvidence(e) {
			return err
		}
		return c.checkTouched()
	})
	return name, err
}

// onlyEvidence says that an event added readings and the like and nothing else.
// Their layout version has been frozen since, so that the case, which was legal
// with and without them, is so again. A state may have been recorded on a draft
// that has changed since.
func onlyEvidence(e event) bool {
	after, err := decodeRows(e.after)
	for name := range after {
		switch name {
		case "readings", "group_volts", "photos", "marks", "signoffs", "clock_steps":
		default:
			return false
		}
	}
	return err == nil && e.before == ""
}

// needTurnable refuses to turn the commands of a case or a layout that was itself
// withdrawn.
func (c *command) needTurnable(e event) error {
	if e.caseID != "" && e.scope == e.caseID {
		_, err := c.caseRow(e.caseID)
		return err
	}
	is, err := one(c.tx, `SELECT 1 FROM layouts WHERE id = ?`, []any{e.scope}, new(int))
	if err == nil && is {
		_, err = newestVersion(c.tx, e.scope)
	}
	return err
}

// applyTurn brings the rows of an event back to what they were before it, or to
// what they were after it.
func (c *command) applyTurn(e event, back bool) error {
	before, err := decodeRows(e.before)
	if err != nil {
		return err
	}
	after, err := decodeRows(e.after)
	if err != nil {
		return err
	}
	for key := range after["settings"] { // a setting that was never set before has no value again
		if before["settings"] == nil {
			unset, err := encode(map[string]string{"key": key})
			if err != nil {
				return err
			}
			before["settings"] = map[string]string{key: string(unset)}
		}
	}
	from, to := after, before
	if !back {
		from, to = before, after
	}
	marked := marksWithin(before, after)
	for _, t := range logged {
		for _, key := range slices.Sorted(maps.Keys(after[t.name])) {
			_, changed := before[t.name][key]
			switch {
			case t.name == "clock_steps": // is about the machine
			case t.name == "marks" && marked.own[key]: // goes with its row
			case t.name == "marks":
				err = c.turnMark(after[t.name][key], back, after["cases"])
			case changed:
				err = c.writeBack(t, key, from[t.name][key], to[t.name][key])
			case t.name == "layout_versions" && back:
				if err = c.needUnused(key, after["cases"]); err == nil {
					err = c.mark(key, back)
				}
			default:
				err = c.mark(key, back || marked.withdrawn[key])
			}
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// marksOn are marks of an event on rows that the same event added: the row goes and
// comes back as it was marked then.
type marksOn struct {
	own       map[string]bool // by key of the mark
	withdrawn map[string]bool // by key of the row
}

func marksWithin(before, after map[string]map[string]string) marksOn {
	added := map[string]bool{}
	for name, rows := range after {
		for key := range rows {
			if _, changed := before[name][key]; !changed {
				added[key] = true
			}
		}
	}
	out := marksOn{map[string]bool{}, map[string]bool{}}
	for key, row := range after["marks"] {
		var m markRow
		if json.Unmarshal([]byte(row), &m) == nil && added[m.Subject] {
			out.own[key], out.withdrawn[m.Subject] = true, m.Withdrawn == 1
		}
	}
	return out
}

// A markRow is a mark as the log writes it.
type markRow struct {
	ID        string `json:"id"`
	Subject   string `json:"subject"`
	Withdrawn int64  `json:"withdrawn"`
}

// turnMark answers a mark by its opposite, or by the same again. A layout version
// that a case rests on by now stays, unless the case goes along.
func (c *command) turnMark(row string, back bool, along map[string]string) error {
	var m markRow
	if err := json.Unmarshal([]byte(row), &m); err != nil {
		return err
	}
	withdrawn := (m.Withdrawn == 1) != back
	if withdrawn {
		if err := c.needUnused(m.Subject, along); err != nil {
			return err
		}
	}
	return c.mark(m.Subject, withdrawn)
}

// mark withdraws a row, or restores it.
func (c *command) mark(subject string, withdrawn bool) error {
	key, _ := c.add("marks")
	return c.exec(`INSERT INTO marks (id, seq, subject, withdrawn) VALUES (?, ?, ?, ?)`, key, c.seq, subject, withdrawn)
}

// live is the condition that the row t was not withdrawn.
const live = `COALESCE((SELECT withdrawn FROM marks WHERE subject = t.id ORDER BY seq DESC LIMIT 1), 0) = 0`

// The columns of a row that may change, by table.
var writeBacks = map[string]string{
	"cases": `UPDATE cases SET layout_version = ?1 ->> 'layout_version', title = ?1 ->> 'title',
		symptom = ?1 ->> 'symptom', present = ?1 ->> 'present', minutes = ?1 ->> 'minutes' WHERE id = ?1 ->> 'id'`,
	"layout_versions": `UPDATE layout_versions SET name = ?1 ->> 'name', body = ?1 ->> 'body' WHERE id = ?1 ->> 'id'`,
	"settings":        `UPDATE settings SET value = ?1 ->> 'value' WHERE key = ?1 ->> 'key'`,
}

// writeBack gives a row that a command changed other values, unless somebody
// changed it in the meantime.
func (c *command) writeBack(t table, key, from, to string) error {
	now, err := snapshot(c.tx, t, key)
	switch {
	case err != nil:
		return err
	case now != from:
		return refuse("this " + t.word + " was changed elsewhere since; it stays as it is")
	case t.name == "layout_versions":
		if err := c.needDraft(key); err != nil {
			return err
		}
	}
	if err := c.touch(t.name, key); err != nil {
		return err
	}
	return c.exec(writeBacks[t.name], to)
}

// decodeRows reads the rows of an event by table and key.
func decodeRows(text string) (map[string]map[string]string, error) {
	out := map[string]map[string]string{}
	if text == "" {
		return out, nil
	}
	var lists map[string][]json.RawMessage
	if err := json.Unmarshal([]byte(text), &lists); err != nil {
		return nil, err
	}
	for name, list := range lists {
		t, ok := tableOf(name)
		if !ok {
			continue
		}
		out[name] = map[string]string{}
		for _, raw := range list {
			var row map[string]json.RawMessage
			var key string
			if err := json.Unmarshal(raw, &row); err != nil {
				return nil, err
			}
			if err := json.Unmarshal(row[t.key], &key); err != nil {
				return nil, err
			}
			out[name][key] = string(raw)
		}
	}
	return out, nil
}
