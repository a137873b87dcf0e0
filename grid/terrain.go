package grid

import "math"

// Slope writes the steepness of a field: rise over run. [1 for a field in m]
// Weighted differences over the eight neighbours (Horn 1981, Proc. IEEE 69:14,
// eq. for the 3 by 3 operator). A neighbour without a value counts as level with
// the cell, which halves the slope of a cell at the very edge; a cell without a
// value gets none.
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
				a, b := i+di, j+dj
				if a < 0 || b < 0 || a >= g.W || b >= g.H || isNaN(field[b*g.W+a]) {
					return float64(centre)
				}
				return float64(field[b*g.W+a])
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
