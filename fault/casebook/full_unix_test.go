//go:build unix

package casebook_test

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"halfsplit/fault/casebook"
)

func init() { children["full"] = childFillsUp }

// childFillsUp may write no file beyond a size, as if the disk were full. It
// records readings until that shows, and then tries to save as, and to go on.
func childFillsUp(args []string) error {
	signal.Ignore(syscall.SIGXFSZ)
	b, err := casebook.Open(args[0], casebook.Options{NoCopies: true})
	if err != nil {
		return err
	}
	limit := uint64(300 << 10)
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: limit, Max: limit}); err != nil {
		return err
	}
	for range 2000 {
		r, err := b.AddReading(args[1], volts("M01+", "chassis", 1.25), anna)
		if casebook.KindOf(err) == casebook.Full {
			fmt.Println("full:", err)
			break
		}
		if err != nil {
			return err
		}
		fmt.Println(r.ID)
	}
	_, err = b.AddPhoto(args[1], "plan", "large.jpg", make([]byte, 1<<20), anna)
	fmt.Println("photo:", casebook.KindOf(err) == casebook.Full, err)
	err = b.SaveAs(context.Background(), args[0]+".as", false)
	fmt.Println("save as:", err)
	_, _, err = b.Case(args[1])
	fmt.Println("case:", err)
	return nil
}

func TestFull_BySizeOfFiles(t *testing.T) {
	path := filepath.Join(t.TempDir(), "full.casebook")
	b := must(casebook.Create(path, casebook.Options{NoCopies: true})).or(t)
	id, _ := newCase(t, b)
	must(b.AddPhoto(id, "evidence", "large", make([]byte, 400<<10), anna)).or(t) // a copy is larger than a file may be
	check(t, b.Close())
	c := start(t, "full", path, id)
	<-c.done
	check(t, c.Wait())
	acknowledged, said := map[string]bool{}, ""
	for _, line := range c.said() {
		if strings.HasPrefix(line, "r") {
			acknowledged[line] = true
		} else {
			said += line + "\n"
		}
	}
	for _, want := range []string{"full: " + path + ": the disk is full; nothing of this was saved", "photo: true",
		"save as: " + path + ".as: the disk is full", "case: <nil>"} {
		if !strings.Contains(said, want) {
			t.Errorf("the child did not say %q:\n%s", want, said)
		}
	}
	b = must(casebook.Open(path, casebook.Options{NoCopies: true})).or(t)
	allThere(t, b, id, acknowledged)
	check(t, b.Close())
	if len(acknowledged) == 0 {
		t.Error("nothing was acknowledged: the test shows nothing")
	}
	leftOnly(t, filepath.Dir(path), "full.casebook")
	if exists(path + ".as") {
		t.Error("half a copy is left")
	}
}

// Permissions, which root does not have to mind.
func TestReadOnly_FilesAndFolders(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("root may write everywhere")
	}
	path := sample(t)
	dir := filepath.Dir(path)
	o := casebook.Options{NoCopies: true}
	mode := func(file, folder os.FileMode) {
		check(t, os.Chmod(path, file))
		check(t, os.Chmod(dir, folder))
	}
	t.Cleanup(func() { mode(0o644, 0o755) })
	before := read(t, path)
	mode(0o444, 0o755)
	_, err := casebook.Open(path, o)
	wantKind(t, err, casebook.ReadOnly, "the file or its folder is read-only")
	mode(0o644, 0o555)
	_, err = casebook.Open(path, o)
	wantKind(t, err, casebook.ReadOnly, "the file or its folder is read-only")
	_, err = casebook.Create(filepath.Join(dir, "new.casebook"), o)
	wantKind(t, err, casebook.ReadOnly, "the file or its folder is read-only")
	b := must(casebook.Open(path, casebook.Options{ReadOnly: true})).or(t)
	holds(t, b)
	wantKind(t, b.SaveAs(t.Context(), filepath.Join(dir, "new.casebook"), false), casebook.ReadOnly, "the file or its folder is read-only")
	check(t, b.Close())
	mode(0o000, 0o755)
	_, err = casebook.Open(path, o)
	wantKind(t, err, casebook.Failed, "may not be read by this user")
	mode(0o644, 0o755)
	if string(read(t, path)) != string(before) {
		t.Error("the file was changed")
	}
	leftOnly(t, dir, filepath.Base(path))
}
