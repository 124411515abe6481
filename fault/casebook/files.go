package casebook

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
)

// Files that SQLite puts beside a database that is open or was not closed.
var sidecars = []string{"-wal", "-journal", "-shm"}

// tempBeside makes an empty file in the same folder, so that a rename moves it in
// one step. It is made here because the system says more plainly than SQLite why
// it cannot be made.
func tempBeside(path string) (string, error) {
	dir, name := filepath.Split(path)
	if name == "" {
		return "", &Error{Kind: Refused, Path: path, Text: "names a folder, and a file name is needed"}
	}
	temp := filepath.Join(dir, "."+name+"."+newUUID()+".tmp")
	f, err := os.OpenFile(temp, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return "", err
	}
	return temp, f.Close()
}

func removeAll(temp string) {
	os.Remove(temp)
	for _, s := range sidecars {
		os.Remove(temp + s)
	}
}

// writeCopy writes the whole casebook into a new file, compact and complete in
// itself, down to the disk.
func writeCopy(ctx context.Context, db *sql.DB, to string) error {
	if _, err := db.ExecContext(ctx, `VACUUM INTO ?`, to); err != nil {
		return err
	}
	if err := sealCopy(to); err != nil {
		return err
	}
	return syncFile(to)
}

// sealCopy seals a copy that is complete; one of a format without a seal stays as it
// is.
func sealCopy(path string) error {
	db, err := connect(path, finishing, 1)
	if err != nil {
		return err
	}
	defer db.Close()
	var n int
	if _, err := one(db, `SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = 'seal'`, nil, &n); err != nil || n == 0 {
		return err
	}
	return sealFile(db, path)
}

func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// syncDir makes a new name in a folder last. Systems that cannot do it keep
// their folders safe in other ways.
func syncDir(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}

// place gives a finished file its name in one step. Without overwrite, a file
// that appeared under that name in the meantime stays.
func place(temp, path string, overwrite bool) error {
	if err := syncFile(temp); err != nil {
		return err
	}
	if err := move(temp, path, overwrite); err != nil {
		return err
	}
	return syncDir(filepath.Dir(path))
}

func move(temp, path string, overwrite bool) error {
	if overwrite {
		return os.Rename(temp, path)
	}
	err := os.Link(temp, path) // never replaces
	switch {
	case err == nil:
		return os.Remove(temp)
	case errors.Is(err, fs.ErrExist):
		return err
	}
	if err := vacant(path); err != nil { // a file system without links
		return err
	}
	return os.Rename(temp, path)
}

// nothingBeside makes sure that SQLite would not take another file's log for
// that of a new file of this name.
func nothingBeside(path string) error {
	for _, s := range sidecars[:2] {
		if _, err := os.Lstat(path + s); err == nil {
			return &Error{Kind: Exists, Path: path, Text: "cannot take this name: beside it lies " + filepath.Base(path+s) +
				", from a casebook that is open elsewhere or was not closed; choose another name"}
		}
	}
	return nil
}

// relocate makes an error about a file on its way speak of where it was going.
func relocate(err error, path string) error {
	var e *Error
	if errors.As(err, &e) {
		e.Path = path
	}
	return err
}
