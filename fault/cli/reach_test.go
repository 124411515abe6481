package cli_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"halfsplit/fault/cli"
)

// inDir is a folder with a layout, and what is in it besides afterwards.
func inDir(t *testing.T) (layout string, others func() []string) {
	t.Helper()
	layout = write(t, "bench.layout.json", small)
	return layout, func() (out []string) {
		all, err := os.ReadDir(filepath.Dir(layout))
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range all {
			if e.Name() != filepath.Base(layout) {
				out = append(out, e.Name())
			}
		}
		return out
	}
}

func TestReach_SaysWhatItIsAndWritesBothFiles(t *testing.T) {
	layout, others := inDir(t)
	table, picture := filepath.Join(filepath.Dir(layout), "r.csv"), filepath.Join(filepath.Dir(layout), "r.SVG")
	if err := os.WriteFile(table, []byte("an older one"), 0o600); err != nil {
		t.Fatal(err)
	}
	code, out, errs := run("reach", "-n", "1", "-seed=9", layout, "--csv", table, "-plot", picture)
	if code != 0 || errs != "" {
		t.Fatalf("exit %d, %s\n%s", code, errs, out)
	}
	checkPage(t, out)
	flat := strings.Join(strings.Fields(out), " ")
	for _, want := range []string{"What can be reached, expected, not measured", "From the unbroken string a leak", "With L1 open (minutes not recorded)", "seed 9", "Simulated: 1 pack",
		"No instrument was given: a usual 6000-count meter is taken", "Minutes not recorded for L1", "± groups 9 of 10", "Written: "} {
		if !strings.Contains(flat, want) {
			t.Errorf("%q is missing in\n%s", want, out)
		}
	}
	if got := strings.Join(others(), " "); got != "r.SVG r.csv" {
		t.Errorf("the folder has %q", got)
	}
	data, err := os.ReadFile(table)
	if err != nil {
		t.Fatal(err)
	}
	if rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll(); err != nil || len(rows) != 1+2*11 {
		t.Errorf("%d rows, %v", len(rows), err)
	}
	if _, again, _ := run("reach", "-n", "1", "-seed", "9", layout); again != strings.Split(out, "  Written")[0] {
		t.Errorf("the same seed gives\n%s", again)
	}
}

// Of a case it takes the instruments and test resistors too.
func TestReach_OfACase(t *testing.T) {
	path := write(t, "c.json", `{"format": "halfsplit-case/1", "layout": `+small+`, "instruments": [{"id": "good", "kind": "voltmeter", "gain_pct": 0.05, "counts": 3, "input_ohms": 1e7, "input_tol_pct": 1, "ranges": [{"max": 1000, "count": 0.01}]}], "resistors": [{"id": "R100k", "ohms": 100000, "tol_pct": 1, "watts": 2, "max_volts": 500}]}`)
	code, out, errs := run("reach", "-n", "1", path)
	if flat := strings.Join(strings.Fields(out), " "); code != 0 || !strings.Contains(flat, "Read with good and the test resistor R100k (100 kΩ") || strings.Contains(flat, "No instrument") {
		t.Errorf("exit %d, %s\n%s", code, errs, out)
	}
}

func TestReach_BadInputIsOneLine(t *testing.T) {
	layout, others := inDir(t)
	gone := filepath.Join(filepath.Dir(layout), "gone", "x.csv")
	empty := write(t, "e.json", `{"format": "halfsplit-layout/1", "modules": []}`)
	for name, c := range map[string]struct {
		args []string
		want string
	}{
		"no file":        {nil, "no file given"},
		"two files":      {[]string{layout, layout}, "a second"},
		"no number":      {[]string{"-n", "many", layout}, `-n must be a whole number from 1 to 10000, and is "many"`},
		"nothing":        {[]string{"-n", "0", layout}, "-n must be"},
		"no value":       {[]string{layout, "-seed"}, "-seed needs a value"},
		"negative":       {[]string{"-seed", "-1", layout}, "-seed must be"},
		"unknown option": {[]string{"-fast", layout}, `unknown option "-fast"`},
		"other picture":  {[]string{"-plot", "x.gif", layout}, "ends in .png, .svg, .pdf"},
		"no folder":      {[]string{"-csv", gone, layout}, "there is no folder"},
		"a folder":       {[]string{"-csv", filepath.Dir(layout), layout}, "which is a folder"},
		"no such layout": {[]string{"none.json"}, "none.json: there is no such file"},
		"nothing drawn":  {[]string{empty}, empty + ": the layout has no groups"},
		"not a layout":   {[]string{write(t, "f.json", `{"format": "halfsplit-finding/1"}`)}, "halfsplit-finding/1"},
	} {
		code, out, errs := run(append([]string{"reach"}, c.args...)...)
		if code != 2 || out != "" || strings.Count(errs, "\n") != 1 || !strings.Contains(errs, c.want) {
			t.Errorf("%s: exit %d, %q, %q", name, code, out, errs)
		}
	}
	if len(others()) > 0 {
		t.Errorf("left behind: %v", others())
	}
}

func TestReach_InterruptedWritesNothing(t *testing.T) {
	layout, others := inDir(t)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, errs bytes.Buffer
	code := cli.Run(ctx, []string{"reach", "-csv", filepath.Join(filepath.Dir(layout), "r.csv"), layout}, &out, &errs)
	if code != 130 || out.Len() > 0 || !strings.Contains(errs.String(), "interrupted; nothing was written\n") || strings.Count(errs.String(), "\n") != 1 || len(others()) > 0 {
		t.Errorf("exit %d, %q, %q, %v", code, out.String(), errs.String(), others())
	}
}
