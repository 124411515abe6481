package easel

import (
	"fmt"
	"io"
	"slices"
	"sync"
	"time"
)

// watch is told how long a pane's redraw took; nil = nobody asks.
var watch func(took time.Duration)

// redrawn tells the watch, if there is one.
func redrawn(began time.Time) {
	if watch != nil {
		watch(time.Since(began))
	}
}

// WatchFrames writes a line a second, of seconds in which panes were redrawn: how
// often, and the median and the worst time in ms from the beginning of a redraw until
// the toolkit has the new shapes. The toolkit paints them afterwards, once for several
// redraws if they come fast; that is not in these figures. Call it before a window is
// shown, once.
func WatchFrames(out io.Writer) {
	var mu sync.Mutex
	var took []time.Duration
	watch = func(d time.Duration) {
		mu.Lock()
		took = append(took, d)
		mu.Unlock()
	}
	go func() {
		for range time.Tick(time.Second) {
			mu.Lock()
			line := framesLine(took)
			took = took[:0]
			mu.Unlock()
			if line != "" {
				fmt.Fprintln(out, line)
			}
		}
	}()
}

// framesLine says how long redraws took; "" where there were none. It sorts them.
func framesLine(took []time.Duration) string {
	if len(took) == 0 {
		return ""
	}
	slices.Sort(took)
	ms := func(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }
	return fmt.Sprintf("redraws of panes: %d, median %.1f ms, worst %.1f ms", len(took), ms(took[len(took)/2]), ms(took[len(took)-1]))
}
