package choose

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestXlog_IsWithinRoundingOfTheLogarithm(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 20_000 {
		x := math.Exp2(-60 * r.Float64() * r.Float64())
		if got, want := xlog(x), x*math.Log2(x); math.Abs(got-want) > 1e-13*x*math.Max(1, -math.Log2(x)) {
			t.Fatalf("xlog(%g) = %g, want %g", x, got, want)
		}
	}
	for _, x := range []float64{0, -1, math.NaN(), 1, 0.5, 2} {
		want := 0.0
		if x > 0 {
			want = x * math.Log2(x)
		}
		if got := xlog(x); math.Abs(got-want) > 1e-13 {
			t.Errorf("xlog(%g) = %g, want %g", x, got, want)
		}
	}
}
