package files_test

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"halfsplit/ui/files"
)

func TestWrite_WholeOrNothing(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a.json")
	if err := files.Write(path, []byte("one"), false); err != nil {
		t.Fatal(err)
	}
	if err := files.Write(path, []byte("two"), false); !errors.Is(err, files.ErrThere) {
		t.Errorf("a file that is there: %v", err)
	}
	if b, _ := os.ReadFile(path); string(b) != "one" {
		t.Errorf("it holds %q", b)
	}
	if err := files.Write(path, []byte("three"), true); err != nil {
		t.Error(err)
	}
	if b, _ := os.ReadFile(path); string(b) != "three" {
		t.Errorf("it holds %q", b)
	}
	if err := files.Write(dir, nil, true); err == nil || !strings.Contains(err.Error(), "is a folder") {
		t.Errorf("a folder: %v", err)
	}
	if err := files.Write(filepath.Join(dir, "none", "a"), nil, true); err == nil || !strings.Contains(err.Error(), "no such folder") {
		t.Errorf("a folder that is not there: %v", err)
	}
	if entries, err := os.ReadDir(dir); err != nil || len(entries) != 1 {
		t.Errorf("left behind: %v %v", entries, err)
	}
}

func TestWrite_WhereThisUserMayNot(t *testing.T) {
	if runtime.GOOS == "windows" || os.Geteuid() == 0 {
		t.Skip("this user may write everywhere")
	}
	dir := t.TempDir()
	if err := os.Chmod(dir, 0o500); err != nil {
		t.Fatal(err)
	}
	if err := files.Write(filepath.Join(dir, "a"), []byte("x"), false); err == nil || !strings.Contains(err.Error(), "this user may not") {
		t.Errorf("says %v", err)
	}
}

func TestList_WhatAPersonLooksFor(t *testing.T) {
	dir := t.TempDir()
	for _, n := range []string{"b.JSON", "a.json", "notes.txt", ".hidden.json"} {
		if err := os.WriteFile(filepath.Join(dir, n), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for _, n := range []string{"Work", "archive"} {
		if err := os.Mkdir(filepath.Join(dir, n), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	l, err := files.List(dir, ".json")
	if err != nil {
		t.Fatal(err)
	}
	if strings.Join(l.Files, " ") != "a.json b.JSON" || strings.Join(l.Folders, " ") != "archive Work" || l.Up != filepath.Dir(dir) {
		t.Errorf("%+v", l)
	}
	for path, says := range map[string]string{filepath.Join(dir, "none"): "no such folder", filepath.Join(dir, "a.json"): "not a folder"} {
		if _, err := files.List(path); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", path, err)
		}
	}
	if top, err := files.List(string(filepath.Separator)); err != nil || top.Up != "" {
		t.Errorf("above the top lies %q, %v", top.Up, err)
	}
}

func TestName_IsAFileName(t *testing.T) {
	for title, want := range map[string]string{
		"Demo: warning in the rain": "demo-warning-in-the-rain.json",
		"../../etc/passwd":          "etc-passwd.json",
		"":                          "halfsplit.json",
		"///":                       "halfsplit.json",
		"Größe 7":                   "größe-7.json",
	} {
		if got := files.Name(title, ".json"); got != want {
			t.Errorf("%q: %q, want %q", title, got, want)
		}
	}
	if n := files.Name(strings.Repeat("long ", 100), ".json"); len(n) > 80 {
		t.Errorf("%d long", len(n))
	}
}

func TestRead_TellsTheSorts(t *testing.T) {
	dir := t.TempDir()
	for text, want := range map[string]files.Sort{
		`{"format":"halfsplit-case/1"}`: files.CaseSort, `{"format":"halfsplit-layout/9"}`: files.LayoutSort, `{"format":"x"}`: files.OtherSort, "text": files.OtherSort, "": files.OtherSort,
	} {
		path := filepath.Join(dir, "f")
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, got, err := files.Read(path); err != nil || got != want {
			t.Errorf("%q is sort %d, %v", text, got, err)
		}
	}
	if _, _, err := files.Read(dir); err == nil || !strings.Contains(err.Error(), "is a folder") {
		t.Errorf("a folder: %v", err)
	}
}
