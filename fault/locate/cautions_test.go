package locate

import (
	"context"
	"strings"
	"testing"

	"halfsplit/fault"
)

// Where the cells add up to far less than the layout's nominal volts, the caution names
// both: one value with its point in the wrong place must not stand for the cells that
// nobody read.
func TestCautions_NameTheNominalVoltsWhereTheCellsReadFarLess(t *testing.T) {
	of := func(nominal float64) string {
		j := boarded(t, 20, 100e3, func(c *fault.Case) {
			c.Layout.NominalVolts = nominal
		})
		f, err := Find(context.Background(), j.c, nil)
		if err != nil {
			t.Fatal(err)
		}
		return strings.Join(f.Cautions, " ")
	}
	const words = "go by the larger until the cells there were read"
	if s := of(800); !strings.Contains(s, words) || !strings.Contains(s, "about 800 V") {
		t.Errorf("with 800 V nominal it says %q", s)
	}
	for _, nominal := range []float64{0, 236} {
		if s := of(nominal); strings.Contains(s, words) || !strings.Contains(s, "Modules cannot be switched off") {
			t.Errorf("with %g V nominal it says %q", nominal, s)
		}
	}
}
