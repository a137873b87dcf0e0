package cast

import "math"

// fishSpeed is how fast a trout going about moves. [m/s] A modelling choice: no
// measurement of stocked lake trout was found.
const fishSpeed = 0.3

// Meeting is how fast a fly moving at v meets fish that move at fishSpeed in all
// directions, as the speed at which it would sweep them standing still. [m/s]
//
//	(u² + 3v²)/3v for v >= u, (v² + 3u²)/3u below
//
// Gerritsen and Strickler, J. Fish. Res. Board Can. 34, 1977 (from memory), who
// give it per area swept.
func Meeting(v float64) float64 {
	const u = fishSpeed
	if v >= u {
		return (u*u + 3*v*v) / (3 * v)
	}
	return (v*v + 3*u*u) / (3 * u)
}

// coveredCell is the size of water that counts as covered once a fly has been
// through: half a metre. Search within one adds up as 1 - e^-s. [m]
const coveredCell = 0.5

// current is the water's own speed along a cast, by depth.
type current struct {
	top   float64 // at the surface [m/s]
	scale float64 // over which it falls by a factor e [m]
}

func (w current) at(depth float64) float64 {
	if w.top == 0 {
		return 0
	}
	return w.top * (1 + math.Expm1(-max(depth, 0)/w.scale))
}

// covered is the water searched during one cast by all its flies, in the plane
// of the line: how often each cell has been swept. Cells go with their water.
type covered struct {
	water   current
	cells   []float64
	touched []int32
}

const coveredWide, coveredDeep = 320, 80 // cells; 160 m by 40 m, the boat's start at an eighth

func newCovered(water current) *covered {
	return &covered{water: water, cells: make([]float64, coveredWide*coveredDeep), touched: make([]int32, 0, 1024)}
}

// sweep moves a fly between two places, where x is over the ground, from a time
// [s] on for so many seconds. It gives the time in the band [s], and that time
// times the speed of meeting [m].
func (c *covered) sweep(x0, d0, x1, d1, begun, seconds float64, band Band) (inBand, searched float64) {
	if seconds <= 0 || max(d0, d1) < band.Top || min(d0, d1) > band.Bottom {
		return 0, 0
	}
	dist := math.Hypot(x1-x0, d1-d0)
	n := max(1, int(math.Ceil(dist/(coveredCell/2))))
	s := seconds / float64(n)
	met := Meeting(dist/seconds) * s
	for k := range n {
		f := (float64(k) + 0.5) / float64(n)
		d := d0 + f*(d1-d0)
		if d < band.Top || d > band.Bottom {
			continue
		}
		x := x0 + f*(x1-x0)
		if c.water.top != 0 {
			v := c.water.at(d)
			met = Meeting(math.Hypot((x1-x0)/seconds-v, (d1-d0)/seconds)) * s
			x -= v * (begun + f*seconds)
		}
		inBand += s
		searched += met
		i := int(math.Floor(x/coveredCell)) + coveredWide/8
		j := int(d / coveredCell)
		i, j = min(max(i, 0), coveredWide-1), min(max(j, 0), coveredDeep-1)
		cell := &c.cells[i*coveredDeep+j]
		if *cell == 0 {
			c.touched = append(c.touched, int32(i*coveredDeep+j))
		}
		*cell += met
	}
	return inBand, searched
}

// fresh is the water searched since the last call, as the length of path on
// which a fly sweeps it for the first time, and clears it. [m]
func (c *covered) fresh() float64 {
	sum := 0.0
	for _, k := range c.touched {
		sum -= coveredCell * math.Expm1(-c.cells[k]/coveredCell)
		c.cells[k] = 0
	}
	c.touched = c.touched[:0]
	return sum
}

// Band is a range of depths.
type Band struct {
	Top    float64 // [m]
	Bottom float64 // [m]
}

// layers adds the time a fly spends in each layer between two depths, and that
// time times its meeting speed.
func layers(seconds, searched []float64, d0, d1, dt, speed float64) ([]float64, []float64) {
	met := Meeting(speed)
	lo, hi := min(d0, d1), max(d0, d1)
	lo, hi = max(lo, 0), max(hi, 0)
	first, last := int(lo/LayerDepth), int(hi/LayerDepth)
	for len(seconds) <= last {
		seconds, searched = append(seconds, 0), append(searched, 0)
	}
	for k := first; k <= last; k++ {
		share := 1.0
		if hi > lo {
			a, b := max(lo, float64(k)*LayerDepth), min(hi, float64(k+1)*LayerDepth)
			share = max(0, b-a) / (hi - lo)
		}
		seconds[k] += share * dt
		searched[k] += share * dt * met
	}
	return seconds, searched
}
