package casebook

import (
	"context"
	"errors"
	"io/fs"
)

// A Kind says what a person can do about an error.
type Kind int

// Kinds of an Error.
const (
	Failed   Kind = iota // anything else
	Missing              // there is no such file, case, layout or reading
	Foreign              // the file is no casebook
	Damaged              // the file is a casebook, and broken
	Newer                // the file was written by a newer version of the program
	ReadOnly             // file or folder cannot be written
	Full                 // the disk is full
	Busy                 // another window or program holds the file for too long
	Exists               // the target is there already
	Refused              // the command makes no sense as things are
	Nothing              // there is nothing to undo or redo
)

// An Error is what went wrong, in plain words and in one line. Nothing was
// changed by the command that returned it.
type Error struct {
	Kind Kind
	Path string // the file that it is about; "" = none
	Text string
	Err  error // the cause; nil = none
}

// Error is "PATH: text", or the text alone.
func (e *Error) Error() string {
	if e.Path == "" {
		return e.Text
	}
	return e.Path + ": " + e.Text
}

// Unwrap gives the cause.
func (e *Error) Unwrap() error { return e.Err }

// KindOf is the kind of an error of this package; Failed for any other.
func KindOf(err error) Kind {
	var e *Error
	if errors.As(err, &e) {
		return e.Kind
	}
	return Failed
}

func refuse(text string) error { return &Error{Kind: Refused, Text: text} }

func missing(text string) error { return &Error{Kind: Missing, Text: text} }

// plain turns an error of SQLite or of the file system into an *Error about
// path. One that is an *Error already stays.
func plain(path string, err error) error {
	var own *Error
	switch {
	case err == nil:
		return nil
	case errors.As(err, &own):
		return err
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return &Error{Failed, path, "was stopped before it was done", err}
	case errors.Is(err, fs.ErrNotExist):
		return &Error{Missing, path, "there is no such file", err}
	case errors.Is(err, fs.ErrExist):
		return &Error{Exists, path, "is there already", err}
	case diskFull(err):
		return &Error{Full, path, "the disk is full; nothing of this was saved, and everything saved before is still there", err}
	case errors.Is(err, fs.ErrPermission), notWritable(err):
		return &Error{ReadOnly, path, "cannot be written: the file or its folder is read-only; nothing of this was saved", err}
	}
	return &Error{classify(err), path, wordsOf(err), err}
}

const damagedText = "is damaged; it was left as it is, and the newest copy beside it is the one to open"

// wordsOf says what SQLite's error means for the person.
func wordsOf(err error) string {
	switch classify(err) {
	case Busy:
		return "another window or program is writing to it and does not finish; nothing of this was saved, try again"
	case Damaged:
		return damagedText
	case Foreign:
		return "is no casebook"
	case ReadOnly:
		return "cannot be written: the file or its folder is read-only; nothing of this was saved"
	case Full:
		return "the disk is full; nothing of this was saved, and everything saved before is still there"
	case Missing:
		return "cannot be opened"
	}
	return "the casebook could not do this: " + err.Error()
}
