package entry

import "strings"

// typable are the characters that belong into the field. An exponent's e does not, but
// a number without its e would be another one: it is taken, and the number refused.
const typable = "0123456789.,-+<>=kKmMgGuUvVoOlL Ω°µeE"

// Type appends a character to the field; ok is false for one that does not
// belong there.
func (f Form) Type(r rune) (Form, bool) {
	if !strings.ContainsRune(typable, r) || len(f.Raw) > 24 {
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
