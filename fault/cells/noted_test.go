package cells_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
	"halfsplit/fault/cells"
)

func TestFromNoted(t *testing.T) {
	c := load(t, "S3")
	c.Noted = []fault.Noted{
		{ID: "n1", Who: "Anna", Place: "M03", What: fault.NotedWet, Why: "drops under the cover."},
		{ID: "n2", Place: "M15.3", What: fault.NotedMark},
		{ID: "n3", Who: "Ben", Place: "M03", What: fault.NotedWet, Why: "still wet"},
		{ID: "n4", Who: "Ben", Place: "M03", What: fault.NotedSmell},
		{ID: "n5", Place: "SD", What: fault.NotedChafed, Why: "  "},
		{ID: "n6", Place: "M01", What: "a word of a later version"},
	}
	want := []fault.Evidence{
		{Place: "M03", Odds: 3, Why: "Anna noted moisture at M03: drops under the cover."},
		{Place: "M15.3", Odds: 10, Why: "Somebody noted a mark of arcing or corrosion at M15.3."},
		{Place: "M03", Odds: 2, Why: "Ben noted a smell at M03."},
		{Place: "SD", Odds: 5, Why: "Somebody noted chafed insulation at SD."},
	}
	if d := cmp.Diff(want, cells.FromNoted(c)); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff(append(cells.Evidence(c), want...), cells.All(c)); d != "" {
		t.Error(d)
	}
	for _, w := range fault.NotedWords {
		if cells.NotedOdds[w] <= 1 {
			t.Errorf("%s has no odds", w)
		}
	}
}
