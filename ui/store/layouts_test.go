package store_test

import (
	"bytes"
	"image"
	"image/png"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/topology"
	"halfsplit/ui/store"
)

// layoutStores are the implementations; each must do what the contract says.
var layoutStores = map[string]func(*testing.T, topology.Layout) store.Layouts{
	"memory": func(t *testing.T, l topology.Layout) store.Layouts {
		s, err := store.NewLayoutMemory(l)
		if err != nil {
			t.Fatal(err)
		}
		return s
	},
	"casebook": func(t *testing.T, l topology.Layout) store.Layouts {
		return layoutIn(t, shop(t), l)
	},
}

// layoutIn is a layout of a casebook.
func layoutIn(t *testing.T, b *casebook.Book, l topology.Layout) *store.LayoutBook {
	t.Helper()
	id, err := b.ImportLayout(l, nil, casebook.By{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := store.NewLayoutBook(b, id)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// shop is a casebook of its own, closed when the test ends.
func shop(t *testing.T) *casebook.Book {
	t.Helper()
	b, err := casebook.Create(filepath.Join(t.TempDir(), "shop.casebook"), casebook.Options{NoCopies: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
	return b
}

func layoutContract(t *testing.T, f func(*testing.T, store.Layouts)) {
	for name, open := range layoutStores {
		t.Run(name, func(t *testing.T) { f(t, open(t, twoModules())) })
	}
}

func twoModules() topology.Layout {
	return topology.Layout{Name: "bench pack",
		Modules: []topology.Module{{ID: "M01", Series: 4, Parallel: 1, W: 200, H: 90}, {ID: "M02", Series: 4, Parallel: 1, X: 300, W: 200, H: 90}},
		Links:   []topology.Link{{ID: "L1", Kind: topology.Busbar, From: "M01+", To: "M02-"}}}
}

// at is the pack with M01 somewhere else.
func at(x float64) topology.Layout {
	l := twoModules()
	l.Modules[0].X = x
	return l
}

func picture(t *testing.T, grey uint8) []byte {
	t.Helper()
	img := image.NewGray(image.Rect(0, 0, 4, 3))
	for i := range img.Pix {
		img.Pix[i] = grey
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestLayouts_BeginAsTheyAre(t *testing.T) {
	layoutContract(t, func(t *testing.T, s store.Layouts) {
		if d := cmp.Diff(twoModules(), s.Layout()); d != "" {
			t.Error(d)
		}
		if i := s.Info(); i.Name != "bench pack" || i.Version != 1 || i.Next != 2 || !i.Draft || i.Cases != 0 {
			t.Errorf("%+v", i)
		}
		if s.Steps() != (store.Steps{}) {
			t.Errorf("%+v", s.Steps())
		}
		if _, err := s.Undo(); err == nil {
			t.Error("something was undone")
		}
		if _, err := s.Redo(); err == nil {
			t.Error("something was done again")
		}
	})
}

func TestLayouts_EditsAreNamedUndoneAndDoneAgain(t *testing.T) {
	layoutContract(t, func(t *testing.T, s store.Layouts) {
		save := func(x float64, name string) {
			t.Helper()
			if err := s.Save(at(x), name); err != nil {
				t.Fatal(err)
			}
		}
		save(10, "move M01")
		save(10, "move M01 to where it is") // no step
		renamed := at(20)
		renamed.Name = "bench pack, mended"
		if err := s.Save(renamed, "layout called bench pack, mended"); err != nil {
			t.Fatal(err)
		}
		if s.Info().Name != "bench pack, mended" || s.Steps() != (store.Steps{Undo: "layout called bench pack, mended"}) {
			t.Errorf("%+v %+v", s.Info(), s.Steps())
		}
		for _, want := range []string{"layout called bench pack, mended", "move M01"} {
			if name, err := s.Undo(); name != want || err != nil {
				t.Fatal(name, err)
			}
		}
		if d := cmp.Diff(twoModules(), s.Layout()); d != "" {
			t.Error(d)
		}
		if name, err := s.Redo(); name != "move M01" || err != nil {
			t.Fatal(name, err)
		}
		if s.Layout().Modules[0].X != 10 || s.Steps() != (store.Steps{Undo: "move M01", Redo: "layout called bench pack, mended"}) {
			t.Errorf("%v %+v", s.Layout().Modules[0].X, s.Steps())
		}
		save(30, "move M01 again")
		if s.Steps() != (store.Steps{Undo: "move M01 again"}) {
			t.Errorf("a new edit ends what could be done again: %+v", s.Steps())
		}
	})
}

// What cannot be kept is refused in words and changes nothing.
func TestLayouts_RefuseInWords(t *testing.T) {
	layoutContract(t, func(t *testing.T, s store.Layouts) {
		if err := s.Save(at(5), "move M01"); err != nil {
			t.Fatal(err)
		}
		dangling, endless, twice := at(6), at(math.Inf(1)), at(7)
		dangling.Links[0].To = "M09-"
		twice.Modules[1].ID = "M01"
		for want, l := range map[string]topology.Layout{"is not a node of this layout": dangling, "without bound": endless, "is taken by a module already": twice} {
			err := s.Save(l, "x")
			if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
				t.Errorf("got %v, want %q", err, want)
			}
		}
		if _, err := s.AddPhoto("x", []byte("a picture")); err == nil || !strings.Contains(err.Error(), "JPEG or PNG") {
			t.Error(err)
		}
		if s.Layout().Modules[0].X != 5 || s.Steps() != (store.Steps{Undo: "move M01"}) {
			t.Errorf("%v %+v", s.Layout().Modules[0].X, s.Steps())
		}
	})
}

// Every store tells its versions, the newest first, and gives each as it was.
func TestLayouts_Versions(t *testing.T) {
	layoutContract(t, func(t *testing.T, s store.Layouts) {
		if err := s.Save(at(5), "move M01"); err != nil {
			t.Fatal(err)
		}
		all, err := s.Versions()
		if err != nil || len(all) != 1 || all[0].Number != 1 || !all[0].Draft || all[0].Name != "bench pack" || all[0].Cases+all[0].Readings+all[0].Lists != 0 {
			t.Errorf("%+v %v", all, err)
		}
		l, err := s.Version(1)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(at(5), l); d != "" {
			t.Error(d)
		}
		if _, err := s.Version(2); err == nil || !strings.Contains(err.Error(), "no version 2") {
			t.Error(err)
		}
	})
}

func TestLayouts_Photos(t *testing.T) {
	layoutContract(t, func(t *testing.T, s store.Layouts) {
		s.SetWho("Ada")
		data := picture(t, 7)
		sha, err := s.AddPhoto("from above.png", data)
		if err != nil {
			t.Fatal(err)
		}
		write, taken := s.BringPhoto("beside.png", data)
		if beside, err := write(); beside != sha || err != nil {
			t.Errorf("brought beside the window it is %s, %v", beside, err)
		}
		taken()
		if write, _ := s.BringPhoto("no.png", []byte("no picture")); write != nil {
			if _, err := write(); err == nil {
				t.Error("what is no picture was brought")
			}
		}
		if again, err := s.AddPhoto("the same.png", data); again != sha || err != nil {
			t.Error(again, err)
		}
		l := at(5)
		l.Underlays = []topology.Underlay{{ID: "u1", Photo: sha, Corners: [4][2]float64{{0, 0}, {4, 0}, {4, 3}, {0, 3}}, W: 800, H: 600, Opacity: 0.5}}
		if err := s.Save(l, "lay from above.png under"); err != nil {
			t.Fatal(err)
		}
		if _, err := s.AddPhoto("lid.png", picture(t, 9)); err != nil {
			t.Fatal(err)
		}
		names := func() (out []string) {
			all, err := s.Photos()
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range all {
				out = append(out, p.Name+" "+p.Who)
			}
			return out
		}
		if got := names(); !slices.Equal(got, []string{"from above.png Ada", "lid.png Ada"}) || s.Steps().Undo != "photo lid.png" {
			t.Errorf("%q, undo %q", got, s.Steps().Undo)
		}
		for _, want := range []string{"photo lid.png", "lay from above.png under", "photo from above.png"} {
			if name, err := s.Undo(); name != want || err != nil {
				t.Fatal(name, err)
			}
		}
		if got := names(); len(got) != 0 || len(s.Layout().Underlays) != 0 {
			t.Errorf("%q, %v", got, s.Layout().Underlays)
		}
		for range 2 {
			if _, err := s.Redo(); err != nil {
				t.Fatal(err)
			}
		}
		if d := cmp.Diff(l, s.Layout()); d != "" {
			t.Error(d)
		}
		if got, err := s.PhotoData(sha); !bytes.Equal(got, data) || err != nil {
			t.Errorf("%d bytes, %v", len(got), err)
		}
		if _, err := s.PhotoData(strings.Repeat("0", 64)); err == nil {
			t.Error("a photo that nobody added")
		}
	})
}

// In a casebook a drawing that readings rest on stays as it is, and an edit begins the
// next version.
func TestLayoutBook_AnEditBeginsTheNextVersion(t *testing.T) {
	b := shop(t)
	id, err := b.ImportLayout(twoModules(), nil, casebook.By{})
	if err != nil {
		t.Fatal(err)
	}
	begun := fault.Case{Title: "case", Now: "closed", States: []fault.State{{ID: "closed"}}, Instruments: []fault.Instrument{{ID: "dmm", Kind: "voltmeter", GainPct: 1, Counts: 1}}}
	caseID, err := b.NewCase(id, begun, casebook.By{})
	if err != nil {
		t.Fatal(err)
	}
	r := fault.Reading{State: "closed", Quantity: fault.Volts, Red: "M01+", Black: "M01-", Value: 14.8, Instrument: "dmm"}
	if _, err := b.AddReading(caseID, r, casebook.By{}); err != nil {
		t.Fatal(err)
	}
	s, err := store.NewLayoutBook(b, id)
	if err != nil || s.Info().Draft || s.Info().Cases != 1 {
		t.Fatalf("%+v %v", s.Info(), err)
	}
	if err := s.Save(at(10), "move M01"); err != nil {
		t.Fatal(err)
	}
	if i := s.Info(); i.Version != 2 || !i.Draft {
		t.Errorf("%+v", i)
	}
	all, err := s.Versions()
	if err != nil || len(all) != 2 || all[0].Number != 2 || !all[0].Draft || all[1].Draft || all[1].Cases != 1 || all[1].Readings != 1 {
		t.Errorf("%+v %v", all, err)
	}
	if first, err := s.Version(1); err != nil || first.Modules[0].X != 0 {
		t.Error(first.Modules, err)
	}
	if _, err := s.Undo(); err != nil {
		t.Fatal(err)
	}
	if i := s.Info(); i.Version != 1 || i.Next != 3 || i.Draft || s.Layout().Modules[0].X != 0 {
		t.Errorf("%+v", i)
	}
}
