package shell

import (
	"context"
	"runtime/debug"
	"sync"
	"time"

	"halfsplit/fault"
)

// How the program keeps its memory small beside what else a workshop's laptop
// runs: the collector lets garbage grow to half of what lives, not to as much
// again, and what a finding needed goes back to the system once nothing was
// computed for a while.
const (
	garbagePart = 50 // % of what lives
	restBefore  = 2 * time.Second
)

// thrift returns a Find that gives memory back when it has been at rest.
func thrift(find func(context.Context, fault.Case) (fault.Finding, error)) func(context.Context, fault.Case) (fault.Finding, error) {
	debug.SetGCPercent(garbagePart)
	var mu sync.Mutex
	rest := time.AfterFunc(restBefore, debug.FreeOSMemory)
	return func(ctx context.Context, c fault.Case) (fault.Finding, error) {
		f, err := find(ctx, c)
		mu.Lock()
		defer mu.Unlock()
		rest.Reset(restBefore)
		return f, err
	}
}
