package grid

import "math"

// Distance is, for each cell, how far its centre is from the centre of the
// nearest cell that is not inside. [m] 0 outside; +Inf when every cell is inside.
func Distance(g Grid, inside []bool) []float32 {
	out := make([]float32, g.Len())
	for k, n := range Nearest(g, inside) {
		if n < 0 {
			out[k] = float32(math.Inf(1))
			continue
		}
		dx, dy := float64(k%g.W-int(n)%g.W), float64(k/g.W-int(n)/g.W)
		out[k] = float32(g.Cell * math.Sqrt(dx*dx+dy*dy))
	}
	return out
}

// Nearest is, for each cell, the nearest cell that is not inside: itself when it
// is not, -1 when there is none. Exact, by centres, in two passes, after
// Felzenszwalb and Huttenlocher 2012, Theory of Computing 8:415 (up and down the
// columns by counting, along the rows by the lower envelope of parabolas). Of
// several at one distance the choice is fixed but not stated.
func Nearest(g Grid, inside []bool) []int32 {
	g.need("mask", len(inside))
	// The nearest one in its own column: first from the south, then from the north.
	column := make([]int32, g.Len())
	for k, in := range inside {
		switch {
		case !in:
			column[k] = int32(k)
		case k < g.W:
			column[k] = -1
		default:
			column[k] = column[k-g.W]
		}
	}
	for k := g.Len() - g.W - 1; k >= 0; k-- {
		north, south := column[k+g.W], column[k]
		if north >= 0 && (south < 0 || int(north)-k < k-int(south)) {
			column[k] = north
		}
	}

	vertex := make([]int, g.W)     // columns of the parabolas in the envelope
	until := make([]float64, g.W)  // each rules up to here
	height := make([]float64, g.W) // squared distance along the column, in cells
	found := make([]int32, g.W)
	for j := range g.H {
		row := column[j*g.W : (j+1)*g.W]
		n := -1
		for i, c := range row {
			if c < 0 {
				continue
			}
			d := float64(int(c)/g.W - j)
			height[i] = d * d
			for n >= 0 {
				v := vertex[n]
				meet := (height[i] - height[v] + float64(i*i-v*v)) / float64(2*(i-v))
				if n > 0 && meet <= until[n-1] {
					n--
					continue
				}
				until[n] = meet
				break
			}
			n++
			vertex[n] = i
		}
		if n < 0 {
			continue // all are -1 already
		}
		at := 0
		for i := range row {
			for at < n && until[at] < float64(i) {
				at++
			}
			found[i] = row[vertex[at]]
		}
		copy(row, found)
	}
	return column
}
