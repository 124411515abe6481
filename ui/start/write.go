package start

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"halfsplit/fault/casebook"
	"halfsplit/ui/files"
)

func fileThere(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// otherName gives the file a name that is free.
func (v *View) otherName() {
	b := &v.files
	stem, ending := b.name, ""
	if i := strings.Index(b.name, "."); i > 0 {
		stem, ending = b.name[:i], b.name[i:]
	}
	taken := map[string]bool{}
	for _, n := range b.listing.Files {
		taken[n] = true
	}
	for n := 2; ; n++ {
		if try := stem + "-" + strconv.Itoa(n) + ending; !taken[try] {
			b.name = try
			break
		}
	}
	b.exists = false
	v.show(filesPage)
	v.focusFirst()
}

// write writes the file, or begins the casebook; a file that is there is asked
// about first.
func (v *View) write(over bool) {
	b := &v.files
	name := strings.TrimSpace(b.name)
	b.wrong, b.exists = "", false
	if name == "" || name != filepath.Base(name) || name == "." || name == ".." {
		b.wrong = "The file needs a name, without slashes. The folder is chosen in the list."
		v.show(filesPage)
		return
	}
	if b.path != nil && b.path.Text != b.folder { // typed, and Enter pressed elsewhere
		if _, err := files.List(strings.TrimSpace(b.path.Text)); err != nil {
			b.wrong = ended(err.Error())
			v.show(filesPage)
			return
		}
		b.folder = strings.TrimSpace(b.path.Text)
	}
	if ends := func(e string) bool { return strings.HasSuffix(strings.ToLower(name), e) }; !slices.ContainsFunc(b.endings(), ends) {
		name += b.endings()[0]
	}
	b.name = name
	path := filepath.Join(b.folder, name)
	if b.purpose == toBeginBook {
		v.page = detailsPage
		v.reopen(path, true)
		return
	}
	if b.put != nil {
		v.putBeside(path, over)
		return
	}
	v.written(path, "Written: "+path, files.Write(path, b.data, over))
}

// putBeside writes a file beside the window.
func (v *View) putBeside(path string, over bool) {
	put := v.files.put
	v.say("Writing " + path + " …")
	v.deps.Go(func() {
		said, err := put(path, over)
		v.deps.Do(func() { v.written(path, said, err) })
	})
}

// written says what came of writing a file.
func (v *View) written(path, said string, err error) {
	b := &v.files
	switch {
	case errors.Is(err, files.ErrThere), err != nil && casebook.KindOf(err) == casebook.Exists && fileThere(path):
		b.exists = true
		v.show(filesPage)
	case err != nil:
		b.wrong = ended(err.Error()) + " Nothing was written."
		v.show(filesPage)
	default:
		v.show(detailsPage)
		v.say(said)
		v.Focus()
	}
}
