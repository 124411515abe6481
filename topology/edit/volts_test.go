package edit_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/topology"
	"halfsplit/topology/edit"
)

// Volts go with the module that they were measured on: when two modules change numbers,
// when one is renamed, and away with one that is deleted. A copy has none.
func TestOrderVolts_GoWithTheirModules(t *testing.T) {
	l := pack(t, 4)
	l.OrderVolts = &topology.OrderVolts{Reference: "M01-", Values: []topology.TerminalVolts{
		{Terminal: "M01+", Volts: 37, Raw: "37.0"}, {Terminal: "M02-", Volts: 37, Raw: "37.0"}, {Terminal: "M03+", Volts: 111, Raw: "111"},
	}}
	named := func(v *topology.OrderVolts) (out []string) {
		for _, t := range v.Values {
			out = append(out, t.Terminal+" "+t.Raw)
		}
		return append(out, v.Reference)
	}
	out, err := edit.RenameAll(l, map[string]string{"M01": "M03", "M03": "M01"})
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff([]string{"M03+ 37.0", "M02- 37.0", "M01+ 111", "M03-"}, named(out.OrderVolts)); d != "" {
		t.Error(d)
	}
	out, went, err := edit.Delete(l, edit.Selection{"M01", "M03"})
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff([]string{"M02- 37.0", "M01-"}, named(out.OrderVolts)); d != "" {
		t.Error(d)
	}
	if said := strings.Join(went, " "); !strings.Contains(said, "The volts went that were measured on M01+ and M03+.") {
		t.Error(said)
	}
	legal(t, out)
	out, _, err = edit.Duplicate(l, edit.Selection{"M01"}, 400, 0)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(named(l.OrderVolts), named(out.OrderVolts)); d != "" {
		t.Error(d)
	}
	if f, err := edit.Copy(l, edit.Selection{"M01"}); err != nil || f.OrderVolts != nil || f.Proof != nil {
		t.Errorf("a piece that is copied: %v, %+v", err, f)
	}
}
