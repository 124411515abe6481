package format

import (
	"bytes"
	"strings"
)

// lineWidth is the longest line that holds a whole object: a reading or a
// module then stays one line, which is how people compare them.
const lineWidth = 240

// layOut indents JSON so that a person can read and compare it: a list of
// objects has one element a line, and what fits a line stays on one. Numbers
// and texts are copied as they are.
func layOut(raw []byte) ([]byte, error) {
	root, err := parse("", raw)
	if err != nil {
		return nil, err
	}
	return printed(raw, root), nil
}

// printed is a tree laid out, with the bytes that it was parsed from.
func printed(raw []byte, root *node) []byte {
	p := printer{data: raw}
	p.broken(root, "")
	p.out.WriteByte('\n')
	return p.out.Bytes()
}

type printer struct {
	data []byte
	out  bytes.Buffer
}

func (p *printer) value(n *node, indent string, used int) {
	if flat, ok := p.flat(n); ok && len(indent)+used+len(flat) <= lineWidth {
		p.out.WriteString(flat)
		return
	}
	p.broken(n, indent)
}

// flat is a value on one line; ok is false for a list that holds objects, or lists
// other than points, which gets a line for each.
func (p *printer) flat(n *node) (string, bool) {
	var parts []string
	open, shut := "{", "}"
	switch n.kind {
	case objectKind:
		for _, m := range n.members {
			v, ok := p.flat(m.value)
			if !ok {
				return "", false
			}
			parts = append(parts, p.key(m)+v)
		}
	case listKind:
		open, shut = "[", "]"
		for _, e := range n.list {
			v, ok := p.flat(e)
			if !ok || e.kind == objectKind || e.kind == listKind && !point(e) {
				return "", false
			}
			parts = append(parts, v)
		}
	default:
		return string(p.data[n.off:n.end]), true
	}
	return open + strings.Join(parts, ", ") + shut, true
}

func (p *printer) key(m member) string {
	end := m.value.off
	return string(bytes.TrimRight(p.data[m.off:end], " \t\r\n:")) + ": "
}

func (p *printer) broken(n *node, indent string) {
	inner := indent + "  "
	switch {
	case n.kind == objectKind && len(n.members) > 0:
		for i, m := range n.members {
			p.out.WriteString([]string{"{", ","}[min(i, 1)] + "\n" + inner)
			key := p.key(m)
			p.out.WriteString(key)
			p.value(m.value, inner, len(key)+1)
		}
		p.out.WriteString("\n" + indent + "}")
	case n.kind == listKind && len(n.list) > 0 && p.scalars(n):
		p.filled(n, indent)
	case n.kind == listKind && len(n.list) > 0:
		for i, e := range n.list {
			p.out.WriteString([]string{"[", ","}[min(i, 1)] + "\n" + inner)
			p.value(e, inner, 1)
		}
		p.out.WriteString("\n" + indent + "]")
	default:
		p.out.WriteString(string(p.data[n.off:n.end]))
	}
}

func (p *printer) scalars(n *node) bool {
	for _, e := range n.list {
		if e.kind == objectKind || e.kind == listKind && !point(e) {
			return false
		}
	}
	return true
}

// point says that a list is two numbers, x and y.
func point(n *node) bool {
	return len(n.list) == 2 && n.list[0].kind == numberKind && n.list[1].kind == numberKind
}

// filled writes a long list of numbers, texts or points in as few lines as it takes.
func (p *printer) filled(n *node, indent string) {
	p.out.WriteByte('[')
	used := lineWidth // so that the first element begins a line
	for i, e := range n.list {
		v, _ := p.flat(e)
		if i > 0 {
			p.out.WriteByte(',')
		}
		if used += len(v) + 2; used > lineWidth {
			p.out.WriteString("\n" + indent + "  ")
			used = len(indent) + 2 + len(v) + 1
		} else {
			p.out.WriteByte(' ')
		}
		p.out.WriteString(v)
	}
	p.out.WriteString("\n" + indent + "]")
}
