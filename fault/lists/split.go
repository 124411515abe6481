package lists

import (
	"strings"
	"unicode"
)

// Separators. Blanks are any run of blanks, and NoSeparator makes each line one
// column.
const (
	Comma       = ','
	Semicolon   = ';'
	Tab         = '\t'
	Blanks      = ' '
	NoSeparator = rune(0)
)

// separators are what is tried, the likelier meant first.
var separators = []rune{Tab, Semicolon, Comma, Blanks}

// mostQuoted is how many lines a quoted field may go over: a mark that was opened and
// never closed must not swallow the rest.
const mostQuoted = 10

// A record is one row: the fields of one line, or of several where a quoted field
// goes over their ends.
type record struct {
	line, last int // of the text, counted from 1
	text       string
	fields     []string
	bad        string // why it cannot be read at all
}

func (r record) blank() bool {
	for _, f := range r.fields {
		if f != "" {
			return false
		}
	}
	return r.bad == ""
}

// split parts lines into records, every line into exactly one.
func split(lines []Line, sep rune) []record {
	out := make([]record, 0, len(lines))
	for i := 0; i < len(lines); {
		r := one(lines, i, sep)
		i = r.last
		out = append(out, r)
	}
	return out
}

// one reads the record that begins at lines[i].
func one(lines []Line, i int, sep rune) record {
	l := lines[i]
	r := record{line: l.N, last: l.N, text: l.Text}
	if l.Bad != "" {
		r.bad, r.fields = l.Bad, []string{l.Text}
		return r
	}
	switch sep {
	case NoSeparator:
		r.fields = []string{unquoted(strings.TrimSpace(l.Text))}
		return r
	case Blanks:
		r.fields = byBlanks(l.Text)
		return r
	}
	text := l.Text
	for n := 0; ; n++ {
		fields, closed := fieldsOf(text, sep, n > 0)
		if closed {
			r.fields, r.text, r.last = fields, text, l.N+n
			return r
		}
		if n == mostQuoted || i+n+1 >= len(lines) || lines[i+n+1].Bad != "" {
			break
		}
		text += "\n" + lines[i+n+1].Text
	}
	r.bad, r.fields = "a quotation mark is opened and not closed", []string{l.Text}
	return r
}

// fieldsOf cuts a text at a separator outside of quotation marks, which count at the
// beginning of a field; two of them inside are one. closed is false where one is
// still open at the end, or, if strictly, where something stands behind one.
func fieldsOf(text string, sep rune, strictly bool) (fields []string, closed bool) {
	for {
		rest := strings.TrimLeftFunc(text, func(c rune) bool { return c != sep && unicode.IsSpace(c) })
		if !strings.HasPrefix(rest, `"`) {
			i := strings.IndexRune(text, sep)
			if i < 0 {
				return append(fields, strings.TrimSpace(text)), true
			}
			fields = append(fields, strings.TrimSpace(text[:i]))
			text = text[i+len(string(sep)):]
			continue
		}
		field, after, ok := quoted(rest[1:])
		if !ok {
			return nil, false
		}
		i := strings.IndexRune(after, sep)
		if strictly && strings.TrimSpace(after[:max(0, i)]) != "" || strictly && i < 0 && strings.TrimSpace(after) != "" {
			return nil, false
		}
		if i < 0 {
			return append(fields, strings.TrimSpace(field+after)), true
		}
		fields = append(fields, strings.TrimSpace(field+after[:i]))
		text = after[i+len(string(sep)):]
	}
}

// quoted reads up to the mark that closes.
func quoted(s string) (field, after string, ok bool) {
	var b strings.Builder
	for {
		i := strings.IndexByte(s, '"')
		if i < 0 {
			return "", "", false
		}
		b.WriteString(s[:i])
		if s = s[i+1:]; !strings.HasPrefix(s, `"`) {
			return b.String(), s, true
		}
		b.WriteByte('"')
		s = s[1:]
	}
}

func unquoted(s string) string {
	if len(s) >= 2 && s[0] == '"' {
		if field, after, ok := quoted(s[1:]); ok && after == "" {
			return field
		}
	}
	return s
}

// byBlanks cuts at blanks, but leaves a unit with its number: "3622 mV" is one field.
func byBlanks(text string) (out []string) {
	for _, f := range strings.Fields(text) {
		if n := len(out); n > 0 && isUnit(f) && endsInDigit(out[n-1]) {
			out[n-1] += " " + f
			continue
		}
		out = append(out, unquoted(f))
	}
	return out
}

func endsInDigit(s string) bool { return s != "" && s[len(s)-1] >= '0' && s[len(s)-1] <= '9' }

// mostLooked bounds the lines from which the separator and the headings are found.
const mostLooked = 500

// findSeparator is the separator by which most lines have the same number of
// columns. either says that a comma may part columns or decimals.
func findSeparator(lines []Line) (sep rune, either bool) {
	if len(lines) > mostLooked {
		lines = lines[:mostLooked]
	}
	best, most := NoSeparator, 0
	for _, s := range separators {
		if n := alike(split(lines, s)); 10*n > 11*most {
			best, most = s, n
		}
	}
	some := 0
	for _, l := range lines {
		if strings.TrimSpace(l.Text) != "" {
			some++
		}
	}
	if 3*most < some {
		best = NoSeparator
	}
	if best == Comma || best == NoSeparator {
		if pairs, decimals := commaPairs(lines); pairs && decimals {
			return NoSeparator, true
		} else if pairs {
			return Comma, true
		}
	}
	return best, false
}

// alike is how many records have the commonest number of columns, two at least.
func alike(all []record) int {
	count := map[int]int{}
	most := 0
	for _, r := range all {
		if n := len(r.fields); n >= 2 && r.bad == "" && !r.blank() {
			count[n]++
			most = max(most, count[n])
		}
	}
	return most
}

// commaPairs says that most lines are whole numbers on the two sides of one comma,
// and whether they look like decimals: few numbers before it, as many digits behind
// it everywhere.
func commaPairs(lines []Line) (pairs, decimals bool) {
	n, some := 0, 0
	before, digits := map[string]bool{}, map[int]int{}
	for _, l := range lines {
		t := strings.TrimSpace(l.Text)
		if t == "" {
			continue
		}
		some++
		if a, b, ok := strings.Cut(t, ","); ok && whole(strings.TrimLeft(a, "+-")) && whole(b) {
			n++
			before[a] = true
			digits[len(b)]++
		}
	}
	most := 0
	for _, c := range digits {
		most = max(most, c)
	}
	return n > 0 && 2*n >= some, 10*most >= 9*n && (len(before) <= 3 || 4*len(before) <= n)
}

func whole(s string) bool {
	for _, c := range s {
		if c < '0' || c > '9' {
			return false
		}
	}
	return s != "" && len(s) <= 9
}
