package casebook

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"time"
)

// keptCopies is how many daily copies stay: the newest of them.
const keptCopies = 10

// CopiesFolder is where the daily copies of a casebook lie: beside it.
func CopiesFolder(path string) string { return path + "-copies" }

// Copies are the daily copies of a casebook, newest first. Each is a casebook of
// its own.
func Copies(path string) ([]string, error) {
	dir := CopiesFolder(path)
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, plain(dir, err)
	}
	var out []string
	for _, e := range entries {
		if e.Type().IsRegular() && dated(e.Name()) {
			out = append(out, filepath.Join(dir, e.Name()))
		}
	}
	slices.Reverse(out) // ReadDir sorts by name, which is by date
	return out, nil
}

var datedName = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}\.casebook$`)

func dated(name string) bool { return datedName.MatchString(name) }

// CopyDone waits until today's copy is made, or is known not to be needed, and
// says what kept it from being made. The casebook itself works all the same.
func (b *Book) CopyDone() error {
	<-b.copied
	return b.copyErr
}

// copyToday makes the copy of today if it is missing, and lets go of the oldest.
func (b *Book) copyToday() {
	defer close(b.copied)
	to := filepath.Join(CopiesFolder(b.path), b.now().Format("2006-01-02")+".casebook")
	if _, err := os.Stat(to); err == nil {
		return
	}
	if err := b.copyTo(to); err != nil {
		told := plain(to, err)
		b.copyErr = &Error{KindOf(told), b.path, "today's copy could not be made: " + told.Error(), err}
	}
}

func (b *Book) copyTo(to string) error {
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		return err
	}
	sweep(filepath.Dir(to))
	temp, err := tempBeside(to)
	if err != nil {
		return err
	}
	defer removeAll(temp)
	if err := writeCopy(context.Background(), b.reader, temp); err != nil {
		return err
	}
	if err := place(temp, to, false); err != nil && !errors.Is(err, fs.ErrExist) { // another window made it
		return err
	}
	return dropOld(b.path)
}

// dropOld removes all copies but the newest. Nothing else in the folder is
// touched.
func dropOld(path string) error {
	all, err := Copies(path)
	if err != nil || len(all) <= keptCopies {
		return err
	}
	for _, old := range all[keptCopies:] {
		if err := os.Remove(old); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// sweep removes copies that were cut off when the program was, a day ago or
// earlier: no copy takes that long.
func sweep(dir string) {
	halves, err := filepath.Glob(filepath.Join(dir, ".*.casebook.*.tmp"))
	if err != nil {
		return
	}
	for _, half := range halves {
		if info, err := os.Stat(half); err == nil && time.Since(info.ModTime()) > 24*time.Hour {
			removeAll(half)
		}
	}
}
