package edit

import (
	"fmt"
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
)

// Homography is the map that takes four points to four others and straight lines to
// straight lines: to use it, multiply by x, y, 1 and divide by the third. Three points
// on one line, on either side, are refused.
func Homography(src, dst [4][2]float64) (mgl64.Mat3, error) {
	from, err := basis(src)
	if err != nil {
		return mgl64.Mat3{}, err
	}
	to, err := basis(dst)
	if err != nil {
		return mgl64.Mat3{}, err
	}
	m := to.Mul3(from.Inv())
	if scale := m.At(2, 2); math.Abs(scale) > 1e-12 {
		m = m.Mul(1 / scale)
	}
	if !finite(m[:]...) {
		return mgl64.Mat3{}, fmt.Errorf("these four points cannot be laid on each other")
	}
	return m, nil
}

// basis takes the corners of the simplest frame, the three axes and their sum, to four
// points.
func basis(p [4][2]float64) (mgl64.Mat3, error) {
	if err := corners(p); err != nil {
		return mgl64.Mat3{}, err
	}
	m := mgl64.Mat3FromCols(mgl64.Vec3{p[0][0], p[0][1], 1}, mgl64.Vec3{p[1][0], p[1][1], 1}, mgl64.Vec3{p[2][0], p[2][1], 1})
	share := m.Inv().Mul3x1(mgl64.Vec3{p[3][0], p[3][1], 1})
	return m.Mul3(mgl64.Diag3(share)), nil
}

// corners refuses four points of which three lie on one line, or so nearly that
// nothing could be told from them.
func corners(p [4][2]float64) error {
	for skip := range 4 {
		a, b, c := p[(skip+1)%4], p[(skip+2)%4], p[(skip+3)%4]
		if !finite(a[0], a[1]) {
			return fmt.Errorf("a point is two numbers")
		}
		u, v := mgl64.Vec2{b[0] - a[0], b[1] - a[1]}, mgl64.Vec2{c[0] - a[0], c[1] - a[1]}
		w := v.Sub(u)
		longest := math.Max(u.Len(), math.Max(v.Len(), w.Len()))
		if high := math.Abs(u.X()*v.Y() - u.Y()*v.X()); !(high > 1e-3*longest*longest) {
			return fmt.Errorf("three of the four points lie on one line, or nearly; pick the corners of something with four sides")
		}
	}
	return nil
}

// clockwise refuses four points that do not go round clockwise, as y points down, with
// every corner outward.
func clockwise(p [4][2]float64) error {
	if err := corners(p); err != nil {
		return err
	}
	for i := range 4 {
		a, b, c := p[i], p[(i+1)%4], p[(i+2)%4]
		if (b[0]-a[0])*(c[1]-b[1])-(b[1]-a[1])*(c[0]-b[0]) <= 0 {
			return fmt.Errorf("the four corners go round clockwise from the top left; pick them in that order")
		}
	}
	return nil
}

// Through is a point under a homography.
func Through(m mgl64.Mat3, p mgl64.Vec2) mgl64.Vec2 {
	v := m.Mul3x1(p.Vec3(1))
	return mgl64.Vec2{v.X() / v.Z(), v.Y() / v.Z()}
}

// PhotoToPack is the homography from a photo's pixels to mm in the pack, as the photo
// lies now.
func PhotoToPack(u topology.Underlay) (mgl64.Mat3, error) {
	var to [4][2]float64
	for i, c := range UnderlayPlace(u).Corners() {
		to[i] = c
	}
	return Homography(u.Corners, to)
}
