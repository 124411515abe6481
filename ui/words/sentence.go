package words

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// Sentence begins a text with a capital and ends it with a full stop; nothing stays
// nothing.
func Sentence(s string) string {
	s = Capital(s)
	if s != "" && !strings.HasSuffix(s, ".") {
		s += "."
	}
	return s
}

// Capital begins a text with a capital.
func Capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}
