// Package casefile opens a case for the window: a file with the layout that it
// may name, or the demo case. Every error is one line that names the file and
// what is wrong with it.
package casefile

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"halfsplit/assets"
	"halfsplit/fault"
	"halfsplit/fault/format"
)

// Demo is the case that is built into the program.
func Demo() (fault.Case, error) {
	c, _, err := format.ReadCase("the demo case", assets.Demo, nil)
	return c, err
}

// Open reads a case file. A layout that it names is looked for beside it.
func Open(path string) (fault.Case, error) {
	data, err := read(path)
	if err != nil {
		return fault.Case{}, err
	}
	c, _, err := format.ReadCase(path, data, func(p string) ([]byte, error) {
		if !filepath.IsAbs(p) {
			p = filepath.Join(filepath.Dir(path), p)
		}
		return read(p)
	})
	if err != nil {
		return fault.Case{}, errors.New(format.OneLine(err.Error()))
	}
	return c, nil
}

// read reads a file as far as the format may go, and one byte more so that the
// format's reader can refuse it.
func read(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, plainly(path, err)
	}
	if info.IsDir() {
		return nil, fmt.Errorf("%s: is a folder", path)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, plainly(path, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, format.MaxBytes+1))
	if err != nil {
		return nil, plainly(path, err)
	}
	return data, nil
}

// plainly says what keeps a file from being read.
func plainly(path string, err error) error {
	var p *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s: there is no such file; halfsplit -h lists the commands", path)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s: may not be read by this user", path)
	case errors.As(err, &p):
		return fmt.Errorf("%s: cannot be read: %w", path, p.Err)
	}
	return fmt.Errorf("%s: cannot be read: %w", path, err)
}
