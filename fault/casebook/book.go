package casebook

import (
	"context"
	"database/sql"
	"errors"
	"path/filepath"
	"sync"
	"time"

	"github.com/google/uuid"
)

// Options are what a Book takes from outside. The zero value is a casebook that
// is read and written, with the system's clock and UUIDv7 ids.
type Options struct {
	Now      func() time.Time     // nil = time.Now
	Ran      func() time.Duration // how long the program has run, whatever the clock says; nil = by the machine's own count, or, with a clock that was given, not known
	NewID    func() string        // nil = UUIDv7; what it gives must be unique
	ReadOnly bool                 // no command works, nothing is written, no copies are made
	NoCopies bool                 // no daily copy on opening
}

// A Book is an open casebook.
type Book struct {
	path   string
	now    func() time.Time
	newID  func() string
	ran    func() time.Duration
	clock  clock
	writer *sql.DB // one connection; nil when read-only
	reader *sql.DB

	copied  chan struct{} // closed when today's copy is made or is not needed
	copyErr error

	closing sync.Once
	closed  error
}

func newBook(path string, o Options) *Book {
	b := &Book{path: path, now: o.Now, newID: o.NewID, copied: make(chan struct{})}
	if b.now == nil {
		b.now = time.Now
	}
	if b.ran = o.Ran; b.ran == nil && o.Now == nil {
		begun := time.Now()
		b.ran = func() time.Duration { return time.Since(begun) }
	}
	if b.newID == nil {
		b.newID = newUUID
	}
	return b
}

// newUUID is a version 7 UUID: ids sort by the time they were made.
func newUUID() string {
	id, err := uuid.NewV7()
	if err != nil {
		panic(err) // the system has no random bytes; no id would be an id
	}
	return id.String()
}

// Path is the file.
func (b *Book) Path() string { return b.path }

// Head is the newest event. It changes with every command of any window that has
// the file open, so that comparing it tells whether there is something new.
func (b *Book) Head() (h Head, err error) {
	err = b.view(func(q queryer) error {
		h, err = head(q)
		return err
	})
	return h, err
}

// view runs f on one consistent state of the casebook.
func (b *Book) view(f func(q queryer) error) error {
	tx, err := b.reader.BeginTx(context.Background(), &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return b.plain(err)
	}
	defer tx.Rollback()
	return b.plain(f(tx))
}

func (b *Book) plain(err error) error {
	if errors.Is(err, sql.ErrConnDone) || errors.Is(err, sql.ErrTxDone) || err != nil && err.Error() == "sql: database is closed" {
		return &Error{Failed, b.path, "was closed", err}
	}
	return plain(b.path, err)
}

// Close waits for the daily copy, brings everything into the one file and closes
// it. While another window has the file open, it stays in WAL mode, and the last
// one to close does the rest. Closing again does nothing.
func (b *Book) Close() error {
	b.closing.Do(func() {
		<-b.copied
		if err := b.shut(); err != nil {
			b.closed = &Error{KindOf(b.plain(err)), b.path, unclosedText(b.plain(err), filepath.Base(b.path)), err}
		}
	})
	return b.closed
}

// tolerated are the errors that leave a file without a seal, and sound.
func tolerated(err error) error {
	switch KindOf(plain("", err)) {
	case Busy, Full, ReadOnly:
		return nil
	}
	return err
}

func unclosedText(err error, name string) string {
	text := "everything is saved, but not in one file: what lies beside it as " + name + "-wal belongs to it"
	if KindOf(err) == Full {
		text += "; the disk is full"
	}
	return text
}

func (b *Book) shut() error {
	err := b.reader.Close()
	if b.writer == nil {
		return err
	}
	// The switch needs the file alone. It is not waited for: another window
	// that has it open will do it.
	mode := b.writer.QueryRow(`PRAGMA busy_timeout = 200`)
	var ms int
	if scanErr := mode.Scan(&ms); scanErr != nil {
		err = errors.Join(err, scanErr)
	}
	// A seal that cannot be broken or made for want of room or right leaves the file
	// without one, or as it was: the audit tells.
	broken := breakSeal(b.writer)
	var now string
	if switchErr := b.writer.QueryRow(`PRAGMA journal_mode = DELETE`).Scan(&now); classify(switchErr) != Busy {
		err = errors.Join(err, switchErr)
		if switchErr == nil && broken == nil && now == "delete" {
			err = errors.Join(err, tolerated(sealFile(b.writer, b.path)))
		}
	}
	return errors.Join(err, b.writer.Close())
}
