package delaunay

import (
	"math"
	"math/big"
)

// The two questions a triangulation asks. Each is answered in floating point
// when the result is larger than its rounding error can be, and by whole-number
// arithmetic otherwise, so the sign is always right. Error bounds: Shewchuk
// 1997, Discrete Comput. Geom. 18:305, A-stage of orient2d and incircle; tiny
// covers what underflow can hide. Overflow gives Inf or NaN, which fails the
// comparison and falls through to the exact answer.
const (
	epsilon     = 1.0 / (1 << 53)
	orientBound = (3 + 16*epsilon) * epsilon
	circleBound = (10 + 96*epsilon) * epsilon
	tiny        = 1e-290
)

// orient is positive when a, b, c turn left, negative when right, 0 in line.
func orient(a, b, c [2]float64) int {
	l := (a[0] - c[0]) * (b[1] - c[1])
	r := (a[1] - c[1]) * (b[0] - c[0])
	det, bound := l-r, orientBound*(math.Abs(l)+math.Abs(r))+tiny
	if det > bound {
		return 1
	}
	if -det > bound {
		return -1
	}
	return exactOrient(a, b, c)
}

// inCircle is positive when d lies inside the circle through a, b, c (which
// turn left), negative outside, 0 on it.
func inCircle(a, b, c, d [2]float64) int {
	ax, ay := a[0]-d[0], a[1]-d[1]
	bx, by := b[0]-d[0], b[1]-d[1]
	cx, cy := c[0]-d[0], c[1]-d[1]
	aa, bb, cc := ax*ax+ay*ay, bx*bx+by*by, cx*cx+cy*cy
	bxcy, cxby := bx*cy, cx*by
	cxay, axcy := cx*ay, ax*cy
	axby, bxay := ax*by, bx*ay
	det := aa*(bxcy-cxby) + bb*(cxay-axcy) + cc*(axby-bxay)
	bound := circleBound*(aa*(math.Abs(bxcy)+math.Abs(cxby))+bb*(math.Abs(cxay)+math.Abs(axcy))+cc*(math.Abs(axby)+math.Abs(bxay))) + tiny
	if det > bound {
		return 1
	}
	if -det > bound {
		return -1
	}
	return exactInCircle(a, b, c, d)
}

// closer compares the distances of a and b from c: negative when a is nearer.
// da and db are those squared distances in floating point.
func closer(a, b, c [2]float64, da, db float64) int {
	bound := 8*epsilon*(da+db) + tiny
	if da-db > bound {
		return 1
	}
	if db-da > bound {
		return -1
	}
	if a == b {
		return 0
	}
	v := whole(a, b, c)
	return square(sub(v[0], v[4]), sub(v[1], v[5])).Cmp(square(sub(v[2], v[4]), sub(v[3], v[5])))
}

func exactOrient(a, b, c [2]float64) int {
	v := whole(a, b, c)
	l := new(big.Int).Mul(sub(v[0], v[4]), sub(v[3], v[5]))
	r := new(big.Int).Mul(sub(v[1], v[5]), sub(v[2], v[4]))
	return l.Cmp(r)
}

func exactInCircle(a, b, c, d [2]float64) int {
	v := whole(a, b, c, d)
	ax, ay := sub(v[0], v[6]), sub(v[1], v[7])
	bx, by := sub(v[2], v[6]), sub(v[3], v[7])
	cx, cy := sub(v[4], v[6]), sub(v[5], v[7])
	det := new(big.Int)
	for _, term := range [3][6]*big.Int{{ax, ay, bx, cy, cx, by}, {bx, by, cx, ay, ax, cy}, {cx, cy, ax, by, bx, ay}} {
		cross := sub(new(big.Int).Mul(term[2], term[3]), new(big.Int).Mul(term[4], term[5]))
		det.Add(det, cross.Mul(cross, square(term[0], term[1])))
	}
	return det.Sign()
}

// whole writes the coordinates as whole numbers of one common power of two:
// exact, and signs of homogeneous expressions stay what they are.
func whole(points ...[2]float64) []*big.Int {
	least := math.MaxInt
	var mantissa [8]int64
	var exponent [8]int
	n := 0
	for _, p := range points {
		for _, x := range p {
			f, e := math.Frexp(x)
			mantissa[n], exponent[n] = int64(f*(1<<53)), e
			if x != 0 {
				least = min(least, e)
			}
			n++
		}
	}
	v := make([]*big.Int, n)
	for i := range v {
		v[i] = big.NewInt(mantissa[i])
		if mantissa[i] != 0 {
			v[i].Lsh(v[i], uint(exponent[i]-least))
		}
	}
	return v
}

func sub(a, b *big.Int) *big.Int { return new(big.Int).Sub(a, b) }

func square(x, y *big.Int) *big.Int {
	s := new(big.Int).Mul(x, x)
	return s.Add(s, new(big.Int).Mul(y, y))
}
