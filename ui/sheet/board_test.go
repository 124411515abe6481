package sheet

import (
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/facts"
)

// A board that is out with all of them says so, and a figure of the workshop's own
// stands in place of the layout's.
func TestSelection_BoardsOutAndOwnMinutes(t *testing.T) {
	one, three := 1.0, 3.0
	page := func(id string, edit func(*fault.Case)) string {
		return plain(Text(Selection(pack(func(c *fault.Case, r *facts.Result) {
			checked(c, r)
			c.Layout.Boards[0].Minutes = &three
			for i := range c.Layout.Links {
				if c.Layout.Links[i].ID == "SD" {
					c.Layout.Links[i].Minutes = &one
				}
			}
			edit(c)
		}), id)))
	}
	for name, x := range map[string]struct {
		id   string
		edit func(*fault.Case)
		want string
	}{
		"plugged":         {"board:B3", func(*fault.Case) {}, "In this state: not recorded unplugged"},
		"unplugged":       {"board:B3", func(c *fault.Case) { c.States[1].Unplugged = []string{"B3"} }, "In this state: recorded unplugged\n"},
		"all out":         {"board:B3", func(c *fault.Case) { c.States[1].Boards = fault.BoardsOut }, "In this state: recorded unplugged, with all boards"},
		"the layout's":    {"board:B3", func(*fault.Case) {}, "To unplug it: 3 min\n"},
		"own":             {"board:B3", func(c *fault.Case) { c.Minutes = map[string]float64{"B3": 12} }, "To unplug it: 12 min, this workshop's figure"},
		"link, layout's":  {"link:SD", func(*fault.Case) {}, "To open it: 1 min\n"},
		"link, own":       {"link:SD", func(c *fault.Case) { c.Minutes = map[string]float64{"SD": 0.5} }, "To open it: 0.5 min, this workshop's figure"},
		"link, no figure": {"link:L02", func(*fault.Case) {}, "To open it: minutes not recorded"},
	} {
		if got := page(x.id, x.edit); !strings.Contains(got, x.want) {
			t.Errorf("%s: %q is missing in\n%s", name, x.want, got)
		}
	}
}
