package format

import (
	"bytes"
	"fmt"

	"halfsplit/topology"
)

// A reader turns the tree of one file into values. It goes on after an error
// with zero values and keeps the one that stands first in the file.
type reader struct {
	file  string
	data  []byte
	err   *Error
	order int // offset by which errors are ordered
	notes []Note
	ids   *idSpace
	later []func(*topology.Net) // checks of references, run when every id is known
}

// newReader parses data and checks its format; want is what it should be.
func newReader(name string, data []byte, want string, ids *idSpace) (*reader, *object, *Error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	root, err := parse(name, data)
	if err != nil {
		return nil, nil, err
	}
	r := &reader{file: name, data: data, ids: ids}
	o := r.object(root, "")
	o.format(want, true)
	return r, o, r.err
}

// fail records an error at n, unless one that stands before it is known.
func (r *reader) fail(n *node, place, reason string, args ...any) {
	r.failAt(n.off, n.off, place, reason, args...)
}

func (r *reader) failAt(order, off int, place, reason string, args ...any) {
	if r.err != nil && r.order <= order {
		return
	}
	r.err, r.order = newError(r.file, r.data, place, off, fmt.Sprintf(reason, args...)), order
}

func (r *reader) note(place, text string) {
	r.notes = append(r.notes, Note{File: r.file, Place: place, Text: text})
}

// resolve runs the checks that need every id, if all is well so far.
func (r *reader) resolve(net *topology.Net) {
	if r.err != nil {
		return
	}
	for _, check := range r.later {
		check(net)
	}
	r.later = nil
}

// result is the error as an error: a nil *Error must not become a non-nil one.
func (r *reader) result() error {
	if r.err == nil {
		return nil
	}
	return r.err
}
