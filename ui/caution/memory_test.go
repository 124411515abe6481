package caution_test

import (
	"testing"
	"time"

	"halfsplit/ui/caution"
)

var noon = time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)

// Each row is one look at a page: what is said then.
func TestMemory_OnceInAState(t *testing.T) {
	type look struct {
		state, who, text string
		visit            int
		after            time.Duration // since noon
		full, asks       bool
	}
	for name, looks := range map[string][]look{
		"in full, then one line": {
			{"s1", "A", "173 V", 1, 0, true, false}, {"s1", "A", "173 V", 2, time.Minute, false, false}, {"s1", "A", "173 V", 3, 2 * time.Minute, false, false}},
		"as long as the page stays": {
			{"s1", "A", "173 V", 1, 0, true, false}, {"s1", "A", "173 V", 1, time.Minute, true, false}, {"s1", "A", "173 V", 2, time.Minute, false, false}},
		"again in another state": {
			{"s1", "A", "173 V", 1, 0, true, false}, {"s2", "A", "173 V", 2, time.Minute, true, false}, {"s1", "A", "173 V", 3, time.Minute, true, false}},
		"again with other numbers": {
			{"s1", "A", "173 V", 1, 0, true, false}, {"s1", "A", "174 V", 1, time.Minute, true, false}, {"s1", "A", "174 V", 2, time.Minute, false, false}},
		"again for another person, and asks": {
			{"s1", "A", "173 V", 1, 0, true, false}, {"s1", "B", "173 V", 1, time.Minute, true, true}, {"s1", "B", "173 V", 2, time.Minute, false, false}},
		"again after a break, and asks": {
			{"s1", "A", "173 V", 1, 0, true, false}, {"s1", "A", "173 V", 2, time.Minute, false, false}, {"s1", "A", "173 V", 2, 25 * time.Minute, true, true},
			{"s1", "A", "173 V", 2, 26 * time.Minute, true, true}, {"s1", "A", "173 V", 3, 27 * time.Minute, false, false}},
		"not while somebody works": {
			{"s1", "A", "173 V", 1, 0, true, false}, {"s1", "A", "173 V", 2, 15 * time.Minute, false, false}, {"s1", "A", "173 V", 3, 30 * time.Minute, false, false}},
	} {
		t.Run(name, func(t *testing.T) {
			var m caution.Memory
			for i, l := range looks {
				full, asks := m.Say("page", l.text, caution.Moment{State: l.state, Who: l.who, Visit: l.visit, Now: noon.Add(l.after)})
				if full != l.full || asks != l.asks {
					t.Errorf("look %d: full %v, asks %v", i+1, full, asks)
				}
			}
		})
	}
}

// A break is seen by every caution of the page, not by the first alone.
func TestMemory_ABreakIsForAll(t *testing.T) {
	var m caution.Memory
	say := func(place string, visit int, after time.Duration) (bool, bool) {
		return m.Say(place, place, caution.Moment{State: "s", Visit: visit, Now: noon.Add(after)})
	}
	for _, p := range []string{"a", "b"} {
		say(p, 1, 0)
		say(p, 2, 0)
	}
	for _, p := range []string{"a", "b"} {
		if full, asks := say(p, 2, time.Hour); !full || !asks {
			t.Errorf("%s: full %v, asks %v", p, full, asks)
		}
	}
}

func TestMemory_WithoutAClockAndOpened(t *testing.T) {
	var m caution.Memory
	m.Say("a", "text", caution.Moment{Visit: 1})
	if full, _ := m.Say("a", "text", caution.Moment{Visit: 2}); full {
		t.Error("said twice in full")
	}
	m.Turn("a")
	m.Turn("never said")
	if full, asks := m.Say("a", "text", caution.Moment{Visit: 2}); !full || asks {
		t.Error("not opened")
	}
	m.Turn("a")
	if full, _ := m.Say("a", "text", caution.Moment{Visit: 2}); full || m.Full("a") {
		t.Error("not folded")
	}
	m.Turn("a")
	if full, _ := m.Say("a", "text", caution.Moment{Visit: 3}); full {
		t.Error("it stays open on another page")
	}
}
