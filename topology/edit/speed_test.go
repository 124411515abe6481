package edit_test

import (
	"testing"

	"halfsplit/topology"
	"halfsplit/topology/edit"
)

// large is a pack of 1,000 modules and 10,000 groups, all joined.
func large(b testing.TB) topology.Layout {
	b.Helper()
	l, id, err := edit.AddModule(topology.Layout{Stacks: []topology.Stack{{ID: "A"}}}, topology.Module{Stack: "A", Series: 10, W: 100, H: 50, Minus: "top"})
	if err != nil {
		b.Fatal(err)
	}
	l, _, _, err = edit.Repeat(l, edit.Run{Of: id, Copies: 999, PerRow: 40, Gap: 10, RowGap: 20, Alternate: true, Link: true})
	if err != nil {
		b.Fatal(err)
	}
	return l
}

// forty is one row of the large pack.
func forty(l topology.Layout) (sel edit.Selection) {
	for _, m := range l.Modules[400:440] {
		sel = append(sel, m.ID)
	}
	return sel
}

func BenchmarkMove_40of1000(b *testing.B) {
	l := large(b)
	sel := forty(l)
	for b.Loop() {
		if _, err := edit.Move(l, sel, 3, 4); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNewSnapper_40of1000(b *testing.B) {
	l := large(b)
	sel := forty(l)
	for b.Loop() {
		if _, err := edit.NewSnapper(l, sel); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSnap_40of1000(b *testing.B) {
	l := large(b)
	s := snapper(b, l, forty(l)...)
	for b.Loop() {
		s.Snap(3, 400, edit.SnapTo{Tolerance: 8, Grid: 10, Things: true, Gaps: true})
	}
}

func BenchmarkSnap_1of1000(b *testing.B) {
	l := large(b)
	s := snapper(b, l, "M500")
	for b.Loop() {
		s.Snap(3, 400, edit.SnapTo{Tolerance: 8, Grid: 10, Things: true, Gaps: true})
	}
}

func BenchmarkRepeat_1000(b *testing.B) {
	for b.Loop() {
		large(b)
	}
}

func BenchmarkDuplicate_40of1000(b *testing.B) {
	l := large(b)
	l.Modules = l.Modules[:960]
	l.Links = l.Links[:959]
	sel := forty(l)
	for b.Loop() {
		if _, _, err := edit.Duplicate(l, sel, 3, 4); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPath_1000(b *testing.B) {
	l := large(b)
	for b.Loop() {
		edit.Path(l)
	}
}

func BenchmarkField_setAll1000(b *testing.B) {
	l := large(b)
	var sel edit.Selection
	for _, m := range l.Modules {
		sel = append(sel, m.ID)
	}
	for _, key := range []string{"mass_kg", "stack", "series"} {
		f, _ := edit.FieldOf(edit.ModuleKind, key)
		text := map[string]string{"mass_kg": "12", "stack": "", "series": "9"}[key]
		b.Run(key, func(b *testing.B) {
			for b.Loop() {
				if _, err := f.Set(l, sel, text); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
