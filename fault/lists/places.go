package lists

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"halfsplit/topology"
)

var zoneless = time.UTC

// places finds what names in a list mean on a pack.
type places struct {
	net    *topology.Net
	module map[string][]int // by lower-case name: ids, the maker's labels, bench numbers
	byID   map[string]int
	link   map[string]int
	metal  map[string]string // chassis pieces by lower-case name
	node   func(string) (ref string, ok bool)
}

func newPlaces(net *topology.Net) *places {
	p := &places{net: net, module: map[string][]int{}, byID: map[string]int{}, link: map[string]int{}, metal: map[string]string{"chassis": "chassis"}}
	for m, mod := range net.Layout.Modules {
		p.byID[strings.ToLower(mod.ID)] = m
		p.add(mod.Label, m)
		p.add(bench(mod.ID), m)
	}
	for i, l := range net.Layout.Links {
		p.link[strings.ToLower(l.ID)] = i
	}
	for _, c := range net.Layout.Chassis {
		ref := "chassis:" + c.ID
		p.metal[strings.ToLower(ref)], p.metal["chassis "+strings.ToLower(c.ID)] = ref, ref
	}
	p.node = p.ref
	return p
}

func (p *places) add(name string, m int) {
	if name = strings.ToLower(strings.TrimSpace(name)); name == "" {
		return
	}
	for _, k := range p.module[name] {
		if k == m {
			return
		}
	}
	p.module[name] = append(p.module[name], m)
}

var trailing = regexp.MustCompile(`([0-9]+)$`)

// bench is the number at the end of an id, without zeros before it: 9 of M09.
func bench(id string) string {
	n := strings.TrimLeft(trailing.FindString(id), "0")
	return n
}

// named finds a module by its id, its label or its bench number, where one alone has
// that name.
func (p *places) named(s string) (m int, ok bool) {
	m, err := p.moduleOf(s)
	return m, err == nil
}

var wordBefore = regexp.MustCompile(`(?s)^(?i:module|modul|mod|no|nr)?[ .#:_-]*(.+)$`)

func (p *places) moduleOf(s string) (int, error) {
	name := strings.ToLower(strings.TrimSpace(s))
	if m, ok := p.byID[name]; ok {
		return m, nil
	}
	for _, n := range []string{name, strings.TrimLeft(wordBefore.FindStringSubmatch(name + " ")[1], "0")} {
		n = strings.TrimSpace(n)
		if m, ok := p.byID[n]; ok {
			return m, nil
		}
		switch all := p.module[n]; len(all) {
		case 0:
		case 1:
			return all[0], nil
		default:
			l := p.net.Layout.Modules
			return 0, fmt.Errorf("%q may be %s or %s", s, l[all[0]].ID, l[all[1]].ID)
		}
	}
	if name == "" {
		return 0, fmt.Errorf("no module is named")
	}
	return 0, fmt.Errorf("there is no module %q on this pack", s)
}

var groupIn = regexp.MustCompile(`^(.+?)[ ]*(?:[./:]|-|[ ]group[ ]|[ ]cell[ ]|[ ]?[gGcC])[ ]*([0-9]+)$`)

// groupOf reads a group, which may name its module too: "3", "G3", "M09.3", "M09 group 3".
func (p *places) groupOf(module int, known bool, s string) (m, k int, err error) {
	t := strings.TrimSpace(s)
	if n, err := strconv.Atoi(strings.TrimSpace(strings.TrimLeft(strings.ToLower(t), "groupcel. #"))); err == nil && known {
		return p.within(module, n, s)
	}
	if f := groupIn.FindStringSubmatch(t); f != nil {
		if m, ok := p.named(f[1]); ok {
			n, err := strconv.Atoi(f[2])
			if err != nil {
				return 0, 0, fmt.Errorf("%q is no group", s)
			}
			if known && m != module {
				return 0, 0, fmt.Errorf("%q is not in module %s", s, p.net.Layout.Modules[module].ID)
			}
			return p.within(m, n, s)
		}
	}
	if !known {
		return 0, 0, fmt.Errorf("%q names no group of a module", s)
	}
	return 0, 0, fmt.Errorf("%q is no group", s)
}

func (p *places) within(m, n int, s string) (int, int, error) {
	mod := p.net.Layout.Modules[m]
	if n < 1 || n > mod.Series {
		return 0, 0, fmt.Errorf("%s has %d groups, and %q is none of them", mod.ID, mod.Series, s)
	}
	return m, n, nil
}

// ref is a node or a piece of the chassis, as files name it.
func (p *places) ref(s string) (string, bool) {
	s = strings.TrimSpace(s)
	if r, ok := p.metal[strings.ToLower(s)]; ok {
		return r, true
	}
	if _, ok := p.net.Node(s); ok {
		return s, true
	}
	for _, t := range []string{strings.ToUpper(s), strings.ToLower(s)} {
		if _, ok := p.net.Node(t); ok {
			return t, true
		}
	}
	return "", false
}

// place is a group along the pack: how many groups lie below it, string after string.
type place struct{ module, k int }

// along lists every group of the pack in that order.
func along(net *topology.Net) (out []place) {
	for _, s := range net.Strings {
		for i, m := range s.Modules {
			n := net.Layout.Modules[m].Series
			for j := range n {
				k := j + 1
				if s.Flipped[i] {
					k = n - j
				}
				out = append(out, place{m, k})
			}
		}
	}
	return out
}
