package store_test

import (
	"math"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"halfsplit/fault/casebook"
	"halfsplit/fault/format"
	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/store"
)

// figures deals out the bytes of a fuzzed sequence; past the end all are 0.
type figures struct{ b []byte }

func (f *figures) next() int {
	if len(f.b) == 0 {
		return 0
	}
	n := f.b[0]
	f.b = f.b[1:]
	return int(n)
}

// mm is a length of either sign, some of them no length at all.
func (f *figures) mm() float64 {
	switch n := f.next(); n {
	case 255:
		return math.NaN()
	case 254:
		return math.Inf(1)
	case 253:
		return 1e300
	default:
		return float64(n-126)*3.7 + float64(f.next())/16
	}
}

// some are a few things of a layout by their ids, now and then one that is not there.
func (f *figures) some(l topology.Layout) (sel edit.Selection) {
	var ids []string
	for _, m := range l.Modules {
		ids = append(ids, m.ID)
	}
	for _, s := range l.Stacks {
		ids = append(ids, s.ID)
	}
	for _, k := range l.Links {
		ids = append(ids, k.ID)
	}
	for _, u := range l.Underlays {
		ids = append(ids, u.ID)
	}
	ids = append(ids, "nobody")
	for range 1 + f.next()%4 {
		sel = append(sel, ids[f.next()%len(ids)])
	}
	return sel
}

// end is a terminal, or what is none.
func (f *figures) end(l topology.Layout) string {
	named := []string{"pack+", "pack-", "load+", "rail-", "", "M01.1"}
	n := f.next()
	if len(l.Modules) == 0 || n < 24 {
		return named[n%len(named)]
	}
	return l.Modules[n%len(l.Modules)].ID + string("+-"[f.next()%2])
}

// edits are those of a drawing table, by their numbers.
var edits = []func(f *figures, l topology.Layout) (topology.Layout, error){
	func(f *figures, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.AddModule(l, topology.Module{Series: f.next() % 9, Parallel: 1 + f.next()%3, X: f.mm(), Y: f.mm(), W: 80, H: 30, Minus: "left"})
		return l, err
	},
	func(f *figures, l topology.Layout) (topology.Layout, error) {
		l, _, _, err := edit.Repeat(l, edit.Run{Of: f.some(l)[0], Copies: f.next() % 5, Gap: 4, PerRow: f.next() % 4, RowGap: 9, Alternate: f.next()%2 == 0, Link: f.next()%2 == 0})
		return l, err
	},
	func(f *figures, l topology.Layout) (topology.Layout, error) {
		return edit.Move(l, f.some(l), f.mm(), f.mm())
	},
	func(f *figures, l topology.Layout) (topology.Layout, error) {
		return edit.Rotate(l, f.some(l), f.mm())
	},
	func(f *figures, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.Link(l, f.end(l), f.end(l), topology.LinkKinds[f.next()%len(topology.LinkKinds)])
		return l, err
	},
	func(f *figures, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.Delete(l, f.some(l))
		return l, err
	},
	func(f *figures, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.Duplicate(l, f.some(l), f.mm(), f.mm())
		return l, err
	},
	func(f *figures, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.NewStack(l, f.some(l), f.next()%2 == 0)
		return l, err
	},
	func(f *figures, l topology.Layout) (topology.Layout, error) {
		return edit.Mirror(l, f.some(l), edit.Axis(f.next()%3))
	},
	func(f *figures, l topology.Layout) (topology.Layout, error) {
		return edit.AddStroke(l, f.next()%3-1, [][2]float64{{f.mm(), f.mm()}, {f.mm(), f.mm()}, {f.mm(), f.mm()}})
	},
	func(f *figures, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.Renumber(l, f.some(l), edit.Numbering{From: f.next(), Order: edit.RowByRow})
		return l, err
	},
	func(f *figures, l topology.Layout) (topology.Layout, error) {
		return edit.Rename(l, f.some(l)[0], []string{"M99", "K+", "", "x y", "pack", "tray"}[f.next()%6])
	},
	func(f *figures, l topology.Layout) (topology.Layout, error) {
		kinds := []edit.Kind{edit.ModuleKind, edit.StackKind, edit.LinkKind, edit.LayoutKind}
		k := kinds[f.next()%len(kinds)]
		all := edit.Fields(k)
		text := []string{"", "3", "-1", "7,5", "1e9", "NaN", "above", "busbar", "\xff", "left"}[f.next()%10]
		return all[f.next()%len(all)].Set(l, f.some(l), text)
	},
}

// asKept is a layout as a casebook gives it back.
func asKept(t *testing.T, l topology.Layout) topology.Layout {
	_, kept, err := format.KeepLayout(l)
	if err != nil {
		t.Fatalf("an edit gave a layout that cannot be kept: %v", err)
	}
	return kept
}

// A twin is a drawing in a casebook on the disk and the same one in memory.
type twin struct {
	path string
	b    *casebook.Book
}

// open opens the casebook, anew if it was open: as after a restart.
func (w *twin) open(t *testing.T) {
	var err error
	if w.b == nil {
		w.b, err = casebook.Create(w.path, casebook.Options{NoCopies: true})
	} else if err = w.b.Close(); err == nil {
		w.b, err = casebook.Open(w.path, casebook.Options{NoCopies: true})
	}
	if err != nil {
		t.Fatal(err)
	}
}

// FuzzDrawing takes bytes as edits, undos, redos and restarts. What the casebook holds,
// and what the memory holds, is what the edits that stand make of the first layout; what
// is refused changes nothing.
func FuzzDrawing(f *testing.F) {
	f.Add([]byte{0, 3, 1, 100, 0, 90, 0, 1, 3, 0, 0, 0, 0, 200, 200, 4, 130, 0, 131, 1, 0, 210, 5, 0, 0, 201})
	f.Add([]byte{7, 1, 0, 1, 0, 6, 2, 0, 1, 99, 0, 99, 0, 200, 2, 0, 0, 255, 255, 220, 10, 2, 0, 1, 7})
	w := &twin{path: filepath.Join(f.TempDir(), "drawing.halfsplit")}
	f.Cleanup(func() {
		if w.b != nil {
			w.b.Close()
		}
	})
	f.Fuzz(func(t *testing.T, raw []byte) {
		if w.b == nil {
			w.open(t)
		}
		first := asKept(t, topology.Layout{Name: "fuzzed", SeenFrom: "above", Modules: []topology.Module{{ID: "M01", Series: 4, Parallel: 1, W: 80, H: 30, Minus: "left"}}})
		id, err := w.b.ImportLayout(first, nil, casebook.By{})
		if err != nil {
			t.Fatal(err)
		}
		disk, err := store.NewLayoutBook(w.b, id)
		if err != nil {
			t.Fatal(err)
		}
		memory, err := store.NewLayoutMemory(first)
		if err != nil {
			t.Fatal(err)
		}
		past, future := []topology.Layout{first}, []topology.Layout(nil)
		in := &figures{raw}
		for step := 0; step < 60 && len(in.b) > 0; step++ {
			now := past[len(past)-1]
			switch n := in.next(); {
			case n >= 240:
				w.open(t)
				if disk, err = store.NewLayoutBook(w.b, id); err != nil {
					t.Fatal(err)
				}
			case n >= 220:
				for _, s := range []store.Layouts{disk, memory} {
					if _, err := s.Redo(); (err == nil) != (len(future) > 0) {
						t.Fatalf("%T, with %d edits to do again: %v", s, len(future), err)
					}
				}
				if n := len(future); n > 0 {
					past, future = append(past, future[n-1]), future[:n-1]
				}
			case n >= 195:
				for _, s := range []store.Layouts{disk, memory} {
					if _, err := s.Undo(); (err == nil) != (len(past) > 1) {
						t.Fatalf("%T, with %d edits to undo: %v", s, len(past)-1, err)
					}
				}
				if n := len(past); n > 1 {
					past, future = past[:n-1], append(future, now)
				}
			default:
				l, err := edits[n%len(edits)](in, now)
				if err != nil {
					continue
				}
				l = asKept(t, l)
				for _, s := range []store.Layouts{disk, memory} {
					if err := s.Save(l, "an edit"); err != nil {
						t.Fatalf("%T refuses a layout that can be kept: %v", s, err)
					}
				}
				if !cmp.Equal(l, now, cmpopts.EquateEmpty()) {
					past, future = append(past, l), nil
				}
			}
			for _, s := range []store.Layouts{disk, memory} {
				if diff := cmp.Diff(past[len(past)-1], s.Layout(), cmpopts.EquateEmpty()); diff != "" {
					t.Fatalf("%T: %s", s, diff)
				}
			}
			if kept, err := w.b.ExportLayout(id); err != nil || !cmp.Equal(past[len(past)-1], kept, cmpopts.EquateEmpty()) {
				t.Fatalf("the casebook itself holds another layout (%v)", err)
			}
		}
	})
}
