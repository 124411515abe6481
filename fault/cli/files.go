package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"halfsplit/fault"
	"halfsplit/fault/format"
)

// readFile reads a regular file up to the size that a file of ours may have.
func readFile(path string) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("%s: %s", path, plainly(err))
	}
	defer f.Close()
	info, err := f.Stat()
	switch {
	case err != nil:
		return nil, fmt.Errorf("%s: %s", path, plainly(err))
	case info.IsDir():
		return nil, fmt.Errorf("%s: is a folder", path)
	}
	// One byte more than allowed lets the reader of the format refuse it.
	data, err := io.ReadAll(io.LimitReader(f, format.MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %s", path, plainly(err))
	}
	return data, nil
}

// plainly drops the operation and the path from a file error: the line names
// the file already.
func plainly(err error) string {
	var p *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file"
	case errors.Is(err, fs.ErrPermission):
		return "may not be read by this user"
	case errors.As(err, &p):
		return "cannot be read: " + p.Err.Error()
	}
	return "cannot be read: " + err.Error()
}

// ReadCase reads a case and the layout that it may name, from where it lies.
func ReadCase(path string) (fault.Case, []format.Note, error) {
	data, err := readFile(path)
	if err != nil {
		return fault.Case{}, nil, err
	}
	return format.ReadCase(path, data, func(p string) ([]byte, error) {
		if !filepath.IsAbs(p) {
			p = filepath.Join(filepath.Dir(path), p)
		}
		return readFile(p)
	})
}
