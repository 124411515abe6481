package casebook

import (
	"bytes"
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// older is a casebook of this version, closed.
func older(t *testing.T) (path string, data []byte) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "shop.casebook")
	b, err := Create(path, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := b.SetSetting("emergency", "Call the foreman.", By{}); err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	data, err = os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return path, data
}

func userVersion(t *testing.T, path string) (version int) {
	t.Helper()
	db, err := connect(path, looking, 1)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := db.QueryRow(`PRAGMA user_version`).Scan(&version); err != nil {
		t.Fatal(err)
	}
	return version
}

// An older file is copied before it is changed, and then brought up to date step
// by step.
func TestUpgrade_CopiesFirst(t *testing.T) {
	path, data := older(t)
	now := len(migrations())
	steps := append(migrations(), `ALTER TABLE photos ADD COLUMN taken TEXT`, `CREATE TABLE notes (a TEXT) STRICT`)
	if err := upgrade(path, false, steps); err != nil {
		t.Fatal(err)
	}
	if v := userVersion(t, path); v != now+2 {
		t.Errorf("version %d", v)
	}
	if _, err := Open(path, Options{}); KindOf(err) != Newer {
		t.Errorf("%v", err)
	}
	bak := fmt.Sprintf("%s.v%d.bak", path, now)
	if v := userVersion(t, bak); v != now {
		t.Errorf("the copy has version %d", v)
	}
	b, err := Open(bak, Options{ReadOnly: true})
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	if v, ok, err := b.Setting("emergency"); v != "Call the foreman." || !ok || err != nil {
		t.Error(v, ok, err)
	}
	// An older file of that name again: the first copy stays.
	first, _ := os.ReadFile(bak)
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := upgrade(path, false, steps); err != nil {
		t.Fatal(err)
	}
	if again, _ := os.ReadFile(bak); !bytes.Equal(first, again) {
		t.Error("the first copy was replaced")
	}
	if v := userVersion(t, fmt.Sprintf("%s.v%d-2.bak", path, now)); v != now {
		t.Errorf("the second copy has version %d", v)
	}
}

// A step that fails leaves the file at the step before it.
func TestUpgrade_FailsWhole(t *testing.T) {
	path, _ := older(t)
	now := len(migrations())
	steps := append(migrations(), `ALTER TABLE photos ADD COLUMN taken TEXT`,
		`CREATE TABLE notes (a TEXT) STRICT; INSERT INTO notes VALUES ('x'); INSERT INTO nowhere VALUES (1)`)
	if err := upgrade(path, false, steps); err == nil {
		t.Fatal("a step that cannot be done went through")
	}
	if v := userVersion(t, path); v != now+1 {
		t.Errorf("version %d, want %d", v, now+1)
	}
	db, err := connect(path, looking, 1)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if err := db.QueryRow(`SELECT a FROM notes`).Scan(new(string)); err == nil {
		t.Error("half of the step that failed is there")
	}
}

// A file that cannot be copied first is not touched.
func TestUpgrade_NoCopyNoChange(t *testing.T) {
	path, data := older(t)
	steps := append(migrations(), `CREATE TABLE notes (a TEXT) STRICT`)
	if err := upgrade(path, true, steps); KindOf(err) != ReadOnly {
		t.Errorf("%v", err)
	}
	long := filepath.Join(filepath.Dir(path), string(bytes.Repeat([]byte("n"), 230))) // with .vN.bak and a mark it is too long a name
	if err := os.WriteFile(long, data, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := upgrade(long, false, steps); err == nil {
		t.Fatal("there is room for a name that is too long")
	}
	if now, _ := os.ReadFile(long); !bytes.Equal(now, data) {
		t.Error("the file was changed without a copy")
	}
}

// Two windows that open an older file at once: one migrates, the other finds it
// done.
func TestMigrate_Twice(t *testing.T) {
	path, _ := older(t)
	steps := append(migrations(), `CREATE TABLE notes (a TEXT) STRICT`)
	open := func() *sql.DB {
		db, err := connect(path, finishing, 1)
		if err != nil {
			t.Fatal(err)
		}
		return db
	}
	one, two := open(), open()
	defer one.Close()
	defer two.Close()
	for _, db := range []*sql.DB{one, two} {
		if err := migrate(t.Context(), db, steps, len(migrations())); err != nil {
			t.Error(err)
		}
	}
}
