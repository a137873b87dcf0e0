package grid

import "math"

// Distance is, for each cell, how far its centre is from the centre of the
// nearest cell that is not inside. [m] 0 outside; +Inf when every cell is
// inside. Exact Euclidean distance in two passes, after Felzenszwalb and
// Huttenlocher 2012, Theory of Computing 8:415 (down the columns by counting,
// along the rows by the lower envelope of parabolas).
func Distance(g Grid, inside []bool) []float32 {
	g.need("mask", len(inside))
	far := g.W + g.H // farther than any cell can be down its column
	down := make([]int32, g.Len())
	for k, in := range inside {
		switch {
		case !in:
			down[k] = 0
		case k < g.W:
			down[k] = int32(far)
		default:
			down[k] = min(down[k-g.W]+1, int32(far))
		}
	}
	for k := g.Len() - g.W - 1; k >= 0; k-- {
		down[k] = min(down[k], down[k+g.W]+1)
	}

	out := make([]float32, g.Len())
	vertex := make([]int, g.W)     // columns of the parabolas in the envelope
	until := make([]float64, g.W)  // each rules up to here
	height := make([]float64, g.W) // squared distance down the column
	for j := range g.H {
		row := down[j*g.W : (j+1)*g.W]
		n := -1
		for i, d := range row {
			if int(d) >= far {
				continue
			}
			height[i] = float64(d) * float64(d)
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
		at := 0
		for i := range row {
			if n < 0 {
				out[j*g.W+i] = float32(math.Inf(1))
				continue
			}
			for at < n && until[at] < float64(i) {
				at++
			}
			v := vertex[at]
			out[j*g.W+i] = float32(g.Cell * math.Sqrt(height[v]+float64((i-v)*(i-v))))
		}
	}
	return out
}
