package picture

import (
	"strings"
	"testing"

	"halfsplit/topology"
)

// Where no side is recorded, the page from the other side says that it is mirrored.
func TestSaid_MirroredOfAnUnknownSide(t *testing.T) {
	for _, c := range []struct {
		from  string
		below bool
		want  string
	}{
		{"", false, "seen from: not recorded"}, {"", true, "mirrored; seen from: not recorded"},
		{"above", false, "seen from above"}, {"below", true, "seen from below"}, // the layout comes mirrored
	} {
		got := said(topology.Layout{SeenFrom: c.from}, Options{Below: c.below})
		if s := strings.Join(got, ", "); !strings.HasSuffix(s, ", "+c.want) {
			t.Errorf("from %q, mirrored %v: %q", c.from, c.below, s)
		}
	}
}
