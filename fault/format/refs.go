package format

import (
	"strings"
	"time"

	"halfsplit/topology"
)

// A reference is checked after everything has been read, because it may point
// forward. Each of these reads its field now and queues the check.

// ref reads a reference to an id of one of the kinds. An optional one may be ""
// for "none".
func (o *object) ref(key string, required bool, kinds ...string) string {
	n := o.either(key, required)
	if !o.is(n, key, textKind) || (n.text == "" && !required) {
		return ""
	}
	o.r.laterID(n, o.at(key), kinds...)
	return n.text
}

// refs reads a list of references without repetition.
func (o *object) refs(key string, required bool, kinds ...string) []string {
	seen := map[string]bool{}
	return o.texts(key, required, func(n *node, place string) {
		if seen[n.text] {
			o.r.fail(n, place, "%s is named twice in this list", quote(n.text))
		}
		seen[n.text] = true
		o.r.laterID(n, place, kinds...)
	})
}

func (r *reader) laterID(n *node, place string, kinds ...string) {
	r.later = append(r.later, func(*topology.Net) {
		is := r.ids.what[n.text]
		for _, k := range kinds {
			if is == k {
				return
			}
		}
		switch {
		case is != "":
			r.fail(n, place, "%s is a %s, and a %s is expected here", quote(n.text), is, strings.Join(kinds, " or "))
		default:
			r.fail(n, place, "there is no %s %s", strings.Join(kinds, " or "), quote(n.text))
		}
	})
}

// What a node reference may be.
type nodeKind int

const (
	taps      nodeKind = 1 << iota // a tap of a module
	terminals                      // pack+, load- …
	sides                          // SD@M06+
	chassis                        // chassis, chassis:tray
	things                         // the id of a part of the pack
	leakable                       // the id of a module, link or board
)

// node reads a node reference.
func (o *object) node(key string, required bool, may nodeKind) string {
	n := o.either(key, required)
	if !o.is(n, key, textKind) || (n.text == "" && !required) {
		return ""
	}
	o.r.laterNode(n, o.at(key), may)
	return n.text
}

func (r *reader) laterNode(n *node, place string, may nodeKind) {
	r.later = append(r.later, func(net *topology.Net) {
		if why := r.wrongNode(net, n.text, may); why != "" {
			r.fail(n, place, "%s %s", quote(n.text), why)
		}
	})
}

// wrongNode says what is wrong with a reference, "" if it resolves.
func (r *reader) wrongNode(net *topology.Net, ref string, may nodeKind) string {
	if piece, ok := topology.ChassisRef(ref); ok {
		switch {
		case may&chassis == 0:
			return "is the chassis, and a node of the pack is expected here"
		case ref != "chassis" && r.ids.what[piece] != "chassis piece":
			return "names a chassis piece that the layout does not have"
		}
		return ""
	}
	if may&things != 0 && r.inLayout(ref) || may&leakable != 0 && r.mayLeak(ref) {
		return ""
	}
	id, ok := net.Node(ref)
	tap := false
	if ok {
		_, _, tap = net.ModuleAt(id)
	}
	switch {
	case !ok && strings.Contains(ref, "@"):
		return "is not the side of a link: write the link, @, and one of its two ends as the layout names it"
	case !ok && may&leakable != 0:
		return "is not a module, link, board or tap of this layout"
	case !ok:
		return "is not a node of this layout"
	case strings.Contains(ref, "@") && may&sides == 0:
		return "is the side of a link, and a terminal is expected here"
	case !tap && may&terminals == 0:
		return "is a terminal of the pack, and a tap of a module is expected here"
	}
	return ""
}

func (r *reader) inLayout(id string) bool {
	switch r.ids.what[id] {
	case "stack", "module", "link", "board", "chassis piece", "bond", "part":
		return true
	}
	return false
}

func (r *reader) mayLeak(id string) bool {
	switch r.ids.what[id] {
	case "module", "link", "board":
		return true
	}
	return false
}

// time reads an RFC 3339 time and keeps it as it was written; "" is not recorded.
func (o *object) time(key string) string {
	n := o.get(key)
	if !o.is(n, key, textKind) || n.text == "" {
		return ""
	}
	if _, err := time.Parse(time.RFC3339, n.text); err != nil {
		o.r.fail(n, o.at(key), "a time is written like 2026-03-02T10:04:00Z, and this is %s", quote(n.text))
	}
	return n.text
}
