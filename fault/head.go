package fault

import (
	"fmt"
	"strconv"
	"strings"
)

// A Head is the newest event of a casebook's log: its number, and the SHA-256 over
// it in hexadecimal, which covers every event before it. Written down elsewhere, on
// paper above all, it shows later whether the log still contains it.
type Head struct {
	Seq  int64
	Hash string
}

const (
	hashDigits  = 64
	shortDigits = 16 // 64 bits: what is printed where there is little room
)

// String is the whole head as an audit takes it: "412:9f3a…" with all 64 digits.
func (h Head) String() string { return fmt.Sprintf("%d:%s", h.Seq, h.Hash) }

// Short is the head for small print, which an audit takes as well: the number and
// the first sixteen digits, "412:9f3a07c1b2d4e6f8".
func (h Head) Short() string {
	return fmt.Sprintf("%d:%s", h.Seq, h.Hash[:min(shortDigits, len(h.Hash))])
}

// Known says that there is a head at all: a case that is in no casebook has none.
func (h Head) Known() bool { return h.Hash != "" }

// Is says whether an event is the one that a head names, which may have been
// written down by its first digits, and without its number.
func (h Head) Is(event Head) bool {
	return h.Hash != "" && strings.HasPrefix(event.Hash, h.Hash) && (h.Seq == 0 || h.Seq == event.Seq)
}

// ParseHead reads a head as it was printed: NUMBER:DIGITS with sixteen digits at
// least, or all 64 digits alone. Upper and lower case and spaces are the same.
func ParseHead(s string) (Head, error) {
	packed := strings.ToLower(strings.Join(strings.Fields(s), ""))
	number, digits, both := strings.Cut(packed, ":")
	if !both {
		number, digits = "", packed
	}
	h := Head{Hash: digits}
	if both {
		n, err := strconv.ParseInt(number, 10, 64)
		if err != nil || n < 1 {
			return Head{}, fmt.Errorf("%q names no event: before the colon stands its number", s)
		}
		h.Seq = n
	}
	least := shortDigits
	if !both {
		least = hashDigits
	}
	if len(digits) < least || len(digits) > hashDigits || strings.Trim(digits, "0123456789abcdef") != "" {
		return Head{}, fmt.Errorf("%q is no hash of an event, which has 64 characters from 0-9 and a-f, or at least 16 after NUMBER and a colon", s)
	}
	return h, nil
}
