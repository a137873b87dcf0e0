package plan

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"pgregory.net/rapid"
)

// walled is a pool with a wall of land from the south shore up to a height.
func walled(height float64) Question {
	l := pool(600, 400)
	for k := range l.Depth {
		if x, y := l.Grid.Centre(k); x > 290 && x < 310 && y < height {
			l.Wet[k] = false
		}
	}
	return ask(l, 4, 270, orb.Point{105, 105}, flat(l))
}

// Round the end of a wall: the shortest way is known, and the cells' way is
// never shorter and at most 2.8 % longer (16 neighbours; tan 13.3° bend).
func TestWayRoundAWall(t *testing.T) {
	q := walled(300)
	p := newPlanner(q)
	k, _ := p.a.launch(q.Home)
	var r rides
	p.a.motorFrom(k, &r)
	// cells passable from y = 305 on: over the corners (295, 305), (305, 305)
	exact := func(to orb.Point) float64 {
		return math.Hypot(295-105, 305-105) + 10 + math.Hypot(to[0]-305, 305-to[1])
	}
	for _, to := range []orb.Point{{505, 105}, {405, 55}, {555, 305}, {355, 205}} {
		c, _ := p.a.g.Index(to[0], to[1])
		// the wall's own cells end half a cell lower
		low := exact(to) - 12
		if d := float64(r.metres[c]); d < low || d > 1.028*exact(to)+5 {
			t.Errorf("to %v: %v m, exactly some %v", to, d, exact(to))
		}
		ride, ok := p.a.ride(&r, q.Home, to, 2)
		if !ok || ride.Metres < low || ride.Metres > 1.01*exact(to)+5 || ride.Metres > float64(r.metres[c])+1e-3 {
			t.Errorf("to %v pulled taut: %v m %v, exactly some %v, by cells %v", to, ride.Metres, ride.Way, exact(to), r.metres[c])
		}
		near(t, "time", ride.Time, ride.Metres/2, 1e-9)
	}
	// in sight: straight
	ride, ok := p.a.ride(&r, q.Home, orb.Point{205, 305}, 1)
	if !ok || len(ride.Way) != 2 {
		t.Errorf("in sight: %+v", ride)
	}
	near(t, "straight", ride.Metres, math.Hypot(100, 200), 1e-9)
	// a wall right across: no way
	q = walled(1000)
	p = newPlanner(q)
	p.a.motorFrom(k, &r)
	if _, ok := p.a.ride(&r, q.Home, orb.Point{505, 105}, 2); ok {
		t.Error("a way through the wall")
	}
}

// A way through the very corner of four cells touches all of them, either way.
func TestWayThroughACorner(t *testing.T) {
	l := pool(200, 100)
	k, _ := l.Grid.Index(75, 25)
	l.Depth[k] = 0.2
	a := newPlanner(ask(l, 4, 270, orb.Point{20, 20}, flat(l))).a
	p, q := orb.Point{45, 25}, orb.Point{95, 15} // through (70, 20)
	if a.sees(p, q) || a.sees(q, p) {
		t.Errorf("through a shallow's corner: %v, back %v", a.sees(p, q), a.sees(q, p))
	}
}

// Against the plain form of the same shortest way: Bellman and Ford over the
// same moves until nothing changes.
func TestRidesAgainstRelaxation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := pool(120, 100)
		seed := rapid.SliceOfN(rapid.IntRange(0, 5), l.Grid.Len(), l.Grid.Len()).Draw(t, "land")
		for k := range l.Depth {
			if seed[k] == 0 {
				l.Wet[k] = false
			}
		}
		q := ask(l, 4, 270, orb.Point{65, 45}, flat(l))
		p := newPlanner(q)
		from, ok := p.a.launch(q.Home)
		if !ok {
			return
		}
		var r rides
		p.a.motorFrom(from, &r)
		g := l.Grid
		best := make([]float64, g.Len())
		for k := range best {
			best[k] = math.Inf(1)
		}
		best[from] = 0
		for changed := true; changed; {
			changed = false
			for k := range best {
				if math.IsInf(best[k], 1) {
					continue
				}
				for dj := -2; dj <= 2; dj++ {
					for di := -2; di <= 2; di++ {
						long, short := max(di, -di), max(dj, -dj)
						if long < short {
							long, short = short, long
						}
						if !(long == 1 || (long == 2 && short == 1)) {
							continue
						}
						i, j := k%g.W+di, k/g.W+dj
						if i < 0 || j < 0 || i >= g.W || j >= g.H || !p.a.motor[j*g.W+i] {
							continue
						}
						// every cell that the move's rectangle's longer side slides past
						clear := true
						if long == 1 && short == 1 {
							clear = p.a.motor[k+di] && p.a.motor[k+dj*g.W]
						} else if long == 2 {
							hi, hj := di/2, dj/2
							clear = p.a.motor[k+hj*g.W+hi] && p.a.motor[(j-hj)*g.W+i-hi]
						}
						if d := best[k] + math.Hypot(float64(di), float64(dj))*g.Cell; clear && d < best[j*g.W+i]-1e-9 {
							best[j*g.W+i], changed = d, true
						}
					}
				}
			}
		}
		for k := range best {
			if got := float64(r.metres[k]); math.IsInf(got, 1) != math.IsInf(best[k], 1) || (!math.IsInf(got, 1) && math.Abs(got-best[k]) > 0.01) {
				t.Fatalf("cell %d: %v m, by relaxation %v", k, got, best[k])
			}
		}
	})
}

// On open water the cells' way is at most 2.8 % over the straight one.
func TestOpenWaterRides(t *testing.T) {
	l := pool(900, 600)
	q := ask(l, 4, 270, orb.Point{455, 305}, flat(l))
	p := newPlanner(q)
	k, _ := p.a.launch(q.Home)
	var r rides
	p.a.motorFrom(k, &r)
	worst, n := 0.0, 0
	for c, d := range r.metres {
		x, y := l.Grid.Centre(c)
		if straight := math.Hypot(x-455, y-305); l.Depth[c] > 0 && straight > 50 {
			n++
			worst = math.Max(worst, float64(d)/straight)
			if float64(d) < straight-0.01 {
				t.Fatalf("%v m to a place %v m off", d, straight)
			}
		}
	}
	t.Logf("%d cells, worst %.3f", n, worst)
	if n < 5000 || worst > 1.028 {
		t.Errorf("%d cells, worst %v", n, worst)
	}
}

func TestAway(t *testing.T) {
	square := orb.Polygon{{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}, {{4, 4}, {6, 4}, {6, 6}, {4, 6}, {4, 4}}}
	for _, c := range []struct {
		shape orb.Geometry
		x, y  float64
		want  float64
	}{
		{orb.Point{3, 4}, 0, 0, 5},
		{orb.MultiPoint{{30, 40}, {3, 4}}, 0, 0, 5},
		{orb.LineString{{0, 0}, {10, 0}}, 5, 3, 3},
		{orb.LineString{{0, 0}, {10, 0}}, 13, 4, 5},
		{orb.MultiLineString{{{0, 9}, {1, 9}}, {{0, 0}, {10, 0}}}, 5, 3, 3},
		{square, 2, 2, 0},
		{square, 5, 5, 1}, // in the hole
		{square, 13, 14, 5},
		{orb.MultiPolygon{square}, -2, 5, 2},
		{orb.Ring(square[0]), 5, 5, 0},
		{orb.Collection{orb.Point{100, 0}, orb.Point{0, 7}}, 0, 0, 7},
		{orb.Bound{Max: orb.Point{10, 10}}, 12, 5, 2},
	} {
		near(t, c.shape.GeoJSONType(), away(c.shape, c.x, c.y), c.want, 1e-12)
	}
}
