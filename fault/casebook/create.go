package casebook

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// Create makes a new casebook. It appears under its name when it is complete; a
// file that is there already is left alone and is an error of Kind Exists.
func Create(path string, o Options) (*Book, error) {
	if err := vacant(path); err != nil {
		return nil, plain(path, err)
	}
	temp, err := tempBeside(path)
	if err != nil {
		return nil, plain(path, err)
	}
	defer removeAll(temp)
	if err := makeNew(temp, newBook(path, o)); err != nil {
		return nil, relocate(plain(temp, err), path)
	}
	if err := place(temp, path, false); err != nil {
		return nil, plain(path, err)
	}
	o.NoCopies = true // there is nothing to copy yet
	return Open(path, o)
}

// makeNew builds an empty casebook in a file of its own.
func makeNew(temp string, b *Book) error {
	db, err := connect(temp, making, 1)
	if err != nil {
		return err
	}
	defer db.Close()
	b.writer = db
	if err := migrate(context.Background(), db, migrations(), 0); err != nil {
		return err
	}
	return b.do("create", "", "", By{}, func(c *command) error {
		c.name = "create casebook"
		if err := c.touch("settings", settingIdentity); err != nil {
			return err
		}
		return c.exec(`INSERT INTO settings (key, value) VALUES (?, ?)`, settingIdentity, b.newID())
	})
}

// vacant says whether a new file may take this name: nothing is there, nor what
// another casebook of that name left behind.
func vacant(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return fs.ErrExist
	} else if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if info, err := os.Stat(filepath.Dir(path)); err != nil || !info.IsDir() {
		return &Error{Missing, path, "its folder does not exist", err}
	}
	return nothingBeside(path)
}
