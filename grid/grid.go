// Package grid holds rasters on a water's plane and what is worked out on them:
// shore distance, fetch, slope, means, contours, and the surface through
// scattered soundings.
//
// A field is a []float32, a mask a []bool, each of Len() cells. Row 0 is the
// SOUTH row; cell k stands in column k%W and row k/W. Values belong to cell
// centres. NaN is a cell without a value. Angles are radians clockwise from
// north. A slice of the wrong length is the caller's mistake and panics.
package grid

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Grid is the frame of a raster.
type Grid struct {
	W, H   int     // columns, rows
	X0, Y0 float64 // south-west corner of the south-west cell [m]
	Cell   float64 // width of a cell [m]
}

// Over is the grid of square cells that covers a bound with edge cells to spare
// on each side. Cell corners fall on whole multiples of the cell width, so that
// two grids of one width fit each other.
func Over(b orb.Bound, cell float64, edge int) Grid {
	if !(cell > 0) || b.IsEmpty() {
		panic(fmt.Sprintf("grid: no grid of %v m cells over %v", cell, b))
	}
	i0, j0 := int(math.Floor(b.Min[0]/cell))-edge, int(math.Floor(b.Min[1]/cell))-edge
	i1, j1 := int(math.Ceil(b.Max[0]/cell))+edge, int(math.Ceil(b.Max[1]/cell))+edge
	return Grid{W: max(i1-i0, 1), H: max(j1-j0, 1), X0: float64(i0) * cell, Y0: float64(j0) * cell, Cell: cell}
}

// Len is the number of cells.
func (g Grid) Len() int { return g.W * g.H }

// Index is the cell that holds (x, y); not ok off the grid.
func (g Grid) Index(x, y float64) (k int, ok bool) {
	u, v := math.Floor((x-g.X0)/g.Cell), math.Floor((y-g.Y0)/g.Cell)
	if !(u >= 0 && v >= 0 && u < float64(g.W) && v < float64(g.H)) {
		return 0, false
	}
	return int(v)*g.W + int(u), true
}

// Centre is the middle of cell k. [m]
func (g Grid) Centre(k int) (x, y float64) {
	return g.X0 + (float64(k%g.W)+0.5)*g.Cell, g.Y0 + (float64(k/g.W)+0.5)*g.Cell
}

// Lookup reads a field between cell centres, linearly in x and in y. Neighbours
// without a value are left out and the rest weighted up; not ok off the grid or
// where the cell that holds (x, y) has no value itself.
func (g Grid) Lookup(field []float32, x, y float64) (value float64, ok bool) {
	g.need("field", len(field))
	k, ok := g.Index(x, y)
	if !ok || isNaN(field[k]) {
		return 0, false
	}
	u, v := (x-g.X0)/g.Cell-0.5, (y-g.Y0)/g.Cell-0.5
	i, j := int(math.Floor(u)), int(math.Floor(v))
	u, v = u-float64(i), v-float64(j)
	var sum, weight float64
	for n := range 4 {
		a, b := i+n%2, j+n/2
		w := math.Abs(1-u-float64(n%2)) * math.Abs(1-v-float64(n/2))
		if a < 0 || b < 0 || a >= g.W || b >= g.H {
			continue
		}
		if z := field[b*g.W+a]; !isNaN(z) {
			sum += w * float64(z)
			weight += w
		}
	}
	return sum / weight, true
}

func (g Grid) need(what string, n int) {
	if n != g.Len() {
		panic(fmt.Sprintf("grid: a %s of %d cells on a grid of %d", what, n, g.Len()))
	}
}

func isNaN(v float32) bool { return v != v }

var nan = float32(math.NaN())
