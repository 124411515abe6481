package locate

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// beside does n things that do not touch each other, on all cores; which core did
// which leaves no trace. It reports whether all were done.
func beside(ctx context.Context, n int, do func(i int)) bool {
	var wg sync.WaitGroup
	var next atomic.Int64
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	wg.Wait()
	return ctx.Err() == nil
}
