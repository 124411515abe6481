package casebook_test

import (
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"testing"

	_ "github.com/mattn/go-sqlite3" // another program's connection
)

// rawOpen opens a file the way another program would, with none of our rules.
func rawOpen(t testing.TB, path string) *sql.DB {
	t.Helper()
	db := must(sql.Open("sqlite3", path)).or(t)
	db.SetMaxOpenConns(1)
	t.Cleanup(func() { db.Close() })
	return db
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return !errors.Is(err, fs.ErrNotExist)
}
