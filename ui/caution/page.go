package caution

import (
	"strings"

	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
)

// OpenID begins the id of a caution: a press says one in full that stands as one line,
// and folds one that was read.
const OpenID = "caution:"

// Blocks are a caution as it stands now: in full, or one line that can be pressed.
// Where it asks, the question comes first, with the state as it is recorded.
func (m *Memory) Blocks(p *facts.Pack, place string, t Text, at Moment) []sheet.Block {
	full, asks := m.Say(place, t.Whole(), at)
	if !full {
		return []sheet.Block{{Kind: sheet.Action, ID: OpenID + place, Text: "Caution: " + strings.TrimSuffix(t.Short, ".")}}
	}
	var b []sheet.Block
	if asks {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: Question(p)})
	}
	return append(b, sheet.Block{Kind: sheet.Caution, ID: OpenID + place, Text: t.Whole()})
}

// Question asks whether the pack still is as recorded.
func Question(p *facts.Pack) string {
	line := strings.TrimSuffix(strings.TrimPrefix(p.StateLine(), "Recorded: "), ".")
	if !p.Known {
		return "The state is not recorded. Record it with S."
	}
	return "Is the state still: " + line + "? Record what has changed with S."
}

// Given are the cautions that a finding brings: each said in full, or one line with
// what its leak puts on chassis, or else with what is live.
func (m *Memory) Given(p *facts.Pack, place string, list []string, at Moment) []sheet.Block {
	if len(list) == 0 {
		return nil
	}
	short := ForMakeSafe(p).Short
	for _, t := range list {
		if strings.HasPrefix(t, "The leak near ") || strings.HasPrefix(t, "Chassis is tied to ") {
			short, _, _ = strings.Cut(t, ". ")
			break
		}
	}
	full, asks := m.Say(place, strings.Join(list, "\n"), at)
	if !full {
		return []sheet.Block{{Kind: sheet.Action, ID: OpenID + place, Text: "Caution: " + strings.TrimSuffix(short, ".")}}
	}
	var b []sheet.Block
	if asks {
		b = append(b, sheet.Block{Kind: sheet.Doubt, Text: Question(p)})
	}
	for _, t := range list {
		b = append(b, sheet.Block{Kind: sheet.Caution, ID: OpenID + place, Text: t})
	}
	return b
}
