package fault_test

import (
	"slices"
	"testing"

	"halfsplit/fault"
)

// Every item has words of its own, and its entries a name with the right unit.
func TestMakeSafe_Names(t *testing.T) {
	seen := map[string]bool{}
	for _, item := range fault.SafeItems {
		n := fault.SafeName(item)
		if seen[n] || n == "" {
			t.Errorf("%s is called %q", item, n)
		}
		seen[n] = true
	}
	v := 5.0
	for want, m := range map[string]fault.MakeSafe{
		"pole to pole 5 V at the inverter":        {Item: fault.SafePoles, Value: &v, Point: "the inverter"},
		"the maker's wait 5 min service sheet 12": {Item: fault.SafeWait, Value: &v, Text: "service sheet 12"},
		"lock 14":                             {Item: fault.SafeLock, Text: "14"},
		"the wait began 2026-03-02T10:04:00Z": {Item: fault.SafeBegan, At: "2026-03-02T10:04:00Z"},
		"reason to go on 012345678901234567890123456789012345678…": {Item: fault.SafeReason, Text: "01234567890123456789012345678901234567890123456789"},
	} {
		if got := m.Name(); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	if slices.Contains(fault.SafeItems, "") {
		t.Error("an item without a word")
	}
}

// The newest entry stands, for readings at their own point.
func TestCase_SafeNow(t *testing.T) {
	a, b := 1.0, 2.0
	c := fault.Case{MakeSafe: []fault.MakeSafe{
		{ID: "k1", Item: fault.SafePlus, Value: &a}, {ID: "k2", Item: fault.SafePlus, Value: &b, Point: "the inverter"}, {ID: "k3", Item: fault.SafeLock},
	}}
	if m, ok := c.SafeNow(fault.SafePlus); !ok || m.ID != "k2" {
		t.Errorf("%+v stands", m)
	}
	if m, ok := c.SafeAt(fault.SafePlus, ""); !ok || m.ID != "k1" {
		t.Errorf("%+v stands at the poles", m)
	}
	if _, ok := c.SafeNow(fault.SafeMinus); ok {
		t.Error("something stands that nobody recorded")
	}
}
