package plan

import (
	"math"
	"math/bits"

	"github.com/paulmach/orb"
)

// rides is the shortest way under motor from one cell to every other: Dijkstra
// over the cells with 16 neighbours (kings' and knights' moves), which overstates
// a straight way by at most 2.7 %, never a way round by less than it is.
type rides struct {
	from   int
	metres []float32 // +Inf where no way leads [m]
	before []int32   // the cell before on the way from `from`; −1 at it and where no way leads
	by     []int8    // the move that led to each cell; 16 at `from`
}

// move is one of the sixteen, in order round the compass, and the cells it slides
// past, which must be clear too.
type move struct {
	di, dj int
	length float64 // [cells]
	past   [2][2]int
}

var moves = func() (m [16]move) {
	quarter := [4][2]int{{1, 0}, {2, 1}, {1, 1}, {1, 2}}
	for n := range m {
		di, dj := quarter[n%4][0], quarter[n%4][1]
		for range n / 4 { // a quarter turn
			di, dj = -dj, di
		}
		a, b := max(di, -di), max(dj, -dj)
		v := move{di: di, dj: dj, length: math.Sqrt(float64(a*a + b*b))}
		switch {
		case a == 2: // past one beside and one diagonal
			v.past = [2][2]int{{di / 2, 0}, {di / 2, dj}}
		case b == 2:
			v.past = [2][2]int{{0, dj / 2}, {di, dj / 2}}
		case a == 1 && b == 1:
			v.past = [2][2]int{{di, 0}, {0, dj}}
		default:
			v.past = [2][2]int{{di, dj}, {di, dj}}
		}
		m[n] = v
	}
	return m
}()

// open finds which of the sixteen moves can be made from each cell.
func (a *ground) open(from []uint16) []uint16 {
	w, n := a.g.W, a.g.Len()
	if len(from) != n {
		from = make([]uint16, n)
	}
	for k := range from {
		from[k] = 0
		if !a.motor[k] {
			continue
		}
		// The grid's outermost cells are never passable, so a move round its edge
		// meets one and is refused.
		for i := range moves {
			m := &moves[i]
			to := k + m.dj*w + m.di
			if to >= 0 && to < n && a.motor[to] && a.motor[k+m.past[0][1]*w+m.past[0][0]] && a.motor[k+m.past[1][1]*w+m.past[1][0]] {
				from[k] |= 1 << i
			}
		}
	}
	return from
}

// motorFrom finds all rides from a cell. Cells wait in buckets one cell wide:
// as no move is shorter, whatever lies in the nearest bucket is final. Where all
// sixteen moves are open, only those near the one that led there are tried: in
// open water a shortest way is made of two neighbouring moves.
func (a *ground) motorFrom(from int, r *rides) {
	w, n := a.g.W, a.g.Len()
	if len(a.moves) != n {
		a.moves = a.open(a.moves)
	}
	if r.metres == nil {
		r.metres, r.before, r.by = make([]float32, n), make([]int32, n), make([]int8, n)
	}
	r.from = from
	for k := range r.metres {
		r.metres[k], r.before[k] = float32(math.Inf(1)), -1
	}
	type jump struct {
		to     int
		length float32
	}
	var jumps [16]jump
	var near [17]uint16 // the moves to try after each; all sixteen after none
	for i, m := range moves {
		jumps[i] = jump{m.dj*w + m.di, float32(m.length)}
		for d := -2; d <= 2; d++ {
			near[i] |= 1 << ((i + d + 16) % 16)
		}
	}
	near[16] = 1<<16 - 1
	// Distances are counted in cells here.
	var buckets [4][]int32
	buckets[0] = append(buckets[0], int32(from))
	r.metres[from], r.by[from] = 0, 16
	for at, waiting := 0, 1; waiting > 0; at++ {
		b := at % 4
		for x := 0; x < len(buckets[b]); x++ {
			k := int(buckets[b][x])
			waiting--
			d := r.metres[k]
			if int(d) != at { // found again by a shorter way
				continue
			}
			can := a.moves[k]
			if can == 1<<16-1 {
				can &= near[r.by[k]]
			}
			for ; can != 0; can &= can - 1 {
				i := bits.TrailingZeros16(can)
				to := k + jumps[i].to
				if e := d + jumps[i].length; e < r.metres[to] {
					r.metres[to], r.before[to], r.by[to] = e, int32(k), int8(i)
					buckets[int(e)%4] = append(buckets[int(e)%4], int32(to))
					waiting++
				}
			}
		}
		buckets[b] = buckets[b][:0]
	}
	for k := range r.metres {
		r.metres[k] *= float32(a.g.Cell)
	}
}

// launch is the passable cell nearest to a place, within 30 m, or two cells where
// those are coarse: their shore ones are dry.
func (a *ground) launch(p orb.Point) (int, bool) {
	within := math.Max(30, 2*a.g.Cell)
	best, found := within*within, -1
	m := int(within/a.g.Cell) + 1
	i0, j0 := int(math.Floor((p[0]-a.g.X0)/a.g.Cell)), int(math.Floor((p[1]-a.g.Y0)/a.g.Cell))
	for j := max(0, j0-m); j <= min(a.g.H-1, j0+m); j++ {
		for i := max(0, i0-m); i <= min(a.g.W-1, i0+m); i++ {
			k := j*a.g.W + i
			x, y := a.g.Centre(k)
			if d := (x-p[0])*(x-p[0]) + (y-p[1])*(y-p[1]); a.motor[k] && d < best {
				best, found = d, k
			}
		}
	}
	return found, found >= 0
}

// sees says whether a straight way is passable under motor.
func (a *ground) sees(p, q orb.Point) bool {
	return a.touches(p, q, func(k int) bool { return a.motor[k] })
}

// touches says whether every cell that a straight way touches is all right, cell
// by cell from one crossed edge to the next. Off the grid nothing is.
func (a *ground) touches(p, q orb.Point, right func(k int) bool) bool {
	u, v := (p[0]-a.g.X0)/a.g.Cell, (p[1]-a.g.Y0)/a.g.Cell
	du, dv := (q[0]-p[0])/a.g.Cell, (q[1]-p[1])/a.g.Cell
	i, j := int(math.Floor(u)), int(math.Floor(v))
	// share of the way to the next edge crossed, and between two edges
	next := func(at, d float64) (first, between float64, step int) {
		switch {
		case d > 0:
			return (math.Floor(at) + 1 - at) / d, 1 / d, 1
		case d < 0:
			return (at - math.Floor(at)) / -d, -1 / d, -1
		}
		return math.Inf(1), math.Inf(1), 0
	}
	inside := func(i, j int) bool { return i >= 0 && j >= 0 && i < a.g.W && j < a.g.H && right(j*a.g.W+i) }
	tu, eachU, stepU := next(u, du)
	tv, eachV, stepV := next(v, dv)
	for {
		if !inside(i, j) {
			return false
		}
		if tu > 1 && tv > 1 {
			return true
		}
		switch {
		case math.Abs(tu-tv) < 1e-9: // through a corner: the cells beside it are touched too
			if !inside(i+stepU, j) || !inside(i, j+stepV) {
				return false
			}
			tu, i, tv, j = tu+eachU, i+stepU, tv+eachV, j+stepV
		case tu < tv:
			tu, i = tu+eachU, i+stepU
		default:
			tv, j = tv+eachV, j+stepV
		}
	}
}

// ride is the way from the rides' own place to another, straight if that is
// clear, else the cells' way pulled taut, in still air. The places stand in passable cells or
// within 30 m of one. ok is false where no way leads.
func (a *ground) ride(r *rides, from orb.Point, to orb.Point, speed float64) (out Ride, ok bool) {
	k, ok := a.launch(to)
	if !ok || math.IsInf(float64(r.metres[k]), 1) {
		return Ride{}, false
	}
	var cells []orb.Point // from end to start
	for c := k; c >= 0; c = int(r.before[c]) {
		x, y := a.g.Centre(c)
		cells = append(cells, orb.Point{x, y})
	}
	way, here := []orb.Point{from}, from
	if !a.sees(from, to) {
		at := len(cells) // beyond the first
		if !a.sees(from, from) {
			at--
			here = cells[at]
			way = append(way, here)
		}
		for at > 0 && !a.sees(here, to) {
			at-- // always in sight of its neighbour
			for at > 0 && a.sees(here, cells[at-1]) {
				at--
			}
			here = cells[at]
			way = append(way, here)
		}
	}
	way = append(way, to)
	for i := 1; i < len(way); i++ {
		out.Metres += math.Hypot(way[i][0]-way[i-1][0], way[i][1]-way[i-1][1])
	}
	if out.Metres > 0 {
		out.Way = way
	}
	out.Time = out.Metres / speed
	return out, true
}

// headLoss is how much slower a boat goes under motor for each m/s of wind from
// ahead. [1] An assumption, a little over half of what she drifts at broadside.
const headLoss = 0.035

// motorSpeed is the speed under motor with so much wind from ahead: a quarter of
// that in still air at the least. Wind from behind is not counted on. [m/s]
func (p *planner) motorSpeed(head float64) float64 {
	return math.Max(p.q.Boat.Speed/4, p.q.Boat.Speed-headLoss*math.Max(0, head))
}

// rideTime is how long some metres east and north take under motor from a time
// on, whose wind is taken for all of it, or the hour's gusts; one from anywhere as
// from ahead. [s]
func (p *planner) rideTime(t float64, gusts bool) func(dx, dy float64) float64 {
	e, n := p.wind.At(t)
	hour := p.hourOf(t)
	h := p.q.Hours[hour]
	blow := h.Wind
	if gusts {
		// the stronger of this hour's gust and the next's: the ride may last into it
		blow = h.strongest()
		if hour+1 < len(p.q.Hours) {
			blow = math.Max(blow, p.q.Hours[hour+1].strongest())
		}
		if speed := math.Hypot(e, n); speed > 0 && blow > speed {
			e, n = e*blow/speed, n*blow/speed
		}
	}
	shifts := p.shifts(hour)
	return func(dx, dy float64) float64 {
		metres := math.Hypot(dx, dy)
		switch {
		case metres == 0:
			return 0
		case shifts:
			return metres / p.motorSpeed(blow)
		}
		return metres / p.motorSpeed(-(e*dx+n*dy)/metres)
	}
}

// wayTo is a way under motor begun at a time; ok is false where none leads.
type wayTo func(t float64, from, to orb.Point) (r Ride, ok bool)

// ride is the ground's ride with the wind of the time it begins at.
func (p *planner) ride(r *rides, t float64, from, to orb.Point) (Ride, bool) {
	out, ok := p.a.ride(r, from, to, p.q.Boat.Speed)
	p.timed(&out, t)
	return out, ok
}

// timed works out how long a way takes.
func (p *planner) timed(r *Ride, t float64) {
	along := p.rideTime(t, false)
	r.Time = 0
	for i := 1; i < len(r.Way); i++ {
		r.Time += along(r.Way[i][0]-r.Way[i-1][0], r.Way[i][1]-r.Way[i-1][1])
	}
}

// homeTime is how long the way home takes from a cell by the cells' way, which
// is never shorter than the ride's, in the mean wind or in gusts. [s]
func (p *planner) homeTime(k int, t float64, gusts bool) float64 {
	along, total := p.rideTime(t, gusts), 0.0
	for before := p.home.before[k]; before >= 0; k, before = int(before), p.home.before[before] {
		x0, y0 := p.a.g.Centre(k)
		x1, y1 := p.a.g.Centre(int(before))
		total += along(x1-x0, y1-y0)
	}
	x, y := p.a.g.Centre(k)
	return total + along(p.q.Home[0]-x, p.q.Home[1]-y)
}

// detour is how much farther a ride may be for keeping off the water about to be
// fished and other boats' drifts, as a share and in metres.
const (
	detourShare  = 0.5
	detourMetres = 100.0
)

// aside is the way to a drift's start that keeps off the drift itself and off
// other boats' drifts, where that is not much farther; ok is false where it is,
// and where the plain way keeps off them already.
func (p *planner) aside(f followed, t float64, from orb.Point) (r Ride, ok bool) {
	clear := *p.a
	clear.motor = append(p.clearWay[:0], p.a.motor...)
	p.clearWay = clear.motor
	m := p.q.Boat.SetUps[f.setUp].Motion
	reach := p.q.Settings.Reach
	shut := func(k int) {
		if x, y := p.a.g.Centre(k); math.Hypot(x-f.x, y-f.y) > 2*reach && math.Hypot(x-from[0], y-from[1]) > 2*reach {
			clear.motor[k] = false
		}
	}
	rows := len(p.a.halves) / 2
	p.along(p.airFrom(f.start, f.time), motionOf(m), f.x, f.y, f.time, p.pacing(m, f.start, f.time, p.a.g.Cell), func(k int, _, _ float64) {
		for d, half := range p.a.halves {
			for i := -half; i <= half; i++ {
				if c := k + (d-rows)*p.a.g.W + i; c >= 0 && c < len(clear.motor) {
					shut(c)
				}
			}
		}
	})
	for _, other := range p.q.Others {
		p.a.around(Place{Shape: other}, offBoats, shut)
	}
	crosses := false
	for i := 1; i < len(f.ride.Way) && !crosses; i++ {
		crosses = !p.a.touches(f.ride.Way[i-1], f.ride.Way[i], func(k int) bool { return clear.motor[k] || !p.a.motor[k] })
	}
	if !crosses {
		return r, false
	}
	k, ok := clear.launch(from)
	if !ok {
		return r, false
	}
	clear.moves = clear.open(p.clearMoves)
	p.clearMoves = clear.moves
	clear.motorFrom(k, &p.round)
	if r, ok = clear.ride(&p.round, from, orb.Point{f.x, f.y}, p.q.Boat.Speed); !ok {
		return r, false
	}
	p.timed(&r, t)
	return r, r.Metres <= (1+detourShare)*f.ride.Metres+detourMetres
}
