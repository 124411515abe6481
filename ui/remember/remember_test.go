package remember_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/ui/remember"
)

func TestState_ComesBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "new", "window.json")
	s := remember.State{Text: 150, Glove: true, Ruler: 35, Sheet: 440, Colours: "dark", Emergency: "{}"}
	s.SetLast("/a/book", "case 1")
	s.SetLast("/b/book", "case 2")
	s.SetLast("/b/book", "")
	if err := remember.Save(path, s); err != nil {
		t.Fatal(err)
	}
	got := remember.Load(path)
	if d := cmp.Diff(s, got); d != "" {
		t.Error(d)
	}
	if got.Last("/a/../a/book") != "case 1" || got.Last("/b/book") != "" {
		t.Errorf("last: %q, %q", got.Last("/a/book"), got.Last("/b/book"))
	}
}

func TestLoad_WhatIsBrokenIsNothing(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{"empty": "", "half": `{"text":15`, "other": `[1,2]`} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if s := remember.Load(path); s.Percent() != remember.LeastText || s.Last("x") != "" {
			t.Errorf("%s: %+v", name, s)
		}
	}
	if s := remember.Load(dir); s.Percent() != remember.LeastText {
		t.Errorf("a folder: %+v", s)
	}
}

func TestPercent_StaysWithinItsLimits(t *testing.T) {
	for text, want := range map[int]int{0: 100, 10: 100, 175: 175, 900: 250, -5: 100} {
		if got := (remember.State{Text: text}).Percent(); got != want {
			t.Errorf("%d: %d, want %d", text, got, want)
		}
	}
}
