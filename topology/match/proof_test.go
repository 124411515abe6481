package match_test

import (
	"strings"
	"testing"

	"halfsplit/topology"
	"halfsplit/topology/match"
)

// The proof of the numbers is named with its words, volts by what they are: of one pack
// each, whatever they are typed as, and neither changes what a reading means.
func TestCompare_ProofAndVolts(t *testing.T) {
	a, err := topology.Make(topology.MakeSpec{Modules: 3, Series: 4, Parallel: 1, PerRow: 3, W: 300, H: 150, Gap: 20})
	if err != nil {
		t.Fatal(err)
	}
	b := a
	a.OrderVolts = &topology.OrderVolts{Reference: "M01-", Values: []topology.TerminalVolts{{Terminal: "M01+", Volts: 14.6, Raw: "14.60"}}}
	b.OrderVolts = &topology.OrderVolts{Values: []topology.TerminalVolts{{Terminal: "M01+", Volts: 14.6, Raw: "14600 mV"}}}
	if d := match.Compare(a, b); len(d.Changes) != 0 {
		t.Errorf("the same volts typed otherwise: %v", d.Changes)
	}
	b.OrderVolts = &topology.OrderVolts{Values: []topology.TerminalVolts{{Terminal: "M01+", Volts: 14.9}, {Terminal: "M02+", Volts: 29.4}}}
	b.Proof = &topology.NumberingProof{Of: "monitor's indices", Done: "M01 warmed", Who: "Kim"}
	d := match.Compare(a, b)
	said := d.Words()
	for _, want := range []string{"proof of its numbers monitor's indices, M01 warmed, Kim, where none was recorded", "differ; each is of one pack"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not said: %s", want, said)
		}
	}
	if len(d.Electrical()) > 0 {
		t.Errorf("electrical: %v", d.Electrical())
	}
	b.OrderVolts = nil
	if said := match.Compare(a, b).Words(); !strings.Contains(said, "are missing: 1 value") {
		t.Error(said)
	}
}
