package grid

import (
	"fmt"
	"math"

	"windlane/internal/delaunay"
)

// Surface is the surface of flat triangles through scattered points: linear
// interpolation over their Delaunay triangulation. It passes through every
// point and never rises above or falls below its neighbours.
type Surface struct {
	points [][2]float64
	values []float64
	mesh   *delaunay.Triangulation
}

// NewSurface joins points, each with its value. It keeps both slices. Of
// several points at one place the first counts. Anything not finite panics.
func NewSurface(points [][2]float64, values []float64) *Surface {
	if len(points) != len(values) {
		panic(fmt.Sprintf("grid: %d points with %d values", len(points), len(values)))
	}
	for i, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			panic(fmt.Sprintf("grid: the value at point %d is %v", i, v))
		}
	}
	return &Surface{points, values, delaunay.Triangulate(points)}
}

// Triangles lists the corners of the triangles, three point indices each,
// anticlockwise. The slice belongs to the surface.
func (s *Surface) Triangles() []int32 { return s.mesh.Corners }

// Fill writes the surface at each cell centre, and NaN beyond its outer edge.
func (s *Surface) Fill(g Grid, dst []float32) {
	g.need("field", len(dst))
	for k := range dst {
		dst[k] = nan
	}
	for e := 0; e < len(s.mesh.Corners); e += 3 {
		a, b, c := s.mesh.Corners[e], s.mesh.Corners[e+1], s.mesh.Corners[e+2]
		// South to north.
		if s.points[b][1] < s.points[a][1] {
			a, b = b, a
		}
		if s.points[c][1] < s.points[b][1] {
			b, c = c, b
		}
		if s.points[b][1] < s.points[a][1] {
			a, b = b, a
		}
		s.fillTriangle(g, dst, a, b, c)
	}
}

// fillTriangle walks the rows through a triangle with corners from south to
// north. On each, both ends are interpolated along the sides and the cells
// between the ends: a sliver cannot overshoot as a plane's equation would.
func (s *Surface) fillTriangle(g Grid, dst []float32, a, b, c int32) {
	ya, yb, yc := s.points[a][1], s.points[b][1], s.points[c][1]
	first := max(int(math.Ceil((ya-g.Y0)/g.Cell-0.5)), 0)
	last := min(int(math.Floor((yc-g.Y0)/g.Cell-0.5)), g.H-1)
	for j := first; j <= last; j++ {
		y := g.Y0 + (float64(j)+0.5)*g.Cell
		x1, v1 := s.along(a, c, y)
		var x2, v2 float64
		if y < yb {
			x2, v2 = s.along(a, b, y)
		} else {
			x2, v2 = s.along(b, c, y)
		}
		if x2 < x1 {
			x1, v1, x2, v2 = x2, v2, x1, v1
		}
		i := max(int(math.Ceil((x1-g.X0)/g.Cell-0.5)), 0)
		end := min(int(math.Floor((x2-g.X0)/g.Cell-0.5)), g.W-1)
		if i > end {
			continue
		}
		slope := 0.0
		if x2 > x1 {
			slope = (v2 - v1) / (x2 - x1)
		}
		low, high := min(v1, v2), max(v1, v2)
		row := dst[j*g.W : (j+1)*g.W]
		for ; i <= end; i++ {
			x := g.X0 + (float64(i)+0.5)*g.Cell
			row[i] = float32(min(max(v1+(x-x1)*slope, low), high))
		}
	}
}

// along reads place and value where the side from a to b passes the level y.
func (s *Surface) along(a, b int32, y float64) (x, v float64) {
	p, q := s.points[a], s.points[b]
	t := 0.0
	if q[1] > p[1] {
		t = min(max((y-p[1])/(q[1]-p[1]), 0), 1)
	}
	return p[0] + t*(q[0]-p[0]), s.values[a] + t*(s.values[b]-s.values[a])
}
