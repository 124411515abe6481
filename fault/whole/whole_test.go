package whole_test

import (
	"os"
	"path/filepath"
	"testing"

	"halfsplit/fault/whole"
)

func TestWrite_TakesTheOldFilesPlace(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.csv")
	for _, text := range []string{"long before", "now"} {
		if err := whole.Write(path, []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadFile(path); err != nil || string(got) != text {
			t.Errorf("%q %v", got, err)
		}
	}
	left(t, dir, 1)
}

func TestWrite_LeavesNothingBehind(t *testing.T) {
	dir := t.TempDir()
	if err := whole.Write(filepath.Join(dir, "no", "such", "folder"), nil); err == nil {
		t.Error("a folder that is not there was written to")
	}
	taken := filepath.Join(dir, "taken")
	if err := os.MkdirAll(filepath.Join(taken, "inside"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := whole.Write(taken, []byte("x")); err == nil {
		t.Error("a folder was replaced")
	}
	left(t, dir, 1)
}

func left(t *testing.T, dir string, want int) {
	t.Helper()
	if names, err := os.ReadDir(dir); err != nil || len(names) != want {
		t.Errorf("%v %v, want %d", names, err, want)
	}
}
