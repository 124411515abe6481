package locate

import (
	"runtime"
	"testing"
)

// TestFind_SameBytesOnAnyCores gives the same bytes on one core and on many.
func TestFind_SameBytesOnAnyCores(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for _, l := range []load{{8, 6, "closed", false}, {8, 6, "split", false}, {8, 6, "readings=24", true}} {
		c := l.trial(t).c
		want := ""
		for _, cores := range []int{1, 2, 7} {
			runtime.GOMAXPROCS(cores)
			got := marshal(t, mustFind(t, c))
			if want == "" {
				want = got
			}
			if got != want {
				t.Errorf("%s: another finding on %d cores", l.name(), cores)
			}
		}
	}
}

// TestFind_MemorySteady finds over and over: nothing may stay behind, and what a
// finding takes on the way is bounded.
func TestFind_MemorySteady(t *testing.T) {
	const (
		finds    = 40
		mostKept = 256 << 10 // B, of all finds together
		mostUsed = 128 << 20 // B, allocated and freed by one
	)
	c := load{8, 6, "readings=24", true}.trial(t).c
	measure := func() (m runtime.MemStats) {
		runtime.GC()
		runtime.GC()
		runtime.ReadMemStats(&m)
		return m
	}
	mustFind(t, c)
	before := measure()
	n := trials(finds, 10*finds)
	for range n {
		mustFind(t, c)
	}
	after := measure()
	if kept := int64(after.HeapAlloc) - int64(before.HeapAlloc); kept > mostKept {
		t.Errorf("%d finds leave %d bytes behind", n, kept)
	}
	if used := (after.TotalAlloc - before.TotalAlloc) / uint64(n); used > mostUsed {
		t.Errorf("one finding takes %d bytes", used)
	} else {
		t.Logf("one finding takes %.1f MB", float64(used)/(1<<20))
	}
}
