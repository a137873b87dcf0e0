package plan

import (
	"math"

	"github.com/paulmach/orb"

	"windlane/grid"
)

// ground is the lake as the planner walks it: masks and distances that hold all day.
type ground struct {
	g      grid.Grid
	depth  []float32 // −1 on land, +Inf where it is not known [m]
	wet    []bool
	shore  []float32 // to the nearest land [m]
	off    []bool    // kept off by a drift: places, grid's edge
	motor  []bool    // passable under motor
	moves  []uint16  // which of the sixteen moves can be made from each cell; nil till asked for
	island []float32 // to the nearest island; nil without islands [m]
	slope  []float32 // of the bed [1]
	halves []int     // half width of the disc in each of its rows, from the south
	reachN float64   // cells in the disc
}

func newGround(q Question) *ground {
	g := q.Lake.Grid
	n := g.Len()
	a := &ground{g: g, depth: make([]float32, n), wet: q.Lake.Wet, off: make([]bool, n), motor: make([]bool, n), slope: make([]float32, n)}
	bed := make([]float32, n)
	for k, d := range q.Lake.Depth {
		a.depth[k], bed[k] = -1, float32(math.NaN())
		switch {
		case !a.wet[k]:
		case d != d:
			a.depth[k] = float32(math.Inf(1))
		default:
			a.depth[k], bed[k] = d, d
		}
	}
	a.shore = grid.Distance(g, a.wet)
	for k := range a.shore { // the waterline runs half a cell before the first land cell's centre
		a.shore[k] = max(0, a.shore[k]-float32(g.Cell/2))
		a.motor[k] = a.wet[k] && float64(a.depth[k]) >= q.Limits.MotorDepth
	}
	for i := range g.W { // so that no walk leaves the grid
		a.off[i], a.off[n-1-i] = true, true
		a.motor[i], a.motor[n-1-i] = false, false
	}
	for j := range g.H {
		a.off[j*g.W], a.off[j*g.W+g.W-1] = true, true
		a.motor[j*g.W], a.motor[j*g.W+g.W-1] = false, false
	}
	for _, p := range q.Lake.Places {
		if p.Shape == nil {
			continue
		}
		a.around(p, p.KeepOff, func(k int) { a.off[k] = true })
		a.around(p, p.MotorOff, func(k int) { a.motor[k], a.off[k] = false, true })
	}
	for _, other := range q.Others {
		a.around(Place{Shape: other}, offBoats, func(k int) { a.off[k] = true })
	}
	grid.Slope(g, bed, a.slope)
	a.findIslands()
	a.halves, a.reachN = disc(q.Settings.Reach / a.g.Cell)
	return a
}

// around does something to each cell whose centre lies nearer to a place than a
// distance, or inside it, and to the cell that it lies in however small it is;
// nothing for a distance of 0.
func (a *ground) around(p Place, near float64, do func(k int)) {
	if !(near > 0) {
		return
	}
	b := p.Shape.Bound()
	near = math.Max(near+p.Radius, 0.708*a.g.Cell) // more than half a diagonal
	column := func(x float64) int { return max(0, min(a.g.W-1, int(math.Floor((x-a.g.X0)/a.g.Cell)))) }
	row := func(y float64) int { return max(0, min(a.g.H-1, int(math.Floor((y-a.g.Y0)/a.g.Cell)))) }
	for j := row(b.Min[1] - near); j <= row(b.Max[1]+near); j++ {
		for i := column(b.Min[0] - near); i <= column(b.Max[0]+near); i++ {
			k := j*a.g.W + i
			if x, y := a.g.Centre(k); away(p.Shape, x, y) < near {
				do(k)
			}
		}
	}
}

// findIslands marks the land that no land joins to the grid's edge.
func (a *ground) findIslands() {
	w, n := a.g.W, a.g.Len()
	main := make([]bool, n)
	var stack []int
	visit := func(k int) {
		if !a.wet[k] && !main[k] {
			main[k] = true
			stack = append(stack, k)
		}
	}
	for k := range n {
		if i, j := k%w, k/w; i == 0 || j == 0 || i == w-1 || j == a.g.H-1 {
			visit(k)
		}
	}
	for len(stack) > 0 {
		k := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		i, j := k%w, k/w
		for dj := max(0, j-1); dj <= min(a.g.H-1, j+1); dj++ {
			for di := max(0, i-1); di <= min(w-1, i+1); di++ {
				visit(dj*w + di)
			}
		}
	}
	clear, some := make([]bool, n), false
	for k := range n {
		clear[k] = a.wet[k] || main[k]
		some = some || !clear[k]
	}
	if some {
		a.island = grid.Distance(a.g, clear)
		for k := range a.island {
			a.island[k] = max(0, a.island[k]-float32(a.g.Cell/2))
		}
	}
}

// disc is the shape of the cells whose centres lie within a radius of one's, in
// cells: the half width of each of its rows, and how many cells they hold.
func disc(radius float64) (halves []int, cells float64) {
	m := int(radius)
	for dj := -m; dj <= m; dj++ {
		half := int(math.Sqrt(radius*radius - float64(dj*dj)))
		halves = append(halves, half)
		cells += float64(2*half + 1)
	}
	return halves, cells
}

// spread adds to the cells of a disc round cell k.
func (a *ground) spread(field []float32, halves []int, k int, more float32) {
	i, j, m := k%a.g.W, k/a.g.W, len(halves)/2
	for d, h := range halves {
		row := j + d - m
		if row < 0 || row >= a.g.H {
			continue
		}
		for col := max(0, i-h); col <= min(a.g.W-1, i+h); col++ {
			field[row*a.g.W+col] += more
		}
	}
}

// mean writes the mean of a field over the disc of the boat's reach round each
// cell. Land counts as the 0 it holds, and so does what lies off the grid.
func (a *ground) mean(field, dst []float32) {
	w, h, m := a.g.W, a.g.H, len(a.halves)/2
	for k := range dst {
		dst[k] = 0
	}
	sums, box := make([]float64, w+1), make([]float32, w)
	for j := range h {
		for i, v := range field[j*w : (j+1)*w] {
			sums[i+1] = sums[i] + float64(v)
		}
		if sums[w] == 0 {
			continue
		}
		summed := -1
		for d, half := range a.halves {
			to := j - (d - m) // this row is d−m above the boat's
			if to < 0 || to >= h {
				continue
			}
			if half != summed { // the sum of so many cells to both sides
				summed = half
				for i := range box {
					box[i] = float32(sums[min(w, i+half+1)] - sums[max(0, i-half)])
				}
			}
			for i, v := range box {
				dst[to*w+i] += v
			}
		}
	}
	share := float32(1 / a.reachN)
	for k := range dst {
		dst[k] *= share
	}
}

// away is the distance from a place to a shape; 0 inside a polygon. [m]
func away(shape orb.Geometry, x, y float64) float64 {
	best := math.Inf(1)
	line := func(ps []orb.Point) {
		for i := range ps {
			p := ps[max(0, i-1)]
			ex, ey := ps[i][0]-p[0], ps[i][1]-p[1]
			f := 0.0
			if l := ex*ex + ey*ey; l > 0 {
				f = max(0, min(1, ((x-p[0])*ex+(y-p[1])*ey)/l))
			}
			best = min(best, math.Hypot(p[0]+f*ex-x, p[1]+f*ey-y))
		}
	}
	area := func(p orb.Polygon) {
		if grid.Contains(orb.MultiPolygon{p}, orb.Point{x, y}) {
			best = 0
			return
		}
		for _, r := range p {
			line(r)
		}
	}
	switch s := shape.(type) {
	case orb.Point:
		line([]orb.Point{s})
	case orb.MultiPoint:
		for _, p := range s {
			line([]orb.Point{p})
		}
	case orb.LineString:
		line(s)
	case orb.MultiLineString:
		for _, l := range s {
			line(l)
		}
	case orb.Ring:
		area(orb.Polygon{s})
	case orb.Polygon:
		area(s)
	case orb.MultiPolygon:
		for _, p := range s {
			area(p)
		}
	case orb.Collection:
		for _, g := range s {
			best = min(best, away(g, x, y))
		}
	case orb.Bound:
		area(s.ToPolygon())
	}
	return best
}
