package grid

import "math"

// Slope writes the steepness of a field: rise over run. [1 for a field in m]
// Weighted differences over the eight neighbours (Horn 1981, Proc. IEEE 69:14,
// 3 by 3 operator). A neighbour without a value is taken to carry on the line
// from the opposite one through the cell, or to be level with the cell when that
// has none either. A cell without a value gets none.
func Slope(g Grid, field, dst []float32) {
	g.need("field", len(field))
	g.need("field", len(dst))
	for j := range g.H {
		for i := range g.W {
			k := j*g.W + i
			centre := field[k]
			if isNaN(centre) {
				dst[k] = nan
				continue
			}
			at := func(di, dj int) float64 {
				if v, ok := g.value(field, i+di, j+dj); ok {
					return v
				}
				if v, ok := g.value(field, i-di, j-dj); ok {
					return 2*float64(centre) - v
				}
				return float64(centre)
			}
			nw, n, ne := at(-1, 1), at(0, 1), at(1, 1)
			w, e := at(-1, 0), at(1, 0)
			sw, s, se := at(-1, -1), at(0, -1), at(1, -1)
			dx := (ne + 2*e + se - nw - 2*w - sw) / (8 * g.Cell)
			dy := (nw + 2*n + ne - sw - 2*s - se) / (8 * g.Cell)
			dst[k] = float32(math.Hypot(dx, dy))
		}
	}
}

// value reads a cell by column and row, on or off the grid.
func (g Grid) value(field []float32, i, j int) (v float64, ok bool) {
	if i < 0 || j < 0 || i >= g.W || j >= g.H {
		return 0, false
	}
	z := field[j*g.W+i]
	return float64(z), !isNaN(z)
}

// BoxMean writes the mean of the field over the square of the given width [m]
// round each cell: the nearest odd number of cells, at least the cell itself. Cells without a
// value are left out and get none.
func BoxMean(g Grid, field []float32, width float64, dst []float32) {
	g.need("field", len(field))
	g.need("field", len(dst))
	half := max(int(math.Round((width/g.Cell-1)/2)), 0)
	sum := make([]float64, g.W) // of each column over the rows of the square
	count := make([]int, g.W)
	row := func(j int, sign int) {
		if j < 0 || j >= g.H {
			return
		}
		for i, v := range field[j*g.W : (j+1)*g.W] {
			if !isNaN(v) {
				sum[i] += float64(sign) * float64(v)
				count[i] += sign
			}
		}
	}
	for j := range min(half, g.H) {
		row(j, 1)
	}
	for j := range g.H {
		row(j+half, 1)
		row(j-half-1, -1)
		s, n := 0.0, 0
		for i := range min(half, g.W) {
			s, n = s+sum[i], n+count[i]
		}
		for i := range g.W {
			if a := i + half; a < g.W {
				s, n = s+sum[a], n+count[a]
			}
			if a := i - half - 1; a >= 0 {
				s, n = s-sum[a], n-count[a]
			}
			k := j*g.W + i
			dst[k] = nan
			if !isNaN(field[k]) {
				dst[k] = float32(s / float64(n))
			}
		}
	}
}
