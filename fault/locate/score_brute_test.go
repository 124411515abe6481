package locate

import "math"

// smallObs is the most readings that a small pack has.
const smallObs = 9

// logOf is ln N(readings) of leaks of ln conductance x over a background.
func (s *small) logOf(leaks []seen, x []float64, background float64) float64 {
	var g [2]float64
	for k := range leaks {
		g[k] = math.Exp(x[k])
	}
	var r, d, in, res [smallObs]float64
	var c [smallObs][smallObs]float64
	for i := range s.shown {
		o := &s.shown[i]
		sumG := background * o.share
		sumQ := sumG * o.middle
		for k := range leaks {
			if leaks[k].in[i] {
				sumG += g[k]
				sumQ += g[k] * leaks[k].u
			}
		}
		d[i] = sumG + o.ext
		r[i] = o.value - (sumG*o.tap-sumQ)/d[i]
		in[i] = -o.value * o.meter / d[i] * s.inTol / math.Sqrt(3)
		res[i] = -o.value * o.res / d[i] * s.resTol / math.Sqrt(3)
	}
	for i := range s.shown {
		for j := 0; j <= i; j++ {
			v := in[i]*in[j] + res[i]*res[j]
			if s.shown[i].gain == s.shown[j].gain {
				v += s.shown[i].value * s.shown[j].value * s.gainTol * s.gainTol / 3
			}
			for k := range leaks {
				if leaks[k].in[i] && leaks[k].in[j] {
					v += g[k] / d[i] * g[k] / d[j] * leaks[k].sd * leaks[k].sd
				}
			}
			if i == j {
				v += s.shown[i].countSD * s.shown[i].countSD
			}
			c[i][j] = v
		}
	}
	return normal(&c, &r, len(s.shown))
}

// normal is ln N(r; 0, c) without 2π, by Cholesky's factor.
func normal(c *[smallObs][smallObs]float64, r *[smallObs]float64, n int) float64 {
	sum, det := 0.0, 1.0
	for i := range n {
		for j := range i + 1 {
			v := c[i][j]
			for k := range j {
				v -= c[i][k] * c[j][k]
			}
			if i > j {
				c[i][j] = v / c[j][j]
				continue
			}
			if v <= 0 {
				return math.Inf(-1)
			}
			c[i][i] = math.Sqrt(v)
		}
		v := r[i]
		for k := range i {
			v -= c[i][k] * r[k]
		}
		r[i] = v / c[i][i]
		sum += r[i] * r[i] / 2
		det *= c[i][i]
	}
	return -sum - math.Log(det)
}

// Steps of the background's logarithm: few are enough beside a leak, whose own size makes
// up for what lies between them; without one the readings may know it to a few per cent.
const (
	backgroundSteps = 5
	backgroundAlone = 1000
)

// overBackground is ln of the mean of exp(f) over the background's prior.
func overBackground(steps int, f func(background float64) float64) float64 {
	var logs []float64
	for i := range steps {
		logs = append(logs, f(math.Exp(math.Log(1/2e9)+math.Log(2e9/8e6)*(float64(i)+0.5)/float64(steps))))
	}
	return logSum(logs, nil) - math.Log(float64(steps))
}

const lnSizes = 16.118095650958319 // ln 10⁷: 1 Ω to 10 MΩ

// evidenceOf is ln of the mean likelihood of one or two leaks over their sizes; tilt
// multiplies the sizes' prior.
func (s *small) evidenceOf(leaks []seen, tilt func(x, y float64) float64) float64 {
	steps := backgroundSteps
	if len(leaks) == 0 {
		steps = backgroundAlone
	}
	return overBackground(steps, func(bg float64) float64 {
		switch len(leaks) {
		case 0:
			return s.logOf(nil, nil, bg)
		case 1:
			const n = 640
			logs := make([]float64, n)
			for i := range logs {
				logs[i] = s.logOf(leaks, []float64{lnSizes * ((float64(i)+0.5)/n - 1)}, bg)
			}
			return logSum(logs, nil) - math.Log(n)
		}
		x, low := make([]float64, 2), -lnSizes
		if tilt != nil {
			low -= 6 // a piece of a run may be less than the least leak
		}
		return square(low, func(a, b float64) float64 {
			x[0], x[1] = a, b
			v := s.logOf(leaks, x, bg)
			if tilt != nil {
				v += tilt(a, b)
			}
			return v
		})
	})
}

// square is ln of the integral of exp(f) over both sizes from low to 0, in units of
// their prior's own range, by the midpoint rule on squares
// that are halved three times where f is not far below its top: by so much that a
// ridge of 3 % between two midpoints is not missed.
func square(low float64, f func(x, y float64) float64) float64 {
	type cell struct{ x, y, v float64 }
	first := int(math.Ceil(-low / lnSizes * 40))
	h := -low / float64(first)
	var cells []cell
	top := math.Inf(-1)
	for i := range first {
		for j := range first {
			c := cell{x: low + (float64(i)+0.5)*h, y: low + (float64(j)+0.5)*h}
			c.v = f(c.x, c.y)
			top = math.Max(top, c.v)
			cells = append(cells, c)
		}
	}
	var logs, areas []float64
	for _, fall := range []float64{60, 30, 18} {
		h /= 2
		var finer []cell
		for _, c := range cells {
			if c.v < top-fall {
				logs, areas = append(logs, c.v), append(areas, 4*h*h)
				continue
			}
			for _, d := range [][2]float64{{-1, -1}, {-1, 1}, {1, -1}, {1, 1}} {
				n := cell{x: c.x + d[0]*h/2, y: c.y + d[1]*h/2}
				n.v = f(n.x, n.y)
				finer = append(finer, n)
			}
		}
		for _, c := range finer {
			top = math.Max(top, c.v)
		}
		cells = finer
	}
	for _, c := range cells {
		logs, areas = append(logs, c.v), append(areas, h*h)
	}
	return logSum(logs, areas) - 2*math.Log(lnSizes)
}
