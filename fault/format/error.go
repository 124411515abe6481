package format

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// An Error says what is wrong in a file, and where, in one line.
type Error struct {
	File   string
	Place  string // such as readings[3].value
	Line   int    // from 1
	Column int    // from 1, in characters
	Reason string
}

// Error is "FILE: PLACE (line L, column C): reason".
func (e *Error) Error() string {
	return OneLine(fmt.Sprintf("%s: %s (line %d, column %d): %s", e.File, e.Place, e.Line, e.Column, e.Reason))
}

// A Note is something in a file that a person may want to know although the
// file is legal.
type Note struct {
	File  string
	Place string
	Text  string
}

// String is "FILE: PLACE text" in one line.
func (n Note) String() string { return OneLine(fmt.Sprintf("%s: %s %s", n.File, n.Place, n.Text)) }

// OneLine writes control characters, and those that turn the direction of
// writing, as escapes: a text out of a file cannot break a line or steer a
// terminal.
func OneLine(s string) string {
	if strings.IndexFunc(s, steers) < 0 {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if steers(r) {
			fmt.Fprintf(&b, `\u%04x`, r)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}

func steers(r rune) bool {
	return unicode.IsControl(r) || r == '\u2028' || r == '\u2029' ||
		(r >= '\u202a' && r <= '\u202e') || (r >= '\u2066' && r <= '\u2069')
}

// at turns an offset into a line and a column.
func at(data []byte, offset int) (line, column int) {
	before := data[:min(offset, len(data))]
	start := bytes.LastIndexByte(before, '\n') + 1
	return bytes.Count(before, []byte{'\n'}) + 1, utf8.RuneCount(before[start:]) + 1
}

// quote shows a text from a file within a message, shortened.
func quote(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) > most {
		s = string([]rune(s)[:most]) + "…"
	}
	return `"` + OneLine(s) + `"`
}
