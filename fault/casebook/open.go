package casebook

import (
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
)

// applicationID marks a file as a casebook: "HSCB".
const applicationID = 0x48534342

// Open opens a casebook. One that was written by an older version is brought up
// to date after a copy was put beside it. A file that is damaged, foreign or
// newer is refused with that Kind and not written to.
//
// Today's copy is made in the background if it is missing; CopyDone waits for it.
func Open(path string, o Options) (*Book, error) {
	version, err := inspect(path)
	if KindOf(plain(path, err)) == ReadOnly {
		return nil, &Error{Failed, path, "may not be read by this user", err}
	}
	if err == nil && version < len(migrations()) {
		err = upgrade(path, o.ReadOnly, migrations())
	}
	if err != nil {
		return nil, plain(path, err)
	}
	b := newBook(path, o)
	if err := b.open(o.ReadOnly); err != nil {
		return nil, plain(path, err)
	}
	if o.ReadOnly || o.NoCopies {
		close(b.copied)
	} else {
		go b.copyToday()
	}
	return b, nil
}

// open connects.
func (b *Book) open(readOnly bool) (err error) {
	if !readOnly {
		if err = b.openWriter(); err != nil {
			return err
		}
	}
	b.reader, err = connect(b.path, looking, 4)
	if err != nil && b.writer != nil {
		b.writer.Close()
	}
	return err
}

func (b *Book) openWriter() (err error) {
	if b.writer, err = connect(b.path, writing, 1); err != nil {
		return err
	}
	if err = writable(b.writer); err != nil {
		b.writer.Close()
	}
	return err
}

// writable finds out now, not at the first reading, that a file is read-only: a
// connection that asked to write gets one for reading without a word.
func writable(db *sql.DB) error {
	_, err := db.Exec(`UPDATE head SET one = one WHERE 0`) // BEGIN IMMEDIATE alone would go through
	return err
}

// inspect looks at a file without writing to it: of which format it is, or why
// it should not be opened.
func inspect(path string) (version int, err error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return 0, err
	case info.IsDir():
		return 0, &Error{Kind: Foreign, Path: path, Text: "is a folder, not a casebook"}
	case !info.Mode().IsRegular():
		return 0, &Error{Kind: Foreign, Path: path, Text: "is not a file that can be opened as a casebook"}
	case info.Size() == 0:
		return 0, &Error{Kind: Foreign, Path: path, Text: "is empty and no casebook"}
	}
	version, err = inspectBy(path, looking)
	if unfinished(err) && isOurs(path) {
		// A crash left work half done, which SQLite finishes as soon as the
		// file is opened for writing.
		return inspectBy(path, finishing)
	}
	return version, err
}

// inspectBy tells whose file it is, how old, and whether it is sound.
func inspectBy(path string, params url.Values) (version int, err error) {
	db, err := connect(path, params, 1)
	if err != nil {
		return 0, err
	}
	defer db.Close()
	owner := 0
	if _, err := one(db, `PRAGMA application_id`, nil, &owner); err != nil {
		return 0, err
	}
	if owner != applicationID {
		return 0, &Error{Kind: Foreign, Path: path, Text: "belongs to another program and is no casebook"}
	}
	if _, err := one(db, `PRAGMA user_version`, nil, &version); err != nil {
		return 0, err
	}
	if known := len(migrations()); version > known {
		return 0, &Error{Kind: Newer, Path: path, Text: fmt.Sprintf(
			"was written by a newer version of this program (its format is %d, and this one knows up to %d); it was left as it is", version, known)}
	}
	return version, sound(db, path)
}

// sound runs SQLite's own check of the file's structure.
func sound(db queryer, path string) error {
	var what string
	if _, err := one(db, `PRAGMA quick_check(1)`, nil, &what); err != nil {
		return err
	}
	if what != "ok" {
		return &Error{Damaged, path, damagedText, errors.New(what)}
	}
	return nil
}

// isOurs reads the mark in the header by itself, for a file that SQLite will not
// read without writing to it.
func isOurs(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	var header [72]byte
	if _, err := f.ReadAt(header[:], 0); err != nil {
		return false
	}
	id := uint32(header[68])<<24 | uint32(header[69])<<16 | uint32(header[70])<<8 | uint32(header[71])
	return id == applicationID
}
