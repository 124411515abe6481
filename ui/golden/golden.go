// Package golden compares texts and pictures with those that are kept, for the
// tests of the drawings. Run the tests with -update to keep new ones; look at
// what changed before it is committed.
package golden

import (
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "keep the present texts and pictures")

// Text fails the test where got differs from testdata/name.
func Text(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v (run with -update to keep it)", err)
	}
	if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); d != "" {
		t.Errorf("%s (- kept, + now):\n%s", name, d)
	}
}

// Mono measures every character as 0.55 of the size, bold as 0.6: close to the
// window's font, and the same on every machine.
func Mono(s string, size float64, bold bool) float64 {
	k := 0.55
	if bold {
		k = 0.6
	}
	return float64(len([]rune(s))) * size * k
}
