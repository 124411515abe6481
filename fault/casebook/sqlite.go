//go:build cgo

package casebook

import (
	"database/sql/driver"
	"errors"

	sqlite3 "github.com/mattn/go-sqlite3"
)

// sqlite is the driver with what every connection has to be told and the DSN
// has no word for: functions and views of the file are not trusted, because
// files come from others, and cells are checked as they are read.
func sqlite() driver.Driver {
	return &sqlite3.SQLiteDriver{ConnectHook: func(c *sqlite3.SQLiteConn) error {
		_, err := c.Exec("PRAGMA trusted_schema = OFF; PRAGMA cell_size_check = ON", nil)
		return err
	}}
}

// classify sorts SQLite's errors by what a person can do about them.
func classify(err error) Kind {
	var e sqlite3.Error
	if !errors.As(err, &e) {
		return Failed
	}
	switch e.Code {
	case sqlite3.ErrBusy, sqlite3.ErrLocked:
		return Busy
	case sqlite3.ErrCorrupt:
		return Damaged
	case sqlite3.ErrNotADB:
		return Foreign
	case sqlite3.ErrFull:
		return Full
	case sqlite3.ErrReadonly, sqlite3.ErrPerm:
		return ReadOnly
	case sqlite3.ErrIoErr, sqlite3.ErrCantOpen:
		return byErrno(e)
	}
	return Failed
}

// byErrno looks at what the system said to SQLite.
func byErrno(e sqlite3.Error) Kind {
	switch {
	case e.SystemErrno == 0:
	case diskFull(e.SystemErrno):
		return Full
	case notWritable(e.SystemErrno), errors.Is(e.SystemErrno, errPermission):
		return ReadOnly
	}
	if e.Code == sqlite3.ErrCantOpen {
		return Missing
	}
	return Failed
}

// unfinished says whether a read-only connection gave up because the last
// writer was cut off and its work has to be rolled back or played in first.
func unfinished(err error) bool {
	var e sqlite3.Error
	if !errors.As(err, &e) {
		return false
	}
	switch e.ExtendedCode {
	case sqlite3.ErrReadonlyRollback, sqlite3.ErrReadonlyRecovery, sqlite3.ErrReadonlyCantLock:
		return true
	}
	return false
}
