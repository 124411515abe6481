package drafting

import (
	"fmt"
	"testing"
)

// No key of the table is that of two commands: the second would never be done.
func TestTable_NoKeyHasTwoCommands(t *testing.T) {
	b := on(t, rowOf(t, 2))
	taken := map[string]string{}
	for _, c := range b.View.set.List() {
		for _, x := range c.Runes {
			k := string(x)
			if other, ok := taken[k]; ok && other != c.Name {
				t.Errorf("%q is the key of %q and of %q", k, other, c.Name)
			}
			taken[k] = c.Name
		}
		for _, n := range c.Named {
			k := fmt.Sprintf("%s, shift %v", n, c.Shift)
			if other, ok := taken[k]; ok && other != c.Name {
				t.Errorf("%q is the key of %q and of %q", k, other, c.Name)
			}
			taken[k] = c.Name
		}
	}
	if len(taken) < 30 {
		t.Errorf("only %d keys were looked at", len(taken))
	}
}
