package locate

import (
	"math/rand/v2"
	"testing"

	"halfsplit/fault"
)

// TestGeneral_SoundPartsAreNextToNothing: physics alone fits a pack that leaks nowhere
// but through its sound insulation, however many parts its states set apart. What a
// part may leak at the least must then be nothing beside a background of gigohms:
// seven parts of 100 GΩ each are not, at the counts of a 6 V range.
func TestGeneral_SoundPartsAreNextToNothing(t *testing.T) {
	n, odd := 0, 0
	for i := range trials(40, 200) {
		surveyed(t, rand.New(rand.NewPCG(45, uint64(i))), mixture{fault.None: 1}, func(tr *trial, _ hidden) {
			e := begin(&tr.c, tr.net, nil, premise{}).physics()
			n++
			if !e.ok || e.odd() {
				odd++
				if odd < 4 {
					t.Logf("pack %d, state %s: χ² %.1f of %d readings", i, tr.c.Now, e.chi2, e.m.dof())
				}
			}
		})
	}
	t.Logf("physics alone does not fit in %d of %d clean cases", odd, n)
	if limit := 1 + n/200; odd > limit {
		t.Errorf("physics alone does not fit in %d of %d clean cases at p = 0.001, want at most %d", odd, n, limit)
	}
}
