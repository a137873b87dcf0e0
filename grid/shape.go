package grid

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Inside marks the cells whose centre lies inside the shape. A place is inside
// when a line from it to far away crosses the rings an odd number of times, so
// holes are outside however they wind.
func Inside(g Grid, shape orb.MultiPolygon) []bool {
	rows := make([][]float64, g.H) // where each row's centre line crosses a ring
	for _, polygon := range shape {
		for _, ring := range polygon {
			for e := 1; e < len(ring); e++ {
				a, b := ring[e-1], ring[e]
				low, high := min(a[1], b[1]), max(a[1], b[1])
				first := max(int(math.Ceil((low-g.Y0)/g.Cell-0.5))-1, 0)
				for j := first; j < g.H; j++ {
					y := g.Y0 + (float64(j)+0.5)*g.Cell
					if y >= high {
						break
					}
					if y >= low {
						rows[j] = append(rows[j], crossing(a, b, y))
					}
				}
			}
		}
	}
	mask := make([]bool, g.Len())
	for j, xs := range rows {
		slices.Sort(xs)
		for n := 1; n < len(xs); n += 2 {
			for i := max(int(math.Ceil((xs[n-1]-g.X0)/g.Cell-0.5)), 0); i < g.W; i++ {
				if g.X0+(float64(i)+0.5)*g.Cell >= xs[n] {
					break
				}
				mask[j*g.W+i] = true
			}
		}
	}
	return mask
}

// Contains says whether a place is inside the shape, by the rule of Inside.
func Contains(shape orb.MultiPolygon, p orb.Point) bool {
	in := false
	for _, polygon := range shape {
		for _, ring := range polygon {
			for e := 1; e < len(ring); e++ {
				a, b := ring[e-1], ring[e]
				if (a[1] <= p[1]) != (b[1] <= p[1]) && crossing(a, b, p[1]) > p[0] {
					in = !in
				}
			}
		}
	}
	return in
}

// Within is Contains for many places: the edges are sorted by the grid's rows
// once, and a place looks at those of its own row only.
func Within(g Grid, shape orb.MultiPolygon) func(orb.Point) bool {
	row := func(y float64) int { return int(math.Floor((y - g.Y0) / g.Cell)) }
	rows := make([][][2]orb.Point, g.H)
	for _, polygon := range shape {
		for _, ring := range polygon {
			for e := 1; e < len(ring); e++ {
				a, b := ring[e-1], ring[e]
				for j := max(row(min(a[1], b[1])), 0); j <= min(row(max(a[1], b[1])), g.H-1); j++ {
					rows[j] = append(rows[j], [2]orb.Point{a, b})
				}
			}
		}
	}
	return func(p orb.Point) bool {
		j := row(p[1])
		if j < 0 || j >= g.H {
			return Contains(shape, p)
		}
		in := false
		for _, e := range rows[j] {
			a, b := e[0], e[1]
			if (a[1] <= p[1]) != (b[1] <= p[1]) && crossing(a, b, p[1]) > p[0] {
				in = !in
			}
		}
		return in
	}
}

// crossing is the x at which the edge from a to b passes the level y. It must
// not depend on which way the edge runs.
func crossing(a, b orb.Point, y float64) float64 {
	if a[1] > b[1] {
		a, b = b, a
	}
	return a[0] + (y-a[1])/(b[1]-a[1])*(b[0]-a[0])
}

// Ray is the distance from p to the first ring edge met toward an angle, exact
// on the plane. [m] An edge that the ray only touches stops it. +Inf when no
// edge lies that way.
func Ray(shape orb.MultiPolygon, p orb.Point, toward float64) float64 {
	east, north := math.Sincos(toward)
	best := math.Inf(1)
	for _, polygon := range shape {
		for _, ring := range polygon {
			for e := 1; e < len(ring); e++ {
				// Along the ray is s, to its right is d.
				ax, ay := ring[e-1][0]-p[0], ring[e-1][1]-p[1]
				bx, by := ring[e][0]-p[0], ring[e][1]-p[1]
				da, db := ax*north-ay*east, bx*north-by*east
				if da > 0 && db > 0 || da < 0 && db < 0 {
					continue
				}
				sa, sb := ax*east+ay*north, bx*east+by*north
				s := sa
				switch {
				case da != db:
					s = sa + da/(da-db)*(sb-sa)
				// The edge lies along the ray, round p or on one side of it.
				case (sa < 0) != (sb < 0):
					s = 0
				case sb < sa:
					s = sb
				}
				if s >= 0 && s < best {
					best = s
				}
			}
		}
	}
	return best
}

// ToEdge is the distance from p to the nearest ring edge, whichever side p is
// on. [m] +Inf for a shape without edges.
func ToEdge(shape orb.MultiPolygon, p orb.Point) float64 {
	best := math.Inf(1)
	for _, polygon := range shape {
		for _, ring := range polygon {
			for e := 1; e < len(ring); e++ {
				a, b := ring[e-1], ring[e]
				dx, dy := b[0]-a[0], b[1]-a[1]
				t := 0.0
				if l := dx*dx + dy*dy; l > 0 {
					t = min(max(((p[0]-a[0])*dx+(p[1]-a[1])*dy)/l, 0), 1)
				}
				x, y := a[0]+t*dx-p[0], a[1]+t*dy-p[1]
				best = min(best, x*x+y*y)
			}
		}
	}
	return math.Sqrt(best)
}
