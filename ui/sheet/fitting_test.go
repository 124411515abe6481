package sheet

import (
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
)

// Pressed on the plan, a part, a chassis piece and a bond have their pages.
func TestSelection_PartChassisAndBond(t *testing.T) {
	two, ohms, minutes := 2, 0.004, 25.0
	p := pack(func(c *fault.Case, _ *facts.Result) {
		c.Layout.Parts = []topology.Part{{ID: "plate", Kind: "cover", Over: []string{"M01", "M02"}, Minutes: &minutes, People: &two, MassKg: 11.5}, {ID: "strap", Holds: []string{"M03"}}}
		c.Layout.Bonds = []topology.Bond{{ID: "b1", From: "tray", To: "lid", Ohms: &ohms}}
	})
	for id, want := range map[string][]string{
		"part:plate":   {"Part plate, cover", "It lies over: M01, M02", "It holds: nothing recorded", "25 min", "People: 2", "11.5 kg"},
		"part:strap":   {"It lies over: nothing recorded", "It holds: M03", "To take it off: not recorded"},
		"chassis:tray": {"Chassis piece tray", "Bond b1 to lid: 4.00 mΩ"},
		"bond:b1":      {"It joins: tray and lid", "Resistance: 4.00 mΩ"},
	} {
		got := plain(Text(Selection(p, id)))
		for _, w := range want {
			if !strings.Contains(got, w) {
				t.Errorf("%s: %q is missing in\n%s", id, w, got)
			}
		}
	}
	p = pack(nil)
	if got := plain(Text(Selection(p, "chassis:tray"))); !strings.Contains(got, "No bond of it is recorded") {
		t.Errorf("without a bond:\n%s", got)
	}
}
