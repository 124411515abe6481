package casebook_test

import (
	"context"
	"database/sql"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"halfsplit/fault/casebook"
)

// tamper changes a copy of a casebook from outside: the guards are taken out,
// the change is made, and the guards are put back as they were. It returns what
// the audit says of it.
func tamper(t *testing.T, good []byte, change func(db *sql.DB)) casebook.Report {
	t.Helper()
	path := filepath.Join(t.TempDir(), "x.casebook")
	write(t, path, good)
	db := rawOpen(t, path)
	must(db.Exec("PRAGMA ignore_check_constraints = ON; PRAGMA foreign_keys = OFF; PRAGMA synchronous = OFF; PRAGMA journal_mode = MEMORY")).or(t)
	guards := map[string]string{}
	rows := must(db.Query("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY rowid")).or(t)
	var order []string
	for rows.Next() {
		var name, text string
		check(t, rows.Scan(&name, &text))
		guards[name] = text
		order = append(order, name)
	}
	check(t, rows.Close())
	for _, name := range order {
		must(db.Exec("DROP TRIGGER " + name)).or(t)
	}
	change(db)
	for _, name := range order {
		must(db.Exec(guards[name])).or(t)
	}
	// Without a seal: what is found is found by the log.
	must(db.Exec("UPDATE seal SET sha256 = zeroblob(32)")).or(t)
	check(t, db.Close())
	return must(casebook.AuditFile(context.Background(), path, "")).or(t)
}

// caught wants the audit to say that something does not hold, in these words.
func caught(t *testing.T, r casebook.Report, what, words string) {
	t.Helper()
	if r.Holds() || !strings.Contains(r.Problem, words) || strings.Contains(r.Problem, "\n") {
		t.Errorf("%s: the audit says %q, want %q", what, r.Problem, words)
	}
}

var allTables = []string{"head", "events", "steps", "blobs", "layouts", "layout_versions", "cases", "states", "instruments", "instrument_ranges",
	"resistors", "group_volts", "group_volt_values", "readings", "noted", "make_safe", "provings", "imports", "foreign_events", "findings", "photos", "layout_photos", "signoffs", "settings", "marks"}

// Taking the guards out and putting them back changes nothing: what the other
// tests find is what they changed.
func TestAudit_Control(t *testing.T) {
	good := read(t, sample(t))
	r := tamper(t, good, func(*sql.DB) {})
	if !r.Holds() || r.Events < 15 || r.Since != -1 {
		t.Errorf("%+v", r)
	}
}

// One byte, in any column of any row of any table: the audit finds it.
func TestAudit_FindsEveryChangedByte(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 4))
	good := read(t, sample(t))
	db := rawOpen(t, writeTemp(t, good))
	for _, table := range allTables {
		for _, column := range columnsOf(t, db, table) {
			for range repeats(table) {
				row := pick(t, db, rng, table, column)
				if row == 0 {
					break // NULL in every row
				}
				var was, is any
				r := tamper(t, good, func(db *sql.DB) {
					was, is = changeByte(t, db, rng, table, column, row)
				})
				if r.Holds() {
					t.Errorf("%s.%s of row %d: %v became %v, and the audit holds", table, column, row, was, is)
				}
			}
		}
	}
}

// repeats is how many changes are tried in a column: more where evidence is.
func repeats(table string) int {
	if table == "events" || table == "readings" {
		return rounds(3, 40)
	}
	return rounds(1, 10)
}

func writeTemp(t *testing.T, data []byte) string {
	path := filepath.Join(t.TempDir(), "x.casebook")
	write(t, path, data)
	return path
}

func columnsOf(t *testing.T, db *sql.DB, table string) (out []string) {
	rows := must(db.Query("SELECT name FROM pragma_table_info(?)", table)).or(t)
	defer rows.Close()
	for rows.Next() {
		var name string
		check(t, rows.Scan(&name))
		out = append(out, name)
	}
	return out
}

// pick is one row, counted from 1, that has something in a column; 0 = none has.
func pick(t *testing.T, db *sql.DB, rng *rand.Rand, table, column string) int {
	var n int
	check(t, db.QueryRow(fmt.Sprintf("SELECT count(%s) FROM %s", column, table)).Scan(&n))
	if n == 0 {
		return 0
	}
	return 1 + rng.IntN(n)
}

// changeByte changes one bit of one value. Tables without rowids are addressed
// by their key.
func changeByte(t *testing.T, db *sql.DB, rng *rand.Rand, table, column string, row int) (was, is any) {
	key := "rowid"
	switch table {
	case "instrument_ranges":
		key = "instrument_id || n"
	case "group_volt_values":
		key = "set_id || n"
	}
	var at any
	query := fmt.Sprintf("SELECT %s, %s FROM %s WHERE %s IS NOT NULL LIMIT 1 OFFSET %d", key, column, table, column, row-1)
	check(t, db.QueryRow(query).Scan(&at, &was))
	for range 50 { // a key may meet another row's
		is = bitChanged(rng, was, column == "withdrawn" || column == "undone")
		if _, err := db.Exec(fmt.Sprintf("UPDATE %s SET %s = ? WHERE %s = ?", table, column, key), is, at); err == nil {
			return was, is
		}
	}
	t.Fatalf("%s.%s of row %d cannot be changed", table, column, row)
	return was, is
}

func bitChanged(rng *rand.Rand, was any, yesOrNo bool) any {
	switch v := was.(type) {
	case int64:
		if yesOrNo {
			return 1 - v
		}
		return v ^ 1<<rng.IntN(8)
	case float64:
		return math.Float64frombits(math.Float64bits(v) ^ 1<<rng.IntN(52))
	case string:
		return flip(rng, []byte(v))
	}
	return []byte(flip(rng, was.([]byte)))
}

// flip changes one bit of a text so that it stays a text.
func flip(rng *rand.Rand, b []byte) string {
	if len(b) == 0 {
		return "x"
	}
	out := append([]byte(nil), b...)
	out[rng.IntN(len(out))] ^= 1
	return string(out)
}

// A row that is gone, or one that nobody recorded, shows in every table.
func TestAudit_FindsMissingAndForeignRows(t *testing.T) {
	good := read(t, sample(t))
	for _, table := range allTables {
		key := "rowid"
		switch table {
		case "instrument_ranges", "group_volt_values":
			key = "n"
		}
		r := tamper(t, good, func(db *sql.DB) {
			must(db.Exec(fmt.Sprintf("DELETE FROM %s WHERE %s = (SELECT max(%s) FROM %s)", table, key, key, table))).or(t)
		})
		if r.Holds() {
			t.Errorf("a row of %s is missing, and the audit holds", table)
		}
	}
	added := map[string]string{
		"readings": `INSERT INTO readings SELECT 'other', seq, 9, case_id, layout_version, 'r99', at, state_id, quantity, red, black, value, raw, relation,
			instrument, range_max, resistor, resistor_from, resistor_to, test_volts, together_with, after_touch_s, who, note, supersedes, why, extra, stands, answer, answered_by FROM readings LIMIT 1`,
		"states":            `INSERT INTO states (id, seq, ord, case_id, label) SELECT 'other', seq, 9, case_id, 's99' FROM states LIMIT 1`,
		"cases":             `INSERT INTO cases SELECT 'other', seq, layout_version, title, symptom, present, source, extra, minutes FROM cases LIMIT 1`,
		"noted":             `INSERT INTO noted SELECT 'other', seq, 9, case_id, layout_version, 'n99', at, who, place, what, why, extra FROM noted LIMIT 1`,
		"marks":             `INSERT INTO marks SELECT 'other', seq, subject, 0 FROM marks LIMIT 1`,
		"settings":          `INSERT INTO settings VALUES ('other', 'x')`,
		"group_volt_values": `INSERT INTO group_volt_values SELECT set_id, 9, volts FROM group_volt_values LIMIT 1`,
		"steps":             `INSERT INTO steps SELECT 1, scope, undone FROM steps LIMIT 1`,
	}
	for table, query := range added {
		r := tamper(t, good, func(db *sql.DB) { must(db.Exec(query)).or(t) })
		if r.Holds() {
			t.Errorf("a row of %s was added, and the audit holds", table)
		}
	}
}

// The words name what is wrong.
func TestAudit_Words(t *testing.T) {
	good := read(t, sample(t))
	tests := map[string]struct{ query, words string }{
		"reading changed":       {`UPDATE readings SET value = 51.5 WHERE label = 'r1'`, "reading r1 "},
		"as it was and is":      {`UPDATE readings SET value = 51.5 WHERE label = 'r1'`, "value was 5.25 and is 51.5"},
		"reading hidden":        {`DELETE FROM readings WHERE label = 'r4'`, "is missing"},
		"event changed":         {`UPDATE events SET who = 'Ben' WHERE seq = 5`, "event 5 (M03+ to chassis 5.25 V"},
		"event missing":         {`DELETE FROM events WHERE seq = 5`, "event 5 is missing"},
		"first event missing":   {`DELETE FROM events WHERE seq = 1`, "event 1 is missing"},
		"two events exchanged":  {exchanged, "does not continue event 4"},
		"last events missing":   {`DELETE FROM events WHERE seq > 10`, "events are missing at the end"},
		"cut with its head":     {`DELETE FROM events WHERE seq > 10; UPDATE head SET seq = 10, hash = (SELECT hash FROM events WHERE seq = 10)`, "no event recorded it"},
		"photo changed":         {`UPDATE blobs SET bytes = CAST('a pikture' AS BLOB) WHERE bytes = CAST('a picture' AS BLOB)`, "stored bytes were changed"},
		"photo gone":            {`DELETE FROM blobs WHERE bytes = CAST('a picture' AS BLOB)`, "stored bytes are missing"},
		"reading restored":      {`UPDATE marks SET withdrawn = 0`, "withdrawn was 1 and is 0"},
		"setting changed":       {`UPDATE settings SET value = 'x' WHERE key = 'emergency'`, "setting emergency is not as event"},
		"a guard of its own":    {`CREATE TRIGGER t AFTER INSERT ON readings BEGIN DELETE FROM settings; END`, "trigger t does not belong to it"},
		"a table of its own":    {`CREATE TABLE notes (a)`, "table notes does not belong to it"},
		"an index is missing":   {`DROP INDEX readings_by_case`, "index readings_by_case is missing"},
		"a rule of the columns": {`UPDATE readings SET quantity = 'vults' WHERE label = 'r1'`, `quantity was "volts" and is "vults"`},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			caught(t, tamper(t, good, func(db *sql.DB) { must(db.Exec(tt.query)).or(t) }), name, tt.words)
		})
	}
}

const exchanged = `UPDATE events SET seq = -5 WHERE seq = 5; UPDATE events SET seq = 5 WHERE seq = 6; UPDATE events SET seq = 6 WHERE seq = -5`

// The guards keep a careless program from changing what was recorded.
func TestGuards_RefuseChanges(t *testing.T) {
	db := rawOpen(t, sample(t))
	for _, query := range []string{
		`UPDATE readings SET value = 1`, `DELETE FROM readings`, `UPDATE events SET who = 'Ben'`, `DELETE FROM events`,
		`UPDATE group_volt_values SET volts = 1`, `DELETE FROM marks`, `UPDATE states SET open = '[]'`, `DELETE FROM cases`,
		`UPDATE blobs SET bytes = x'00'`, `UPDATE layout_versions SET body = body WHERE number = 1`, `DELETE FROM settings`,
	} {
		if _, err := db.Exec(query); err == nil {
			t.Errorf("%s went through", query)
		}
	}
}

// A file that was rewritten as a whole holds in itself. Only a head that was
// written down elsewhere tells.
func TestAudit_ExpectedHead(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	noted := must(b.Head()).or(t)
	ctx := context.Background()
	if r := must(b.Audit(ctx, noted.Hash)).or(t); !r.Holds() || r.Since != 0 || r.Head != noted.Hash || r.Events != noted.Seq {
		t.Errorf("%+v", r)
	}
	earlier := filepath.Join(t.TempDir(), "earlier.casebook")
	check(t, b.SaveAs(ctx, earlier, false))
	must(b.AddReading(id, volts("M01+", "chassis", 2), anna)).or(t)
	must(b.AddReading(id, volts("M01+", "chassis", 3), anna)).or(t)
	if r := must(b.Audit(ctx, noted.Hash)).or(t); !r.Holds() || r.Since != 2 {
		t.Errorf("%+v", r)
	}
	now := must(b.Head()).or(t)
	r := must(casebook.AuditFile(ctx, earlier, "")).or(t) // as if cut short, rows and all
	if !r.Holds() {
		t.Error(r.Problem)
	}
	caught(t, must(casebook.AuditFile(ctx, earlier, now.Hash)).or(t), "cut short", "no event has the expected hash")
	other := newBook(t)
	newCase(t, other)
	caught(t, must(other.Audit(ctx, noted.Hash)).or(t), "another chain", "no event has the expected hash")
}

// A clock that is set back is noted, and no error.
func TestAudit_ClockSetBack(t *testing.T) {
	now := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	o := casebook.Options{NoCopies: true, Now: func() time.Time { return now }}
	b := must(casebook.Create(filepath.Join(t.TempDir(), "x.casebook"), o)).do(t, closing)
	id, _ := newCase(t, b)
	now = now.Add(-2 * time.Hour)
	must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	r := holds(t, b)
	if len(r.Notes) != 1 || !strings.Contains(r.Notes[0], "the clock went back by 2 h 00 min between events 3 and 4") {
		t.Errorf("%q", r.Notes)
	}
}

func TestAudit_CanBeStopped(t *testing.T) {
	b := newBook(t)
	newCase(t, b)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := b.Audit(ctx, "")
	wantKind(t, err, casebook.Failed, "was stopped")
}
