package edit

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"halfsplit/topology"
)

// stems are what links of a kind are called, with the digits of their number.
var stems = map[string]struct {
	stem   string
	digits int
}{
	topology.Busbar: {"L", 2}, topology.Cable: {"L", 2}, topology.Disconnect: {"SD", 0},
	topology.Fuse: {"F", 0}, topology.Contactor: {"K", 0}, topology.Sensor: {"CS", 0},
}

// Link joins two terminals, under a free id that its kind suggests: L01 …, SD, F1 …,
// K+ and K- at the pack's own terminals, CS1 …. What is refused is refused in a
// sentence: an end that is no terminal, two ends that are one, two that are joined
// by a link already.
func Link(l topology.Layout, from, to, kind string) (out topology.Layout, id string, err error) {
	if err := kindOK(kind); err != nil {
		return l, "", err
	}
	w := newWiring(l)
	k := topology.Link{Kind: kind}
	if k.From, k.To, err = w.joins(from, to); err != nil {
		return l, "", err
	}
	k.ID = linkID(l, idsOf(l), k)
	l.Links = append(slices.Clone(l.Links), k)
	return l, k.ID, nil
}

func kindOK(kind string) error {
	if !slices.Contains(topology.LinkKinds, kind) {
		return fmt.Errorf("a link is one of these: %s; and not %q", list(topology.LinkKinds), kind)
	}
	return nil
}

// linkID takes a free id for a link by its kind and its ends.
func linkID(l topology.Layout, n *ids, k topology.Link) string {
	if k.Kind == topology.Contactor {
		for _, end := range []string{k.From, k.To} {
			if sign := end[len(end)-1:]; outer(end) && !strings.HasPrefix(end, "rail") && n.take("K"+sign, LinkKind) == nil {
				return "K" + sign
			}
		}
	}
	s := stems[k.Kind]
	if k.Kind == topology.Disconnect {
		return n.free(s.stem, LinkKind)
	}
	return n.from(s.stem, 1, digitsOf(l, s.stem, s.digits), "", LinkKind)
}

// wiring is what terminals there are and which are joined.
type wiring struct {
	series map[string]int       // of each module
	joined map[[2]string]string // by both ends, in order of name: the link
	at     map[string]string    // by terminal: some link there
}

func newWiring(l topology.Layout) *wiring {
	w := &wiring{series: map[string]int{}, joined: map[[2]string]string{}, at: map[string]string{}}
	for _, m := range l.Modules {
		w.series[m.ID] = m.Series
	}
	for _, k := range l.Links {
		w.add(k)
	}
	return w
}

func (w *wiring) add(k topology.Link) {
	from, to := w.same(k.From), w.same(k.To)
	w.joined[pair(from, to)] = k.ID
	w.at[from], w.at[to] = k.ID, k.ID
}

func pair(a, b string) [2]string {
	if a > b {
		a, b = b, a
	}
	return [2]string{a, b}
}

// terminal is a reference to a terminal as it is written here: M09+ for M09.8 where
// that is the last tap.
func (w *wiring) terminal(ref string) (string, error) {
	if outer(ref) {
		return ref, nil
	}
	module, rest, ok := splitRef(ref)
	series, there := w.series[module]
	switch {
	case !ok:
		return "", fmt.Errorf("%q is no terminal: write one as M09+, M09- or pack+", ref)
	case !there:
		return "", fmt.Errorf("%s is no terminal of this layout: there is no module %s", ref, named(module))
	case rest[0] != '.':
		return ref, nil
	}
	switch k, _ := strconv.Atoi(rest[1:]); k {
	case 0:
		return module + "-", nil
	case series:
		return module + "+", nil
	}
	return "", fmt.Errorf("%s is not at an end of the module: links join terminals", ref)
}

// same is one name for a conductor that has two: pack and load side are one, beyond
// the contactors. What is no terminal is itself.
func (w *wiring) same(ref string) string {
	if t, err := w.terminal(ref); err == nil {
		ref = t
	}
	if sign, ok := strings.CutPrefix(ref, "load"); ok && outer(ref) {
		return "pack" + sign
	}
	return ref
}

// joins refuses two ends that no link can join, and writes them as terminals.
func (w *wiring) joins(from, to string) (a, b string, err error) {
	if a, err = w.terminal(from); err != nil {
		return "", "", err
	}
	if b, err = w.terminal(to); err != nil {
		return "", "", err
	}
	if w.same(a) == w.same(b) {
		if a == b {
			return "", "", fmt.Errorf("a link needs two ends, and both are %s", a)
		}
		return "", "", fmt.Errorf("%s and %s are one conductor, beyond the contactors", a, b)
	}
	if by := w.joined[pair(w.same(a), w.same(b))]; by != "" {
		return "", "", fmt.Errorf("%s joins %s and %s already", by, a, b)
	}
	return a, b, nil
}

// Unlink takes links out.
func Unlink(l topology.Layout, sel Selection) (topology.Layout, []string, error) {
	if _, err := only(l, sel, LinkKind); err != nil {
		return l, nil, err
	}
	return Delete(l, sel)
}

// SetKind says of what kind links are. They keep their ids.
func SetKind(l topology.Layout, sel Selection, kind string) (topology.Layout, error) {
	at, err := only(l, sel, LinkKind)
	if err != nil {
		return l, err
	}
	if err := kindOK(kind); err != nil {
		return l, err
	}
	l.Links = slices.Clone(l.Links)
	for _, i := range at {
		l.Links[i].Kind = kind
	}
	return l, nil
}

// Reverse turns modules end for end: what was the minus end is the plus end. With
// links, what was joined to one terminal is joined to the other, so that conductors
// stay where they are in the drawing. Sense leads keep their taps, which count from
// the module's negative end.
func Reverse(l topology.Layout, sel Selection, links bool) (topology.Layout, error) {
	at, err := only(l, sel, ModuleKind)
	if err != nil {
		return l, err
	}
	l.Modules = slices.Clone(l.Modules)
	turned := map[string]bool{}
	for _, i := range at {
		m := &l.Modules[i]
		m.Minus = opposite[m.Minus]
		if m.Minus == "" { // not given is drawn as left
			m.Minus = "right"
		}
		turned[m.ID] = true
	}
	if !links {
		return l, nil
	}
	w := newWiring(l)
	swap := func(ref string) string {
		module, rest, ok := splitRef(ref)
		switch _, err := w.terminal(ref); {
		case err != nil || !ok || !turned[module]:
			return ref
		case rest == "+":
			return module + "-"
		case rest == "-":
			return module + "+"
		}
		k, _ := strconv.Atoi(rest[1:])
		return module + "." + strconv.Itoa(w.series[module]-k)
	}
	l.Links = slices.Clone(l.Links)
	for i := range l.Links {
		l.Links[i].From, l.Links[i].To = swap(l.Links[i].From), swap(l.Links[i].To)
	}
	return l, nil
}
