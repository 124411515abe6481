package cells_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/cells"
	"halfsplit/fault/format"
)

func load(t testing.TB, name string) fault.Case {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("../../testdata/cases", name+".case.json"))
	if err != nil {
		t.Fatal(err)
	}
	c, _, err := format.ReadCase(name, data, nil)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// The group volts of the repository's cases: two leaks drained a band in S3 alone.
func TestEvidence_OfTheCases(t *testing.T) {
	paths, err := filepath.Glob("../../testdata/cases/*.case.json")
	if err != nil || len(paths) < 20 {
		t.Fatalf("%d cases, %v", len(paths), err)
	}
	for _, path := range paths {
		name := strings.TrimSuffix(filepath.Base(path), ".case.json")
		t.Run(name, func(t *testing.T) {
			ev := cells.Evidence(load(t, name))
			if !strings.HasPrefix(name, "S3") {
				if len(ev) > 0 {
					t.Errorf("evidence of two leaks: %+v", ev)
				}
				return
			}
			if len(ev) != 1 || ev[0].Place != "M03.6" || ev[0].With != "M15.3" {
				t.Fatalf("got %+v, want the taps M03.6 and M15.3", ev)
			}
			for _, e := range ev {
				if e.Kind != fault.Two || e.Odds < 250e3 || e.Odds > 1e6 ||
					e.Why != "Groups M03.7 to M15.3 are 22 mV (± 1.7 mV) low: two leaks at their ends would drain exactly these." {
					t.Errorf("%+v", e)
				}
			}
		})
	}
}

// What the cases show besides: single groups in S1, two modules in S1b.
func TestSignatures_OfTheCases(t *testing.T) {
	for name, want := range map[string][]string{
		"S1":  {"group-low M03.4 26", "group-low M09.2 409", "group-low M09.3 136"},
		"S1b": {"module-low M02 1002", "module-low M03 1012"},
		"S2":  nil,
		"S3":  {"drain-band  21"},
		"S5":  nil,
		"S11": nil,
		"S8a": nil,
	} {
		t.Run(name, func(t *testing.T) { told(t, cells.Signatures(load(t, name)), want) })
	}
}
