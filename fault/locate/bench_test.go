package locate

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"
)

// BenchmarkFind is a whole finding with all pairs: an unbroken string with its
// four readings, and the same after a split with ten.
func BenchmarkFind(b *testing.B) {
	for _, size := range []struct{ modules, series int }{{12, 8}, {18, 12}} {
		for _, split := range []bool{false, true} {
			b.Run(fmt.Sprintf("groups=%d/split=%v", size.modules*size.series, split), func(b *testing.B) {
				rng := rand.New(rand.NewPCG(5, 5))
				tr := newTrial(rng, size.modules, size.series)
				n := len(tr.volts)
				tr.leak(n*7/10, 180e3, 0)
				if split {
					tr.leak(n/5, 90e3, 0)
				}
				bench := tr.bench(b, rng)
				tr.readClosed(b, bench)
				if split {
					tr.readSplit(b, bench)
				}
				b.ReportAllocs()
				for b.Loop() {
					if _, err := Find(context.Background(), tr.c, nil); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}
