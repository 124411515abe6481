//go:build cgo

package cli_test

import (
	"database/sql"
	"path/filepath"
	"strings"
	"testing"

	_ "github.com/mattn/go-sqlite3" // another program's connection

	"halfsplit/assets"
	"halfsplit/fault/casebook"
	"halfsplit/fault/format"
)

// demoBook is a closed casebook that holds the demo case, with its newest hash.
func demoBook(t *testing.T) (path, head string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "shop.casebook")
	b, err := casebook.Create(path, casebook.Options{NoCopies: true})
	if err != nil {
		t.Fatal(err)
	}
	c, _, err := format.ReadCase("demo", assets.Demo, nil)
	if err == nil {
		_, err = b.ImportCase(c, assets.Demo, casebook.By{Who: "Anna"})
	}
	if err != nil {
		t.Fatal(err)
	}
	h, err := b.Head()
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	return path, h.Hash
}

func TestAudit_ExitCodes(t *testing.T) {
	good, head := demoBook(t)
	changed, _ := demoBook(t)
	db, err := sql.Open("sqlite3", changed)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec(`DROP TRIGGER readings_kept_1; UPDATE readings SET value = value + 1 WHERE label = 'r4'`); err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	newer, _ := demoBook(t)
	db, err = sql.Open("sqlite3", newer)
	if err == nil {
		_, err = db.Exec(`PRAGMA user_version = 99`)
		db.Close()
	}
	if err != nil {
		t.Fatal(err)
	}
	other := strings.Repeat("0123456789abcdef", 4)
	tests := map[string]struct {
		args []string
		code int
		want string
	}{
		"holds":              {[]string{good}, 0, "The event log of"},
		"the hash":           {[]string{good}, 0, ":" + head + "\n"},
		"about the pack":     {[]string{good}, 0, "says nothing about the pack"},
		"with its head":      {[]string{"-head", head, good}, 0, "since -head    0 events"},
		"with = and capital": {[]string{good, "--head=" + strings.ToUpper(head)}, 0, "since -head    0 events"},
		"with another head":  {[]string{"-head", other, good}, 1, "No event has the expected hash"},
		"a reading changed":  {[]string{changed}, 1, "Reading r4"},
		"newer":              {[]string{newer}, 2, newer + ": was written by a newer version"},
		"no file":            {[]string{filepath.Join(t.TempDir(), "none")}, 2, "there is no such file"},
		"a case file":        {[]string{write(t, "c.json", string(assets.Demo))}, 2, "is no casebook"},
		"empty":              {[]string{write(t, "e", "")}, 2, "is empty"},
		"a folder":           {[]string{t.TempDir()}, 2, "is a folder"},
		"nothing given":      {nil, 2, "no file given; usage: halfsplit audit [-head SEQ:HASH] CASEBOOK"},
		"no hash":            {[]string{"-head", "abc", good}, 2, `"abc" is no hash`},
		"hash missing":       {[]string{good, "-head"}, 2, "-head needs the number and the hash"},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			code, out, errs := run(append([]string{"audit"}, tt.args...)...)
			if code != tt.code || !strings.Contains(out+errs, tt.want) {
				t.Errorf("exit %d, want %d with %q:\n%s%s", code, tt.code, tt.want, out, errs)
			}
			if code == 2 && (out != "" || strings.Count(errs, "\n") != 1) {
				t.Errorf("a refusal is one line on standard error: %q %q", out, errs)
			}
			if code < 2 {
				if errs != "" {
					t.Errorf("errors with exit %d: %q", code, errs)
				}
				checkPage(t, out)
			}
		})
	}
	left, err := filepath.Glob(filepath.Join(filepath.Dir(good), "*"))
	if err != nil || len(left) != 1 {
		t.Errorf("an audit leaves %v behind", left)
	}
}
