package format

import (
	"fmt"
	"unicode/utf8"
)

// invalidUTF8 is the offset of the first byte that is no UTF-8, -1 if all is.
func invalidUTF8(data []byte) int {
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size <= 1 {
			return i
		}
		i += size
	}
	return -1
}

// surrogates refuses \u escapes of half a character in the text that starts at
// off: the decoder would put a replacement character in their place.
func (p *parser) surrogates(off int) *Error {
	raw := p.data[off:int(p.dec.InputOffset())]
	for i := 0; i < len(raw); i++ {
		if raw[i] != '\\' {
			continue
		}
		u := unicodeEscape(raw[i:])
		switch {
		case u < 0:
			i++ // the escaped character
		case u < 0xd800 || u > 0xdfff:
			i += 5
		case u > 0xdbff:
			return p.fail(off+i, `\u%04x is half of a character`, u)
		default:
			if low := unicodeEscape(raw[i+6:]); low < 0xdc00 || low > 0xdfff {
				return p.fail(off+i, `\u%04x is half of a character`, u)
			}
			i += 11
		}
	}
	return nil
}

// unicodeEscape is the value of a \uXXXX at the start of raw, -1 if there is none.
func unicodeEscape(raw []byte) int {
	var u int
	if len(raw) < 6 || raw[0] != '\\' || raw[1] != 'u' {
		return -1
	}
	if _, err := fmt.Sscanf(string(raw[2:6]), "%04x", &u); err != nil {
		return -1
	}
	return u
}
