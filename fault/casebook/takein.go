package casebook

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// A Brought is what came of taking in a case from another casebook.
type Brought struct {
	CaseID, Title string
	New           bool      // the case was not here before
	Nothing       bool      // everything was here already: nothing was changed
	Rows          []Counted // that were new, by kind
	Events        int       // of the other casebook's log that came with it
	Said          []string  // what there is to know, in sentences
	From          Head      // newest event of the casebook that it came from
	File          Head      // newest event of the file, where it was made to hold the case alone
}

// Counted is how many rows of one kind, such as 24 readings.
type Counted struct {
	Word string // in the plural unless N is 1
	N    int
}

// What is what came in, in a few words: "24 readings, 3 states and 2 photos".
func (b Brought) What() string {
	var parts []string
	for _, k := range b.Rows {
		parts = append(parts, fmt.Sprintf("%d %s", k.N, k.Word))
	}
	switch n := len(parts); n {
	case 0:
		return "no new rows"
	case 1:
		return parts[0]
	default:
		return strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
	}
}

// CasesIn are the cases of another casebook file, the one that changed last first.
// The file is only read.
func CasesIn(path string) (out []CaseSummary, err error) {
	err = reading(path, func(b *Book) error {
		out, err = b.Cases("")
		return err
	})
	return out, err
}

// reading opens a casebook file for reading. One of an older format is read from a
// copy that is brought up to date and then removed: the file stays as it is.
func reading(path string, f func(*Book) error) error {
	o := Options{ReadOnly: true, NoCopies: true}
	b, err := Open(path, o)
	if KindOf(err) == ReadOnly && err != nil {
		dir, tempErr := os.MkdirTemp("", "halfsplit-*")
		if tempErr != nil {
			return plain(path, tempErr)
		}
		defer os.RemoveAll(dir)
		temp := filepath.Join(dir, "older.casebook")
		if b, err = openCopy(path, temp); err != nil {
			return relocate(plain(path, err), path)
		}
	}
	if err != nil {
		return err
	}
	return errors.Join(f(b), b.Close())
}

func openCopy(path, temp string) (*Book, error) {
	db, err := connect(path, looking, 1)
	if err != nil {
		return nil, err
	}
	err = writeCopy(context.Background(), db, temp)
	if err = errors.Join(err, db.Close()); err != nil {
		return nil, err
	}
	return Open(temp, Options{NoCopies: true})
}

// TakeIn takes a case in from another casebook file, by the case's id there; it may
// be here already. Rows are told apart by their keys, so that the work of two
// laptops on one case comes together reading by reading, and taking the same in
// again changes nothing. It is one command, which Undo takes back as a whole; what
// came of the other log stays in any case.
//
// The file is audited first: one that does not hold is refused.
func (b *Book) TakeIn(ctx context.Context, path, caseID string, by By) (out Brought, err error) {
	if own, err := os.Stat(b.path); err == nil {
		if other, err := os.Stat(path); err == nil && os.SameFile(own, other) {
			return out, &Error{Kind: Refused, Path: path, Text: "is the casebook that is open; there is nothing to take in from it"}
		}
	}
	err = reading(path, func(from *Book) error {
		r, err := from.Audit(ctx, "")
		if err != nil {
			return err
		}
		if !r.Holds() {
			return &Error{Kind: Damaged, Path: path, Text: "does not hold, and nothing of it was taken in: " + r.Problem}
		}
		return from.view(func(q queryer) error {
			out, err = b.takeIn(ctx, q, caseID, filepath.Base(path), false, by)
			return err
		})
	})
	return out, err
}

// takeIn is the command.
func (b *Book) takeIn(ctx context.Context, q queryer, caseID, file string, wraps bool, by By) (out Brought, err error) {
	if _, err := readCaseRow(q, caseID); err != nil {
		return out, err
	}
	there, err := gather(q, caseID)
	if err != nil {
		return out, err
	}
	scope := ScopeBook
	if _, err := readCaseRow(b.writer, caseID); err == nil {
		scope = caseID
	}
	out.From, out.File = there.source.head, there.source.file
	err = b.do(kindImport, caseID, scope, by, func(c *command) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		m, err := c.bringCase(there)
		if err != nil {
			return err
		}
		events, err := m.newEvents()
		if err != nil {
			return err
		}
		title, err := m.finish(ctx, &out)
		if err != nil {
			return err
		}
		if out.Nothing = len(c.touched) == 0 && len(events) == 0; out.Nothing {
			return nil
		}
		out.Events = len(events)
		c.subject, c.name = caseID, "take in the case "+title
		if !m.fresh {
			c.name = "take in " + out.What()
		}
		return m.record(events, file, wraps)
	})
	return out, err
}

// finish makes sure that the case makes sense with what came, and says what did.
func (m *merge) finish(ctx context.Context, out *Brought) (title string, err error) {
	if err := ctx.Err(); err != nil {
		return "", err
	}
	row, err := m.c.caseRow(m.there.id)
	if err != nil {
		return "", err
	}
	if len(m.c.touched) > 0 {
		if err := m.legal(row); err != nil {
			return "", err
		}
	}
	out.CaseID, out.Title, out.New, out.Said = row.id, row.title, m.fresh, m.said
	for _, t := range logged {
		if n := m.counts[t.name]; n > 0 && t.name != "imports" {
			out.Rows = append(out.Rows, Counted{plural(t, n), n})
		}
	}
	return row.title, nil
}

// legal makes sure that the case can be written as a case file. Readings from there
// may be of a newer layout than the one that is in use here.
func (m *merge) legal(row caseRow) error {
	check := func() error {
		whole, err := readCase(m.c.tx, row)
		if err == nil {
			_, err = legal(whole)
		}
		return err
	}
	err := check()
	version := m.versions[word(m.there.rows["cases"][m.there.id]["layout_version"])]
	if err == nil || KindOf(err) != Refused || version == "" || version == row.version {
		return refusedMerge(err)
	}
	was := row.version
	row.version = version
	if check() != nil {
		return refusedMerge(err)
	}
	if err := m.c.touch("cases", row.id); err != nil {
		return err
	}
	m.say("The case rests on the layout from there now: readings that came with it are of that version. The version that was in use here is kept.")
	m.kept["layout_version"] = was
	return m.c.exec(`UPDATE cases SET layout_version = ? WHERE id = ?`, version, row.id)
}

func refusedMerge(err error) error {
	if KindOf(err) != Refused || err == nil {
		return err
	}
	return &Error{Refused, "", "the case from there does not go with the one here, and nothing was taken in: " + err.Error(), err}
}

// A foreignEvent is an event of another casebook's log.
type foreignEvent struct {
	book string
	event
}

// newEvents are the events about the case that are not known here.
func (m *merge) newEvents() (out []foreignEvent, err error) {
	err = m.there.foreign(func(book string, e event) error {
		if !m.here.known[e.id] {
			out = append(out, foreignEvent{book, e})
		}
		return nil
	})
	slices.SortFunc(out, func(a, b foreignEvent) int { return cmp.Compare(a.hash, b.hash) })
	return out, err
}

// record writes the row of the import and the events that came with it.
func (m *merge) record(events []foreignEvent, file string, wraps bool) error {
	brought := map[string]int{}
	for name, n := range m.counts {
		if n > 0 && name != "imports" {
			brought[name] = n
		}
	}
	columns := map[string]any{"brought": brought, "took": m.took, "kept": m.kept, "said": m.said}
	for column, v := range columns {
		raw, err := encode(v)
		if err != nil {
			return err
		}
		if columns[column] = string(raw); column != "brought" && (string(raw) == "{}" || string(raw) == "null") {
			columns[column] = nil
		}
	}
	lines := make([]string, len(events))
	for i, e := range events {
		lines[i] = e.line()
	}
	src := m.there.source
	var fileSeq, fileHash any
	if src.file.Hash != "" {
		fileSeq, fileHash = src.file.Seq, src.file.Hash
	}
	id, ord := m.c.add("imports")
	err := m.c.exec(`INSERT INTO imports (id, seq, ord, case_id, wraps, book, head_seq, head_hash, file, file_seq, file_hash, brought, took, kept, said, events, chain)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`, id, m.c.seq, ord, m.there.id, wraps, src.book, src.head.Seq, src.head.Hash, orNull(file), fileSeq, fileHash,
		columns["brought"], columns["took"], columns["kept"], columns["said"], len(events), chainOf(lines))
	for i := 0; i < len(events) && err == nil; i++ {
		e := events[i]
		err = m.c.exec(`INSERT INTO foreign_events (hash, import_id, book, seq, id, at, who, kind, name, subject, case_id, scope, reverts, before, after, why, prev)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`, e.hash, id, e.book, e.seq, e.id, e.at, e.who, e.kind, e.name, e.subject, e.caseID, e.scope,
			e.reverts, e.before, e.after, e.why, e.prev)
	}
	return err
}

// line is what an import's hash covers of an event.
func (e foreignEvent) line() string { return e.hash + " " + e.book }

// chainOf is the hash over the lines of foreign events, which are sorted.
func chainOf(lines []string) string {
	sum := sha256.Sum256([]byte("halfsplit-foreign/1\n" + strings.Join(lines, "\n")))
	return hex.EncodeToString(sum[:])
}

// plural is what so many rows of a table are called.
func plural(t table, n int) string {
	switch {
	case n == 1:
		return t.word
	case t.name == "group_volts":
		return "lists of group volts"
	case t.name == "make_safe":
		return "entries of the make-safe record"
	case t.name == "provings":
		return "entries of the proving log"
	}
	return t.word + "s"
}

// WriteOne writes a case as one file: a casebook that holds this case alone, with its
// layout versions, photos and everything that was superseded or withdrawn, and the
// events about it. It appears under its name when it is complete. A file that is
// there already is an error of Kind Exists, unless overwrite says otherwise.
//
// It returns the head of this casebook that the file speaks of, and that of the file.
func (b *Book) WriteOne(ctx context.Context, caseID, path string, overwrite bool, by By) (from, file Head, err error) {
	if err := b.goodTarget(path, overwrite); err != nil {
		return from, file, plain(path, err)
	}
	temp, err := tempBeside(path)
	if err != nil {
		return from, file, plain(path, err)
	}
	defer removeAll(temp)
	if from, file, err = b.writeOne(ctx, caseID, temp, by); err != nil {
		return from, file, relocate(plain(temp, err), path)
	}
	if err := b.goodTarget(path, overwrite); err != nil { // again: it takes a while
		return from, file, plain(path, err)
	}
	return from, file, plain(path, place(temp, path, overwrite))
}

func (b *Book) writeOne(ctx context.Context, caseID, temp string, by By) (from, file Head, err error) {
	to := newBook(temp, Options{Now: b.now, NewID: b.newID})
	if err := makeNew(temp, to); err != nil {
		return from, file, err
	}
	if to.writer, err = connect(temp, making, 1); err != nil {
		return from, file, err
	}
	defer to.writer.Close()
	var out Brought
	err = b.view(func(q queryer) error {
		out, err = to.takeIn(ctx, q, caseID, filepath.Base(b.path), true, by)
		return err
	})
	if err != nil {
		return from, file, err
	}
	if !out.New {
		return from, file, &Error{Kind: Failed, Text: "the case could not be written by itself"}
	}
	if file, err = head(to.writer); err != nil {
		return from, file, err
	}
	return out.From, file, sealFile(to.writer, temp)
}
