package entry

import (
	"strings"
	"unicode"
)

// Most is how many characters the field takes.
const Most = 25

// belonging are the characters of numbers and of the units that a field takes.
const belonging = "0123456789.,-+<>=kKmMgGuUvVoOlL Ω°µeE−hms"

// Belongs says that a character can be part of a number or of its unit.
func Belongs(r rune) bool { return strings.ContainsRune(belonging, r) }

// Type appends a character to the field. One that belongs into no number is taken too:
// without it the number would be another one, and Parse says which it is. ok is false
// where the field is full, and for what is no character.
func (f Form) Type(r rune) (Form, bool) {
	if !unicode.IsPrint(r) || len([]rune(f.Raw)) >= Most {
		return f, false
	}
	f.Raw, f.At, f.Failed = f.Raw+string(r), Field, ""
	return f, true
}

// Back takes the last character away; ok is false if there is none.
func (f Form) Back() (Form, bool) {
	if f.Raw == "" {
		return f, false
	}
	r := []rune(f.Raw)
	f.Raw, f.At, f.Failed = string(r[:len(r)-1]), Field, ""
	return f, true
}
