// Package delaunay triangulates points in the plane so that no point lies
// inside the circle through the corners of a triangle. It knows no trade and
// may touch nothing else in the module.
//
// Method: sweep-hull (Sinclair 2010, arXiv:1604.01428, changed here): points
// are added in order of distance from a centre, each outside the hull of those
// before it; every edge this hides from the outside is then flipped until legal
// (Lawson 1977). Order, hull and circles are decided exactly (predicates.go),
// so no input can break it: duplicates, points in line and lattices included.
package delaunay

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Triangulation of the points given to Triangulate.
type Triangulation struct {
	// Corners holds three point indices a triangle, anticlockwise. Half-edge e
	// runs from Corners[e] to Corners[Next(e)] in triangle e/3.
	Corners []int32
	// Twin is the half-edge in the neighbouring triangle, -1 on the hull.
	Twin []int32
}

// Next is the following half-edge round the same triangle.
func Next(e int32) int32 {
	if e%3 == 2 {
		return e - 2
	}
	return e + 1
}

func previous(e int32) int32 {
	if e%3 == 0 {
		return e + 2
	}
	return e - 1
}

// Triangulate joins all distinct points. The first of several equal points is
// used and the others are left out. Fewer than three points, or points all in
// one line, give no triangle. Same input, same triangles, on every machine.
// More than 1<<28 points or one that is not finite panics.
func Triangulate(points [][2]float64) *Triangulation {
	if len(points) > 1<<28 {
		panic(fmt.Sprintf("delaunay: %d points are too many", len(points)))
	}
	for i, p := range points {
		if math.IsNaN(p[0]-p[0]) || math.IsNaN(p[1]-p[1]) {
			panic(fmt.Sprintf("delaunay: point %d is (%v, %v)", i, p[0], p[1]))
		}
	}
	m := &mesh{points: points}
	if len(points) >= 3 {
		m.build()
	}
	return &Triangulation{Corners: m.corners, Twin: m.twin}
}

const none = -1

type mesh struct {
	points        [][2]float64
	corners, twin []int32
	// The hull, anticlockwise, by point: its neighbours and the half-edge that
	// leaves it along the hull. next is none off the hull.
	next, prev, edge []int32
	centre           [2]float64
	ahead            []int32 // a hull point seen in each direction from the centre
	chain            []int32 // while all points so far lie in one line: along it
	suspect          []int32 // edges to check
}

func (m *mesh) build() {
	n := len(m.points)
	m.corners = make([]int32, 0, 6*n)
	m.twin = make([]int32, 0, 6*n)
	m.next, m.prev, m.edge = filled(n), filled(n), filled(n)
	m.ahead = filled(int(math.Ceil(math.Sqrt(float64(n)))))
	last := int32(none)
	for _, i := range m.order() {
		if last != none && m.points[i] == m.points[last] {
			continue
		}
		last = i
		if len(m.corners) == 0 {
			m.start(i)
		} else {
			m.add(i)
		}
	}
}

func filled(n int) []int32 {
	s := make([]int32, n)
	for i := range s {
		s[i] = none
	}
	return s
}

// order sorts the points by distance from a centre near the middle one. Equal
// points come out side by side, the lower index first. A point at the same
// distance as others is still outside their hull, since a circle is round; the
// centre's odd offset keeps such ties rare.
func (m *mesh) order() []int32 {
	low, high := m.points[0], m.points[0]
	for _, p := range m.points {
		low = [2]float64{min(low[0], p[0]), min(low[1], p[1])}
		high = [2]float64{max(high[0], p[0]), max(high[1], p[1])}
	}
	p := m.points[m.nearest([2]float64{low[0]/2 + high[0]/2, low[1]/2 + high[1]/2}, nil)]
	q := m.points[m.nearest(p, &p)]
	dx, dy := q[0]-p[0], q[1]-p[1]
	// The conversions keep a machine from fusing steps: one centre everywhere.
	m.centre = [2]float64{p[0] + float64(0.3137*dx) - float64(0.1713*dy), p[1] + float64(0.3137*dy) + float64(0.1713*dx)}
	if d := squared(low, high); math.IsInf(d, 0) || math.IsNaN(m.centre[0]+m.centre[1]) || math.IsInf(m.centre[0]+m.centre[1], 0) {
		m.centre = p
	}

	type reach struct {
		d float64
		i int32
	}
	reaches := make([]reach, len(m.points))
	for i, p := range m.points {
		reaches[i] = reach{squared(p, m.centre), int32(i)}
	}
	slices.SortFunc(reaches, func(a, b reach) int {
		p, q := m.points[a.i], m.points[b.i]
		if c := closer(p, q, m.centre, a.d, b.d); c != 0 {
			return c
		}
		return cmp.Or(cmp.Compare(p[0], q[0]), cmp.Compare(p[1], q[1]), cmp.Compare(a.i, b.i))
	})
	sorted := make([]int32, len(reaches))
	for k, r := range reaches {
		sorted[k] = r.i
	}
	return sorted
}

// nearest finds the point nearest to c, but for those at *not.
func (m *mesh) nearest(c [2]float64, not *[2]float64) int {
	best, at := math.Inf(1), 0
	for i, p := range m.points {
		if d := squared(p, c); d < best && (not == nil || p != *not) {
			best, at = d, i
		}
	}
	return at
}

func squared(p, q [2]float64) float64 {
	dx, dy := p[0]-q[0], p[1]-q[1]
	return dx*dx + dy*dy
}

// start holds points back while they lie in one line, and makes a fan of the
// first one beside it. Such a fan has empty circles.
func (m *mesh) start(i int32) {
	if len(m.chain) < 2 {
		m.chain = append(m.chain, i)
		return
	}
	first, last := m.chain[0], m.chain[len(m.chain)-1]
	switch turn := orient(m.points[first], m.points[last], m.points[i]); {
	case turn == 0: // beyond one end, since no earlier point is farther from the centre
		if m.between(first, last, i) {
			m.chain = append(m.chain, i)
		} else {
			m.chain = slices.Insert(m.chain, 0, i)
		}
		return
	case turn < 0:
		slices.Reverse(m.chain)
	}
	// The apex i lies left of the chain.
	for k := 1; k < len(m.chain); k++ {
		a, b := m.chain[k-1], m.chain[k]
		e := m.triangle(a, b, i)
		m.edge[a] = e
		if k > 1 {
			m.link(e+2, e-2) // i to a, with the b to i of the triangle before
		}
		m.join(a, b)
	}
	first, last = m.chain[0], m.chain[len(m.chain)-1]
	m.join(last, i)
	m.join(i, first)
	m.edge[last] = int32(len(m.corners)) - 2
	m.edge[i] = 2
	for _, p := range m.chain {
		m.ahead[m.bucket(p)] = p
	}
	m.ahead[m.bucket(i)] = i
	m.chain = nil
}

// between says whether b lies between a and c, all in one line.
func (m *mesh) between(a, b, c int32) bool {
	p, q, r := m.points[a], m.points[b], m.points[c]
	return (p[0] < q[0]) == (q[0] < r[0]) && (p[1] < q[1]) == (q[1] < r[1]) && (p[1] > q[1]) == (q[1] > r[1]) && (p[0] > q[0]) == (q[0] > r[0])
}

// add joins point p, outside the hull, to every hull edge it can see.
func (m *mesh) add(p int32) {
	at := m.points[p]
	from := m.prev[m.onHull(p)]
	for stop := from; !m.sees(at, from); {
		from = m.next[from]
		if from == stop {
			panic("delaunay: a point in order of distance is inside the hull") // cannot be: see order
		}
	}
	for m.sees(at, m.prev[from]) {
		from = m.prev[from]
	}
	made := int32(len(m.corners))
	v := from
	for m.sees(at, v) {
		w := m.next[v]
		e := m.triangle(w, v, p)
		m.link(e, m.edge[v])
		if v == from {
			m.edge[v] = e + 1
		} else {
			m.link(e+1, e-1) // v to p, with the p to v of the triangle before
			m.next[v] = none
		}
		m.edge[p] = e + 2
		v = w
	}
	m.join(from, p)
	m.join(p, v)
	m.ahead[m.bucket(p)] = p
	m.ahead[m.bucket(from)] = from
	for e := made; e < int32(len(m.corners)); e += 3 {
		m.legalise(e)
	}
}

// sees says whether at lies strictly outside the hull edge that leaves v.
func (m *mesh) sees(at [2]float64, v int32) bool {
	return orient(m.points[v], m.points[m.next[v]], at) < 0
}

// onHull guesses a hull point in the direction of p; any is right, a near one quick.
func (m *mesh) onHull(p int32) int32 {
	b := m.bucket(p)
	for k := range m.ahead {
		if v := m.ahead[(b+k)%len(m.ahead)]; v != none && m.next[v] != none {
			return v
		}
	}
	panic("delaunay: no hull point is known") // cannot be: the last point added is one
}

// bucket is the direction of p from the centre as one of len(ahead) parts of a turn.
func (m *mesh) bucket(p int32) int {
	dx, dy := m.points[p][0]-m.centre[0], m.points[p][1]-m.centre[1]
	turn := dx / (math.Abs(dx) + math.Abs(dy)) // falls as the angle grows, for dy > 0
	if dy > 0 {
		turn = 3 - turn
	} else {
		turn = 1 + turn
	}
	if !(turn >= 0 && turn <= 4) { // at the centre, or too large to divide
		return 0
	}
	return int(turn/4*float64(len(m.ahead))) % len(m.ahead)
}

func (m *mesh) join(a, b int32) { m.next[a], m.prev[b] = b, a }

func (m *mesh) link(a, b int32) { m.twin[a], m.twin[b] = b, a }

func (m *mesh) triangle(a, b, c int32) int32 {
	e := int32(len(m.corners))
	m.corners = append(m.corners, a, b, c)
	m.twin = append(m.twin, none, none, none)
	return e
}

// legalise flips edge e, opposite a new point, and what follows from it, until
// no far corner lies inside the circle of a triangle at the new point.
func (m *mesh) legalise(e int32) {
	m.suspect = append(m.suspect[:0], e)
	for len(m.suspect) > 0 {
		a := m.suspect[len(m.suspect)-1]
		m.suspect = m.suspect[:len(m.suspect)-1]
		b := m.twin[a]
		if b == none {
			continue
		}
		aNext, aPrev, bPrev := Next(a), previous(a), previous(b)
		p, q := m.corners[aPrev], m.corners[bPrev]
		if inCircle(m.points[m.corners[a]], m.points[m.corners[aNext]], m.points[p], m.points[q]) <= 0 {
			continue
		}
		// Turn the edge: a then runs from q, b from p; aPrev and bPrev are the new edge.
		m.corners[a], m.corners[b] = q, p
		m.relink(a, m.twin[bPrev])
		m.relink(b, m.twin[aPrev])
		m.link(aPrev, bPrev)
		m.suspect = append(m.suspect, a, Next(b))
	}
}

// relink gives half-edge e the twin t; on the hull, its start learns where it went.
func (m *mesh) relink(e, t int32) {
	m.twin[e] = t
	if t == none {
		m.edge[m.corners[e]] = e
	} else {
		m.twin[t] = e
	}
}
