package format

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

type kind int

const (
	nullKind kind = iota
	boolKind
	numberKind
	textKind
	listKind
	objectKind
)

// String is the kind as a message names it.
func (k kind) String() string {
	return [...]string{"null", "true or false", "a number", "a text", "a list", "an object"}[k]
}

// A node is one JSON value with the bytes that it stands on, which encoding/json
// alone does not tell.
type node struct {
	kind     kind
	off, end int // in the data
	text     string
	number   json.Number
	truth    bool
	list     []*node
	members  []member
}

type member struct {
	key   string
	off   int // of the key
	value *node
}

// parse reads the whole of data as one JSON object. Duplicate keys, text after
// the end, invalid UTF-8 and lone surrogates are errors. A byte order mark at
// the start is passed over.
func parse(file string, data []byte) (*node, *Error) {
	p := &parser{file: file, data: data}
	if len(data) > MaxBytes {
		return nil, p.fail(0, "the file is larger than %d MB", MaxBytes>>20)
	}
	if off := invalidUTF8(data); off >= 0 {
		return nil, p.fail(off, "byte 0x%02x is not valid UTF-8", data[off])
	}
	p.dec = json.NewDecoder(bytes.NewReader(data))
	p.dec.UseNumber()
	root, err := p.value()
	if err != nil {
		return nil, err
	}
	if end := p.next(); end < len(data) {
		return nil, p.fail(end, "there is more text after the end of the object")
	}
	if root.kind != objectKind {
		return nil, p.fail(root.off, "must be an object, not %s", root.kind)
	}
	return root, nil
}

type parser struct {
	file  string
	data  []byte
	dec   *json.Decoder
	path  []pathStep
	depth int
	count int // values so far
}

// A pathStep is a field, or an element of a list; it is written when something is
// wrong alone.
type pathStep struct {
	key   string
	index int // -1 = a field
}

func (p *parser) fail(off int, reason string, args ...any) *Error {
	var place strings.Builder
	for _, s := range p.path {
		if s.index >= 0 {
			fmt.Fprintf(&place, "[%d]", s.index)
			continue
		}
		place.WriteString("." + shownKey(s.key))
	}
	return newError(p.file, p.data, strings.TrimPrefix(place.String(), "."), off, fmt.Sprintf(reason, args...))
}

func newError(file string, data []byte, place string, off int, reason string) *Error {
	switch {
	case place == "":
		place = "top level"
	case len(place) > 100:
		place = strings.ToValidUTF8(place[:100], "") + "…"
	}
	line, column := at(data, off)
	return &Error{File: file, Place: place, Line: line, Column: column, Reason: reason}
}

// next is where the next token starts.
func (p *parser) next() int {
	i := int(p.dec.InputOffset())
	for i < len(p.data) && strings.IndexByte(" \t\r\n,:", p.data[i]) >= 0 {
		i++
	}
	return i
}

func (p *parser) token() (json.Token, int, *Error) {
	off := p.next()
	t, err := p.dec.Token()
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		if len(bytes.TrimSpace(p.data)) == 0 {
			return nil, off, p.fail(off, "the file is empty")
		}
		return nil, off, p.fail(len(p.data), "the file ends before its object does")
	case err != nil:
		return nil, off, p.fail(off, "this is not JSON: %s", strings.TrimPrefix(err.Error(), "json: "))
	}
	return t, off, nil
}

func (p *parser) value() (*node, *Error) {
	t, off, err := p.token()
	if err != nil {
		return nil, err
	}
	if p.count++; p.count > maxValues {
		return nil, p.fail(off, "the file holds more than %d values", maxValues)
	}
	n := &node{off: off}
	switch t := t.(type) {
	case bool:
		n.kind, n.truth = boolKind, t
	case json.Number:
		n.kind, n.number = numberKind, t
	case string:
		n.kind, n.text = textKind, t
		err = p.surrogates(off)
	case json.Delim:
		if p.depth++; p.depth > maxDepth {
			return nil, p.fail(off, "objects and lists are nested deeper than %d levels", maxDepth)
		}
		if t == '{' {
			n.kind = objectKind
			err = p.object(n)
		} else {
			n.kind = listKind
			err = p.elements(n)
		}
		p.depth--
	}
	n.end = int(p.dec.InputOffset())
	return n, err
}

func (p *parser) object(n *node) *Error {
	var seen map[string]bool // of an object with many fields
	for p.dec.More() {
		t, off, err := p.token()
		if err != nil {
			return err
		}
		key, ok := t.(string)
		if !ok {
			return p.fail(off, "this is not JSON: a key must be a text")
		}
		p.path = append(p.path, pathStep{key, -1})
		if err := p.surrogates(off); err != nil {
			return err
		}
		if n.has(key, &seen) {
			return p.fail(off, "the key %s appears twice in this object", quote(key))
		}
		v, err := p.value()
		if err != nil {
			return err
		}
		p.path = p.path[:len(p.path)-1]
		n.members = append(n.members, member{key, off, v})
	}
	_, _, err := p.token()
	return err
}

// has says whether an object has a field already, and takes it down in seen once there
// are too many to look through.
func (n *node) has(key string, seen *map[string]bool) bool {
	const few = 24
	if len(n.members) < few {
		return slices.ContainsFunc(n.members, func(m member) bool { return m.key == key })
	}
	if *seen == nil {
		*seen = make(map[string]bool, 2*few)
		for _, m := range n.members {
			(*seen)[m.key] = true
		}
	}
	if (*seen)[key] {
		return true
	}
	(*seen)[key] = true
	return false
}

func (p *parser) elements(n *node) *Error {
	for p.dec.More() {
		p.path = append(p.path, pathStep{"", len(n.list)})
		v, err := p.value()
		if err != nil {
			return err
		}
		p.path = p.path[:len(p.path)-1]
		n.list = append(n.list, v)
	}
	_, _, err := p.token()
	return err
}

// shownKey is a key as a place names it: bare where it is a plain word.
func shownKey(key string) string {
	if plainWord(key) {
		return key
	}
	return quote(key)
}
