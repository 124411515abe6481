package casebook

import (
	"context"
	"errors"
	"io/fs"
	"os"
)

// SaveAs writes the whole casebook to another file; this Book stays with its own.
// The target appears under its name only when it is complete, so that a failure
// leaves what was there before. A target that exists is an error of Kind Exists,
// unless overwrite says otherwise; the open casebook itself, and one that
// somebody else has open, are never a target.
func (b *Book) SaveAs(ctx context.Context, path string, overwrite bool) error {
	if err := b.goodTarget(path, overwrite); err != nil {
		return plain(path, err)
	}
	temp, err := tempBeside(path)
	if err != nil {
		return plain(path, err)
	}
	defer removeAll(temp)
	if err := writeCopy(ctx, b.reader, temp); err != nil {
		return relocate(plain(temp, err), path)
	}
	// Again: a copy takes a while, and somebody may have been there.
	if err := b.goodTarget(path, overwrite); err != nil {
		return plain(path, err)
	}
	return plain(path, place(temp, path, overwrite))
}

// goodTarget says why a copy may not take this name.
func (b *Book) goodTarget(path string, overwrite bool) error {
	own, err := os.Stat(b.path)
	if err != nil {
		return err
	}
	target, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return vacant(path)
	case err != nil:
		return err
	case os.SameFile(own, target):
		return &Error{Kind: Refused, Path: path, Text: "is the casebook that is open; it is saved already, with every entry"}
	case !target.Mode().IsRegular():
		return &Error{Kind: Refused, Path: path, Text: "is a folder or a device, not a file that can be replaced"}
	}
	for _, s := range sidecars {
		if beside, err := os.Stat(b.path + s); err == nil && os.SameFile(beside, target) {
			return &Error{Kind: Refused, Path: path, Text: "belongs to the casebook that is open"}
		}
	}
	if !overwrite {
		return fs.ErrExist
	}
	return nothingBeside(path)
}
