package entry_test

import (
	"slices"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/report"
	"halfsplit/fault/series"
	"halfsplit/ui/entry"
	"halfsplit/ui/facts"
	"halfsplit/ui/sample"
)

// What is typed in follows the boxes of the paper one by one, for every kind and order,
// in a state with an open link and a removed module, and so it does after a restart.
func TestOfSheet_FollowsTheBoxes(t *testing.T) {
	c := sample.Case()
	c.States = append(c.States, fault.State{ID: "apart", Open: []string{"SD", "L02"}, Removed: []string{"M05"}, Contactors: fault.Open})
	p := facts.New(c, facts.Result{})
	for _, chassis := range []string{"", "chassis:lid"} {
		for _, kind := range series.Kinds {
			for _, order := range report.Orders {
				q := report.Request{Kind: kind, Order: order, State: "apart", Chassis: chassis}
				if order == series.OneStack {
					q.Stack = "A"
				}
				s, err := report.New(c, q)
				if err != nil {
					t.Fatal(err)
				}
				var want []series.Point
				for _, b := range s.Boxes {
					want = append(want, b.Point)
				}
				r := entry.OfSheet(p, entry.Run{Sheet: s.Number, Kind: kind, Order: order, Stack: q.Stack, Chassis: chassis, State: "apart"})
				if got := r.Points(); len(got) == 0 || !slices.Equal(got, want) {
					t.Errorf("%s, %s, %q: %v, printed %v", kind, order, chassis, got, want)
				}
				again, why := entry.RestoreRun(p, r.Keep(p, ""))
				if why != "" || again == nil || !slices.Equal(again.Points(), want) || again.State != "apart" {
					t.Errorf("%s, %s, %q: after a restart: %s %+v", kind, order, chassis, why, again)
				}
			}
		}
	}
}
