package format

import "strings"

// An idSpace holds every id of a layout, and of the case around it: one id
// names one thing, whatever its kind, so that a finding can name it alone.
type idSpace struct {
	what map[string]string // id -> kind in words
	in   map[string]string // id -> the place that took it
}

func newIDs() *idSpace { return &idSpace{map[string]string{}, map[string]string{}} }

// reserved are the stems of named terminals and of the reference metal.
func reserved(stem string) bool {
	switch stem {
	case "pack", "load", "rail", "chassis":
		return true
	}
	return false
}

// plainWord says whether s is [A-Za-z][A-Za-z0-9_]*.
func plainWord(s string) bool {
	for i := 0; i < len(s); i++ {
		c := s[i]
		letter := c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z'
		if !letter && (i == 0 || c != '_' && (c < '0' || c > '9')) {
			return false
		}
	}
	return s != ""
}

// id reads and takes the id of an object that is a what: "module", "reading" ….
// A link's id may end in + or −.
func (o *object) id(what string) string {
	n := o.need("id")
	if !o.is(n, "id", textKind) {
		return ""
	}
	id, stem := n.text, n.text
	if what == "link" && len(id) > 1 && (strings.HasSuffix(id, "+") || strings.HasSuffix(id, "-")) {
		stem = id[:len(id)-1]
	}
	place := o.at("id")
	switch ids := o.r.ids; {
	case !plainWord(stem):
		o.r.fail(n, place, "an id is a letter followed by letters, digits and _, and this is %s", quote(id))
	case reserved(stem):
		o.r.fail(n, place, "%s names a terminal or the chassis and cannot be the id of a %s", quote(id), what)
	case ids.what[id] != "":
		o.r.fail(n, place, "the id %s is taken by a %s already (%s)", quote(id), ids.what[id], ids.in[id])
	default:
		ids.what[id], ids.in[id] = what, place
		return id
	}
	return ""
}
