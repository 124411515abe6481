package locate

import (
	"math"
	"sort"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// A bin is a number of shares that were stated about alike.
type bin struct {
	n, hits     int
	stated      float64 // mean
	observed    float64
	least, most float64 // 95 % binomial interval of the observed frequency
}

// tenths are ten bins of equal mass, of the shares between .05 and .95.
func tenths(all []said) (out []bin) {
	sort.SliceStable(all, func(i, j int) bool { return all[i].share < all[j].share })
	const ten = 10
	for k := range ten {
		out = append(out, binOf(all[k*len(all)/ten:(k+1)*len(all)/ten]))
	}
	return out
}

func binOf(list []said) (b bin) {
	for _, s := range list {
		b.n++
		b.stated += s.share
		if s.true {
			b.hits++
		}
	}
	n := float64(b.n)
	b.stated, b.observed = b.stated/n, float64(b.hits)/n
	b.least, b.most = binomial95(b.hits, b.n)
	return b
}

// binomial95 is the interval of a proportion by Clopper and Pearson.
func binomial95(hits, n int) (least, most float64) {
	k, all := float64(hits), float64(n)
	most = 1
	if hits > 0 {
		least = distuv.Beta{Alpha: k, Beta: all - k + 1}.Quantile(0.025)
	}
	if hits < n {
		most = distuv.Beta{Alpha: k + 1, Beta: all - k}.Quantile(0.975)
	}
	return least, most
}

// TestBinomial95 against values worked by the tail sums themselves.
func TestBinomial95(t *testing.T) {
	tail := func(p float64, from, to, n int) (sum float64) {
		d := distuv.Binomial{N: float64(n), P: p}
		for k := from; k <= to; k++ {
			sum += d.Prob(float64(k))
		}
		return sum
	}
	for _, c := range [][2]int{{1, 10}, {5, 10}, {40, 50}} {
		least, most := binomial95(c[0], c[1])
		if a, b := tail(least, c[0], c[1], c[1]), tail(most, 0, c[0], c[1]); math.Abs(a-0.025) > 1e-6 || math.Abs(b-0.025) > 1e-6 {
			t.Errorf("%d of %d: %.4f to %.4f leave %.5f and %.5f", c[0], c[1], least, most, a, b)
		}
	}
	if least, most := binomial95(0, 10); least != 0 || most > 0.31 || most < 0.30 {
		t.Errorf("0 of 10: %g to %g", least, most)
	}
}

// calibrationError is the mean of |observed − stated| over bins, by their mass.
func calibrationError(list []bin) float64 {
	sum, n := 0.0, 0
	for _, b := range list {
		sum += float64(b.n) * math.Abs(b.observed-b.stated)
		n += b.n
	}
	return sum / float64(n)
}

// chanceOf is the mean over bins of an observed frequency's standard error.
func chanceOf(list []bin) float64 {
	sum := 0.0
	for _, b := range list {
		sum += math.Sqrt(math.Max(b.stated*(1-b.stated), 0.01) / float64(b.n))
	}
	return sum / float64(len(list))
}
