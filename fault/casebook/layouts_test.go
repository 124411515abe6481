package casebook_test

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/jpeg"
	"image/png"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault/casebook"
	"halfsplit/topology"
)

// snap is a small photo of a grey of its own.
func snap(grey uint8) []byte {
	img := image.NewGray(image.Rect(0, 0, 8, 6))
	for i := range img.Pix {
		img.Pix[i] = grey
	}
	var b bytes.Buffer
	err := error(nil)
	if grey%2 == 0 {
		err = jpeg.Encode(&b, img, nil)
	} else {
		err = png.Encode(&b, img)
	}
	if err != nil {
		panic(err)
	}
	return b.Bytes()
}

// over is the bench pack drawn over a photo.
func over(sha string) topology.Layout {
	l := bench()
	l.Underlays = []topology.Underlay{{ID: "u1", Photo: sha, Name: "from above.jpg", Corners: [4][2]float64{{0, 0}, {8, 0}, {8, 6}, {0, 6}}, W: 1600, H: 1200, Opacity: 0.5}}
	return l
}

// What a layout was in each version, who changed it last, and what rests on it.
func TestLayoutVersions_NewestFirstWithWhatRestsOnThem(t *testing.T) {
	b := must(casebook.Create(filepath.Join(t.TempDir(), "shop.casebook"), fixed())).do(t, closing)
	id, layout := newCase(t, b)
	check(t, b.SaveLayout(layout, moved(10), "move M01", casebook.By{Who: "Ben"}))
	all := must(b.LayoutVersions(layout)).or(t)
	if len(all) != 1 || all[0].Who != "Ben" || !all[0].Draft || all[0].Cases != 1 || all[0].Readings != 0 {
		t.Errorf("%+v", all)
	}
	if on := must(b.LayoutOfCase(id)).or(t); on != (casebook.CaseLayout{LayoutID: layout, Version: 1, Newest: 1}) {
		t.Errorf("%+v", on)
	}
	r := must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	must(b.SupersedeReading(id, r.ID, volts("M01+", "chassis", 2), why("typed wrong"))).or(t)
	check(t, b.EnterGroupVolts(id, "M01", "closed", "", 1, 3.6, anna))
	check(t, b.RenameLayout(layout, "bench pack, mended", anna))
	all = must(b.LayoutVersions(layout)).or(t)
	for i := range all {
		if all[i].At == "" {
			t.Errorf("version %d has no time", all[i].Number)
		}
		all[i].At = ""
	}
	want := []casebook.VersionInfo{{Number: 2, Name: "bench pack, mended", Draft: true, Who: "Anna"},
		{Number: 1, Name: "bench pack", Who: "Ben", Cases: 1, Readings: 2, Lists: 1}}
	if d := cmp.Diff(want, all); d != "" {
		t.Error(d)
	}
	if on := must(b.LayoutOfCase(id)).or(t); on != (casebook.CaseLayout{LayoutID: layout, Version: 1, Newest: 2, Frozen: true}) {
		t.Errorf("%+v", on)
	}
	if x := must(b.LayoutVersion(layout, 1)).or(t).Modules[0].X; x != 10 {
		t.Errorf("version 1 has M01 at %v", x)
	}
	if name := must(b.LayoutVersion(layout, 2)).or(t).Name; name != "bench pack, mended" {
		t.Error(name)
	}
	_, err := b.LayoutVersion(layout, 3)
	wantKind(t, err, casebook.Missing, "has no version 3")
	if undo, redo, err := b.LayoutSteps(layout); undo != "layout called bench pack, mended" || redo != "" || err != nil {
		t.Error(undo, redo, err)
	}
	must(b.Undo(layout, anna)).or(t)
	if undo, redo, err := b.LayoutSteps(layout); undo != "move M01" || redo != "layout called bench pack, mended" || err != nil {
		t.Error(undo, redo, err)
	}
	if all := must(b.LayoutVersions(layout)).or(t); len(all) != 1 || all[0].Number != 1 {
		t.Errorf("%+v", all)
	}
	holds(t, b)
}

// A copy is a layout of its own, a draft, with the photos and the proof of its numbers,
// and without the volts that were measured on one pack.
func TestDuplicateLayout(t *testing.T) {
	b := newBook(t)
	id, layout := newCase(t, b)
	sha := must(b.AddLayoutPhoto(layout, "from above.jpg", snap(2), anna)).or(t)
	was := over(sha)
	was.Proof = &topology.NumberingProof{Done: "M01 warmed", Who: "Anna"}
	was.OrderVolts = &topology.OrderVolts{Values: []topology.TerminalVolts{{Terminal: "M01+", Volts: 14.6}}}
	check(t, b.SaveLayout(layout, was, "lay a photo under", anna))
	must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	wantKind(t, func() error { _, err := b.DuplicateLayout(layout, " ", anna); return err }(), casebook.Refused, "needs a name")
	two := must(b.DuplicateLayout(layout, "bench pack, long", anna)).or(t)
	if l := theLayout(t, b, two); l.Name != "bench pack, long" || l.Version != 1 || !l.Draft || l.Cases != 0 {
		t.Errorf("%+v", l)
	}
	want := was // its volts are of one pack
	want.Name, want.OrderVolts = "bench pack, long", nil
	if d := cmp.Diff(want, must(b.ExportLayout(two)).or(t)); d != "" {
		t.Error(d)
	}
	if all := must(b.LayoutPhotos(two)).or(t); len(all) != 1 || all[0].SHA256 != sha || all[0].Name != "from above.jpg" {
		t.Errorf("%+v", all)
	}
	check(t, b.SaveLayout(two, moved(7), "move M01", anna))
	if x := must(b.ExportLayout(layout)).or(t).Modules[0].X; x != 0 {
		t.Errorf("the first one changed with its copy: %v", x)
	}
	if name := must(b.Undo(casebook.ScopeBook, anna)).or(t); name != "layout bench pack, long, a copy of bench pack" {
		t.Error(name)
	}
	_, err := b.Undo(two, anna)
	wantKind(t, err, casebook.Missing, "there is no such layout")
	must(b.Redo(casebook.ScopeBook, anna)).or(t)
	if n := len(must(b.LayoutPhotos(two)).or(t)); n != 1 {
		t.Errorf("%d photos after redo", n)
	}
	holds(t, b)
}

// A layout is taken out of the list when no case rests on it, and comes back.
func TestWithdrawLayout(t *testing.T) {
	b := newBook(t)
	id, layout := newCase(t, b)
	wantKind(t, b.WithdrawLayout(layout, anna), casebook.Refused, `case "case" rests on this layout`)
	must(b.NewCase(layout, begun("another"), anna)).or(t)
	wantKind(t, b.WithdrawLayout(layout, anna), casebook.Refused, `2 cases rest on this layout, "another" among them`)
	must(b.Undo(casebook.ScopeBook, anna)).or(t)
	must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	check(t, b.SaveLayout(layout, moved(10), "move M01", anna))
	must(b.Undo(casebook.ScopeBook, anna)).or(t) // the case
	check(t, b.WithdrawLayout(layout, anna))
	if all := must(b.Layouts()).or(t); len(all) != 0 {
		t.Errorf("%+v", all)
	}
	for name, err := range map[string]error{
		"save":     b.SaveLayout(layout, moved(1), "x", anna),
		"rename":   b.RenameLayout(layout, "x", anna),
		"withdraw": b.WithdrawLayout(layout, anna),
		"photo":    func() error { _, err := b.AddLayoutPhoto(layout, "x", snap(1), anna); return err }(),
		"undo":     func() error { _, err := b.Undo(layout, anna); return err }(),
		"versions": func() error { _, err := b.LayoutVersions(layout); return err }(),
	} {
		if casebook.KindOf(err) != casebook.Missing {
			t.Errorf("%s of a layout that was withdrawn: %v", name, err)
		}
	}
	if name := must(b.Undo(casebook.ScopeBook, anna)).or(t); name != "withdraw layout bench pack" {
		t.Error(name)
	}
	if l := theLayout(t, b, layout); l.Version != 2 || !l.Draft {
		t.Errorf("%+v", l)
	}
	must(b.Undo(layout, anna)).or(t)
	must(b.Redo(casebook.ScopeBook, anna)).or(t)
	must(b.Undo(casebook.ScopeBook, anna)).or(t)
	holds(t, b)
}

// A layout that was withdrawn here comes back with a case that was begun on it elsewhere.
func TestWithdrawLayout_ComesBackWithACase(t *testing.T) {
	a := newBook(t)
	layout := must(a.ImportLayout(bench(), nil, anna)).or(t)
	must(a.AddLayoutPhoto(layout, "from above.jpg", snap(2), anna)).or(t)
	path := filepath.Join(t.TempDir(), "laptop.casebook")
	check(t, a.SaveAs(context.Background(), path, false))
	b := must(casebook.Open(path, casebook.Options{NoCopies: true})).do(t, closing)
	check(t, a.WithdrawLayout(layout, anna))
	id := must(b.NewCase(layout, begun("case"), anna)).or(t)
	out := takeIn(t, a, oneFile(t, b, id), id)
	if l := theLayout(t, a, layout); l.Cases != 1 || !strings.Contains(strings.Join(out.Said, " "), "which was taken back, is in the record again") {
		t.Errorf("%+v, said %q", l, out.Said)
	}
	if n := len(must(a.LayoutPhotos(layout)).or(t)); n != 1 {
		t.Errorf("%d photos", n)
	}
	check(t, a.SaveLayout(layout, moved(5), "move M01", anna))
	_, err := a.Undo(casebook.ScopeBook, anna) // the layout was restored for the case, which goes first
	check(t, err)
	if all := must(a.Layouts()).or(t); len(all) != 0 {
		t.Errorf("%+v", all)
	}
	holds(t, a)
}

// A case that was begun on a layout ends the redo of its withdrawal.
func TestWithdrawLayout_RedoLeavesACaseItsLayout(t *testing.T) {
	a := newBook(t)
	layout := must(a.ImportLayout(bench(), nil, anna)).or(t)
	check(t, a.WithdrawLayout(layout, anna))
	must(a.Undo(casebook.ScopeBook, anna)).or(t)
	id := must(a.NewCase(layout, begun("case"), anna)).or(t)
	_, err := a.Redo(casebook.ScopeBook, anna)
	if casebook.KindOf(err) != casebook.Nothing {
		t.Errorf("a new command ends what can be done again: %v", err)
	}
	theCase(t, a, id)
	holds(t, a)
}

func TestLayoutPhotos_KeptOnceAndUndone(t *testing.T) {
	b := newBook(t)
	_, layout := newCase(t, b)
	first := must(b.AddLayoutPhoto(layout, "from above.jpg", snap(2), anna)).or(t)
	second := must(b.AddLayoutPhoto(layout, "lid.png", snap(3), anna)).or(t)
	head := must(b.Head()).or(t)
	if again := must(b.AddLayoutPhoto(layout, "the same.jpg", snap(2), anna)).or(t); again != first || must(b.Head()).or(t) != head {
		t.Error("a photo that is there is added again")
	}
	names := func() (out []string) {
		for _, p := range must(b.LayoutPhotos(layout)).or(t) {
			out = append(out, p.Name+" "+p.Who)
		}
		return out
	}
	if d := cmp.Diff([]string{"from above.jpg Anna", "lid.png Anna"}, names()); d != "" {
		t.Error(d)
	}
	if got := must(b.PhotoBytes(second)).or(t); !bytes.Equal(got, snap(3)) {
		t.Error("another photo")
	}
	if name := must(b.Undo(layout, anna)).or(t); name != "photo lid.png" || len(names()) != 1 {
		t.Error(name, names())
	}
	must(b.PhotoBytes(second)).or(t) // an older version may show it
	if sha := must(b.AddLayoutPhoto(layout, "lid again.png", snap(3), anna)).or(t); sha != second || len(names()) != 2 {
		t.Error(sha, names())
	}
	must(b.Undo(layout, anna)).or(t)
	if len(names()) != 1 {
		t.Error(names())
	}
	must(b.Redo(layout, anna)).or(t)
	if len(names()) != 2 {
		t.Error(names())
	}
	for name, data := range map[string][]byte{"nothing": nil, "text": []byte("a picture"), "half a header": snap(3)[:20], "a gif": []byte("GIF89a\x01\x00\x01\x00\x80\x00\x00")} {
		_, err := b.AddLayoutPhoto(layout, name, data, anna)
		wantKind(t, err, casebook.Refused, "must be a JPEG or PNG file")
	}
	_, err := b.AddLayoutPhoto(layout, "large", append(snap(2), make([]byte, casebook.MaxLayoutPhoto)...), anna)
	wantKind(t, err, casebook.Refused, "larger than 60 MB")
	_, err = b.AddLayoutPhoto(layout, "wide", wide(), anna)
	wantKind(t, err, casebook.Refused, "too large to be shown")
	_, err = b.PhotoBytes(strings.Repeat("0", 64))
	wantKind(t, err, casebook.Missing, "does not have the photo")
	holds(t, b)
}

// wide is a picture whose header says that it would not fit a machine's memory.
func wide() []byte {
	data := snap(3)
	header := data[12:29] // "IHDR", width, height and what follows them
	binary.BigEndian.PutUint32(header[4:], 40000)
	binary.BigEndian.PutUint32(header[8:], 40000)
	binary.BigEndian.PutUint32(data[29:], crc32.ChecksumIEEE(header))
	return data
}

// Photos of a layout go where the case goes, come together without doubles, and are
// in a copy of the casebook.
func TestLayoutPhotos_TravelWithTheCase(t *testing.T) {
	a := newBook(t)
	id, layout := newCase(t, a)
	sha := must(a.AddLayoutPhoto(layout, "from above.jpg", snap(2), anna)).or(t)
	check(t, a.SaveLayout(layout, over(sha), "lay a photo under", anna))
	taken := must(a.AddLayoutPhoto(layout, "blurred.jpg", snap(4), anna)).or(t)
	must(a.Undo(layout, anna)).or(t)

	b := newBook(t)
	path := oneFile(t, a, id)
	if r := must(casebook.AuditFile(context.Background(), path, "")).or(t); !r.Holds() {
		t.Fatal(r.Problem)
	}
	takeIn(t, b, path, id)
	photos := func(b *casebook.Book) (out []string) {
		for _, p := range must(b.LayoutPhotos(layout)).or(t) {
			if sum := must(b.PhotoBytes(p.SHA256)).or(t); len(sum) != int(p.Size) {
				t.Errorf("%d bytes of %+v", len(sum), p)
			}
			out = append(out, p.Name)
		}
		return out
	}
	if d := cmp.Diff([]string{"from above.jpg"}, photos(b)); d != "" {
		t.Error(d)
	}
	must(b.PhotoBytes(taken)).or(t)
	must(a.AddLayoutPhoto(layout, "lid.png", snap(5), anna)).or(t)
	must(b.AddLayoutPhoto(layout, "the lid.png", snap(5), anna)).or(t)
	must(b.AddLayoutPhoto(layout, "side.png", snap(7), anna)).or(t)
	out := takeIn(t, a, oneFile(t, b, id), id)
	if d := cmp.Diff([]string{"from above.jpg", "lid.png", "side.png"}, photos(a)); d != "" {
		t.Error(d)
	}
	if out.What() != "1 layout photo" {
		t.Error(out.What())
	}
	takeIn(t, b, oneFile(t, a, id), id)
	if d := cmp.Diff([]string{"from above.jpg", "the lid.png", "side.png"}, photos(b)); d != "" {
		t.Error(d)
	}
	if again := takeIn(t, a, oneFile(t, b, id), id); len(again.Rows) > 0 {
		t.Errorf("%+v", again)
	}
	// What one side takes back is taken back on the other.
	must(b.Undo(layout, anna)).or(t)
	takeIn(t, a, oneFile(t, b, id), id)
	if d := cmp.Diff([]string{"from above.jpg", "lid.png"}, photos(a)); d != "" {
		t.Error(d)
	}
	to := filepath.Join(t.TempDir(), "stick.casebook")
	check(t, a.SaveAs(context.Background(), to, false))
	stick := must(casebook.Open(to, casebook.Options{NoCopies: true})).do(t, closing)
	if d := cmp.Diff(photos(a), photos(stick)); d != "" {
		t.Error(d)
	}
	holds(t, stick)
}

// grid is a pack of so many modules of ten groups each, joined in series, with a
// board on each.
func grid(modules int) topology.Layout {
	l := topology.Layout{Name: "grid", SeenFrom: "above"}
	id := func(i int) string { return fmt.Sprintf("M%04d", i+1) }
	for i := range modules {
		l.Modules = append(l.Modules, topology.Module{ID: id(i), Series: 10, Parallel: 2, X: float64(i%40) * 160, Y: float64(i/40) * 400, W: 150, H: 380, Minus: "top"})
		l.Boards = append(l.Boards, topology.Board{ID: "B" + id(i), Taps: []string{id(i) + "-", id(i) + ".5", id(i) + "+"}})
		if i > 0 {
			l.Links = append(l.Links, topology.Link{ID: "L" + id(i), Kind: topology.Busbar, From: id(i-1) + "+", To: id(i) + "-"})
		}
	}
	return l
}

// One edit of a drawing, of 100 modules and of 1,000 with 10,000 groups: checked, logged
// and on the disk. It tells how many bytes an edit adds to the file.
func BenchmarkSaveLayout(b *testing.B) {
	for _, modules := range []int{100, 1000} {
		b.Run(fmt.Sprintf("%dmodules", modules), func(b *testing.B) {
			path := filepath.Join(b.TempDir(), "shop.casebook")
			book := must(casebook.Create(path, casebook.Options{NoCopies: true})).or(b)
			l := grid(modules)
			id := must(book.ImportLayout(l, nil, anna)).or(b)
			check(b, book.Close())
			before := size(b, path)
			book = must(casebook.Open(path, casebook.Options{NoCopies: true})).or(b)
			n := 0
			for b.Loop() {
				n++
				l.Modules[n%modules].X += 1.5
				check(b, book.SaveLayout(id, l, "move a module", anna))
			}
			check(b, book.Close())
			b.ReportMetric(float64(size(b, path)-before)/float64(n), "file-B/op")
		})
	}
}
