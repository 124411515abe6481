package cells_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"halfsplit/fault/cells"
)

func BenchmarkEvidence(b *testing.B) {
	for _, groups := range []int{96, 216, 400, 1500} {
		b.Run(fmt.Sprint(groups), func(b *testing.B) {
			r := rand.New(rand.NewPCG(1, 1))
			p := &pack{series: 12}
			for range groups / 12 * 12 {
				p.mv = append(p.mv, 3650+3*r.NormFloat64())
			}
			c := p.lower(groups/4+1, groups/2+1, 20).fault()
			for b.Loop() {
				if len(cells.Evidence(c)) == 0 {
					b.Fatal("no band")
				}
			}
		})
	}
}
