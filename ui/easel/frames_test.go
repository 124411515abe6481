package easel

import (
	"testing"
	"time"
)

func TestFramesLine(t *testing.T) {
	if s := framesLine(nil); s != "" {
		t.Errorf("no redraw gives %q", s)
	}
	took := []time.Duration{9 * time.Millisecond, 2 * time.Millisecond, 3500 * time.Microsecond}
	if s := framesLine(took); s != "redraws of panes: 3, median 3.5 ms, worst 9.0 ms" {
		t.Error(s)
	}
}
