package edit

import (
	"fmt"
	"strconv"
	"strings"

	"halfsplit/topology"
)

// plainWord says whether s is a letter followed by letters, digits and _.
func plainWord(s string) bool {
	for i := range len(s) {
		c := s[i]
		letter := c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z'
		if !letter && (i == 0 || c != '_' && (c < '0' || c > '9')) {
			return false
		}
	}
	return s != ""
}

// ids are those in use, and how far numbers were given out.
type ids struct {
	kind map[string]Kind
	last map[string]int // by stem and suffix: the last number given
}

func idsOf(l topology.Layout) *ids { return &ids{kind: Kinds(l), last: map[string]int{}} }

// refuse says in a sentence why id cannot be the id of a thing of that kind; nil if
// it can.
func (n *ids) refuse(id string, k Kind) error {
	stem := id
	if k == LinkKind && len(id) > 1 {
		stem = strings.TrimSuffix(strings.TrimSuffix(id, "+"), "-")
		if len(id)-len(stem) > 1 {
			stem = id
		}
	}
	switch {
	case !plainWord(stem):
		return fmt.Errorf("an id is a letter followed by letters, digits and _, and this is %q", id)
	case stem == "pack" || stem == "load" || stem == "rail" || stem == "chassis":
		return fmt.Errorf("%s names a terminal or the chassis and cannot be the id of a %s", id, k)
	case n.kind[id] != "":
		return fmt.Errorf("%s is the id of a %s already", id, n.kind[id])
	case stem != id && n.kind[stem] == ModuleKind:
		return fmt.Errorf("%s is a terminal of module %s and cannot be the id of a %s", id, stem, k)
	case k == ModuleKind && (n.kind[id+"+"] != "" || n.kind[id+"-"] != ""):
		return fmt.Errorf("a module cannot be called %s: its terminals would be called as a link is", id)
	}
	return nil
}

// take refuses or takes an id.
func (n *ids) take(id string, k Kind) error {
	if err := n.refuse(id, k); err != nil {
		return err
	}
	n.kind[id] = k
	return nil
}

// split parts an id into its stem, its number with the digits that it is written
// with, and a link's sign. Without a number, digits is 0 and the number 1.
func split(id string) (stem string, number, digits int, sign string) {
	stem = id
	if s := strings.TrimRight(id, "+-"); s != id && s != "" {
		stem, sign = s, id[len(s):]
	}
	bare := strings.TrimRight(stem, "0123456789")
	number, err := strconv.Atoi(stem[len(bare):])
	if err != nil || bare == "" {
		return stem, 1, 0, sign
	}
	return bare, number, len(stem) - len(bare), sign
}

// join is the id with a number.
func join(stem string, number, digits int, sign string) string {
	return stem + fmt.Sprintf("%0*d", digits, number) + sign
}

// after takes the next free id that follows another in number: M13 after M12.
func (n *ids) after(id string, k Kind) string {
	stem, number, digits, sign := split(id)
	return n.from(stem, number+1, digits, sign, k)
}

// from takes the first free id with a stem, from a number on.
func (n *ids) from(stem string, number, digits int, sign string, k Kind) string {
	if !plainWord(stem) { // of a fragment that somebody else made
		stem = "x"
	}
	if k != LinkKind || len(sign) > 1 {
		sign = ""
	}
	key := stem + " " + sign + strconv.Itoa(digits)
	for i := max(number, n.last[key]+1); ; i++ {
		if id := join(stem, i, digits, sign); n.take(id, k) == nil {
			n.last[key] = i
			return id
		}
	}
}

// free takes the bare stem or, where that is taken, the stem with a number from 2.
func (n *ids) free(stem string, k Kind) string {
	if n.take(stem, k) == nil {
		return stem
	}
	return n.from(stem, 2, 0, "", k)
}

// digitsOf is how many digits the ids with a stem are written with, at least least.
func digitsOf(l topology.Layout, stem string, least int) int {
	each(l, func(id string, _ Kind, _ int) {
		if s, _, d, _ := split(id); s == stem {
			least = max(least, d)
		}
	})
	return least
}
