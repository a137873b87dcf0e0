package plan

import (
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"windlane/quantity"
	"windlane/water"
)

// eightInTen is the half width, in standard deviations, that holds 80 % of a
// normal distribution.
const eightInTen = 1.2815515655446004

// tell writes a followed drift out with all that is worth knowing of it.
func (p *planner) tell(f followed, next []followed) Drift {
	q := p.q
	s := q.Boat.SetUps[f.setUp]
	_, verdict := p.choose(p.windSpeed(f.start))
	d := Drift{
		Ride: f.ride, Start: p.clock(f.start), End: p.clock(f.start + f.time), X: f.x, Y: f.y, Minutes: f.time / 60,
		SetUp: s.Name, Drogue: s.Drogue, Verdict: verdict, Ending: f.ending, Value: f.value, Rate: f.rate * 60,
	}
	east, north := f.end[0]-f.x, f.end[1]-f.y
	d.Toward = quantity.TowardVector(east, north)
	d.Track = p.track(f)
	way := 0.0
	for i := 1; i < len(d.Track); i++ {
		way += math.Hypot(d.Track[i].X-d.Track[i-1].X, d.Track[i].Y-d.Track[i-1].Y)
	}
	d.Speed = way / f.time
	d.Passes = p.passes(f)
	d.Stop = p.stopBar(f, s.Drogue)
	d.Fan = p.fan(f)
	for _, n := range next[:min(2, len(next))] {
		d.Next = append(d.Next, n.option())
	}
	d.Why = p.why(f, d.Track, next)
	if len(next) > 0 {
		d.Change = p.change(f, next[0])
	}
	if k, ok := p.a.launch(f.end); ok {
		d.RideHome = p.homeTime(k, f.start+f.time+q.Settings.HandIn, false)
	}
	return d
}

func (f followed) option() Option {
	return Option{X: f.x, Y: f.y, EndX: f.end[0], EndY: f.end[1], Minutes: f.time / 60, Value: f.value, Rate: f.rate * 60}
}

// at is the boat's place some seconds into a drift.
func (p *planner) at(f followed, after float64) (x, y float64, k int) {
	e, n := p.q.Boat.SetUps[f.setUp].Motion.Path(p.wind, f.start, f.start+after)
	x, y = f.x+e, f.y+n
	k, ok := p.a.g.Index(x, y)
	if !ok {
		panic("plan: a drift left the map")
	}
	return x, y, k
}

// track has a point at each minute and one at the end.
func (p *planner) track(f followed) []Point {
	var out []Point
	for m := 0.0; ; m++ {
		after := math.Min(60*m, f.time)
		x, y, k := p.at(f, after)
		out = append(out, Point{
			Minute: after / 60, X: x, Y: y, Depth: p.bed(k), Sounded: p.sounded(k),
			Worth: float64(p.fresh(p.hourOf(f.start + after))[k]),
		})
		if after >= f.time {
			return out
		}
	}
}

// bed is the depth of a cell, NaN where it is not known.
func (p *planner) bed(k int) quantity.Depth { return quantity.Depth(p.q.Lake.Depth[k]) }

func (p *planner) sounded(k int) bool {
	return !math.IsInf(float64(p.a.depth[k]), 0) && (p.q.Lake.Sounded == nil || p.q.Lake.Sounded[k])
}

// passes finds what the boat goes by: the lake's places, and edges and islands
// in the depths where no place of that kind is marked.
func (p *planner) passes(f followed) []Pass {
	s := p.q.Settings
	var out []Pass
	for _, place := range p.q.Lake.Places {
		if place.Shape == nil {
			continue
		}
		kind := place.Kind
		// what is kept off is passed at the distance it is kept off
		within := s.PassWidth + math.Max(place.KeepOff, place.MotorOff)
		if kind == string(water.Island) {
			kind, within = IslandEdge, s.PassWidth+f.margin
		}
		out = append(out, p.watch(f, kind, place.Name, within, func(x, y float64, _ int) float64 {
			return math.Max(0, away(place.Shape, x, y)-place.Radius)
		})...)
	}
	marked := len(out)
	unmarked := func(found []Pass) {
		for _, a := range found {
			if !slices.ContainsFunc(out[:marked], func(b Pass) bool { return a.Kind == b.Kind && a.From <= b.To && b.From <= a.To }) {
				out = append(out, a)
			}
		}
	}
	edges := p.watch(f, DropOff, "", 0, func(_, _ float64, k int) float64 {
		if float64(p.a.slope[k]) >= s.DropOff/2 { // the whole of it: its steepest is judged below
			return 0
		}
		return math.Inf(1)
	})
	// an edge is a change of depth, not a rough cell
	unmarked(slices.DeleteFunc(edges, func(e Pass) bool { return e.Most-e.Least < 1 || e.Slope < s.DropOff }))
	if p.a.island != nil {
		unmarked(p.watch(f, IslandEdge, "", s.PassWidth+f.margin, func(_, _ float64, k int) float64 { return float64(p.a.island[k]) }))
	}
	slices.SortStableFunc(out, func(a, b Pass) int {
		switch {
		case a.From != b.From:
			return int(math.Copysign(1, a.From-b.From))
		case a.Kind != b.Kind:
			return strings.Compare(a.Kind, b.Kind)
		}
		return strings.Compare(a.Name, b.Name)
	})
	return out
}

// watch looks every ten seconds whether something is near. What is near again
// within a minute and a half was passed once.
func (p *planner) watch(f followed, kind, name string, within float64, near func(x, y float64, k int) float64) (out []Pass) {
	const step, gap = 10.0, 90.0
	lastSeen := math.Inf(-1)
	for after := 0.0; after <= f.time; after += step {
		x, y, k := p.at(f, after)
		metres := near(x, y, k)
		if metres > within {
			continue
		}
		depth := p.bed(k)
		if after-lastSeen > gap {
			out = append(out, Pass{From: after / 60, Kind: kind, Name: name, First: depth, Least: depth, Most: depth, Near: metres})
		}
		lastSeen = after
		now := &out[len(out)-1]
		now.To, now.Last = after/60, depth
		now.Least, now.Most, now.Near = min(now.Least, depth), max(now.Most, depth), math.Min(now.Near, metres)
		if slope := float64(p.a.slope[k]); slope > now.Slope {
			now.Slope = slope
		}
	}
	return out
}

// stopBar is the end of a drift and the landmark nearest to it, no nearer than
// 30 m and no farther than 3 km.
func (p *planner) stopBar(f followed, drogue bool) StopBar {
	b := StopBar{At: p.clock(f.start + f.time), X: f.end[0], Y: f.end[1]}
	b.Lift = b.At
	if drogue {
		b.Lift = p.clock(f.start + math.Max(0, f.time-60))
	}
	best := math.Inf(1)
	for _, place := range p.q.Lake.Places {
		if !place.Landmark || place.Name == "" || place.Shape == nil {
			continue
		}
		c := place.Shape.Bound().Center()
		d := math.Hypot(c[0]-b.X, c[1]-b.Y)
		if d >= 30 && d <= 3000 && d < best {
			best = d
			b.Landmark, b.Distance = place.Name, d
			b.Bearing = quantity.TowardVector(c[0]-b.X, c[1]-b.Y)
		}
	}
	return b
}

// fan follows the drift in other winds than the forecast. The share in which it
// stays clear is over the nine points of winds.
func (p *planner) fan(f followed) Fan {
	turn, stretch := p.spread(f)
	member := func(direction, speed float64) (points []orb.Point, end orb.Point, whole bool) {
		m := p.turned(f.setUp, direction*turn, 1+speed*stretch)
		time, end := p.reach(f.x, f.y, f.start, f.time, f.setUp, f.margin, m)
		for at := 0.0; ; at += 60 {
			e, n := m.Path(p.wind, f.start, f.start+math.Min(at, time))
			points = append(points, orb.Point{f.x + e, f.y + n})
			if at >= time {
				return points, end, time >= f.time-1
			}
		}
	}
	var out Fan
	out.Left, _, _ = member(-eightInTen, 0)
	out.Right, _, _ = member(eightInTen, 0)
	_, out.Short, _ = member(0, -eightInTen)
	_, out.Long, _ = member(0, eightInTen)
	for _, w := range winds {
		if _, _, whole := member(w[0], w[1]); whole {
			out.Safe += w[2]
		}
	}
	out.Safe = math.Min(1, out.Safe)
	return out
}

// why gathers what speaks for a drift.
func (p *planner) why(f followed, track []Point, next []followed) Why {
	var w Why
	h := p.hourOf(f.start)
	field := p.fresh(h)
	sum, n := 0.0, 0
	for k := range field {
		if p.allowed(k, f.setUp, f.margin) && !math.IsInf(float64(p.home.metres[k]), 1) {
			sum += float64(field[k])
			n++
		}
	}
	along, peak := 0.0, 0.0
	for _, t := range track {
		along += t.Worth / float64(len(track))
		peak = math.Max(peak, t.Worth)
	}
	if sum > 0 {
		w.WorthRatio = along / (sum / float64(n))
	}
	// the longest run of minutes at four fifths of the best or more
	from, best := -1, -1.0
	for i, t := range track {
		if t.Worth < 0.8*peak {
			from = -1
			continue
		}
		if from < 0 {
			from = i
		}
		if length := t.Minute - track[from].Minute; length > best {
			best, w.BestFrom, w.BestTo = length, track[from].Minute, t.Minute
		}
	}
	w.Fresh = 1
	m := p.q.Boat.SetUps[f.setUp].Motion
	if untouched := p.value(f.x, f.y, f.start, f.time, f.setUp, m, false); untouched > 0 {
		w.Fresh = math.Min(1, p.value(f.x, f.y, f.start, f.time, f.setUp, m, true)/untouched)
	}
	if len(next) > 0 && next[0].rate > 0 {
		w.OverNext = f.rate / next[0].rate
	}
	return w
}

// change finds the smallest turn of the wind, in steps of 5° up to 60°, that
// makes the next best drift better than this one: both begun where they are,
// each going on as long as it may and was meant to.
func (p *planner) change(f, other followed) *Change {
	// in three directions round the one tried, the speed as forecast
	sd, _ := p.spread(f)
	judge := func(g followed, turn float64) (value, all float64) {
		for i, w := range winds {
			if i%3 != 1 {
				continue
			}
			m := p.turned(g.setUp, turn+w[0]*sd, 1)
			time, _ := p.reach(g.x, g.y, g.start, g.time, g.setUp, g.margin, m)
			value += w[2] * p.value(g.x, g.y, g.start, time, g.setUp, m, true)
			all += w[2]
		}
		return value / all, g.ride.Time + p.q.Settings.PutOut + g.time + p.q.Settings.HandIn
	}
	rate := func(g followed) func(turn float64) float64 {
		now, _ := judge(g, 0)
		return func(turn float64) float64 {
			value, time := judge(g, turn)
			return g.value * value / math.Max(now, quantum) / time
		}
	}
	this, that := rate(f), rate(other)
	for step := 1; step <= 12; step++ {
		for _, sign := range []float64{-1, 1} {
			turn := sign * float64(step) * 5 * math.Pi / 180
			if math.Round(that(turn)/quantum) > math.Round(this(turn)/quantum) {
				e, n := p.wind.At(f.start)
				from := quantity.TowardVector(e, n).From()
				return &Change{Turn: turn, From: quantity.FromDegrees(from.Degrees() + turn*180/math.Pi), To: other.option()}
			}
		}
	}
	return nil
}
