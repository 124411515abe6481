package ui

import (
	"fmt"
	"testing"

	"halfsplit/ui/command"
)

// No key of a case is that of two commands: the second would never be done.
func TestDesk_NoKeyHasTwoCommands(t *testing.T) {
	r := newRig(t, func(d *Deps) { d.Draw = func() {} })
	r.set.Add(&command.Command{Name: "none"}) // without a key is no key twice
	taken := map[string]string{}
	keys := 0
	for _, c := range r.set.List() {
		var all []string
		for _, x := range c.Runes {
			all = append(all, string(x))
		}
		for _, n := range c.Named {
			all = append(all, fmt.Sprintf("%s, shift %v", n, c.Shift))
		}
		for _, k := range all {
			keys++
			if other, ok := taken[k]; ok && other != c.Name {
				t.Errorf("%q is the key of %q and of %q", k, other, c.Name)
			}
			taken[k] = c.Name
		}
	}
	if keys < 40 {
		t.Errorf("only %d keys were looked at", keys)
	}
}
