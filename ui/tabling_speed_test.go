package ui

import (
	"fmt"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/ui/hands"
	"halfsplit/ui/sample"
)

// What the window's own thread does when a list of ten thousand rows was read, and when
// it was stored: everything else runs beside it.
func BenchmarkListing_TenThousandRows(b *testing.B) {
	var t strings.Builder
	t.WriteString("module;group;U [mV]\n")
	for i := range 10000 {
		fmt.Fprintf(&t, "M%02d;%d;%d\n", 1+i%14, 1+i%6, 3600+i%100)
	}
	b.StopTimer()
	for range b.N {
		var jobs []func()
		d := NewDesk(Deps{Store: hands.Book(b, sample.Case()), Go: func(f func()) { jobs = append(jobs, f) }, Do: func(f func()) {
			b.StartTimer()
			f()
			b.StopTimer()
		}})
		run := func() {
			for len(jobs) > 0 {
				f := jobs[0]
				jobs = jobs[1:]
				f()
			}
		}
		d.pasteList(t.String())
		run()
		d.listing.Lines().TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
		run()
		if !strings.Contains(d.happened, "Stored 10000 values") {
			b.Fatal(d.happened)
		}
		d.Close()
	}
}
