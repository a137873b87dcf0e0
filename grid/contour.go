package grid

import (
	"slices"

	"github.com/paulmach/orb"
)

// Contours are the lines at which the field passes the level, between cell
// centres, joined end to end. The field is at or above the level on their left,
// so closed lines (first point repeated at the end) run anticlockwise round
// high ground and clockwise round low. Lines end at the grid's edge and beside
// cells without a value. Marching squares; where two opposite corners are high
// and two low, the saddle of the bilinear surface through the four decides
// which are joined (Nielson and Hamann 1991, Proc. Visualization, 83).
func Contours(g Grid, field []float32, level float64) []orb.LineString {
	g.need("field", len(field))
	// A crossing is named by the cell on its south or west end, twice its index,
	// plus one when it lies on the way north. Each is left by at most one line.
	next := map[int]int{}
	var order []int
	from := func(a, b int) {
		next[a] = b
		order = append(order, a)
	}
	for j := range g.H - 1 {
		for i := range g.W - 1 {
			k := j*g.W + i
			sw, se := float64(field[k]), float64(field[k+1])
			nw, ne := float64(field[k+g.W]), float64(field[k+g.W+1])
			if sw != sw || se != se || nw != nw || ne != ne {
				continue
			}
			high := 0
			for n, v := range [4]float64{sw, se, ne, nw} {
				if v >= level {
					high |= 1 << n
				}
			}
			if high == 0 || high == 15 {
				continue
			}
			south, north, west, east := 2*k, 2*(k+g.W), 2*k+1, 2*(k+1)+1
			switch high {
			case 1:
				from(south, west)
			case 2:
				from(east, south)
			case 4:
				from(north, east)
			case 8:
				from(west, north)
			case 3:
				from(east, west)
			case 6:
				from(north, south)
			case 12:
				from(west, east)
			case 9:
				from(south, north)
			case 14:
				from(west, south)
			case 13:
				from(south, east)
			case 11:
				from(east, north)
			case 7:
				from(north, west)
			default:
				// sw and ne high (5), or se and nw (10). The saddle's height is
				// (sw·ne - se·nw)/(sw + ne - se - nw).
				saddle := (sw*ne - se*nw) / (sw + ne - se - nw)
				joined := saddle >= level
				switch {
				case high == 5 && joined:
					from(south, east)
					from(north, west)
				case high == 5:
					from(south, west)
					from(north, east)
				case joined:
					from(east, north)
					from(west, south)
				default:
					from(east, south)
					from(west, north)
				}
			}
		}
	}

	point := func(c int) orb.Point {
		k := c / 2
		l := k + 1
		if c%2 == 1 {
			l = k + g.W
		}
		t := (level - float64(field[k])) / (float64(field[l]) - float64(field[k]))
		x, y := g.Centre(k)
		if c%2 == 1 {
			return orb.Point{x, y + t*g.Cell}
		}
		return orb.Point{x + t*g.Cell, y}
	}
	entered := make(map[int]bool, len(next))
	for _, a := range order {
		entered[next[a]] = true
	}
	var lines []orb.LineString
	follow := func(start int) {
		line := orb.LineString{point(start)}
		for at := start; ; {
			to, ok := next[at]
			if !ok {
				break
			}
			delete(next, at)
			if p := point(to); p != line[len(line)-1] {
				line = append(line, p)
			}
			at = to
		}
		if len(line) > 1 {
			lines = append(lines, slices.Clip(line))
		}
	}
	for _, a := range order { // open lines from their start, then closed ones
		if !entered[a] {
			follow(a)
		}
	}
	for _, a := range order {
		if _, left := next[a]; left {
			follow(a)
		}
	}
	return lines
}
