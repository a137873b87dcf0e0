package drift

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// Reason is why a track ended.
type Reason string

const (
	ByTime   Reason = "time"   // the time allowed was over
	ByMargin Reason = "margin" // nearer to a shore than the margin
	ByShore  Reason = "shore"  // ashore; only with a margin of 0
)

// ErrOnLand is a start that lies on land or on an island.
var ErrOnLand = errors.New("the start lies on land: a drift begins on the water")

// Run is one drift to be followed. Positions are metres east and north on one plane.
type Run struct {
	Wind   *Wind
	Motion Motion
	X      float64 // start, east [m]
	Y      float64 // start, north [m]
	Start  float64 // on the wind's clock [s]
	Max    float64 // longest drift [s]
	Margin float64 // the drift ends when a shore is nearer than this [m]
	// Clear is how far the nearest shore is, negative on land, in metres. It may
	// say less than that, but not more than about 1.4 times as much: Shore.Clear, or
	// a raster of distances read between its cells.
	Clear func(x, y float64) float64
}

// Point is the boat at a time of its track.
type Point struct {
	T float64 // since the start [s]
	X float64 // east [m]
	Y float64 // north [m]
}

// End is the last of a track and why.
type End struct {
	Point
	Reason Reason
}

// least step of Track. [s] A shore passed by less than this time's way beyond
// the margin may go unseen: at 0.3 m/s, 0.3 m.
const leastStep = 1.0

// Track follows a run and appends its points to dst: one at each whole minute
// from 0, up to the end. The boat moves with the wind of the moment (relax time
// 3 to 10 s, left out). The way from point to point is exact; the end by a
// shore is found by going ahead as far as no shore can be, then halving, to
// 1 µs. A start on land is ErrOnLand; a start inside the margin ends at 0.
func (r Run) Track(dst []Point) ([]Point, End, error) {
	switch {
	case r.Wind == nil || r.Clear == nil:
		panic("drift: a run needs a wind and a shore")
	case !within(r.Max, 0, 1e7):
		return dst, End{}, fmt.Errorf("longest drift %v s: allowed is 0 to 1e7", r.Max)
	case !within(r.Margin, 0, 1e5):
		return dst, End{}, fmt.Errorf("margin %v m: allowed is 0 to 100 000", r.Margin)
	case !within(r.X, -1e8, 1e8) || !within(r.Y, -1e8, 1e8) || !within(r.Start, -1e12, 1e12):
		return dst, End{}, fmt.Errorf("start %v, %v m at %v s: out of range", r.X, r.Y, r.Start)
	case !r.Wind.Covers(r.Start, r.Start+r.Max):
		return dst, End{}, fmt.Errorf("the wind covers %v to %v s: it must cover %v to %v s", r.Wind.t[0], r.Wind.t[len(r.Wind.t)-1], r.Start, r.Start+r.Max)
	}
	if err := r.Motion.Validate(); err != nil {
		return dst, End{}, err
	}
	clear := r.Clear(r.X, r.Y)
	if !(clear > 0) {
		return dst, End{}, ErrOnLand
	}
	dst = append(dst, Point{0, r.X, r.Y})
	if clear < r.Margin {
		return dst, End{dst[len(dst)-1], ByMargin}, nil
	}
	sin, cos := math.Sincos(r.Motion.Slip)
	at := func(t float64) Point {
		e, n := r.Motion.path(r.Wind, r.Start, r.Start+t, sin, cos)
		return Point{t, r.X + e, r.Y + n}
	}
	fastest := r.Motion.Fraction*r.Wind.Strongest(r.Start, r.Start+r.Max) + 1e-9
	end := End{Reason: ByTime}
	t := 0.0
	for t < r.Max {
		// 0.7: a raster's distance may fall by up to √2 m a metre
		next := math.Min(r.Max, t+math.Max(leastStep, 0.7*(clear-r.Margin)/fastest))
		p := at(next)
		if clear = r.Clear(p.X, p.Y); clear < r.Margin || clear <= 0 {
			near, far := t, next
			for far-near > 1e-6 {
				mid := (near + far) / 2
				if q := at(mid); !(r.Clear(q.X, q.Y) >= r.Margin && r.Clear(q.X, q.Y) > 0) {
					far = mid
				} else {
					near = mid
				}
			}
			t, end.Reason = far, ByMargin
			if r.Margin == 0 {
				end.Reason = ByShore
			}
			break
		}
		t = next
	}
	for m := 60.0; m <= t; m += 60 {
		dst = append(dst, at(m))
	}
	end.Point = at(t)
	return dst, end, nil
}

// block is how many edges share a box in a Shore.
const block = 24

// Shore is the exact shoreline of a water: outlines and islands.
type Shore struct {
	edges []edge
	boxes []box // of each block of edges
}

type edge struct{ x0, y0, x1, y1 float64 }
type box struct{ x0, y0, x1, y1 float64 }

// NewShore takes the rings of a water in plane metres: outer rings and islands
// in any direction, closed or not. A ring crossing itself, or waters lying over
// each other, turn water to land where an even number of rings lies round it.
func NewShore(water orb.MultiPolygon) (*Shore, error) {
	s := &Shore{}
	for _, polygon := range water {
		for _, ring := range polygon {
			for i, p := range ring {
				if !within(p[0], -1e8, 1e8) || !within(p[1], -1e8, 1e8) {
					return nil, fmt.Errorf("shore: point %d of a ring is %v, %v m", i+1, p[0], p[1])
				}
				q := ring[(i+1)%len(ring)]
				if p != q {
					s.edges = append(s.edges, edge{p[0], p[1], q[0], q[1]})
				}
			}
		}
	}
	if len(s.edges) < 3 {
		return nil, fmt.Errorf("shore: no ring with an area")
	}
	for i := 0; i < len(s.edges); i += block {
		b := box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
		for _, e := range s.edges[i:min(i+block, len(s.edges))] {
			b.x0, b.x1 = min(b.x0, e.x0, e.x1), max(b.x1, e.x0, e.x1)
			b.y0, b.y1 = min(b.y0, e.y0, e.y1), max(b.y1, e.y0, e.y1)
		}
		s.boxes = append(s.boxes, b)
	}
	return s, nil
}

// Clear is the distance to the nearest shore edge, exact, negative on land. [m]
func (s *Shore) Clear(x, y float64) float64 {
	best, inside := math.Inf(1), false
	for i, b := range s.boxes {
		dx, dy := max(b.x0-x, 0, x-b.x1), max(b.y0-y, 0, y-b.y1)
		near, crossed := dx*dx+dy*dy < best, y >= b.y0 && y <= b.y1 && x <= b.x1
		if !near && !crossed {
			continue
		}
		for _, e := range s.edges[i*block : min((i+1)*block, len(s.edges))] {
			if near {
				ex, ey := e.x1-e.x0, e.y1-e.y0
				f := ((x-e.x0)*ex + (y-e.y0)*ey) / (ex*ex + ey*ey)
				f = max(0, min(1, f))
				px, py := e.x0+f*ex-x, e.y0+f*ey-y
				if d := px*px + py*py; d < best {
					best = d
				}
			}
			// a ray to the east crosses each edge's half-open span of y once
			if (e.y0 > y) != (e.y1 > y) && x < e.x0+(y-e.y0)/(e.y1-e.y0)*(e.x1-e.x0) {
				inside = !inside
			}
		}
	}
	if inside {
		return math.Sqrt(best)
	}
	return -math.Sqrt(best)
}
