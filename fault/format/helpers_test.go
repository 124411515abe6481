package format_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"halfsplit/assets"
	"halfsplit/fault/format"
)

const testdata = "../../testdata"

// cases are the case files by name, the demo among them.
func cases(t testing.TB) map[string][]byte {
	t.Helper()
	paths, err := filepath.Glob(filepath.Join(testdata, "cases", "*.case.json"))
	if err != nil || len(paths) == 0 {
		t.Fatalf("no case files: %v", err)
	}
	out := map[string][]byte{"demo": assets.Demo}
	for _, p := range paths {
		data, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		out[strings.TrimSuffix(filepath.Base(p), ".case.json")] = data
	}
	return out
}

// layoutOf is the layout of a case as a file of its own.
func layoutOf(t testing.TB, name string, data []byte) []byte {
	t.Helper()
	c, _, err := format.ReadCase(name, data, nil)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := format.WriteLayout(c.Layout)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}
