package casebook_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"halfsplit/fault/casebook"
	"halfsplit/topology"
)

// An edited is one edit that was done to a layout, and the version that it went into.
type edited struct {
	name    string
	do      func(topology.Layout) topology.Layout // leaves what it is given as it was
	version int
	began   bool // it began that version
}

// drawing drives a layout of a casebook and its model: the edits that stand, replayed
// from what the layout was at first.
type drawing struct {
	b            *casebook.Book
	id           string
	done, undone []edited
	frozen       map[int]bool
	versions     int // ever begun
	n            int // edits ever done
}

func (d *drawing) now() topology.Layout {
	l := bench()
	for _, e := range d.done {
		l = e.do(l)
	}
	return l
}

// version is the newest one that stands.
func (d *drawing) version() int {
	if n := len(d.done); n > 0 {
		return d.done[n-1].version
	}
	return 1
}

// drawEdit is a small edit such as a person makes.
func drawEdit(t *rapid.T, l topology.Layout, n int) (name string, do func(topology.Layout) topology.Layout) {
	x, y := float64(rapid.IntRange(-2000, 2000).Draw(t, "x"))/8, float64(rapid.IntRange(-2000, 2000).Draw(t, "y"))/8
	at := rapid.IntRange(0, len(l.Modules)-1).Draw(t, "module")
	switch rapid.IntRange(0, 5).Draw(t, "edit") {
	case 0:
		id := fmt.Sprintf("N%d", n)
		return "add " + id, func(l topology.Layout) topology.Layout {
			l.Modules = append(slices.Clone(l.Modules), topology.Module{ID: id, Series: 1 + n%4, Parallel: 1, X: x, Y: y})
			return l
		}
	case 1:
		return fmt.Sprintf("a line at %v", x), func(l topology.Layout) topology.Layout {
			l.Sketch = append(slices.Clone(l.Sketch), topology.Stroke{Tier: n % 2, Points: [][2]float64{{x, y}, {y, x}}})
			return l
		}
	case 2:
		torque := 1 + x*x
		return "torque of L1", func(l topology.Layout) topology.Layout {
			l.Links = slices.Clone(l.Links)
			l.Links[0].TorqueNm, l.Links[0].Fasteners = &torque, "2 x M8"
			return l
		}
	case 3:
		return fmt.Sprintf("layout called %v", x), func(l topology.Layout) topology.Layout {
			l.Name = fmt.Sprint(x)
			return l
		}
	case 4:
		return "a cover", func(l topology.Layout) topology.Layout {
			l.Parts = append(slices.Clone(l.Parts), topology.Part{ID: fmt.Sprintf("c%d", n), Kind: "cover", Over: []string{"M01"}, Holds: []string{"SD"}})
			return l
		}
	default:
		id := l.Modules[at].ID
		return "move " + id, func(l topology.Layout) topology.Layout {
			l.Modules = slices.Clone(l.Modules)
			l.Modules[at].X, l.Modules[at].Y = x, y
			return l
		}
	}
}

func (d *drawing) Check(t *rapid.T) {
	l, info, err := d.b.Layout(d.id)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(d.now(), l, cmpopts.EquateEmpty()); diff != "" {
		t.Fatal(diff)
	}
	if info.Version != d.version() || info.Draft == d.frozen[info.Version] || info.Name != l.Name {
		t.Fatalf("%+v, want version %d", info, d.version())
	}
	wantUndo, wantRedo := "", ""
	if n := len(d.done); n > 0 {
		wantUndo = d.done[n-1].name
	}
	if n := len(d.undone); n > 0 {
		wantRedo = d.undone[n-1].name
	}
	if undo, redo, err := d.b.LayoutSteps(d.id); undo != wantUndo || redo != wantRedo || err != nil {
		t.Fatalf("undo %q, redo %q, want %q and %q (%v)", undo, redo, wantUndo, wantRedo, err)
	}
}

func (d *drawing) Edit(t *rapid.T) {
	was := d.now()
	name, do := drawEdit(t, was, d.n)
	d.n++
	if err := d.b.SaveLayout(d.id, do(was), name, anna); err != nil {
		t.Fatal(err)
	}
	if cmp.Equal(was, do(was)) {
		return // no step
	}
	e := edited{name: name, do: do, version: d.version()}
	if d.frozen[e.version] {
		d.versions++
		e.version, e.began = d.versions, true
	}
	d.done, d.undone = append(d.done, e), nil
}

func (d *drawing) Undo(t *rapid.T) {
	name, err := d.b.Undo(d.id, anna)
	n := len(d.done)
	switch {
	case n == 0:
		if casebook.KindOf(err) != casebook.Nothing {
			t.Fatal(name, err)
		}
		return
	case d.frozen[d.done[n-1].version]:
		if casebook.KindOf(err) != casebook.Refused {
			t.Fatal(name, err)
		}
		return
	case err != nil || name != d.done[n-1].name:
		t.Fatal(name, err)
	}
	d.undone, d.done = append(d.undone, d.done[n-1]), d.done[:n-1]
}

func (d *drawing) Redo(t *rapid.T) {
	name, err := d.b.Redo(d.id, anna)
	n := len(d.undone)
	switch {
	case n == 0:
		if casebook.KindOf(err) != casebook.Nothing {
			t.Fatal(name, err)
		}
		return
	case d.frozen[d.undone[n-1].version] && !d.undone[n-1].began:
		if casebook.KindOf(err) != casebook.Refused {
			t.Fatal(name, err)
		}
		return
	case err != nil || name != d.undone[n-1].name:
		t.Fatal(name, err)
	}
	d.done, d.undone = append(d.done, d.undone[n-1]), d.undone[:n-1]
}

// Freeze takes the first reading on the newest version.
func (d *drawing) Freeze(t *rapid.T) {
	if rapid.IntRange(0, 3).Draw(t, "freeze") > 0 {
		return // rarely
	}
	id, err := d.b.NewCase(d.id, begun("case"), anna)
	if err == nil {
		_, err = d.b.AddReading(id, volts("M01+", "chassis", 1), anna)
	}
	if err != nil {
		t.Fatal(err)
	}
	d.frozen[d.version()] = true
}

// Whatever edits, undos and redos, with readings in between: the layout is what the
// edits that stand make of the first one, and a version that was read on stays.
func TestLayoutUndo_IsTheReplayOfWhatStands(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := newBook(t)
		d := &drawing{b: b, id: must(b.ImportLayout(bench(), nil, anna)).or(t), frozen: map[int]bool{}, versions: 1}
		rt.Repeat(rapid.StateMachineActions(d))
		if r := must(b.Audit(context.Background(), "")).or(t); !r.Holds() {
			rt.Fatal(r.Problem)
		}
	})
}

// childDraws moves a module by one, and adds a photo, again and again, and says what
// was done after each command returned.
func childDraws(args []string) error {
	b, err := casebook.Open(args[0], casebook.Options{NoCopies: true})
	if err != nil {
		return err
	}
	for {
		l, err := b.ExportLayout(args[1])
		if err != nil {
			return err
		}
		l.Modules[0].X++
		if err := b.SaveLayout(args[1], l, "move M01", casebook.By{Who: "child"}); err != nil {
			return err
		}
		fmt.Println("at", l.Modules[0].X)
		photo := append(snap(2), fmt.Sprint(l.Modules[0].X)...)
		sha, err := b.AddLayoutPhoto(args[1], "a photo", photo, casebook.By{Who: "child"})
		if err != nil {
			return err
		}
		fmt.Println("photo", sha)
	}
}

// Whatever moment the program is killed at while a pack is being drawn: the layout is
// as the last edit that was acknowledged left it, or the one after, and every photo is
// there.
func TestKill_AcknowledgedEditsAreThere(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 9))
	path := filepath.Join(t.TempDir(), "kill.casebook")
	b := must(casebook.Create(path, casebook.Options{NoCopies: true})).or(t)
	id := must(b.ImportLayout(grid(60), nil, anna)).or(t)
	check(t, b.Close())
	acknowledged, photos := 0.0, map[string]bool{}
	for n := range rounds(6, 60) {
		c := start(t, "draw", path, id)
		c.wait(1 + rng.IntN(8))
		time.Sleep(time.Duration(rng.IntN(15000)) * time.Microsecond)
		for _, line := range c.kill() {
			var x float64
			switch sha, photo := strings.CutPrefix(line, "photo "); {
			case photo:
				photos[sha] = true
			case must(fmt.Sscanf(line, "at %g", &x)).or(t) == 1:
				acknowledged = max(acknowledged, x)
			}
		}
		b := must(casebook.Open(path, casebook.Options{NoCopies: true})).or(t)
		holds(t, b)
		l := must(b.ExportLayout(id)).or(t)
		if x := l.Modules[0].X; x != acknowledged && x != acknowledged+1 {
			t.Fatalf("round %d: M01 is at %v, and %v was acknowledged", n, x, acknowledged)
		}
		if len(l.Modules) != 60 || len(l.Links) != 59 || len(l.Boards) != 60 {
			t.Fatalf("round %d: half a layout: %d modules", n, len(l.Modules))
		}
		for _, p := range must(b.LayoutPhotos(id)).or(t) {
			delete(photos, p.SHA256)
			if len(must(b.PhotoBytes(p.SHA256)).or(t)) != int(p.Size) {
				t.Fatalf("round %d: half a photo", n)
			}
		}
		if len(photos) > 0 {
			t.Fatalf("round %d: %d photos were acknowledged and are gone", n, len(photos))
		}
		check(t, b.Close())
	}
	if acknowledged < 12 {
		t.Errorf("only %v edits were acknowledged: the test shows little", acknowledged)
	}
}
