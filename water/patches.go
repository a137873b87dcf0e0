package water

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"windlane/grid"
)

// Patch is a stretch of water in one piece.
type Patch struct {
	Area float64 // [m²]
	X, Y float64 // where its figure is greatest, on the plane [m]
	Most float64 // that figure [as the method says]
	// Shape is its edge, along cells.
	Shape orb.MultiPolygon
}

// Thin lists the unsounded patches of today's water, the largest first, so many
// at most. Their figure is the distance to the nearest sounding. [m]
func (w *Water) Thin(most int) []Patch {
	if !w.HasDepths() {
		return nil
	}
	return w.patches(w.Gap, func(k int) bool { return float64(w.Gap[k]) > w.trust }, most, func(p Patch) float64 { return p.Area })
}

// Mounts lists the patches of sounded bed that rise by least or more [m] above
// the bed round them (Mounds), and from whose top it falls by as much on every
// side within 60 m, as it does not from the lip of a shelf; the highest first, so
// many at most. Their figure is the rise. [m]
func (w *Water) Mounts(least float64, most int) []Patch {
	if !w.HasDepths() {
		return nil
	}
	rise := w.Mounds()
	belongs := func(k int) bool { return float64(rise[k]) >= least && float64(w.Gap[k]) <= w.trust }
	return w.patches(rise, belongs, most, func(p Patch) float64 {
		top, _ := w.Grid.Lookup(w.Full, p.X, p.Y)
		for n := range 16 {
			east, north := math.Sincos(2 * math.Pi * float64(n) / 16)
			d, ok := w.Grid.Lookup(w.Full, p.X+60*east, p.Y+60*north)
			if !ok || d < top+least {
				return -1
			}
		}
		return p.Most
	})
}

// patches joins the wet cells that belong, side by side, and keeps those patches
// that rank highest; those below 0 are none.
func (w *Water) patches(field []float32, belongs func(k int) bool, most int, rank func(Patch) float64) []Patch {
	g := w.Grid
	of := make([]int32, g.Len()) // the patch of each cell, from 1
	var found []Patch
	var stack []int
	for start := range of {
		if of[start] != 0 || !w.wet[start] || !belongs(start) {
			continue
		}
		p := Patch{Most: math.Inf(-1)}
		n := int32(len(found) + 1)
		of[start] = n
		stack = append(stack[:0], start)
		for len(stack) > 0 {
			k := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			p.Area += g.Cell * g.Cell
			if v := float64(field[k]); v > p.Most {
				p.Most = v
				p.X, p.Y = g.Centre(k)
			}
			for _, d := range [4]int{1, -1, g.W, -g.W} { // water never reaches the grid's edge
				if next := k + d; of[next] == 0 && w.wet[next] && belongs(next) {
					of[next] = n
					stack = append(stack, next)
				}
			}
		}
		found = append(found, p)
	}
	order, ranks := make([]int, len(found)), make([]float64, len(found))
	for i, p := range found {
		order[i], ranks[i] = i, rank(p)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(ranks[b], ranks[a]) })
	var out []Patch
	for _, i := range order[:min(most, len(order))] {
		p := found[i]
		if ranks[i] < 0 {
			break
		}
		one := make([]float32, g.Len())
		for k, n := range of {
			if int(n) == i+1 {
				one[k] = 1
			}
		}
		p.Shape = rings(grid.Contours(g, one, 0.5))
		out = append(out, p)
	}
	return out
}

// rings makes polygons of closed lines with water on their left: outer rings
// anticlockwise, the largest first, each with the islands in it.
func rings(lines []orb.LineString) orb.MultiPolygon {
	var shore orb.MultiPolygon
	var islands []orb.Ring
	for _, line := range lines {
		ring := orb.Ring(line)
		switch {
		case len(ring) < 4 || planar.Area(ring) == 0:
		case ring.Orientation() == orb.CCW:
			shore = append(shore, orb.Polygon{ring})
		default:
			islands = append(islands, ring)
		}
	}
	// Smallest first, so that an island goes to the pool right round it.
	slices.SortStableFunc(shore, func(a, b orb.Polygon) int {
		return cmp.Compare(math.Abs(planar.Area(a[0])), math.Abs(planar.Area(b[0])))
	})
	for _, island := range islands {
		for i, pool := range shore {
			if grid.Contains(orb.MultiPolygon{{pool[0]}}, island[0]) {
				shore[i] = append(shore[i], island)
				break
			}
		}
	}
	slices.Reverse(shore)
	return shore
}
