package drafting

import (
	"testing"

	"fyne.io/fyne/v2/test"
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/store"
	"halfsplit/ui/theme"
)

// large is a pack of 1,000 modules with 10,000 groups, joined along 25 rows.
func large(b *testing.B) topology.Layout {
	b.Helper()
	l, id, err := edit.AddModule(topology.Layout{Name: "large", SeenFrom: "above"}, topology.Module{Series: 10, Parallel: 1, W: 60, H: 120, Minus: "top"})
	if err == nil {
		l, _, _, err = edit.Repeat(l, edit.Run{Of: id, Copies: 999, Gap: 6, PerRow: 40, RowGap: 20, Alternate: true, Link: true})
	}
	if err != nil {
		b.Fatal(err)
	}
	return l
}

func table(b *testing.B, l topology.Layout) *View {
	test.NewTempApp(b).Settings().SetTheme(&theme.Theme{Force: theme.Light})
	st, err := store.NewLayoutMemory(l)
	if err != nil {
		b.Fatal(err)
	}
	return New(Deps{Store: st, Go: func(f func()) { f() }, Do: func(f func()) { f() }})
}

// BenchmarkTable is the work of one frame of the drawing of 1,000 modules with 10,000
// groups, without a window: panned, zoomed in, and with 40 modules under the finger.
func BenchmarkTable(b *testing.B) {
	l := large(b)
	for _, bench := range []struct {
		name  string
		zoom  float64
		drag  bool
		below bool
	}{{"pan/whole", 1, false, false}, {"pan/near", 8, false, false}, {"drag40/whole", 1, true, false}, {"drag40/near", 8, true, false}, {"pan/below", 1, false, true}} {
		b.Run(bench.name, func(b *testing.B) {
			v := table(b, l)
			if bench.below {
				v.draft.Flip()
			}
			s := subject{v}
			view := s.Fit(900, 640).Zoomed(bench.zoom, mgl64.Vec2{300, 300}, true, true)
			d := v.draft
			if bench.drag {
				for _, m := range l.Modules[:40] {
					d.Chosen = append(d.Chosen, m.ID)
				}
				if !d.take("module:"+l.Modules[0].ID, d.plan.Geo.Modules[0].Center) {
					b.Fatal("the drag was not taken")
				}
			}
			b.ResetTimer()
			for i := range b.N {
				if bench.drag {
					d.drag(d.plan.Geo.Modules[0].Center.Add(mgl64.Vec2{float64(i % 50), float64(i % 30)}), view.ScaleX)
				} else {
					view = view.Panned(float64(i%3-1), 0)
				}
				s.Scene(view)
			}
		})
	}
}

// BenchmarkTable_edit is what follows an edit of that pack before it is shown: the
// layout is compiled, its path numbered, every link's way found.
func BenchmarkTable_edit(b *testing.B) {
	d := NewDraft(large(b))
	b.ResetTimer()
	for range b.N {
		d.Set(d.Layout)
	}
}
