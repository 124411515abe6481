// Package files is files and folders as a person meets them: what a folder holds,
// what sort a file is, a name made of a title, and writing a whole file or none.
// Errors are in plain words and name the file.
//
// It knows no window, and of the formats only how to tell them apart.
package files

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"syscall"
	"unicode"

	"halfsplit/fault/format"
	"halfsplit/fault/whole"
)

// A Listing is what a folder holds for a person who looks for a file.
type Listing struct {
	Folder  string
	Up      string   // the folder above; "" at the top
	Folders []string // names
	Files   []string // names with one of the wanted endings
}

// The ids of a listing's lines: the folder above, or a kind and a name.
const (
	UpID   = "up"
	folder = "folder:"
	file   = "file:"
)

// IDs are the lines of the list, in order: the folder above, folders, files.
func (l Listing) IDs() []string {
	var out []string
	if l.Up != "" {
		out = append(out, UpID)
	}
	for _, n := range l.Folders {
		out = append(out, folder+n)
	}
	for _, n := range l.Files {
		out = append(out, file+n)
	}
	return out
}

// Words is what a line of the list says.
func (l Listing) Words(id string) string {
	kind, name, _ := strings.Cut(id, ":")
	switch kind {
	case UpID:
		return "Up to " + l.Up
	case "folder":
		return name + "/"
	}
	return name
}

// Follow is where a line leads: to a folder, or to a file; both empty for a line that
// is none of the list's kinds.
func (l Listing) Follow(id string) (folder, file string) {
	kind, name, _ := strings.Cut(id, ":")
	switch kind {
	case UpID:
		return l.Up, ""
	case "folder":
		return filepath.Join(l.Folder, name), ""
	case "file":
		return "", filepath.Join(l.Folder, name)
	}
	return "", ""
}

// First is the first line, "" where there is none.
func (l Listing) First() string {
	if ids := l.IDs(); len(ids) > 0 {
		return ids[0]
	}
	return ""
}

// List reads a folder. Hidden things are left out. An error is in plain words and
// names the folder.
func List(folder string, endings ...string) (Listing, error) {
	abs, err := filepath.Abs(folder)
	if err != nil {
		return Listing{}, fmt.Errorf("%s: cannot be looked into: %w", folder, err)
	}
	l := Listing{Folder: abs}
	if up := filepath.Dir(abs); up != abs {
		l.Up = up
	}
	entries, err := os.ReadDir(abs)
	if err != nil {
		return l, fmt.Errorf("%s: %s", abs, folderWords(err))
	}
	for _, e := range entries {
		name := e.Name()
		if strings.HasPrefix(name, ".") {
			continue
		}
		info, err := os.Stat(filepath.Join(abs, name)) // a link counts as what it leads to
		switch {
		case err != nil:
		case info.IsDir():
			l.Folders = append(l.Folders, name)
		case info.Mode().IsRegular() && wanted(name, endings):
			l.Files = append(l.Files, name)
		}
	}
	sort.Slice(l.Folders, func(i, j int) bool { return strings.ToLower(l.Folders[i]) < strings.ToLower(l.Folders[j]) })
	sort.Slice(l.Files, func(i, j int) bool { return strings.ToLower(l.Files[i]) < strings.ToLower(l.Files[j]) })
	return l, nil
}

func wanted(name string, endings []string) bool {
	for _, e := range endings {
		if strings.HasSuffix(strings.ToLower(name), e) {
			return true
		}
	}
	return len(endings) == 0
}

// folderWords says what keeps a folder or a file in it from being used.
func folderWords(err error) string {
	var p *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such folder"
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return "this user may not do that there"
	case errors.Is(err, syscall.ENOSPC):
		return "the disk is full; nothing was written"
	case errors.Is(err, syscall.ENOTDIR):
		return "is not a folder"
	case errors.As(err, &p):
		return p.Err.Error()
	}
	return err.Error()
}

// ErrThere says that a file of that name is there already.
var ErrThere = errors.New("there is a file of that name already")

// Write writes a whole file or none: beside its place first, then under its
// name. Without over an existing file stays and the error is ErrThere.
func Write(path string, data []byte, over bool) (err error) {
	fail := func(err error) error { return fmt.Errorf("%s: %s", path, folderWords(err)) }
	info, statErr := os.Stat(path)
	switch {
	case statErr == nil && info.IsDir():
		return fmt.Errorf("%s: is a folder; give the file another name", path)
	case statErr == nil && !over:
		return fmt.Errorf("%s: %w", path, ErrThere)
	}
	tmp, err := whole.Beside(path, data)
	if err != nil {
		return fail(err)
	}
	defer func() {
		if err != nil {
			_ = os.Remove(tmp)
		}
	}()
	if over {
		if err = os.Rename(tmp, path); err != nil {
			return fail(err)
		}
		return nil
	}
	// A link fails where a file has come in the meantime; not every disk has links.
	err = os.Link(tmp, path)
	switch {
	case err == nil:
		_ = os.Remove(tmp)
		return nil
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%s: %w", path, ErrThere)
	}
	if err = os.Rename(tmp, path); err != nil {
		return fail(err)
	}
	return nil
}

// mostName is how long a name that is made of a title may be, in bytes: all of it
// is to be seen in its field.
const mostName = 36

// Name is a name for a file made of a title: its letters and digits, with
// hyphens between words.
func Name(title, ending string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(title) {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
		if b.Len() >= mostName {
			break
		}
	}
	name := strings.Trim(b.String(), "-")
	if name == "" {
		name = "halfsplit"
	}
	return name + ending
}

// A Sort is what a file holds.
type Sort uint8

// The sorts.
const (
	OtherSort Sort = iota
	CaseSort
	LayoutSort
)

// Whole reads an ordinary file, as far as most bytes and one more, so that a reader
// can tell that it is too large. An error is in plain words and names the file.
func Whole(path string, most int64) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("%s: there is no such file", path)
	case err != nil:
		return nil, fmt.Errorf("%s: %s", path, folderWords(err))
	case info.IsDir():
		return nil, fmt.Errorf("%s: is a folder, and a file is wanted", path)
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%s: is no ordinary file", path)
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("%s: %s", path, folderWords(err))
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err != nil {
		return nil, fmt.Errorf("%s: cannot be read: %w", path, err)
	}
	return data, nil
}

// Read reads a file as far as a file of ours may go and says what sort it is.
func Read(path string) ([]byte, Sort, error) {
	data, err := Whole(path, format.MaxBytes)
	if err != nil {
		return nil, OtherSort, err
	}
	var head struct {
		Format string `json:"format"`
	}
	_ = json.Unmarshal(data, &head) // the reader of the format says what is wrong
	switch {
	case strings.HasPrefix(head.Format, "halfsplit-case/"):
		return data, CaseSort, nil
	case strings.HasPrefix(head.Format, "halfsplit-layout/"):
		return data, LayoutSort, nil
	}
	return data, OtherSort, nil
}
