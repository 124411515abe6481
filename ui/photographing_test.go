package ui

import (
	"bytes"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/ui/sheet"
)

// pictured is a ready desk with a folder that holds one picture.
func pictured(t *testing.T) (*rig, string) {
	dir := t.TempDir()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 40, 30))); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "lead.png")
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	r := newRig(t, func(d *Deps) { d.Folder = dir })
	r.runJobs()
	return r, path
}

func TestPhotos_BelongToWhatIsSelected(t *testing.T) {
	r, _ := pictured(t)
	r.key(fyne.KeyHome)
	r.typed("o")
	if r.root.Visible() || !r.photos.Content().Visible() {
		t.Fatal("the photos are not shown")
	}
	if keys := sheet.Text(r.Keys()); !strings.Contains(keys, "Add a photo from a file") || strings.Contains(keys, "Zoom") {
		t.Errorf("the help lists\n%s", keys)
	}
	r.typed("a")
	r.key(fyne.KeyEnd, fyne.KeyReturn)
	r.typed("chafed")
	r.key(fyne.KeyReturn)
	r.runJobs()
	all, err := r.store.Photos()
	if err != nil || len(all) != 1 || all[0].Of != "module:M01" || all[0].Name != "chafed" {
		t.Fatalf("kept %+v, %v", all, err)
	}
	r.key(fyne.KeyEscape)
	if !r.root.Visible() || r.photos.Content().Visible() || r.selected != "module:M01" {
		t.Error("Escape does not lead back to what was selected")
	}
	if n := r.store.Steps().Undo; n != "photo chafed" {
		t.Errorf("undo is named %q", n)
	}
	r.typed("o")
	r.Shortcut(&fyne.ShortcutUndo{})
	said := sheet.Text(r.photos.Blocks())
	if all, _ := r.store.Photos(); len(all) != 0 || !strings.Contains(said, "Undone: photo chafed") {
		t.Errorf("after undo %d photos; the page says\n%s", len(all), said)
	}
}

func TestPhotos_ByAPressOnTheSheet(t *testing.T) {
	r, path := pictured(t)
	r.press(t, r.planPane, "module:M07")
	r.tapSheet(t, photosID)
	if !r.photos.Content().Visible() {
		t.Fatal("the photos are not shown")
	}
	r.closePhotos()
	r.openStage(5)
	r.tapSheet(t, photosID)
	if got := r.photoOf(); got != "stage:Strip" {
		t.Errorf("a new photo belongs to %q", got)
	}
	r.closePhotos()
	r.Dropped(path)
	if !r.photos.Content().Visible() {
		t.Error("a dropped file does not open the photos")
	}
	if all, _ := r.store.Photos(); len(all) != 0 {
		t.Error("it is added before it was looked at")
	}
}
