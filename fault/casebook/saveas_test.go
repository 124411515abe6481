package casebook_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"halfsplit/fault/casebook"
)

func TestSaveAs_IsTheWholeCasebook(t *testing.T) {
	b := newBook(t)
	id := furnish(t, b)
	to := filepath.Join(t.TempDir(), "stick.casebook")
	check(t, b.SaveAs(context.Background(), to, false))
	leftOnly(t, filepath.Dir(to), "stick.casebook")
	other := must(casebook.Open(to, casebook.Options{NoCopies: true})).do(t, closing)
	same(t, theCase(t, b, id), theCase(t, other, id))
	if must(b.Head()).or(t) != must(other.Head()).or(t) {
		t.Error("the copy has another log")
	}
	holds(t, other)
	// The two go their own ways.
	must(other.Undo(id, anna)).or(t)
	if must(b.Head()).or(t) == must(other.Head()).or(t) {
		t.Error("an undo in the copy shows in the original")
	}
}

// A target is never cut short, and never the casebook that is open.
func TestSaveAs_Targets(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	dir := filepath.Dir(b.Path())
	ctx := context.Background()
	link, hard := filepath.Join(dir, "link.casebook"), filepath.Join(dir, "hard.casebook")
	check(t, os.Symlink(b.Path(), link))
	check(t, os.Link(b.Path(), hard))
	for _, own := range []string{b.Path(), filepath.Join(dir, ".", "shop.casebook"), link, hard, b.Path() + "-wal"} {
		for _, overwrite := range []bool{false, true} {
			wantKind(t, b.SaveAs(ctx, own, overwrite), casebook.Refused, "the casebook that is open")
		}
	}
	there := filepath.Join(dir, "there.casebook")
	write(t, there, []byte("mine"))
	wantKind(t, b.SaveAs(ctx, there, false), casebook.Exists, "is there already")
	if string(read(t, there)) != "mine" {
		t.Error("the target was changed without leave")
	}
	check(t, b.SaveAs(ctx, there, true))
	same(t, theCase(t, b, id), theCase(t, must(casebook.Open(there, casebook.Options{NoCopies: true})).do(t, closing), id))
	wantKind(t, b.SaveAs(ctx, there, true), casebook.Exists, "open elsewhere") // by the line above
	lone := filepath.Join(dir, "lone.casebook")
	write(t, lone+"-wal", []byte("somebody's"))
	wantKind(t, b.SaveAs(ctx, lone, true), casebook.Exists, "lone.casebook-wal")
	wantKind(t, b.SaveAs(ctx, t.TempDir(), true), casebook.Refused, "is a folder")
	wantKind(t, b.SaveAs(ctx, filepath.Join(dir, "no", "such"), false), casebook.Missing, "its folder does not exist")
	dangling := filepath.Join(dir, "dangling")
	check(t, os.Symlink(filepath.Join(dir, "nowhere"), dangling))
	wantKind(t, b.SaveAs(ctx, dangling, false), casebook.Exists, "is there already")
	holds(t, b)
}

// A copy that is stopped leaves nothing, and what was there.
func TestSaveAs_Stopped(t *testing.T) {
	b := newBook(t)
	newCase(t, b)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	to := filepath.Join(t.TempDir(), "stick.casebook")
	write(t, to, []byte("mine"))
	wantKind(t, b.SaveAs(ctx, to, true), casebook.Failed, "was stopped")
	leftOnly(t, filepath.Dir(to), "stick.casebook")
	if string(read(t, to)) != "mine" {
		t.Error("the target was changed")
	}
}

// leftOnly wants these files in a folder and no other.
func leftOnly(t *testing.T, dir string, names ...string) {
	t.Helper()
	entries := must(os.ReadDir(dir)).or(t)
	if len(entries) != len(names) {
		t.Errorf("%v in the folder, want %v", entries, names)
		return
	}
	for i, e := range entries {
		if e.Name() != names[i] {
			t.Errorf("%v in the folder, want %v", entries, names)
		}
	}
}
