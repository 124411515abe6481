package format

import (
	"bytes"
	"encoding/json"
	"strconv"
	"strings"

	"halfsplit/topology"
)

// An object reads the fields of one JSON object by name. What is asked for is
// known to this version; rest collects what was never asked for.
type object struct {
	r     *reader
	n     *node
	path  string
	known []string
}

// object wraps a node that should be an object; if it is not, that is an error
// and the result has no fields.
func (r *reader) object(n *node, path string) *object {
	if n.kind != objectKind {
		r.fail(n, path, "must be an object, not %s", n.kind)
	}
	return &object{r: r, n: n, path: path}
}

func (o *object) at(key string) string {
	if o.path == "" {
		return key
	}
	return o.path + "." + key
}

// get is the value of a field, nil where it is missing.
func (o *object) get(key string) *node {
	o.known = append(o.known, key)
	for _, m := range o.n.members {
		if m.key == key {
			return m.value
		}
	}
	return nil
}

// need is get for a field that must be there. A missing one counts as found
// wrong at the end of its object.
func (o *object) need(key string) *node {
	n := o.get(key)
	if n == nil && o.n.kind == objectKind {
		place := o.path
		if place == "" {
			place = "top level"
		}
		o.r.failAt(o.n.end, o.n.off, place, "the field %s is missing", quote(key))
	}
	return n
}

func (o *object) either(key string, required bool) *node {
	if required {
		return o.need(key)
	}
	return o.get(key)
}

// is says whether n is there and of kind k; of another kind it is an error.
func (o *object) is(n *node, key string, k kind) bool {
	if n == nil {
		return false
	}
	if n.kind != k {
		o.r.fail(n, o.at(key), "must be %s, not %s", k, n.shown())
		return false
	}
	return true
}

// shown is a value as a message names it.
func (n *node) shown() string {
	switch n.kind {
	case textKind:
		return "the text " + quote(n.text)
	case numberKind:
		return "the number " + n.digits()
	case boolKind:
		return strconv.FormatBool(n.truth)
	}
	return n.kind.String()
}

// format checks the format word; an inline object may leave it out.
func (o *object) format(want string, required bool) {
	n := o.either("format", required)
	if !o.is(n, "format", textKind) || n.text == want {
		return
	}
	stem, number, _ := strings.Cut(n.text, "/")
	wantStem, wantNumber, _ := strings.Cut(want, "/")
	version, err := strconv.Atoi(number)
	own, _ := strconv.Atoi(wantNumber)
	switch {
	case stem == wantStem && err == nil && version > own:
		o.r.fail(n, o.at("format"), "%s is newer than this program, which reads %s", quote(n.text), quote(want))
	case strings.HasPrefix(n.text, "halfsplit-") && stem != wantStem:
		o.r.fail(n, o.at("format"), "this is %s, and %s is expected here", quote(n.text), quote(want))
	default:
		o.r.fail(n, o.at("format"), "must be %s, not %s", quote(want), quote(n.text))
	}
}

// text reads a text field, "" where it is missing.
func (o *object) text(key string, required bool) string {
	if n := o.either(key, required); o.is(n, key, textKind) {
		return n.text
	}
	return ""
}

// word reads a field that must be one of a few words, "" where it is missing.
func (o *object) word(key string, required bool, words ...string) string {
	n := o.either(key, required)
	if !o.is(n, key, textKind) {
		return ""
	}
	for _, w := range words {
		if n.text == w {
			return w
		}
	}
	if len(words) == 1 {
		o.r.fail(n, o.at(key), "can be %s alone, or left out, and is %s", quote(words[0]), quote(n.text))
		return ""
	}
	o.r.fail(n, o.at(key), "must be one of %s, not %s", strings.Join(words, ", "), quote(n.text))
	return ""
}

// flag reads true or false; nil where it is missing or null.
func (o *object) flag(key string) *bool {
	n := o.get(key)
	if n == nil || n.kind == nullKind || !o.is(n, key, boolKind) {
		return nil
	}
	v := n.truth
	return &v
}

// list calls f with every element of a list and its place.
func (o *object) list(key string, required bool, f func(n *node, place string)) {
	n := o.either(key, required)
	if !o.is(n, key, listKind) {
		return
	}
	for i, e := range n.list {
		f(e, o.at(key)+"["+strconv.Itoa(i)+"]")
	}
}

// objects is list for a list of objects.
func (o *object) objects(key string, required bool, f func(*object)) {
	o.list(key, required, func(n *node, place string) { f(o.r.object(n, place)) })
}

// texts reads a list of texts; each is given to check, if there is one.
func (o *object) texts(key string, required bool, check func(n *node, place string)) []string {
	var out []string
	o.list(key, required, func(n *node, place string) {
		if n.kind != textKind {
			o.r.fail(n, place, "must be a text, not %s", n.shown())
			return
		}
		out = append(out, n.text)
		if check != nil {
			check(n, place)
		}
	})
	return out
}

// rest is every field that was not asked for. One that differs from a known
// field in upper and lower case alone is an error: it was meant to be read.
func (o *object) rest() topology.Extra {
	var extra topology.Extra
	for _, m := range o.n.members {
		near, known := "", false
		for _, k := range o.known {
			if k == m.key {
				known = true
				break
			}
			if strings.EqualFold(k, m.key) {
				near = k
			}
		}
		switch {
		case known:
			continue
		case near != "":
			o.r.failAt(m.off, m.off, o.at(shownKey(m.key)), "the field is written %s, not %s", quote(near), quote(m.key))
			continue
		}
		if extra == nil {
			extra = topology.Extra{}
		}
		extra[m.key] = o.r.raw(m.value)
		o.r.note(o.at(shownKey(m.key)), "is not known to this version; it is kept")
	}
	return extra
}

// raw is a value as it was written, without spaces, so that what is kept does
// not depend on indentation.
func (r *reader) raw(n *node) json.RawMessage {
	var b bytes.Buffer
	if err := json.Compact(&b, r.data[n.off:n.end]); err != nil {
		return json.RawMessage("null") // cannot be: the tree was parsed from these bytes
	}
	return b.Bytes()
}
