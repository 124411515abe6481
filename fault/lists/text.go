package lists

import (
	"bytes"
	"fmt"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// MostBytes bounds what is read of a file or of what is pasted.
const MostBytes = 16 << 20

// Encodings, as they are told.
const (
	UTF8    = "UTF-8"
	UTF16LE = "UTF-16, low byte first"
	UTF16BE = "UTF-16, high byte first"
	Western = "Windows-1252"
)

// A Line of a text, counted from 1. Bad says which of its bytes are no characters;
// a replacement character stands for them.
type Line struct {
	N    int
	Text string
	Bad  string
}

// A Text is what bytes say: its lines, without their ends.
type Text struct {
	Lines    []Line
	Encoding string
}

// Decode turns bytes into lines. A byte order mark decides the encoding. Without one
// the bytes are UTF-8, unless they have bytes that are no UTF-8 and no character of
// more than one byte that is: then they are Windows-1252. The error says that there
// is too much.
func Decode(data []byte) (Text, error) {
	if len(data) > MostBytes {
		return Text{}, fmt.Errorf("this is larger than %d MB: a list is read up to that size, so divide it", MostBytes>>20)
	}
	switch {
	case bytes.HasPrefix(data, []byte{0xEF, 0xBB, 0xBF}):
		return eightBit(data[3:], UTF8), nil
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}):
		return sixteenBit(data[2:], UTF16LE), nil
	case bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		return sixteenBit(data[2:], UTF16BE), nil
	case western(data):
		return eightBit(data, Western), nil
	}
	return eightBit(data, UTF8), nil
}

// western says that there are bytes that are no UTF-8, and more of them than there
// are characters of several bytes.
func western(data []byte) bool {
	bad, good := 0, 0
	for i := 0; i < len(data); {
		r, n := utf8.DecodeRune(data[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			bad++
		case n > 1:
			good++
		}
		i += n
	}
	return bad > good
}

func eightBit(data []byte, encoding string) Text {
	t := Text{Encoding: encoding}
	for _, raw := range cut(data) {
		l := Line{N: len(t.Lines) + 1}
		if encoding == Western {
			l.Text, l.Bad = fromWestern(raw)
		} else {
			l.Text, l.Bad = fromUTF8(raw)
		}
		t.Lines = append(t.Lines, l)
	}
	return t
}

// cut parts bytes at LF, CR LF and CR. An end after the last line makes no further
// line.
func cut(data []byte) (out [][]byte) {
	for len(data) > 0 {
		i := bytes.IndexAny(data, "\r\n")
		if i < 0 {
			return append(out, data)
		}
		out = append(out, data[:i])
		if data[i] == '\r' && i+1 < len(data) && data[i+1] == '\n' {
			i++
		}
		data = data[i+1:]
	}
	return out
}

func fromUTF8(raw []byte) (text, bad string) {
	if utf8.Valid(raw) && bytes.IndexByte(raw, 0) < 0 {
		return string(raw), ""
	}
	var b strings.Builder
	for i := 0; i < len(raw); {
		r, n := utf8.DecodeRune(raw[i:])
		if (r == utf8.RuneError && n == 1) || r == 0 {
			bad = firstBad(bad, i, raw[i], UTF8)
			r = utf8.RuneError
		}
		b.WriteRune(r)
		i += n
	}
	return b.String(), bad
}

// fromWestern takes the five bytes that Windows-1252 leaves free as no characters.
func fromWestern(raw []byte) (text, bad string) {
	var b strings.Builder
	for i, c := range raw {
		r := charmap.Windows1252.DecodeByte(c)
		if r == 0 || (r >= 0x80 && r <= 0x9F) || r == utf8.RuneError {
			bad = firstBad(bad, i, c, Western)
			r = utf8.RuneError
		}
		b.WriteRune(r)
	}
	return b.String(), bad
}

func firstBad(before string, at int, c byte, encoding string) string {
	if before != "" {
		return before
	}
	return fmt.Sprintf("byte %d is 0x%02X, which is no character in %s", at+1, c, encoding)
}

// sixteenBit reads UTF-16. Half a pair, a zero and an odd byte at the end are no
// characters.
func sixteenBit(data []byte, encoding string) Text {
	units := make([]uint16, 0, len(data)/2)
	for i := 0; i+1 < len(data); i += 2 {
		lo, hi := data[i], data[i+1]
		if encoding == UTF16BE {
			lo, hi = hi, lo
		}
		units = append(units, uint16(hi)<<8|uint16(lo))
	}
	t := Text{Encoding: encoding}
	for _, raw := range cutWide(units) {
		l := Line{N: len(t.Lines) + 1}
		for i := 0; i < len(raw); i++ {
			if u := raw[i]; u == 0 || (u >= 0xD800 && u < 0xE000 && !paired(raw, i)) {
				l.Bad = fmt.Sprintf("character %d is 0x%04X, which is none in UTF-16", i+1, u)
				break
			} else if u >= 0xD800 && u < 0xDC00 {
				i++
			}
		}
		l.Text = strings.ReplaceAll(string(utf16.Decode(raw)), "\x00", string(utf8.RuneError))
		t.Lines = append(t.Lines, l)
	}
	if len(data)%2 == 1 {
		if len(t.Lines) == 0 {
			t.Lines = append(t.Lines, Line{N: 1})
		}
		l := &t.Lines[len(t.Lines)-1]
		l.Bad, l.Text = "the text ends in the middle of a character", l.Text+string(utf8.RuneError)
	}
	return t
}

func paired(raw []uint16, i int) bool {
	return raw[i] < 0xDC00 && i+1 < len(raw) && raw[i+1] >= 0xDC00 && raw[i+1] < 0xE000
}

func cutWide(units []uint16) (out [][]uint16) {
	start := 0
	for i := 0; i < len(units); i++ {
		if units[i] != '\n' && units[i] != '\r' {
			continue
		}
		out = append(out, units[start:i])
		if units[i] == '\r' && i+1 < len(units) && units[i+1] == '\n' {
			i++
		}
		start = i + 1
	}
	if start < len(units) {
		out = append(out, units[start:])
	}
	return out
}
