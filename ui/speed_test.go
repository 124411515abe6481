package ui

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/locate"
	"halfsplit/topology"
	"halfsplit/ui/entry"
	"halfsplit/ui/store"
)

// The way from Enter on a typed reading to the new finding in the window, for a
// string of 96 groups: the reading into a casebook on the disk, the whole case
// computed anew, sheet, plan and ruler laid out again. Only the drawing of the
// pixels is left out.
func BenchmarkDesk_EnterToFinding(b *testing.B) {
	for _, split := range []bool{false, true} {
		name := "unbroken"
		if split {
			name = "split"
		}
		b.Run(name, func(b *testing.B) {
			b.StopTimer()
			for range b.N {
				d := halfEntered(b, split)
				last := d.result.Finding
				b.StartTimer()
				d.entryKey(fyne.KeyReturn)
				b.StopTimer()
				if d.result.Finding == last || d.result.Stale {
					b.Fatal("no new finding is shown")
				}
				d.Close()
			}
		})
	}
}

// From a key to what it means, shown: what limits how fast one can type.
func BenchmarkDesk_KeyToEcho(b *testing.B) {
	d := halfEntered(b, true)
	for i := range b.N {
		if i%2 == 0 {
			d.entryRune('5')
		} else {
			d.entryKey(fyne.KeyBackspace)
		}
	}
}

// halfEntered is a desk on a pack with a leak of 180 kΩ at group 67, its last reading
// typed and not saved. What runs beside the window runs at once.
func halfEntered(b *testing.B, split bool) *Desk {
	b.Helper()
	must := func(err error) {
		if err != nil {
			b.Helper()
			b.Fatal(err)
		}
	}
	l, err := topology.Make(topology.MakeSpec{Name: "bench", Modules: 12, Series: 8, Parallel: 2, PerRow: 6, Disconnect: 6, W: 150, H: 330, Gap: 12, Alternate: true})
	must(err)
	book, err := casebook.Create(filepath.Join(b.TempDir(), "bench.halfsplit"), casebook.Options{NoCopies: true})
	must(err)
	b.Cleanup(func() { _ = book.Close() })
	layout, err := book.ImportLayout(l, nil, casebook.By{})
	must(err)
	c := fault.Case{Title: "bench", Now: "closed", States: []fault.State{{ID: "closed", Contactors: fault.Open}},
		Instruments: []fault.Instrument{{ID: "dmm", Kind: "voltmeter", GainPct: 0.5, Counts: 2, InputOhms: 10e6,
			Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}, {Max: 600, Count: 0.1}, {Max: 1000, Count: 1}}}},
		Resistors: []fault.Resistor{{ID: "R", Ohms: 200e3, TolPct: 1, Watts: 2, MaxVolts: 1000}}}
	id, err := book.NewCase(layout, c, casebook.By{})
	must(err)
	st, err := store.NewBook(book, id)
	must(err)
	add := func(state, red, black string, v float64, with bool) {
		r := fault.Reading{State: state, Quantity: fault.Volts, Red: red, Black: black, Value: v, Raw: fmt.Sprint(v), Instrument: "dmm"}
		if with {
			r.Resistor = &fault.Fitted{ID: "R", From: red, To: black}
		}
		_, err := st.AddReading(r)
		must(err)
	}
	for i := range 12 {
		m := fmt.Sprintf("M%02d", i+1)
		v := 28.98
		if m == "M09" {
			v = 28.427
		}
		add("closed", m+"+", m+"-", v, false)
	}
	add("closed", "M12+", "chassis", 103.6, false)
	add("closed", "M01-", "chassis", -237.5, false)
	at, raw := "M01-", "-126.4"
	if split {
		add("closed", "M01-", "chassis", -126.4, true)
		_, err := st.RecordState(fault.State{ID: "split", Contactors: fault.Open, Open: []string{"SD"}})
		must(err)
		add("split", "M06+", "chassis", 11.34, false)
		add("split", "M01-", "chassis", -11.33, false)
		add("split", "M12+", "chassis", 103.2, false)
		add("split", "M07-", "chassis", -67.1, false)
		at, raw = "M12+", "54.82"
	}
	test.NewTempApp(b)
	d := NewDesk(Deps{Store: st, Go: func(f func()) { f() }, Do: func(f func()) { f() },
		Find: func(ctx context.Context, c fault.Case) (fault.Finding, error) { return locate.Find(ctx, c, nil) }})
	d.root.Resize(fyne.NewSize(1280, 800))
	d.choose("node:" + at)
	d.enter()
	d.setForm(d.form.Change(d.pack, entry.What, 1))
	for _, r := range raw {
		d.entryRune(r)
	}
	return d
}
