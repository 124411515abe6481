package ui

import (
	"strconv"
	"testing"
	"time"

	"fyne.io/fyne/v2"
)

// From Enter on a typed value to the next field of a run, on a string of 96 groups:
// the value and the place in the run are on the disk, sheet, plan and ruler are laid
// out again. The finding is not waited for; only the drawing of the pixels is left
// out.
func BenchmarkSeries_EnterToNextField(b *testing.B) {
	for _, kind := range []struct {
		name string
		keys []fyne.KeyName
	}{{"group volts", []fyne.KeyName{fyne.KeyRight}}, {"to chassis", []fyne.KeyName{fyne.KeyRight, fyne.KeyRight}}} {
		b.Run(kind.name, func(b *testing.B) {
			d := halfEntered(b, false)
			d.deps.Later = func(time.Duration, func()) func() { return func() {} }
			d.form.Raw = ""
			begin := func() {
				d.showFinding()
				d.openSeries()
				for _, k := range kind.keys {
					d.seriesKey(k)
				}
				d.startSeries()
			}
			begin()
			for i := range b.N {
				b.StopTimer()
				if d.page != entryPage {
					begin()
				}
				for _, r := range strconv.FormatFloat(3.6+float64(i%50)/1000, 'f', 3, 64) {
					d.entryRune(r)
				}
				at := d.series.run.At
				b.StartTimer()
				d.entryKey(fyne.KeyEnter)
				if d.page == entryPage && d.series.run.At == at {
					b.Fatal("the run does not go on")
				}
			}
			b.StopTimer()
			d.Close()
		})
	}
}
