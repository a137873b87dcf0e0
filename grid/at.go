package grid

import (
	"math"

	"windlane/internal/delaunay"
)

// At reads the surface at a place, and tells the triangle that holds it, by which
// the next place near by is found soonest; any triangle, 0 among them, will do to
// begin with. Not ok beyond the outer edge, and on a surface without a triangle.
func (s *Surface) At(x, y float64, from int32) (value float64, triangle int32, ok bool) {
	n := int32(len(s.mesh.Corners) / 3)
	if n == 0 {
		return 0, 0, false
	}
	if from < 0 || from >= n {
		from = 0
	}
	// From triangle to triangle over a side that the place lies beyond. On Delaunay
	// triangles this comes to an end (De Floriani and others 1991, CVGIP 53:128);
	// the count guards against rounding.
	t, came := from, int32(-1)
walk:
	for range n {
		for e := 3 * t; e < 3*t+3; e++ {
			if e == came || s.left(e, x, y) >= 0 {
				continue
			}
			if s.mesh.Twin[e] < 0 {
				return 0, t, false
			}
			came = s.mesh.Twin[e]
			t = came / 3
			continue walk
		}
		break
	}
	// The share of each corner is the triangle that the place makes with the other two.
	var sum, weight float64
	for e := 3 * t; e < 3*t+3; e++ {
		w := math.Max(s.left(e, x, y), 0)
		opposite := s.mesh.Corners[delaunay.Next(delaunay.Next(e))]
		sum, weight = sum+w*s.values[opposite], weight+w
	}
	if weight == 0 { // no area
		return s.values[s.mesh.Corners[3*t]], t, true
	}
	return sum / weight, t, true
}

// left is twice the area of the triangle that a place makes with half-edge e:
// positive to its left. [m²]
func (s *Surface) left(e int32, x, y float64) float64 {
	a, b := s.points[s.mesh.Corners[e]], s.points[s.mesh.Corners[delaunay.Next(e)]]
	return (b[0]-a[0])*(y-a[1]) - (b[1]-a[1])*(x-a[0])
}
