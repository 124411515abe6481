package locate

import (
	"context"
	"errors"
	"math"
	"sync/atomic"
	"testing"
	"time"
)

// errEnough is why the tests' contexts end.
var errEnough = errors.New("enough")

// A countdown is a context that is cancelled when it is asked for the nth time
// whether it is.
type countdown struct {
	context.Context
	cancel context.CancelCauseFunc
	left   atomic.Int64
}

func countdownFrom(n int) *countdown {
	ctx, cancel := context.WithCancelCause(context.Background())
	c := &countdown{Context: ctx, cancel: cancel}
	c.left.Store(int64(n))
	return c
}

func (c *countdown) Err() error {
	if c.left.Add(-1) < 0 {
		c.cancel(errEnough)
	}
	return c.Context.Err()
}

// TestFind_CancelledAnywhere cancels at one poll after the other: wherever that is,
// there is the cause and no finding, and never a panic.
func TestFind_CancelledAnywhere(t *testing.T) {
	cases := map[string]load{
		"closed":            {4, 4, "closed", false},
		"split":             {4, 4, "split", false},
		"doubts":            {8, 4, "readings=24", true},
		"no doubts, boards": {8, 4, "readings=24", false},
	}
	for name, l := range cases {
		c := l.trial(t).c
		all := countdownFrom(math.MaxInt)
		want, err := Find(all, c, nil)
		if err != nil {
			t.Fatal(name, err)
		}
		polls := int(math.MaxInt - all.left.Load())
		if polls < 50 {
			t.Errorf("%s: the context was looked at %d times only", name, polls)
		}
		step := 1 + polls/trials(60, 1000)
		for n := 0; n < polls; n += step {
			if f, err := Find(countdownFrom(n), c, nil); !errors.Is(err, errEnough) || f.Verdict != "" {
				t.Fatalf("%s, cancelled at poll %d of %d: %q, %v", name, n, polls, f.Verdict, err)
			}
		}
		if f, err := Find(countdownFrom(polls), c, nil); err != nil || marshal(t, f) != marshal(t, want) {
			t.Errorf("%s: not cancelled, and yet another finding: %v", name, err)
		}
	}
}

// BenchmarkCancel cancels a finding after each tenth of the time that it takes, and
// reports the longest that it took to return.
func BenchmarkCancel(b *testing.B) {
	for _, l := range []load{{84, 12, "closed", false}, {84, 12, "split", false}, {18, 12, "readings=24", false}, {18, 12, "readings=24", true}} {
		b.Run(l.name(), func(b *testing.B) {
			c := l.trial(b).c
			began := time.Now()
			if _, err := Find(context.Background(), c, nil); err != nil {
				b.Fatal(err)
			}
			whole := time.Since(began)
			worst, at := time.Duration(0), 0
			for b.Loop() {
				for tenth := 1; tenth < 20; tenth++ {
					ctx, cancel := context.WithCancelCause(context.Background())
					var asked time.Time
					stop := time.AfterFunc(whole*time.Duration(tenth)/20, func() {
						asked = time.Now()
						cancel(errEnough)
					})
					_, err := Find(ctx, c, nil)
					back := time.Now()
					if err != nil && !errors.Is(err, errEnough) {
						b.Fatal(err)
					}
					if !stop.Stop() && err != nil {
						if took := back.Sub(asked); took > worst {
							worst, at = took, tenth
						}
					}
					cancel(nil)
				}
			}
			b.ReportMetric(float64(worst.Microseconds())/1000, "ms-to-return")
			b.ReportMetric(float64(at)*5, "%-where")
			b.ReportMetric(0, "ns/op")
		})
	}
}
