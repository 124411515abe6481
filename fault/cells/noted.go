package cells

import (
	"slices"
	"strings"

	"halfsplit/fault"
)

// NotedOdds is by how much what a person notes at a place raises the odds of a
// leak there. They are small: wet, worn and marked places are looked at because
// they are easy to see, and most leaks are not.
var NotedOdds = map[string]float64{
	fault.NotedWet:    3,
	fault.NotedChafed: 5,
	fault.NotedMark:   10,
	fault.NotedSmell:  2,
	fault.NotedOther:  2,
}

var notedWords = map[string]string{
	fault.NotedWet:    "moisture",
	fault.NotedChafed: "chafed insulation",
	fault.NotedMark:   "a mark of arcing or corrosion",
	fault.NotedSmell:  "a smell",
	fault.NotedOther:  "something",
}

// FromNoted turns what persons noted into evidence for a leak of any kind at its
// place. The same thing noted twice at one place counts once.
func FromNoted(c fault.Case) []fault.Evidence {
	var out []fault.Evidence
	var counted [][2]string
	for _, n := range c.Noted {
		odds, known := NotedOdds[n.What]
		key := [2]string{n.Place, n.What}
		if !known || slices.Contains(counted, key) {
			continue
		}
		counted = append(counted, key)
		out = append(out, fault.Evidence{Place: n.Place, Odds: odds, Why: notedSentence(n)})
	}
	return out
}

func notedSentence(n fault.Noted) string {
	who := n.Who
	if who == "" {
		who = "Somebody"
	}
	s := who + " noted " + notedWords[n.What] + " at " + n.Place
	if why := strings.TrimRight(strings.TrimSpace(n.Why), "."); why != "" {
		s += ": " + why
	}
	return s + "."
}

// All is everything that speaks for a place besides readings: what the group volts
// show, then what persons noted.
func All(c fault.Case) []fault.Evidence { return append(Evidence(c), FromNoted(c)...) }
